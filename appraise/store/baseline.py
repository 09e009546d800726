"""The remembered earlier state of a case: a read-only copy beside it, held to the hash that the case keeps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import EarlierState
from appraise.model.problem import Problem, Unreadable
from appraise.model.unsafe import error_text, sanitize_line
from appraise.store.files import digest_of
from appraise.store.read import LARGEST, parse_case
from appraise.store.write import write_file
from appraise.tables.content import content_of

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.tables.rows import Tables

READ_ONLY = 0o444
"""Mode of a frozen copy: a slip of an editor is stopped, and what is not is found by the hash."""

_MOST = 1000


def freeze(path: Path, case: Case, purpose: str = "", trail: str = "") -> EarlierState:
    """Keep a read-only copy of a case file beside it, byte for byte.

    Args:
        path: The case file.
        case: What it holds.
        purpose: What the state is set for.
        trail: Hash of the last line of the trail.

    Returns:
        What the case is to remember. The copy is called as the file with `.before-` and the day of the inspection
        behind it; a copy of the same bytes serves again, and another one is never written over.

    Raises:
        Unreadable: The file cannot be read, or the copy cannot be written.
    """
    try:
        content = content_of(path, LARGEST)
        digest = digest_of(content)
        target = _free(path, case, content)
        if not target.exists():
            write_file(target, content)
        target.chmod(READ_ONLY)
    except OSError as error:
        found = f"that the state cannot be kept ({error_text(error)})"
        expected = "a file and folder that can be read and written"
        raise Unreadable(Problem(sanitize_line(str(path)), None, "", found, expected)) from error
    return EarlierState(target.name, digest, case.assignment.inspected, purpose, trail=trail)


def _free(path: Path, case: Case, content: bytes) -> Path:
    base = f"{path.name}.before-{case.assignment.inspected.isoformat()}"
    for number in range(1, _MOST):
        target = path.with_name(base if number == 1 else f"{base}-{number}")
        if not target.exists() or (target.is_file() and content_of(target, LARGEST) == content):
            return target
    raise FileExistsError(0, f"{base} has been set too often")


def earlier_case(path: Path, earlier: EarlierState, tables: Tables) -> tuple[Case, str]:
    """Read the earlier state that a case remembers.

    Args:
        path: The case file, beside which it lies.
        earlier: What the case remembers of it.
        tables: What its names are checked against.

    Returns:
        The case, and the text of its file.

    Raises:
        Unreadable: It is gone, has been changed, or cannot be used; one problem says so.
    """
    target = path.with_name(earlier.file)
    file = sanitize_line(str(target))
    mend = f"put back the copy that {sanitize_line(path.name)} was set with"
    try:
        content = content_of(target, LARGEST)
    except OSError as error:
        missing = isinstance(error, FileNotFoundError)
        reason = "no such file" if missing else error_text(error)
        found, expected = f"that it cannot be read ({reason})", "the frozen copy of the earlier state"
        raise Unreadable(Problem(file, None, "", found, expected, mend)) from error
    digest = digest_of(content)
    if digest != earlier.sha256:
        found, expected = f"another content (SHA-256 {digest[:12]}…)", f"the frozen one ({earlier.sha256[:12]}…)"
        raise Unreadable(Problem(file, None, "", found, expected, mend))
    text = content.decode("utf-8", errors="replace")
    case, problems = parse_case(text, tables, file=file)
    if case is None:
        raise Unreadable(*(problem for problem in problems if problem.grave))
    return case, text


def check_earlier(path: Path, case: Case, tables: Tables) -> list[Problem]:
    """Return what is wrong with the earlier state that a case remembers; empty where it is whole or there is none.

    Args:
        path: The case file.
        case: What it holds.
        tables: What names are checked against.
    """
    earlier = case.earlier_state
    if earlier is None:
        return []
    try:
        before, _ = earlier_case(path, earlier, tables)
    except Unreadable as unreadable:
        return list(unreadable.problems)
    file, count = sanitize_line(str(path)), len(before.remarks)
    named = [(f"remarks[{at}].earlier", remark.earlier) for at, remark in enumerate(case.remarks, 1)]
    named += [(f"earlier_state.mended[{at}]", number) for at, number in enumerate(earlier.mended, 1)]
    expected = f"the number of one of the {count} remarks of {sanitize_line(earlier.file)}"
    return [
        Problem(file, None, key, str(number), expected)
        for key, number in named
        if number is not None and number > count
    ]
