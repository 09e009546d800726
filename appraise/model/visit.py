"""The checks of a visit of so many minutes, and the verdict on an asking price: plain frozen figures."""

from __future__ import annotations

from appraise.model.lazy_dataclass import dataclass


@dataclass(frozen=True, slots=True)
class VisitCheck:
    """One check of a visit, in the order in which to make them."""

    check: str
    label: str
    station: str
    component: str
    minutes: float
    """It takes [min]."""
    narrows_pct: float
    """By how much the range narrows through it, the checks before it made [%]."""
    cumulative_pct: float
    """By how much it narrows with all checks up to this one [%]."""
    per_minute: float
    """Narrowing a minute [%/min]."""
    knock_out: bool
    """Of the round that comes first: what it finds can end the matter alone."""
    changes_course: bool
    """A likely finding makes another course the best: as is, after work, salvage."""
    changes_purchase: bool
    """A likely finding turns buying at the asking price into leaving it, or the other way round."""


@dataclass(frozen=True, slots=True)
class Decisive:
    """The check whose finding could change the answer to an asking price."""

    check: str
    label: str
    station: str
    component: str
    part: str
    """Label of the component."""
    chance_moves_pct: float
    """Expected change of the chance that the instrument is worth the price [percentage points]."""
    worth: float
    """Average saving from knowing its finding [money]: expected value of the information."""
    work: float | None
    """Mean cost of the cheapest work that a bad finding brings [money]; none where no job is made for it."""
    swing: float
    """Expected value at a good finding less that at a bad one, the best and worst tenth [money]."""


@dataclass(frozen=True, slots=True)
class Asking:
    """Verdict on an asking price."""

    price: float
    """[money]."""
    chance: float
    """That the instrument is worth it or more [–]."""
    most: float
    """The most one should pay at even odds: the median [money]."""
    most_sure: float
    """The most one should pay to be safe in `confidence` of the draws [money]."""
    confidence: float
    """[–]."""
    decisive: Decisive | None
    """Absent where no check left could change the answer."""

    @property
    def buy(self) -> bool:
        """Tell whether it is as likely as not to be worth the price."""
        return self.chance >= 0.5


@dataclass(frozen=True, slots=True)
class Visit:
    """Which checks to make in a visit, and what they promise."""

    minutes: float
    """Asked for [min]."""
    checks: tuple[VisitCheck, ...]
    comparable_pct: float | None
    """Narrowing by one more comparable sale [%], where that is more than any check left brings; else none."""
    asking: Asking | None

    @property
    def takes(self) -> float:
        """Minutes that the checks take together."""
        return sum(check.minutes for check in self.checks)

    @property
    def narrows_pct(self) -> float:
        """Narrowing that they promise together [%]."""
        return self.checks[-1].cumulative_pct if self.checks else 0.0
