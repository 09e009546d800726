"""Opening a case for work: read it, see who else has it, and find what a crash left unsaved."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import InputError, Problem, Unreadable
from appraise.model.unsafe import error_text, sanitize_line
from appraise.services.case_session import CaseSession
from appraise.services.file_state import digest
from appraise.services.history import Stacks, anchored, open_steps, replayed, saved_state, worked_on
from appraise.services.journal import Journal
from appraise.store.document import to_document
from appraise.store.lock import me
from appraise.store.plain_case import DecodeError
from appraise.store.read import read_case

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.store.lock import Held
    from appraise.store.trail import Record
    from appraise.tables.rows import Tables


@dataclass(frozen=True, slots=True)
class Unsaved:
    """Steps of an earlier session, neither saved nor given up."""

    steps: tuple[Record, ...]
    """Every step, in order."""
    base: Case | None
    """Content of the file when they were made; none where that cannot be told."""
    left: Stacks | None
    """The case as it was left, with undo; none where the steps cannot be done again."""
    foreign: bool
    """True where the file was changed by another program since."""
    wrong: str = ""
    """Why the steps cannot be done again."""


@dataclass(frozen=True, slots=True)
class Opened:
    """A case open for work."""

    worksheet: CaseSession
    unsaved: Unsaved | None = None
    held: Held | None = None
    """Who has it, where somebody else does; the worksheet is read-only then."""
    said: tuple[str, ...] = ()
    """Warnings to a person: a torn line, a broken chain, a folder that cannot be written."""


def open_sheet(path: Path, tables: Tables, *, doubtful: bool = False) -> Opened:
    """Open a case file for work.

    Args:
        path: The file.
        tables: What it is checked against.
        doubtful: Take it over from another machine that has not been heard of for long.

    Returns:
        The worksheet, with what a person has to decide before going on.

    Raises:
        Unreadable: The case cannot be used.
    """
    case, found = read_at_rest(path, tables)
    sheet = CaseSession(path, case, tables)
    sheet.on_disk.know(found)
    sheet.journal = Journal(path, me())
    held = sheet.journal.enter(doubtful=doubtful)
    if held is not None:
        return Opened(sheet, held=held, said=(sheet.read_only,))
    unsaved, said = _with_trail(sheet, sheet.journal, found)
    return Opened(sheet, unsaved, said=said)


@contextmanager
def alone(path: Path, tables: Tables) -> Iterator[CaseSession]:
    """Open a case that a command writes to without asking anybody, and give it back.

    Args:
        path: The file.
        tables: What it is checked against.

    Raises:
        InputError: Somebody has it open, or its trail holds unsaved steps.
        Unreadable: The case cannot be used.
    """
    opened = open_sheet(path, tables)
    try:
        if opened.held is not None:
            raise InputError(f"it open with {opened.held.by}", "a case that nobody works on")
        if opened.unsaved is not None:
            count = len(opened.unsaved.steps)
            steps = f"{count} unsaved step{'' if count == 1 else 's'}"
            raise InputError(f"{steps} in its trail", "none: `appraise open` offers them")
        yield opened.worksheet
    finally:
        opened.worksheet.close()


def make_writable(sheet: CaseSession) -> tuple[bool, Unsaved | None]:
    """Try to make a read-only worksheet writable; where the file was changed meanwhile, it is read anew.

    Returns:
        Whether it is writable now, and what the other session left unsaved.

    Raises:
        Unreadable: The case cannot be used any more.
    """
    journal = sheet.journal
    if journal is None or not journal.read_only:
        return True, None
    if journal.enter() is not None:
        return False, None
    try:
        case, found = read_at_rest(sheet.path, sheet.tables)
    except Unreadable:
        journal.lock.release()
        journal.read_only = "read-only: what another program has written is no case"
        raise
    sheet.reload(case, found)
    unsaved, _ = _with_trail(sheet, journal, found)
    return True, unsaved


def recover(sheet: CaseSession, unsaved: Unsaved) -> None:
    """Go on where the earlier session was cut off; the file had not changed since."""
    if unsaved.left is not None:
        sheet.resume(unsaved.left)


def set_aside(sheet: CaseSession, unsaved: Unsaved) -> None:
    """Leave what was not saved in the trail, where it can be read but is not offered again."""
    if sheet.journal is not None:
        count = len(unsaved.steps)
        what = f"{count} step{'' if count == 1 else 's'} set aside"
        sheet.journal.note("aside", sheet.case.assignment.assessor, what=what)
        _begin(sheet, sheet.journal, sheet.on_disk.digest)


def _with_trail(sheet: CaseSession, journal: Journal, found: str) -> tuple[Unsaved | None, tuple[str, ...]]:
    said: list[str] = []
    if journal.trouble:
        said.append(f"nothing can be written here ({journal.trouble}): work stays in memory; save under another name")
    try:
        records = journal.read()
    except OSError as error:
        journal.trouble = error_text(error)
        said.append(f"the trail cannot be read ({journal.trouble})")
        return None, tuple(said)
    if not records and worked_on(sheet.path, sheet.case):
        journal.lost = True
        said.append(
            "no trail lies beside it, though it was worked on before: it was deleted or emptied; a new one begins"
        )
    if journal.torn:
        said.append("a crash cut off the last line of the trail; that line was never acknowledged and is dropped")
    if journal.broken:
        said.append("the chain of the trail is broken; `appraise check` says where")
    unsaved = left_unsaved(sheet.case, records, found)
    if unsaved is None:
        _begin(sheet, journal, found, steps=open_steps(records))
    return unsaved, tuple(said)


def _begin(sheet: CaseSession, journal: Journal, found: str, *, steps: tuple[Record, ...] = ()) -> None:
    records = journal.file.records
    if anchored(records) == found and not steps:
        return
    before: Case | None = None
    try:
        before = saved_state(records) if records else None
        if before is not None and steps:
            before = replayed(before, steps).case
            if to_document(before) == to_document(sheet.case):
                # The save reached the file and the crash came before its line.
                journal.queue_save(sheet.case, found)
                return
            before = saved_state(records)
    except DecodeError:
        before = None
    journal.begin(sheet.case, found, before)


def left_unsaved(case: Case, records: Sequence[Record], found: str) -> Unsaved | None:
    """Return what an earlier session left unsaved; none where nothing of it would change the case.

    Args:
        case: What the file holds.
        records: The trail; the last ones are enough from the last boundary on, where the file is as they name it.
        found: SHA-256 of the file.
    """
    steps = open_steps(records)
    if not steps:
        return None
    unsaved = _unsaved(case, records, steps, found)
    if unsaved.left is not None:
        now = to_document(unsaved.left.case)
        if now == to_document(case) or (unsaved.base is not None and now == to_document(unsaved.base)):
            # Saved just before the crash, or all of it undone again.
            return None
    return unsaved


def _unsaved(case: Case, records: Sequence[Record], steps: tuple[Record, ...], found: str) -> Unsaved:
    foreign = anchored(records) != found
    base: Case | None = None
    try:
        base = saved_state(records) if foreign else case
        return Unsaved(steps, base, replayed(base, steps), foreign)
    except DecodeError as error:
        return Unsaved(steps, base, None, foreign, sanitize_line(str(error)))


def read_at_rest(path: Path, tables: Tables) -> tuple[Case, str]:
    """Read a case together with the SHA-256 of the very bytes it was read from.

    Raises:
        Unreadable: It cannot be used, or another program goes on writing it.
    """
    before = ""
    for _ in range(5):
        before = digest(path)
        case, problems = read_case(path, tables)
        if case is None:
            raise Unreadable(*problems)
        if digest(path) == before:
            return case, before
    found = "a file that another program writes again and again"
    raise Unreadable(Problem(sanitize_line(str(path)), None, "", found, "a case file at rest"))
