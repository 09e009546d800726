"""A market that differs from the tables, sales drawn from it, and what is learned of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from math import exp, log
from random import Random
from statistics import median
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.comparables import RATIOS
from appraise.engine.valuation import value_case
from appraise.evidence.learn import learn
from appraise.evidence.levels import age_of, instrument, levels, model
from appraise.evidence.overlay import sales_rows
from appraise.evidence.ranges import condition_sd
from appraise.evidence.sale import Sale

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from appraise.tables.rows import Tables

TODAY = date(2026, 6, 30)
SIZES = {"grand": (152.0, 170.0, 178.0, 208.0), "upright": (110.0, 118.0, 122.0, 131.0)}
NEW = {"top": 3.0, "good": 1.0, "ordinary": 0.55}
PRICE = {"grand": 32_000, "upright": 10_000}


@dataclass(frozen=True)
class Truth:
    """How a market differs from the tables, on the logarithmic scale."""

    level: float = -0.25
    """Of grands; uprights differ by half as much."""
    curve: float = -0.20
    """At 40 years of age; in proportion to ln(1 + age), nothing when new."""
    classes: float = 0.15
    """Of top makers; ordinary ones differ the other way."""
    private: float = -0.10
    drift: float = -0.03
    """A year."""
    scatter: float = 0.16
    gross: float = 0.05
    """Share of sales whose price is wrong by a factor of two to ten, either way."""

    def level_of(self, sale: Sale) -> float:
        """Return the level of the market of a sale against the tables [–], scatter left out."""
        years = (sale.date - TODAY).days / 365.25
        found = self.level * (1.0 if sale.kind == "grand" else 0.5) + self.drift * years
        found += self.curve * log(1 + age_of(sale)) / log(41.0)
        found += {"top": self.classes, "ordinary": -self.classes}.get(sale.maker_class, 0.0)
        return found + (self.private if sale.sale == "private_sale" else 0.0)


def instruments(count: int, chance: Random) -> list[Sale]:
    """Return instruments as a shop meets them, their prices not yet known."""
    found = []
    for _ in range(count):
        kind, tier = chance.choice(("grand", "upright")), chance.choices(("top", "good", "ordinary"), (1, 3, 2))[0]
        day = TODAY - timedelta(days=int(1460 * chance.random()))
        age = min(75, int(2 + chance.gammavariate(2.2, 13)))
        found.append(
            Sale(
                date=day,
                kind=kind,
                price=Decimal(1),
                currency="EUR",
                sale=chance.choices(("retail", "private_sale", "auction"), (5, 3, 1))[0],
                made=str(day.year - age),
                maker_class=tier,
                size_cm=chance.choice(SIZES[kind]),
                grade=chance.choice((2.0, 2.5, 3.0, 3.0, 3.5)),
                price_new=Decimal(round(PRICE[kind] * NEW[tier] * chance.uniform(0.85, 1.2))),
            )
        )
    return found


def sold(count: int, truth: Truth, tables: Tables, seed: int, *, today: bool = False) -> list[Sale]:
    """Return sales drawn from a market; those the model has no price for are drawn again."""
    chance = Random(seed)
    found: list[Sale] = []
    while len(found) < count:
        for one in instruments(count - len(found), chance):
            sale = replace(one, date=TODAY, made=str(TODAY.year - round(age_of(one)))) if today else one
            its = model(instrument(sale, tables), tables)
            ratio = exp(truth.level_of(sale) + chance.gauss(0.0, truth.scatter))
            price = float(np.interp(ratio, RATIOS, its.medians))
            if chance.random() < truth.gross:
                price *= chance.uniform(2.0, 10.0) ** chance.choice((-1, 1))
            if price > 100.0:
                found.append(replace(sale, price=Decimal(round(price))))
    return found


def laid_over(tables: Tables, sales: list[Sale]) -> Tables:
    """Return the tables with what the sales teach laid over them, as the overlay's files would."""
    found, _ = levels(sales, tables, {})
    learned = learn(found, tables, lambda base: condition_sd(found, base))
    rows, source = sales_rows(learned)
    changed = {"sources": {**tables.sources, source.key: source}}
    for row in rows:
        changed.setdefault(row.table, dict(getattr(tables, row.table)))[row.key] = replace(row, yours=True)
    return replace(tables, **changed, version=f"{tables.version}+{len(sales)}")


@dataclass(frozen=True)
class Measured:
    """How well tables fit a market."""

    error: float
    """Median of |ln(middle / true middle)|: a few worthless instruments would rule a mean of squares."""
    bias: float
    """Median of ln(price / middle)."""
    within: float
    """Share of prices within the range."""
    width: float
    """Median of ln(high / low)."""
    prices: int


def measured(tables: Tables, base: Tables, tested: list[Sale], truth: Truth) -> Measured:
    """Value instruments sold today, whose prices nobody learned from, and compare."""
    errors, ratios, within, widths = [], [], [], []
    for sale in tested:
        found = value_case(instrument(sale, tables), tables, draws=400).exact
        its = model(instrument(sale, base), base)
        true = float(np.interp(exp(truth.level_of(sale)), RATIOS, its.medians))
        errors.append(abs(log(max(found.mid, 1.0) / max(true, 1.0))))
        ratios.append(log(float(sale.price) / max(found.mid, 1.0)))
        within.append(found.low <= float(sale.price) <= found.high)
        widths.append(log(max(found.high, 1.0) / max(found.low, 1.0)))
    return Measured(median(errors), median(ratios), float(np.mean(within)), median(widths), len(tested))


def proof(counts: Sequence[int], markets: int, prices: int, tables: Tables) -> Iterator[str]:
    """Yield a line for each number of sales: how near the learned rows come, over several markets' worth of sales."""
    truth = Truth()
    yield f"market {truth}"
    drawn = [sold(prices, truth, tables, 5000 + market, today=True) for market in range(markets)]
    yield _line("tables", [measured(tables, tables, tested, truth) for tested in drawn])
    for count in counts:
        found = []
        for market, tested in enumerate(drawn):
            found.append(measured(laid_over(tables, sold(count, truth, tables, market)), tables, tested, truth))
        yield _line(f"{count:,} sales", found)


def _line(name: str, found: list[Measured]) -> str:
    n = sum(one.prices for one in found)
    within = sum(one.within * one.prices for one in found) / n
    each = ", ".join(f"{100 * one.within:.0f}" for one in found)
    return (
        f"{name}: middle off by {100 * float(np.mean([one.error for one in found])):.1f} % (bias "
        f"{100 * float(np.mean([one.bias for one in found])):+.1f} %), {100 * within:.1f} ± "
        f"{100 * (within * (1 - within) / n) ** 0.5:.1f} % of {n} prices within (by market {each}), "
        f"ln(high/low) {float(np.mean([one.width for one in found])):.2f}"
    )
