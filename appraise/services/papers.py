"""The files of quotations and bids: hashed when they are entered, as photos are, and what has become of each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import InputError, quoted
from appraise.model.unsafe import sanitize_line
from appraise.services.fields import replace_at
from appraise.store.crosscheck import photo_problem
from appraise.store.photos import look_for
from appraise.tables.content import resolved

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.case import Case


@dataclass(frozen=True, slots=True)
class Paper:
    """The file of a quotation or a bid, and what has become of it."""

    name: str
    """quotations | salvage_bids."""
    at: int
    """Its record's place in that list, from 0."""
    file: str
    """Path relative to the case file."""
    sha256: str
    """As it was recorded; empty where none was."""
    fault: str
    """The fault found; empty where there is none."""
    missing: bool = False


def is_paper(path: tuple[str | int, ...]) -> bool:
    """Tell whether a field names the file of a quotation or a bid."""
    return len(path) == 4 and path[0] == "claim" and path[-1] == "file"


def with_paper(case: Case, path: tuple[str | int, ...], file: str, case_file: Path) -> Case:
    """Return the case in which a quotation or a bid names a file, with the SHA-256 that this has now.

    Args:
        case: The case as it stands.
        path: Of the field that names the file.
        file: Path relative to the case file; empty: the record names none any more.
        case_file: The case file.

    Raises:
        InputError: It is not there, lies elsewhere or cannot be read; the text is one line.
    """
    digest = _entered(file, case_file) if file else ""
    result: Case = replace_at(replace_at(case, path, file), (*path[:-1], "sha256"), digest)
    return result


def _entered(file: str, case_file: Path) -> str:
    expected = photo_problem(file)
    found = None if expected else look_for(resolved(case_file).parent, file, "", "file")
    if found is None:
        raise InputError(quoted(file), expected)
    if found.path is None:
        raise InputError(f"{found.fault} at {quoted(file)}", "the quotation or the bid in the folder of the case")
    return found.sha256


def papers(case: Case, case_file: Path) -> list[Paper]:
    """Return the file of every quotation and bid with what has become of it."""
    folder, result = resolved(case_file).parent, []
    for name, at, file, sha256 in case.claim.papers:
        seen = look_for(folder, file, sha256, "file")
        fault = sanitize_line(f"{seen.fault}, expected {seen.expected}") if seen.fault else ""
        result.append(Paper(name, at, file, sha256, fault, seen.missing))
    return result


def hashed_papers(case: Case, case_file: Path) -> Case:
    """Return the case with a digest of the file of every quotation and bid that had none and is there."""
    for paper in papers(case, case_file):
        if not (paper.sha256 or paper.fault):
            place: Any = ("claim", paper.name, paper.at, "file")
            case = with_paper(case, place, paper.file, case_file)
    return case
