"""Years since a renewal from its clues: the answer, and the figures behind its plot."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from appraise.commands import told
from appraise.engine.clues import STEP_YEARS, disagreeing, weigh
from appraise.model.lazy_dataclass import dataclass
from appraise.model.measurement import Basis, Figure, Grid, Measurement, Plot
from appraise.model.problem import InputError, quoted
from appraise.model.sentence import bounds, joined, sentence
from appraise.model.span import Span, years_between
from appraise.services.instruments.inputs import Field, Given, Tool

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from numpy.typing import NDArray

    from appraise.model.case import Case, Renewal
    from appraise.tables.rows import Tables

_COMBINED = "product of r·uniform + (1 − r)·flat, normalised; documented dates win"
LEVEL = 0.8
"""Of the interval reported [–], as everywhere else."""


def _answer(given: Given) -> Measurement:
    made, documented = _span(given, "made"), _span(given, "documented")
    found = date_clues(given["clues"], given.tables, inspected=given["date"], made=made, documented=documented)
    return found.measurement


def _span(given: Given, key: str) -> Span | None:
    text = given[key]
    try:
        return None if text is None else Span.parse(text)
    except ValueError:
        raise InputError(quoted(text), "1931, 1931-05 or 1925/1931", subject=f"--{key}") from None


def _of_case(case: Case, given: Given) -> Measurement:
    clued = [n for n, renewal in enumerate(case.renewals, 1) if renewal.clues]
    asked = (given["renewal"] or "").strip()
    if not asked and not clued:
        raise InputError(
            told("No renewal has clues yet: {particulars}, a renewal, its clues: windings, wire, felt, cloth.")
        )
    if asked and not (asked.isdecimal() and 1 <= int(asked) <= len(case.renewals)):
        raise InputError(asked, f"the number of a renewal, 1 to {len(case.renewals)}")
    return date_renewal(case, case.renewals[(int(asked) if asked else clued[0]) - 1], given.tables).measurement


TOOL = Tool(
    "dating",
    "Dating",
    "Clues are rows of the table dating_clues; `appraise sources dating_clues` lists them. A documented date wins.",
    (
        Field("clues", "a clue: copper_dull, wire_grey …", "CLUE", kind="any"),
        Field("--made", "when the instrument was made: 1931, 1931-05 or 1925/1931", "WHEN"),
        Field("--documented", "the date of the renewal on paper", "WHEN"),
        Field("--date", "the day it is seen; none: today", "DAY", kind="day"),
        Field("renewal").form("renewal", "its number in the list of the particulars; empty: the first with clues"),
    ),
    _answer,
    _of_case,
)


@dataclass(frozen=True, slots=True)
class ClueSpan:
    """One clue's interval: fewest and most years ago [years], and its weight against "it says nothing" [–]."""

    key: str
    label: str
    low: float
    high: float
    reliability: float
    disagrees: bool
    """It lies wholly outside the interval of all together."""


@dataclass(frozen=True, eq=False)
class DatingPlot:
    """The figures behind a plot of the clues and of their density."""

    clues: tuple[ClueSpan, ...]
    years: NDArray[np.float64]
    """Middles of the cells, years ago rising [years], shape (n,)."""
    density: NDArray[np.float64]
    """Probability a year in each cell [1/year], shape (n,); its integral over the cells is 1."""
    widths: NDArray[np.float64]
    """Widths of the cells [years], shape (n,)."""
    median: float
    """[years ago], as the bounds of the 80 % interval."""
    low: float
    high: float
    documented: bool
    """A documented date stands in place of the clues; the clues are shown for comparison."""


@dataclass(frozen=True, eq=False)
class Dated:
    """An answer with its plot."""

    measurement: Measurement
    plot: DatingPlot


