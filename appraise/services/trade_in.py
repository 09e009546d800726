"""One candidate: a case file read, valued as a trade-in, and its result kept."""

from __future__ import annotations

import hashlib
import os
from dataclasses import replace
from typing import TYPE_CHECKING

from appraise import __version__
from appraise.engine.identity_cache import forget, valued_once
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import Problem
from appraise.model.ranking import Candidate, TradeIn
from appraise.model.unsafe import error_text, sanitize_line
from appraise.store.files import digest_of
from appraise.store.read import LARGEST, parse_case, read_case
from appraise.tables.content import content_of

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.store.result_cache import ResultCache
    from appraise.tables.rows import Tables


@dataclass(frozen=True, slots=True)
class Terms:
    """Terms that every candidate is valued with."""

    tables: Tables
    resale: str = "retail"
    probability: float | None = None
    """That the offer keeps the margin [–]; none: the table's."""
    draws: int | None = None
    seed: int | None = None
    margin_pct: float | None = None
    """Margin on resale [%], in place of each case's own; none: each its own."""

    def resolved(self) -> tuple[str, str, float, int, int, float | None]:
        """Return tables' version, resale, probability [–], draws, seed and margin [%], the tables' where none is given.

        The margin stays none where each case has its own.
        """
        setting = self.tables.setting
        return (
            self.tables.version,
            self.resale,
            setting("offer_probability") if self.probability is None else self.probability,
            int(setting("draws") if self.draws is None else self.draws),
            int(setting("seed") if self.seed is None else self.seed),
            self.margin_pct,
        )


@dataclass(frozen=True, slots=True)
class Unvalued:
    """A file that has been read and not yet valued."""

    file: str
    digest: str
    """SHA-256 of its content."""
    text: str


@dataclass(frozen=True, slots=True)
class Skipped:
    """A file that could not be ranked, and why."""

    file: str
    problem: Problem
    """The first grave one."""
    more: int = 0
    """How many there are beside it."""


def sale_kinds(tables: Tables) -> list[str]:
    """Return the rows of `bases` at which an instrument may be resold: markets on which the buyer weighs work."""
    return [key for key, row in tables.bases.items() if row.method == "market" and row.work_weighed]


def one(path: Path, terms: Terms, cache: ResultCache | None = None) -> Candidate | Skipped:
    """Return one file's candidate, from the cache where its content has been valued on the same terms.

    Args:
        path: The file.
        terms: As for `ranked`.
        cache: As for `ranked`.

    Returns:
        The candidate, or why there is none; nothing is raised for a bad file.
    """
    found = looked_up(path, terms, cache)
    return keep(found, settled(found, terms), terms, cache) if isinstance(found, Unvalued) else found


def looked_up(path: Path, terms: Terms, cache: ResultCache | None = None) -> Candidate | Skipped | Unvalued:
    """Return what is kept of a file, why it cannot be used, or what is to be valued."""
    file = sanitize_line(str(path))
    content = _content(path)
    if content is None:
        unlisted = _unlisted(file, path)
        if unlisted is not None:
            return unlisted
        return _refused(file, read_case(path, terms.tables)[1])
    digest = digest_of(content)
    kept = None if cache is None else cache.get(address(digest, terms), file)
    if kept is not None:
        return kept
    try:
        return Unvalued(file, digest, content.decode("utf-8"))
    except UnicodeDecodeError:
        return _refused(file, read_case(path, terms.tables)[1])


def settled(found: Unvalued, terms: Terms) -> Candidate | Skipped:
    """Return the candidate of a file that has been read, or why there is none: a pure function of both."""
    file = found.file
    case, problems = parse_case(found.text, terms.tables, file=file)
    if case is None:
        return _refused(file, problems)
    if case.market.cost_new is None:
        expected = "the cost of a comparable instrument, new"
        one_end = {case.market.replacement_cost_low, case.market.replacement_cost_high} != {None}
        what = "one of its ends alone" if one_end else "no such key"
        mend = "nothing can be offered without a price to start from"
        missing = Problem(file, None, "market.replacement_cost_new", what, expected, mend)
        return Skipped(file, missing)
    return Candidate.of(case, file, found.digest, value(case, terms))


def keep(found: Unvalued, item: Candidate | Skipped, terms: Terms, cache: ResultCache | None) -> Candidate | Skipped:
    """Put a result into the cache, where there is one, and return it."""
    if cache is not None and isinstance(item, Candidate):
        cache.put(address(found.digest, terms), item)
    return item


def value(case: Case, terms: Terms) -> TradeIn:
    """Value one case on these terms."""
    from appraise.engine.ranking import trade_in

    forget()  # the next case has arrays of its own
    if terms.margin_pct is not None:
        case = replace(case, costs=replace(case.costs, margin_pct=terms.margin_pct))
    with valued_once():
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


def _unlisted(file: str, path: Path) -> Skipped | None:
    """Say why a folder yielded by `found` could not be walked, or nothing of any other place."""
    try:
        if path.is_dir():
            os.scandir(path).close()
    except (OSError, ValueError) as error:
        return Skipped(
            file, Problem(file, None, "", f"a folder that cannot be listed ({error_text(error)})", "one that can be")
        )
    return None


def _refused(file: str, problems: list[Problem]) -> Skipped:
    grave = [problem for problem in problems if problem.grave]
    if not grave:  # it changed between two looks
        return Skipped(file, Problem(file, None, "", "a file that is being changed", "one that stays as it is"))
    return Skipped(file, grave[0], len(grave) - 1)
