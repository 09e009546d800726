"""Sales of the book that are like the instrument of a case: how far each lies from it, and why others do not count."""

from __future__ import annotations

from bisect import bisect_right
from decimal import Decimal
from functools import cached_property
from math import exp, hypot, log
from statistics import fmean, pstdev
from typing import TYPE_CHECKING

from appraise.engine.market import relative_sd, size_factor
from appraise.evidence.levels import Unused, age_of, instrument, model
from appraise.evidence.sale import Sale
from appraise.model.lazy_dataclass import dataclass
from appraise.model.message import message
from appraise.model.plausible import LEAST_PRICE
from appraise.model.result import Range
from appraise.model.span import Span, years_between

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from appraise.model.case import Case
    from appraise.model.result import Outlying
    from appraise.tables.rows import Tables

_AGES = (0, 5, 15, 30, 60, 100)
"""Ages at which the model is asked [years]; it is interpolated between."""
_GRADES = (1.0, 2.0, 3.0, 4.0, 5.0)


@dataclass(frozen=True, slots=True)
class Like:
    """One sale, and how far it lies from the subject."""

    sale: Sale
    steps: tuple[tuple[str, float], ...]
    """Feature, and by how much a price would be adjusted for it or could be wrong [–], ≥ 0."""
    outlying: Outlying | None = None
    """How its price contradicts the other like sales or the tables; none where it does not or was not asked."""

    @property
    def distance(self) -> float:
        """Gross adjustment to be expected, as a share of the price [–]: the sum of the steps."""
        return sum(step for _, step in self.steps)


@dataclass(frozen=True, slots=True)
class Subject:
    """What the likeness of a sale is measured against."""

    case: Case
    grade: float
    """General condition."""


@dataclass(frozen=True, slots=True)
class Likes:
    """What the book has beside a case."""

    book: str
    """Name of its file."""
    found: tuple[Like, ...] = ()
    """The nearest first, those that are comparables of the case already left out."""
    proposed: int = 0
    """So many of the nearest are proposed."""
    there: int = 0
    """Sales of the book that are comparables of the case already."""
    unused: tuple[Unused, ...] = ()


def like(
    subject: Subject, sales: Iterable[Sale], tables: Tables, own: Callable[[Sale], bool] = lambda _: False
) -> tuple[list[Like], list[Unused]]:
    """Return the sales that can stand beside a case, the nearest first, whatever the order of the book.

    Args:
        subject: The case with its general condition; it says when the instrument was made.
        sales: The book.
        tables: What size, kind of sale, age and condition make of a price.
        own: Tells whether a sale is that of the subject itself.

    Returns:
        Those that can be compared, and how many others there are by the reason why they count for nothing.

    Notes:
        The distance is what the grid would adjust, feature by feature and without signs, each step by itself from the
        subject: size by the prices new where both are known; age and condition by the model that values a case. To
        time is added what a market may drift in so many years, to an unknown class or size what its rows scatter by.
    """
    rulers = _Rulers(subject, tables)
    found: list[Like] = []
    unused: dict[str, int] = {}
    for sale in sales:
        why = "the sale of this instrument itself" if own(sale) else lack(sale, subject.case, tables)
        if why:
            unused[why] = unused.get(why, 0) + 1
        else:
            found.append(Like(sale, rulers.steps(sale)))
    found.sort(key=lambda one: (one.distance, -one.sale.date.toordinal(), one.sale.price, _content(one.sale)))
    return found, [Unused(reason, count) for reason, count in sorted(unused.items())]


def _content(sale: Sale) -> tuple[str, ...]:
    return (sale.kind, sale.made, sale.maker, sale.sale, sale.note, sale.file_sha256, str(sale.line))


def lack(sale: Sale, case: Case, tables: Tables) -> str:
    """Return why a sale counts for nothing beside a case; empty where it can be compared."""
    it, asked = case.identity, case.assignment
    if sale.price < LEAST_PRICE:
        return "no price"
    if sale.kind != it.kind:
        return "another kind of instrument" if sale.kind else "no kind"
    if sale.currency != asked.currency:
        return f"another currency than {asked.currency}"
    if sale.date > asked.inspected:
        return "sold after the inspection"
    if not sale.made:
        return "no year made"
    if Span.parse(sale.made).earliest > sale.date:
        return "sold before it was made"
    if sale.grade is None or not 1.0 <= sale.grade <= 5.0:
        return "no condition"
    basis = tables.bases.get(sale.sale)
    if basis is None or basis.method not in ("market", "residual"):
        return "a kind of sale that the tables do not know"
    if it.tier and sale.maker_class and it.tier != sale.maker_class:
        return "another class of maker, for which the grid adjusts nothing"
    return ""


