"""What a list of like records in a case is: renewals, remarks, readings of pitch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from appraise.model.case import Case
    from appraise.services.fields import Field
    from appraise.tables.rows import Tables


@dataclass(frozen=True, slots=True)
class Records:
    """A list of like records in a case."""

    path: tuple[str, ...]
    title: str
    one: str
    """What one of them is called."""
    blank: Callable[[Case, Tables], object]
    """A new one to fill in."""
    title_of: Callable[[object, Tables], str]
    """One line that tells a record from the others."""
    fields: tuple[Field, ...]
    """Fields of one record, their paths starting at the record."""
