"""Cases that can be read, for what wants one beside the file it reads."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from appraise.store.read import read_case
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables

if TYPE_CHECKING:
    from appraise.model.case import Case


@cache
def good_cases() -> tuple[Case, ...]:
    """Return the sample cases."""
    read = (read_case(path, load_tables())[0] for path in sorted(data_folder("sample_cases").glob("*.toml")))
    return tuple(case for case in read if case is not None)
