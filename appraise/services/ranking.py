"""Trade-in candidates from files and folders, one at a time: nothing grows with their number."""

from __future__ import annotations

import hashlib
import os
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from appraise import __version__
from appraise.model.problem import Problem
from appraise.model.ranking import Candidate, TradeIn
from appraise.store.characters import one_line
from appraise.store.read import LARGEST, parse_case, read_case
from appraise.tables.content import content_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from appraise.model.case import Case
    from appraise.store.kept import Kept
    from appraise.tables.rows import Tables


@dataclass(frozen=True, slots=True)
class Terms:
    """What every candidate is valued with."""

    tables: Tables
    resale: str = "retail"
    probability: float | None = None
    """That the offer keeps the margin [–]; none: the table's."""
    draws: int | None = None
    seed: int | None = None

    def resolved(self) -> tuple[str, str, float, int, int]:
        """Return tables' version, resale, probability [–], draws and seed, the tables' where none is given."""
        setting = self.tables.setting
        return (
            self.tables.version,
            self.resale,
            setting("offer_probability") if self.probability is None else self.probability,
            int(setting("draws") if self.draws is None else self.draws),
            int(setting("seed") if self.seed is None else self.seed),
        )


@dataclass(frozen=True, slots=True)
class Skipped:
    """A file that could not be ranked, and why."""

    file: str
    problem: Problem
    """The first grave one."""
    more: int = 0
    """How many there are beside it."""


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


def ranked(paths: Iterable[Path], terms: Terms, cache: Kept | None = None) -> Iterator[Candidate | Skipped]:
    """Yield every file's candidate as soon as it is valued, in the order of the paths.

    Args:
        paths: Case files, as from `found`.
        terms: What they are valued with.
        cache: Where results are kept between runs; none: nowhere.
    """
    for path in paths:
        yield one(path, terms, cache)


def one(path: Path, terms: Terms, cache: Kept | None = None) -> Candidate | Skipped:
    """Return one file's candidate, from the cache where its content has been valued on the same terms.

    Args:
        path: The file.
        terms: As for `ranked`.
        cache: As for `ranked`.

    Returns:
        The candidate, or why there is none; nothing is raised for a bad file.
    """
    file = one_line(str(path))
    content = _content(path)
    if content is None:
        return _refused(file, read_case(path, terms.tables)[1])
    digest = hashlib.sha256(content).hexdigest()
    key = address(digest, terms)
    kept = None if cache is None else cache.get(key, file)
    if kept is not None:
        return kept
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        return _refused(file, read_case(path, terms.tables)[1])
    case, problems = parse_case(text, terms.tables, file=file)
    if case is None:
        return _refused(file, problems)
    if case.market.replacement_cost_new is None:
        expected = "what a like instrument costs new"
        mend = "nothing can be offered without a price to start from"
        missing = Problem(file, None, "market.replacement_cost_new", "no such key", expected, mend)
        return Skipped(file, missing)
    candidate = _candidate(file, digest, case, value(case, terms))
    if cache is not None:
        cache.put(key, candidate)
    return candidate


def value(case: Case, terms: Terms) -> TradeIn:
    """Value one case on these terms."""
    from appraise.engine.ranking import trade_in

    return trade_in(
        case,
        terms.tables,
        resale=terms.resale,
        probability=terms.probability,
        draws=terms.draws,
        seed=terms.seed,
    )


def address(digest: str, terms: Terms) -> str:
    """Return the name under which a result is kept: SHA-256 of the content's own and of everything it hangs on."""
    parts = (digest, *terms.resolved(), __version__)
    return hashlib.sha256("\n".join(map(repr, parts)).encode()).hexdigest()


def _content(path: Path) -> bytes | None:
    """Return the file's bytes, or none where `read_case` has to say why there are none."""
    try:
        return content_of(path, LARGEST)
    except (OSError, ValueError):
        return None


def _refused(file: str, problems: list[Problem]) -> Skipped:
    grave = [problem for problem in problems if problem.grave]
    if not grave:  # it changed between two looks
        return Skipped(file, Problem(file, None, "", "a file that is being changed", "one that stays as it is"))
    return Skipped(file, grave[0], len(grave) - 1)


def _candidate(file: str, digest: str, case: Case, trade: TradeIn) -> Candidate:
    identity = case.identity
    return Candidate(
        file=file,
        kind=str(identity.kind),
        maker=identity.maker,
        model=identity.model,
        size_cm=identity.size_cm,
        made="" if identity.made is None else str(identity.made),
        sha256=digest,
        program=__version__,
        trade=trade,
    )
