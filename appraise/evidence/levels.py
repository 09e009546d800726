"""The level of the market of each sale, against the tables', at which the model gives its price."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from math import exp, log
from typing import TYPE_CHECKING

from appraise import __version__
from appraise.engine.market import relative_sd
from appraise.engine.sampler import Sampler
from appraise.model.case import Assignment, Case, Grade, Identity, Kind, Market
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import Range
from appraise.model.span import Span, years_between

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from appraise.engine.comparables import Twin
    from appraise.evidence.sale import Sale
    from appraise.tables.rows import Tables
    from appraise.tables.rows_worth import PriceNew


_DAY = date(2020, 7, 1)
"""Stands for every day of sale: what the model makes of an instrument hangs on its age."""
_DRAWS = 256
_STEP = 0.1
"""Prices new are taken at nodes so far apart on the logarithmic scale; the price sold is moved along."""
UNIFORM = "general condition of an instrument sold"
"""Reason of the grades that the parts of a sale are given."""


@dataclass(frozen=True, slots=True)
class Level:
    """One sale that says something of the market."""

    sale: Sale
    age: float
    """Years from making to sale [years]."""
    ratio: float
    """Market level against the tables' [–]."""
    weight: float = 1.0
    """How much it counts [–], less than 1 where its price new is one of the table `prices_new`."""

    @property
    def assumed(self) -> bool:
        """True where the sale states no price new, and one was looked up."""
        return self.weight < 1.0


@dataclass(frozen=True, slots=True)
class Unused:
    """Why sales say nothing, and how many."""

    reason: str
    count: int


def instrument(sale: Sale, tables: Tables, *, new: float | None = None, age: int | None = None) -> Case:
    """Return a sale as a case: what is known of it, every part in its general condition.

    Args:
        sale: With kind, year made and price new.
        tables: Components.
        new: Price new in place of the sale's [money].
        age: Whole years in place of those between its days [years].
    """
    kind = Kind(sale.kind)
    parts = [row.key for row in tables.components.values() if kind in row.kinds and not row.hazard]
    if age is None:
        day, made = sale.date, Span.parse(sale.made) if sale.made else None
    else:
        day, made = _DAY, Span.parse(str(_DAY.year - age))
    grades = () if sale.grade is None else tuple(Grade(sale.grade, component=key, reason=UNIFORM) for key in parts)
    price = sale.price_new if new is None else Decimal(str(round(new, 2)))
    identity = Identity(kind=kind, made=made, tier=sale.maker_class, size_cm=sale.size_cm)
    return Case(
        identity=identity,
        assignment=Assignment(inspected=day, basis=sale.sale, currency=sale.currency),
        grades=grades,
        market=Market(replacement_cost_new=price),
    )


def levels(
    sales: Iterable[Sale], tables: Tables, known: dict[str, float], advance: Callable[[], None] = lambda: None
) -> tuple[list[Level], list[Unused]]:
    """Return what sales say of the market, by the same model that values a case.

    Args:
        sales: Any; those that say nothing are counted with the reason.
        tables: Their levels are 1.
        known: What was worked out before, by name; what is new is added.
        advance: Called after each sale.

    Notes:
        Age is taken to the year, price new to a node 10 % apart with the price sold moved along: the model is nearly
        proportional, and like sales need the model once.
    """
    found: list[Level] = []
    twins: dict[tuple[object, ...], Twin] = {}
    unused: dict[str, int] = {}
    for stated in sales:
        advance()
        sale, weight = _with_price_new(stated, tables)
        why = _lack(sale, tables)
        if not why:
            age = age_of(sale)
            node = exp(round(log(float(sale.price_new or 1)) / _STEP) * _STEP)
            price = float(sale.price) * node / float(sale.price_new or 1)
            what = (sale.kind, sale.maker_class, sale.size_cm, sale.sale, sale.grade, round(age), round(node, 2))
            name = f"{model_name(tables)}/{price:.6g}/{'/'.join(map(str, what))}"
            if name not in known:
                if what not in twins:
                    twins[what] = model(instrument(sale, tables, new=node, age=round(age)), tables)
                its = twins[what]
                level = its.ratio(price)
                known[name] = level if its.within(level) else 0.0
            if known[name] > 0.0:
                found.append(Level(sale, age, known[name], weight))
                continue
            why = "a price that the model gives at no level of the market"
        unused[why] = unused.get(why, 0) + 1
    return found, [Unused(reason, count) for reason, count in sorted(unused.items())]


def _with_price_new(sale: Sale, tables: Tables) -> tuple[Sale, float]:
    """Return a sale with its price new, looked up where it states none, and how much it counts then [–].

    The weight is the share of a sale's own scatter in that scatter and what the row of the table leaves open.
    """
    found = None if sale.price_new is not None else price_new(sale, tables)
    if found is None:
        return sale, 1.0
    own = tables.setting("own_sales_sd") ** 2
    return replace(sale, price_new=found.price), own / (own + found.sd**2)


def model(case: Case, tables: Tables) -> Twin:
    """Value an instrument at every level of its market, as it would be valued today: over its draws of condition."""
    from appraise.engine.comparison import twin

    source = Sampler(int(tables.setting("seed")), _DRAWS)
    return twin(case, tables, source, tables.setting("own_sales_sd"))


def model_name(tables: Tables) -> str:
    """Return the name of the model that levels hang on: release of the program and version of the tables."""
    return f"{__version__}-{tables.version}"


def age_of(sale: Sale) -> float:
    """Return the years from the middle of its making to the sale [years], ≥ 0."""
    made = Span.parse(sale.made)
    return max(0.0, (years_between(made.earliest, sale.date) + years_between(made.latest, sale.date)) / 2)


def _lack(sale: Sale, tables: Tables) -> str:
    if sale.price_new is None:
        return "no price new, and no row of the table prices_new for its class, size and currency"
    if not sale.made:
        return "no year made"
    basis = tables.bases.get(sale.sale)
    if basis is None or basis.method not in ("market", "residual"):
        return "a kind of sale that the tables do not know"
    if sale.maker_class and not any(
        row.factor == "tier" and row.key == sale.maker_class for row in tables.market_factors.values()
    ):
        return "a class of maker that the tables do not know"
    return ""


@dataclass(frozen=True, slots=True)
class LookedUp:
    """A price new from the table."""

    price: Decimal
    """In the currency of the sale, brought to its year [money]."""
    sd: float
    """How unsure it is [–], on the logarithmic scale."""
    row: PriceNew


def price_new(sale: Sale, tables: Tables) -> LookedUp | None:
    """Return what the like instrument cost new in the year of a sale; none without class or size, or without a row."""
    if not sale.maker_class or sale.size_cm is None:
        return None
    for row in tables.prices_new.values():
        inside = (row.above_cm or 0.0) <= sale.size_cm < (row.below_cm or float("inf"))
        if inside and row.tier == sale.maker_class and row.currency == sale.currency and sale.kind in row.kinds:
            years = sale.date.year - row.year
            moved = row.typical * (1.0 + tables.setting("prices_new_yearly_pct") / 100.0) ** years
            return LookedUp(Decimal(str(round(moved, 2))), relative_sd(Range(row.low, row.typical, row.high)), row)
    return None
