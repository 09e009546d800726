"""What a list of like records in a case is: renewals, remarks, readings of pitch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from appraise.services.fields import get

if TYPE_CHECKING:
    from collections.abc import Callable

    from appraise.model.case import Case
    from appraise.services.fields import Field
    from appraise.tables.rows import Tables


_NOTHING = (None, "", ())


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

    def lacking(self, record: object) -> list[str]:
        """Return the labels of what a record still needs before it can count; nothing where it is complete."""
        return [one.label for one in self.fields if one.required and get(record, one.path) in _NOTHING]


def unfinished(record: Callable[..., object], **fields: object) -> object:
    """Return a record with nothing where its figures will be: it stands beside a case, never in one."""
    return record(**fields)