def date_clues(
    clues: Sequence[str], tables: Tables, *, inspected: date, made: Span | None = None, documented: Span | None = None
) -> Dated:
    """Date a renewal.

    Args:
        clues: Keys of `dating_clues`, in any order; none leaves every year equally likely.
        tables: The clues, and the span over which a misleading one says nothing.
        inspected: The day that "ago" is counted from.
        made: When the instrument was made: nothing was renewed before.
        documented: A date on paper; it wins over every clue.

    Raises:
        InputError: An unknown clue or one twice, or dates that contradict each other.
    """
    for key in clues:
        if key not in tables.dating_clues:
            raise InputError(quoted(key), "a dating clue: `appraise sources dating_clues` lists them")
    if len(set(clues)) < len(clues):
        raise InputError("a dating clue is named twice")
    if documented is not None and documented.earliest > inspected:
        raise InputError(f"a date after the inspection of {inspected.isoformat()}: {documented}")
    if made is not None and made.earliest > inspected:
        raise InputError(f"made after the inspection of {inspected.isoformat()}: {made}")
    if documented is not None and made is not None and documented.latest < made.earliest:
        raise InputError(f"renewed before the instrument was made ({made}): {documented}")
    longest = tables.setting("unknown_age_high") if made is None else years_between(made.earliest, inspected)
    longest = max(longest, STEP_YEARS)
    rows = [tables.dating_clues[key] for key in sorted(clues)]
    found = weigh(rows, longest, tables.setting("clue_span_years"))
    edges = np.concatenate(([0.0], found.years))
    density = np.diff(np.concatenate(([0.0], found.cumulative))) / np.diff(edges)
    low, high = found.interval(LEVEL)
    median = found.median
    if documented is not None:
        near = max(0.0, years_between(documented.latest, inspected))
        low, high = near, max(near, years_between(documented.earliest, inspected))
        median = 0.5 * (low + high)
        edges, density = _documented(low, high)
    against = {row.key for row in rows if row.high < low or row.low > high}
    if documented is None:
        # Of two clues that do not meet, the one outside is meant; where neither is, both.
        against |= {key for pair in disagreeing(rows) if not against & {*pair} for key in pair}
    spans = tuple(ClueSpan(row.key, row.label, row.low, row.high, row.reliability, row.key in against) for row in rows)
    widths = np.diff(edges)
    plot = DatingPlot(spans, edges[:-1] + 0.5 * widths, density, widths, median, low, high, documented is not None)
    return Dated(_measurement(plot, inspected, longest), plot)


def date_renewal(case: Case, renewal: Renewal, tables: Tables) -> Dated:
    """Date one renewal of a case; arguments and errors as for `date_clues`."""
    return date_clues(
        renewal.clues, tables, inspected=case.assignment.inspected, made=case.identity.made, documented=renewal.date
    )


def _documented(low: float, high: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return one cell over the documented date, no narrower than a cell of the clues."""
    if high - low < STEP_YEARS:
        low, high = max(0.0, low - 0.5 * STEP_YEARS), max(0.0, low - 0.5 * STEP_YEARS) + STEP_YEARS
    return np.array([low, high]), np.array([1.0 / (high - low)])


def _measurement(plot: DatingPlot, inspected: date, longest: float) -> Measurement:
    against = [clue for clue in plot.clues if clue.disagrees]
    says = []
    if plot.documented:
        says.append("A documented date wins: the clues are shown for comparison and change nothing.")
    elif not plot.clues:
        says.append("Without a clue every year since the making is equally likely.")
    says.extend(
        sentence(
            "{clue}: speaks of {span} and disagrees with the rest; inspect again, or ask whether that part was done at "
            "another time.",
            clue=clue.label,
            span=bounds(clue.low, clue.high, "years"),
        )
        for clue in against
    )
    year = inspected.year + (inspected.timetuple().tm_yday - 0.5) / 365.25
    rows = ((clue.key, clue.label, clue.low, clue.high, clue.reliability, clue.disagrees) for clue in plot.clues)
    columns = "clue Key | label Clue | low_years From [years] | high_years To [years] | reliability Weight"
    return Measurement(
        instrument="dating",
        title="Years since a renewal",
        inputs=(
            Figure("inspected", "Seen on", joined("", (inspected,))),
            Figure("longest_years", "Oldest it can be", longest, "years"),
            Figure("clues", "Clues", len(plot.clues)),
            Figure("documented", "Documented", plot.documented),
        ),
        outputs=(
            Figure("median_years", "Median", plot.median, "years"),
            Figure("low_years", "80 % interval, from", plot.low, "years"),
            Figure("high_years", "80 % interval, to", plot.high, "years"),
            Figure("median_year", "Median, as a year", str(int(year - plot.median))),
            Figure("disagreeing", "Clues that disagree", len(against)),
        ),
        grids=(Grid.of("clues", "Clues", f"{columns} | disagrees Disagrees", rows),) if plot.clues else (),
        says=tuple(says),
        rests_on=(
            Basis("intervals of the clues", "from memory", "", "dating_clues"),
            Basis("how they combine", "our assumption", "", _COMBINED),
        ),
        plots=(
            Plot(
                "density",
                "How likely each time is, and what each clue speaks of",
                "years ago",
                points=tuple(zip(plot.years.tolist(), plot.density.tolist(), strict=True)),
                line=True,
                spans=tuple((clue.label, clue.low, min(clue.high, longest)) for clue in plot.clues),
            ),
        ),
    )
