"""The case files of a folder, and what waits beside each: done in an earlier session, neither saved nor given up."""

from __future__ import annotations

import re
from contextlib import suppress
from datetime import datetime
from typing import TYPE_CHECKING

from appraise.model.case import STATIONS
from appraise.model.lazy_dataclass import dataclass
from appraise.services.file_state import digest
from appraise.services.hand_over import missing
from appraise.services.history import BOUNDARIES, anchor, anchored, open_steps
from appraise.services.walk import progress
from appraise.store.files import digest_of
from appraise.store.lock import Lock, me
from appraise.store.read import LARGEST, read_case_file
from appraise.store.trail_file import read_tail, read_trail
from appraise.tables.content import content_of, open_file

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.model.problem import Problem
    from appraise.store.trail import Record
    from appraise.tables.rows import Tables


_HEAD = 64 * 1024
_CASE = re.compile(rb"^[ \t]*(?:schema[ \t]*=|\[(?:identity|assignment)\])", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class CaseEntry:
    """One case file as the list of cases has it."""

    path: Path
    case: Case | None
    """Absent where the file cannot be used; the problems say why."""
    problems: tuple[Problem, ...]
    modified: datetime
    """Last change, in local time."""
    stations_done: int
    """Stations of the eight at which no check is left."""
    missing: int = 0
    """Things that are missing before it is handed over."""
    waiting: int = 0
    """Steps of an earlier session that were not saved: opening the case offers them."""

    @property
    def stations_total(self) -> int:
        """Stations of the walk."""
        return len(STATIONS)


@dataclass(frozen=True, slots=True)
class _Read:
    """The case or the problems that one file's content gave."""

    digest: str
    tables: Tables
    case: Case | None
    problems: tuple[Problem, ...]
    stations_done: int


_READ: dict[Path, _Read] = {}
"""By path, while the program runs: the list is made anew whenever somebody comes back to it."""
_MOST = 5000


def scan(folder: Path, tables: Tables) -> list[CaseEntry]:
    """Read every case file of a folder.

    Args:
        folder: The folder; those below it are not entered.
        tables: What the cases are checked against.

    Returns:
        An entry for every `.toml` file that is a case, or looks like one that went wrong, by name.
        Other files are passed over.

    Raises:
        OSError: The folder cannot be listed.
    """
    entries = (read_entry(path, tables) for path in case_files(folder))
    return [entry for entry in entries if entry is not None]


def case_files(folder: Path) -> list[Path]:
    """Return the `.toml` files of a folder that are cases, or look like ones that went wrong, by name.

    Args:
        folder: The folder; those below it are not entered.

    Raises:
        OSError: The folder cannot be listed.
    """
    every = sorted(folder.iterdir(), key=lambda item: (item.name.casefold(), item.name))
    named = (path for path in every if path.suffix == ".toml" and not path.name.startswith("."))
    return [path for path in named if looks_like_case(path)]


def read_entry(path: Path, tables: Tables) -> CaseEntry | None:
    """Read one case file as the list of cases has it; none where the file has gone.

    Args:
        path: The file.
        tables: What the case is checked against.
    """
    try:
        changed = path.stat().st_mtime
    except FileNotFoundError:
        return None
    case, problems, done = _read(path, tables)
    modified = datetime.fromtimestamp(changed).astimezone()
    waiting = 0 if case is None else waiting_steps(path, case)
    lacks = 0 if case is None else len(missing(case, tables, path.parent))
    return CaseEntry(path, case, problems, modified, done, lacks, waiting)


def _read(path: Path, tables: Tables) -> tuple[Case | None, tuple[Problem, ...], int]:
    """Return the case of a file, its problems, and how many stations are done: once for each content."""
    known = _READ.get(path)
    if known is not None and known.tables is tables:
        with suppress(OSError, ValueError):
            if digest_of(content_of(path, LARGEST)) == known.digest:
                return known.case, known.problems, known.stations_done
    case, problems, content = read_case_file(path, tables)
    done = 0 if case is None else sum(station.finished for station in progress(case, tables).values())
    if len(_READ) >= _MOST:
        _READ.clear()
    _READ[path] = _Read(digest_of(content), tables, case, tuple(problems), done)
    return case, tuple(problems), done


def looks_like_case(path: Path) -> bool:
    """Say whether a file has what only a case file has near its head; False where it cannot be read."""
    try:
        with open_file(path) as stream:
            return _CASE.search(stream.read(_HEAD)) is not None
    except OSError:
        return False


def waiting_steps(path: Path, case: Case) -> int:
    """Count the steps that opening a case would offer to take up.

    Of a trail that ends in a save a few lines are read, of one with open steps those and what they start from; all of
    it only where the file is not as the trail left it.

    Args:
        path: The case file.
        case: What it holds.

    Returns:
        How many; 0 also where somebody has the case open, and where the trail cannot be read.
    """
    try:
        records: Sequence[Record] = read_tail(path, _enough)
        steps = open_steps(records)
        if not steps:
            return 0
        from appraise.services.opening import left_unsaved

        if Lock(path, me()).held_by() is not None:
            return 0
        found = digest(path)
        if anchored(records) != found:
            trail = read_trail(path)
            records = () if trail is None else trail.records
        return 0 if left_unsaved(case, records, found) is None else len(steps)
    except (OSError, ValueError):
        return 0


def _enough(records: Sequence[Record]) -> bool:
    """Say whether these last records tell what is open and from what it starts."""
    bounded = any(record.act in BOUNDARIES for record in records)
    return bounded and (not open_steps(records) or anchor(records) is not None)
