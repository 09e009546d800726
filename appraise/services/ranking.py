"""Trade-in candidates from files and folders, one at a time: nothing grows with their number."""

from __future__ import annotations

import os
from collections import deque
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.services.process_pool import ProcessPool
from appraise.services.trade_in import Skipped, Terms, Unvalued, keep, looked_up, one, settled

if TYPE_CHECKING:
    from collections.abc import Generator, Iterable, Iterator
    from concurrent.futures import Future

    from appraise.model.ranking import Candidate
    from appraise.store.result_cache import ResultCache

ALONE = 16
"""Cases valued by this process before others are started to help: starting them takes as long as a dozen cases."""

_AHEAD = 8
"""Cases that may be under way for each process."""


def found(places: Iterable[Path]) -> Iterator[Path]:
    """Yield the case files of files and folders, a folder at a time and by name.

    Args:
        places: A file is taken as named. A folder is entered with those below it: every `.toml` file, none that is
            hidden, and no link to another folder, which could lead back.

    Yields:
        Paths, none held longer than its folder; a folder that cannot be listed is yielded itself, for the reader to
        say why.
    """
    for place in places:
        if place.is_dir():
            yield from _inside(place)
        else:
            yield place


def _inside(place: Path) -> Iterator[Path]:
    refused: list[str] = []
    for folder, below, names in os.walk(place, onerror=lambda error: refused.append(str(error.filename))):
        below[:] = sorted(name for name in below if not name.startswith("."))
        yield from (Path(folder, name) for name in sorted(names) if _named_as_case(name))
        while refused:
            yield Path(refused.pop())
    yield from map(Path, refused)


def _named_as_case(name: str) -> bool:
    return name.endswith(".toml") and not name.startswith(".")


def ranked(
    paths: Iterable[Path], terms: Terms, cache: ResultCache | None = None, *, processes: int = 1, alone: int = ALONE
) -> Generator[Candidate | Skipped]:
    """Yield every file's candidate as soon as it is valued, in the order of the paths.

    Args:
        paths: Case files, as from `found`.
        terms: What they are valued with.
        cache: Where results are kept between runs; none: nowhere.
        processes: How many processes value what is not kept, once there is more of it than this one does as fast;
            the answers are the same. Closing the iterator lets them go.
        alone: How many cases this process values before it starts the others.
    """
    if processes < 2:
        for path in paths:
            yield one(path, terms, cache)
        return
    pool = ProcessPool(terms, processes)
    waiting: deque[_UnderWay | Candidate | Skipped] = deque()

    def first() -> Candidate | Skipped:
        item = waiting.popleft()
        if isinstance(item, _UnderWay):
            return keep(item.case, pool.answer(item.case, item.begun), terms, cache)
        return item

    try:
        for path in paths:
            found = looked_up(path, terms, cache)
            if not isinstance(found, Unvalued):
                waiting.append(found)
            elif alone:
                alone -= 1
                waiting.append(keep(found, settled(found, terms), terms, cache))
            else:
                waiting.append(_UnderWay(found, pool.begin(found)))
            while waiting and (len(waiting) > _AHEAD * processes or _ready(waiting[0])):
                yield first()
        while waiting:
            yield first()
    finally:
        pool.dismiss()


@dataclass(frozen=True, slots=True)
class _UnderWay:
    case: Unvalued
    begun: Future[Candidate | Skipped] | None


def _ready(item: _UnderWay | Candidate | Skipped) -> bool:
    return not isinstance(item, _UnderWay) or item.begun is None or item.begun.done()
