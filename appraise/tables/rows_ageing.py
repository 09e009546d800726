"""The rows of the tables about service life, age and what they do to condition."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from appraise.tables.rows import Row

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True, kw_only=True)
class Life(Row):
    """Service life of a component."""

    component: str
    variant: str = ""
    """Material this row is for (identity.finish, identity.key_covering); empty: any other."""
    low: float
    """10 % quantile in domestic use [years]."""
    typical: float
    """Median in domestic use [years]."""
    high: float
    """90 % quantile in domestic use [years]."""
    heavy_low: float
    """10 % quantile under school or practice use [years]."""
    heavy_typical: float
    heavy_high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Law(Row):
    """A way from age and life to the consumed share of life."""

    label: str
    how: str
    rate: float | None = None
    """Declining balance: share of the remaining value lost each year [–]."""
    schedule: tuple[float, ...] = ()
    """Schedule: percent good after 1, 2, … years [%]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Climate(Row):
    """Where an instrument stood, as multipliers on service life."""

    label: str
    default: float
    """Multiplier for components not named [–]."""
    factors: Mapping[str, float] = field(default_factory=dict)
    """Component → multiplier [–]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Use(Row):
    """How hard an instrument works."""

    label: str
    weight: float
    """Life = domestic^(1−w) · heavy^w, w this weight [–]; negative for light use."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DatingClue(Row):
    """A look that speaks of the years since a renewal."""

    label: str
    components: tuple[str, ...]
    low: float
    """Fewest years [years]."""
    high: float
    """Most years [years]."""
    reliability: float
    """Weight r of the clue's interval against "says nothing" [–]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionClass(Row):
    """One of Heidecke's nine classes."""

    grade: float
    c_pct: float
    """Heidecke's depreciation for condition alone [%]."""
    label: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Prior(Row):
    """The grade expected of a component nobody has looked at, by the consumed share of its life."""

    consumed: float
    """Consumed share of life [–]."""
    grade: float
