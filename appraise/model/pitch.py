"""The judgement of a pitch log: drift, the part of the season, and each reading beside them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from appraise.model.case import PitchReading


@dataclass(frozen=True, slots=True)
class Slope:
    """A slope with its confidence interval, in units of y over units of x."""

    value: float
    low: float
    high: float

    def excludes_zero(self) -> bool:
        """True when the interval lies on one side of zero."""
        return self.low > 0.0 or self.high < 0.0


@dataclass(frozen=True, slots=True)
class Season:
    """The part of a log that humidity explains."""

    slope: Slope | None
    """[cents per % of relative humidity]; none where it cannot be told."""
    explained: float
    """Share of the scatter about the drift that humidity explains [–]."""
    readings: int
    """Readings with humidity, of notes read twice or more."""
    why_not: str = ""
    """few | narrow | with time | no effect; empty where the season is taken out."""


@dataclass(frozen=True, slots=True)
class LogReading:
    """One reading of the log, and how it stands to the rest."""

    reading: PitchReading
    expected: float | None
    """[cents]; none for a note read once, or without humidity where the season counts."""
    outside: bool


@dataclass(frozen=True, slots=True)
class PitchLog:
    """The judgement of a log."""

    verdict: str
    """steady | seasonal | drifting_flat | drifting_sharp | not_enough."""
    readings: int
    used: int
    """Of notes read twice or more."""
    years: float
    """From the first to the last of those [years]."""
    drift: Slope | None
    """[cents a year]."""
    season: Season
    scatter: float
    """Robust standard deviation about drift and season [cents]."""
    lines: tuple[LogReading, ...]
    """By day."""
    last: float
    """Median of the readings of the last day [cents]."""