class _Rulers:
    """Measures steps from one subject: what hangs on it alone is worked out once."""

    def __init__(self, subject: Subject, tables: Tables) -> None:
        case = subject.case
        made = case.identity.made
        if made is None:
            raise ValueError("the subject needs a year made")
        self._case, self._grade, self._tables = case, subject.grade, tables
        day = case.assignment.inspected
        self._age = max(0.0, (years_between(made.earliest, day) + years_between(made.latest, day)) / 2)
        basis = tables.bases[case.assignment.basis]
        retail = next(row.key for row in tables.bases.values() if row.method == "market" and not row.buyer_carries)
        # Whoever buys to sell, or goes by cost, looks at the market on which it is sold.
        self._sold_as = basis.key if basis.method == "market" else retail
        self._classes = self._spread("tier")
        self._sizes = self._spread("size")

    def _spread(self, factor: str) -> float:
        """Return how unsure a price is where the row of a factor is not known [–], on the logarithmic scale."""
        kind = self._case.identity.kind
        rows = [row for row in self._tables.market_factors.values() if row.factor == factor and kind in row.kinds]
        within = [relative_sd(Range(row.low, row.typical, row.high)) for row in rows]
        return hypot(pstdev(log(row.typical) for row in rows), fmean(within)) if rows else 0.0

    def _worth(self, age: float, grade: float) -> float:
        """Return what the model gives the subject at another age [years] and condition, on the logarithmic scale."""
        case, tables = self._case, self._tables
        new = case.market.cost_new or 10_000.0
        alike = Sale(
            date=case.assignment.inspected,
            kind=str(case.identity.kind),
            price=Decimal(1),
            currency=case.assignment.currency,
            sale=self._sold_as,
            maker_class=case.identity.tier,
            size_cm=case.identity.size_cm,
            grade=grade,
        )
        worth = model(instrument(alike, tables, new=new, age=round(age)), tables).worth(1.0)
        return log(max(worth, tables.setting("comparable_least_share") * new))

    @cached_property
    def _by_age(self) -> list[float]:
        return [self._worth(age, self._grade) for age in _AGES]

    @cached_property
    def _by_grade(self) -> list[float]:
        return [self._worth(self._age, grade) for grade in _GRADES]

    def steps(self, sale: Sale) -> tuple[tuple[str, float], ...]:
        """Return the steps from a sale to the subject [–]."""
        case, tables = self._case, self._tables
        years = years_between(sale.date, case.assignment.inspected)
        time = abs((1.0 + case.market.yearly_price_change_pct / 100.0) ** years - 1.0)
        time += tables.setting("own_sales_drift_sd") * years
        channel = _apart(tables.bases[self._sold_as].typical, tables.bases[sale.sale].typical)
        if self._sold_as != sale.sale:
            its = tables.bases[sale.sale]
            channel += relative_sd(Range(its.low, its.typical, its.high))
        age = _between(_AGES, self._by_age, self._age, age_of(sale))
        condition = _between(_GRADES, self._by_grade, self._grade, sale.grade or self._grade)
        unknown = self._classes if bool(case.identity.tier) != bool(sale.maker_class) else 0.0
        return (
            (message("time"), time),
            (message("kind of sale"), channel),
            (message("size"), self._size(sale)),
            (message("age"), age),
            (message("condition"), condition),
            (message("class unknown"), unknown),
        )

    def _size(self, sale: Sale) -> float:
        case, new = self._case, self._case.market.cost_new
        if sale.price_new and new:
            return _apart(new, float(sale.price_new))
        if sale.size_cm is None or case.identity.size_cm is None:
            return 0.0 if sale.size_cm is case.identity.size_cm else self._sizes
        return _apart(*(size_factor(each, case, self._tables) for each in (case.identity.size_cm, sale.size_cm)))


def _apart(one: float, other: float) -> float:
    """Return how far two positive figures are apart, as a share of the lesser [–]."""
    return exp(abs(log(one / other))) - 1.0 if one > 0.0 and other > 0.0 else 1.0


def _between(at: Sequence[float], logs: Sequence[float], one: float, other: float) -> float:
    return exp(abs(_on(at, logs, one) - _on(at, logs, other))) - 1.0


def _on(at: Sequence[float], heights: Sequence[float], x: float) -> float:
    """Return the height of a line through points at a place, held level beyond its ends."""
    right = min(max(1, bisect_right(at, x)), len(at) - 1)
    share = min(1.0, max(0.0, (x - at[right - 1]) / (at[right] - at[right - 1])))
    return heights[right - 1] + share * (heights[right] - heights[right - 1])
