"""A case file that was not there before: written, and its trail begun with it."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from appraise.model.case import Assignment
from appraise.model.problem import Problem, Unreadable
from appraise.model.quantities import Units
from appraise.model.unsafe import sanitize_line
from appraise.services.journal import Journal
from appraise.store.files import digest_of
from appraise.store.lock import me
from appraise.store.read import parse_case
from appraise.store.trail import trail_path
from appraise.store.write import write_case, write_file

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.store.own_settings import NewCaseSettings
    from appraise.tables.rows import Tables


def begun_with(own: NewCaseSettings) -> dict[str, str]:
    """Return what a new case takes from the settings: fields of its assignment, as a file has them."""
    return {key: value for key, value in asdict(own).items() if value}


def assignment_begun(inspected: date, own: NewCaseSettings) -> Assignment:
    """Return the assignment of a new case, with what the settings say of every one."""
    stated: dict[str, Any] = begun_with(own)
    if "units" in stated:
        stated["units"] = Units(stated["units"])
    return Assignment(inspected, **stated)


def refuse_other_trail(path: Path) -> None:
    """Refuse a name beside which the trail of another case lies: the two would be taken for one.

    Raises:
        Unreadable: There is one.
    """
    trail = trail_path(path)
    if trail.exists() or trail.is_symlink():
        found = f"the trail of another case, {sanitize_line(trail.name)}, beside it"
        raise Unreadable(Problem(sanitize_line(str(path)), None, "", found, "a name that is free"))


def write_new(path: Path, case: Case, tables: Tables) -> str:
    """Write a case to a file of its own and begin its trail.

    Args:
        path: A name that is free.
        case: What to write.
        tables: What the case was made with.

    Returns:
        Why the trail could not be begun; empty when it is.

    Raises:
        Unreadable: The file exists or cannot be written, or another case has left its trail there.
    """
    refuse_other_trail(path)
    return _begun(path, case, write_case(path, case, tables, known=()))


def write_version(path: Path, text: str, tables: Tables) -> str:
    """Write a version that a report froze to a file of its own, byte for byte, and begin its trail.

    Args:
        path: A name that is free.
        text: What the trail holds of it.
        tables: What the case is checked against.

    Returns:
        Why no trail could be begun; empty when it is, or where the text is no case to these tables.

    Raises:
        OSError: The file cannot be written.
        Unreadable: Another case has left its trail there.
    """
    refuse_other_trail(path)
    content = text.encode("utf-8")
    write_file(path, content)
    case, _ = parse_case(text, tables, file=sanitize_line(path.name))
    return "" if case is None else _begun(path, case, digest_of(content))


def _begun(path: Path, case: Case, digest: str) -> str:
    journal = Journal(path, me())
    journal.begin(case, digest, None)
    journal.flush()
    return journal.trouble
