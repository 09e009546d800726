"""The rows of the tables about service life, age and what they do to condition."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.tables import columns as read
from appraise.tables.columns import cell
from appraise.tables.rows import Row

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True, kw_only=True)
class Life(Row):
    """Service life of a component."""

    component: str = cell(read.filled, of="components")
    variant: str = cell(read.text, "")
    """Material this row is for (identity.finish, identity.key_covering); empty: any other."""
    low: float = cell(read.LIFE)
    """10 % quantile in domestic use [years]."""
    typical: float = cell(read.LIFE)
    """Median in domestic use [years]."""
    high: float = cell(read.LIFE)
    """90 % quantile in domestic use [years]."""
    heavy_low: float = cell(read.LIFE)
    """10 % quantile under school or practice use [years]."""
    heavy_typical: float = cell(read.LIFE)
    heavy_high: float = cell(read.LIFE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Law(Row):
    """A way from age and life to the consumed share of life."""

    label: str = cell(read.filled)
    how: str = cell(read.filled)
    rate: float | None = cell(read.between(0.0, 1.0), None)
    """Declining balance: share of the remaining value lost each year [–]."""
    schedule: tuple[float, ...] = cell(read.numbers, ())
    """Schedule: percent good after 1, 2, … years [%]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Climate(Row):
    """Rooms of an instrument, as multipliers on service life."""

    label: str = cell(read.filled)
    default: float = cell(read.between(0.05, 20.0))
    """Multiplier for components not named [–]."""
    factors: Mapping[str, float] = cell(read.factors, factory=dict, of="components")
    """Component → multiplier [–]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Use(Row):
    """How hard an instrument works."""

    label: str = cell(read.filled)
    weight: float = cell(read.between(-1.0, 2.0))
    """Life = domestic^(1−w) · heavy^w, w this weight [–]; negative for light use."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DatingClue(Row):
    """A look that speaks of the years since a renewal."""

    label: str = cell(read.filled)
    components: tuple[str, ...] = cell(read.names, of="components")
    low: float = cell(read.between(0.0, 1000.0))
    """Fewest years [years]."""
    high: float = cell(read.between(0.01, 1000.0))
    """Most years [years]."""
    reliability: float = cell(read.share)
    """Weight r of the clue's interval against "says nothing" [–]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionClass(Row):
    """One of Heidecke's nine classes."""

    grade: float = cell(read.grade)
    c_pct: float = cell(read.between(0.0, 100.0))
    """Heidecke's depreciation for condition alone [%]."""
    label: str = cell(read.filled)
    words: str = cell(read.filled)


@dataclass(frozen=True, slots=True, kw_only=True)
class Prior(Row):
    """The grade expected of a component nobody has looked at, by the consumed share of its life."""

    consumed: float = cell(read.between(0.0, 1000.0))
    """Consumed share of life [–]."""
    grade: float = cell(read.grade)
