"""The statistics beside any instrument that reads note by note, as figures and rows of a table."""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING

from appraise.engine.instruments.sampling import (
    OUT_OF_TOLERANCE,
    Estimate,
    Spread,
    bands,
    describe,
    estimate_mean,
    estimate_share,
    notes_out,
    within,
)
from appraise.model.lazy_dataclass import dataclass
from appraise.model.measurement import Basis, Value
from appraise.model.sentence import Amount, joined, sentence
from appraise.tables.rows import Statistic

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from appraise.engine.instruments.sampling import Band
    from appraise.tables.rows import Check, Tables

_SUFFIX = {"N·m": "n_m", "%": "pct", "°C": "c", "Hz": "hz", "": ""}
INSIDE, OUTSIDE, OPEN = "in tolerance", "out of tolerance", "not settled"
METHOD = (
    Basis(
        "interval of the mean",
        "from memory",
        "Student, “The probable error of a mean”, Biometrika 6",
        "1908; t with n − 1 degrees of freedom",
    ),
    Basis(
        "interval of the share",
        "from memory",
        "E. B. Wilson, “Probable inference, the law of succession, and statistical inference”, JASA 22",
        "1927; score interval",
    ),
    Basis(
        "correction for a compass of so many notes",
        "from memory",
        "W. G. Cochran, Sampling Techniques, 3rd edition, Wiley, 1977",
        "chapters 2 and 3; drawn without replacement",
    ),
)
"""Sources of the intervals."""


def keyed(name: str, unit: str) -> str:
    """Return a stable key with its unit at the end: ("mean", "N·m") → "mean_n_m"."""
    suffix = _SUFFIX.get(unit, unit)
    return f"{name}_{suffix}" if suffix else name


def bounded(value: float) -> float | None:
    """Return a bound, or none where there is no bound."""
    return value if isfinite(value) else None


@dataclass(frozen=True, slots=True)
class Asked:
    """The question that a sample of the compass is to settle."""

    limits: tuple[Band, ...]
    """In tolerance, in the unit of the readings; empty: nothing is to be settled."""
    by_mean: bool
    """The mean is held against the limits; otherwise the share of notes outside."""
    allowed: float
    """Share of notes that may be out [–], where it is the share."""


def asked_of(check: Check, tables: Tables) -> Asked:
    """Return what a check asks: its mean within tolerance, or no more than so many notes out."""
    limits = tuple(bands(check.anchors, OUT_OF_TOLERANCE))
    percent = {
        Statistic.MEAN: 0.0,
        Statistic.WORST: 0.0,
        Statistic.P90: tables.setting("p90_allowed_pct"),
        Statistic.SHARE: tables.setting("share_grade_3_pct"),
    }[check.statistic]
    return Asked(limits, check.statistic is Statistic.MEAN, percent / 100.0)


@dataclass(frozen=True, slots=True)
class Sample:
    """A sample of the compass and what it settles."""

    spread: Spread
    out: int
    mean: Estimate
    share: Estimate
    settled: Estimate
    """The one of the two that was asked for."""
    notes_low: int
    """Fewest notes of the compass that are out of tolerance, with confidence."""
    notes_high: int

    @property
    def verdict(self) -> str:
        """Return in words whether the compass is in tolerance."""
        return {True: INSIDE, False: OUTSIDE, None: OPEN}[self.settled.inside]


def sample_of(values: Sequence[float], asked: Asked, population: int, level: float) -> Sample:
    """Take a sample of a compass of so many notes, with a confidence level [–].

    Raises:
        ValueError: No readings, or more than notes.
    """
    mean = estimate_mean(values, population, level, asked.limits)
    everything: tuple[Band, ...] = ((None, None),)
    share = estimate_share(values, population, level, asked.limits or everything, asked.allowed)
    out = sum(not within(value, asked.limits) for value in values) if asked.limits else 0
    low, high = notes_out(share.low, share.high, population)
    settled = mean if asked.by_mean or not asked.limits else share
    return Sample(describe(values), out, mean, share, settled, low, high)


def more_words(sample: Sample, population: int, what: str = "note") -> str:
    """Say how many more notes would settle it, in words; nothing where it is settled."""
    more = sample.settled.more
    if sample.spread.n == 1 < population:
        return ""
    if sample.settled.inside is not None or not more:
        return ""
    several = what if more == 1 else f"{what}s"
    if more == population - sample.spread.n:
        return f"Only all {population} {what}s would settle it: {more} more."
    return f"About {more} more {several} reading like these would settle it."


def seldom_met(value: float, check: Check) -> bool:
    """Tell whether a reading that can be lies further out than the anchors of its check reckon with."""
    if not check.anchors:
        return False
    (low, low_grade), (high, high_grade) = check.anchors[0], check.anchors[-1]
    return (value < low and low_grade > 2.0) or (value > high and high_grade > 2.0)


def seldom_words(values: Mapping[int, float], check: Check) -> list[str]:
    """Ask about readings that are seldom met; nothing where there are none."""
    far = [note for note, value in values.items() if seldom_met(value, check)]
    if not far:
        return []
    named = (sentence("{value} at {note}", value=Amount(values[note], check.unit), note=note) for note in far[:6])
    more = f" and {len(far) - 6} more" if len(far) > 6 else ""
    what = check.label.lower()
    return [
        sentence("Seldom met, measure again: {what} {named}{more}.", what=what, named=joined(", ", named), more=more)
    ]


def judged_grade(check: Check, values: Sequence[float], population: int, tables: Tables) -> Value:
    """Return the grade that readings give a check, capped as its row says."""
    from appraise.engine.grade import judge

    return round(judge(check, values, population, tables).result.grade, 2)
