"""How past valuations did: how often the price fell within the range, how they lean, and what to do about it."""

from __future__ import annotations

from math import exp, log
from statistics import NormalDist, fmean, median
from typing import TYPE_CHECKING

from appraise.engine.distributions import share_interval
from appraise.engine.draws import Z90
from appraise.model.chart import Band, Scatter, Series, Trend
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from appraise.evidence.sale import Sale

PROMISED = 0.8
"""Share of prices that ranges from the 10th to the 90th percentile promise to hold."""
FEW = 10
"""Sales below which nothing is advised; our assumption."""
LEVEL = 0.95
"""Confidence level of the intervals."""
_WIDE_ENOUGH = 1.05
"""Factor on the width below which nobody is told to widen a range: it would be said as 1.0."""
_FARTHEST = 8.0
_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class Group:
    """The score of some sales."""

    name: str
    n: int
    within: int
    below: int
    above: int
    interval: tuple[float, float]
    """Wilson's, of the share within [–]."""
    ratio: float
    """Median of price over middle [–]."""
    above_middle: int
    ratio_interval: tuple[float, float]
    """Wilson's, of the share of prices above the middle [–]."""
    pinball: float
    """Mean pinball loss of low, middle and high, over the middle [–]: 0 where each price is known."""
    wider: float
    """Factor on the width of ranges, about the moved middle, with which they would have held 80 % [–]."""
    pit: tuple[float, ...]
    """Place of each price in its range's distribution [–], rising; even where ranges are calibrated."""

    @property
    def leans(self) -> bool:
        """True where chance alone would hardly put so many prices on one side of the middle."""
        low, high = self.ratio_interval
        return not low <= 0.5 <= high

    @property
    def misses(self) -> bool:
        """True where chance alone would hardly bring the share within so far from what is promised."""
        low, high = self.interval
        return not low <= PROMISED <= high


def place(sale: Sale) -> float:
    """Return the normal score of a price in the distribution of its range [–].

    Lognormal on each side of the middle, through the 10th and the 90th percentile; a range of no width counts as
    2 per cent wide.
    """
    low, middle, high = (max(float(end or 0), 1e-9) for end in (sale.low, sale.middle, sale.high))
    away = log(float(sale.price) / middle)
    side = log(high / middle) if away > 0.0 else log(middle / low)
    return max(-_FARTHEST, min(_FARTHEST, away / max(side / Z90, 0.01)))


def score(sales: Iterable[Sale]) -> tuple[Group, ...]:
    """Return the score of valued sales, then by kind, class and kind of sale where they differ; empty without any."""
    valued = [sale for sale in sales if sale.valued]
    if not valued:
        return ()
    by: tuple[Callable[[Sale], str], ...] = (lambda s: s.kind, lambda s: s.maker_class, lambda s: s.sale)
    groups = [_group("all", valued)]
    for name_of in by:
        names = sorted({name_of(sale) for sale in valued} - {""})
        if len({name_of(sale) for sale in valued}) > 1:
            groups += [_group(name, [sale for sale in valued if name_of(sale) == name]) for name in names]
    return tuple(groups)


def _group(name: str, sales: Sequence[Sale]) -> Group:
    n = len(sales)
    ends = [tuple(float(end or 0) for end in (sale.low, sale.middle, sale.high)) for sale in sales]
    prices = [float(sale.price) for sale in sales]
    below = sum(price < low for price, (low, _, _) in zip(prices, ends, strict=True))
    above = sum(price > high for price, (_, _, high) in zip(prices, ends, strict=True))
    within = n - below - above
    logs = [log(price / max(middle, 1e-9)) for price, (_, middle, _) in zip(prices, ends, strict=True)]
    over = sum(each > 0.0 for each in logs)
    places = sorted(map(place, sales))
    centre = median(places)  # once: asked for each place, a hundred thousand sales took minutes
    apart = sorted(abs(each - centre) for each in places)
    wider = apart[min(n - 1, int(PROMISED * n))] / Z90
    loss = fmean(
        sum(max(p * (price - end), (p - 1) * (price - end)) for p, end in zip((0.1, 0.5, 0.9), three, strict=True))
        / 3
        / max(three[1], 1e-9)
        for price, three in zip(prices, ends, strict=True)
    )
    pit = tuple(_NORMAL.cdf(each) for each in places)
    return Group(
        name,
        n,
        within,
        below,
        above,
        share_interval(within, n, LEVEL),
        exp(median(logs)),
        over,
        share_interval(over, n, LEVEL),
        loss,
        wider,
        pit,
    )


def advice(group: Group) -> tuple[str, ...]:
    """Return what follows from a score, in words."""
    if group.n < FEW:
        return (f"{group.n} of {FEW} sales that it takes before anything is advised.",)
    said = []
    pct = 100.0 * (group.ratio - 1.0)
    if group.leans:
        side, less = ("low", "more") if group.ratio > 1 else ("high", "less")
        said.append(
            f"Your middle is too {side}: half of the sales brought at least {abs(pct):.0f} % {less} than it. "
            "`appraise sales learn` moves the tables."
        )
    if group.misses and group.leans and group.within < PROMISED * group.n and group.wider < _WIDE_ENOUGH:
        said.append(
            f"{group.within} of {group.n} within, where eight in ten are promised: about the moved middle your ranges "
            "would be wide enough."
        )
    elif group.misses and group.within < PROMISED * group.n:
        said.append(
            f"Your ranges are too narrow: {group.within} of {group.n} within, where eight in ten are promised. About "
            f"{'the moved middle' if group.leans else 'their middle'} they would have to be {group.wider:.1f} times "
            "as wide."
        )
    elif group.misses:
        said.append(
            f"Your ranges are wider than they need be: {group.within} of {group.n} within, where eight in ten are "
            f"promised; {group.wider:.1f} times the width would do."
        )
    if not said:
        low, high = group.interval
        said.append(
            f"As far as {group.n} sales can tell, ranges hold what they promise: {group.within} within, which speaks "
            f"of {100 * low:.0f} to {100 * high:.0f} %."
        )
    return tuple(said)


def calibration(group: Group) -> Scatter:
    """Return the calibration of ranges as a chart: the share of prices that fell below each promised chance.

    The band is where 95 % of points lie at each place if ranges are calibrated, by the normal approximation.
    """
    n = group.n
    points = tuple((100.0 * p, 100.0 * (k + 0.5) / n) for k, p in enumerate(group.pit))
    step = [(p / 20.0, 1.96 * (p / 20.0 * (1 - p / 20.0) / n) ** 0.5) for p in range(21)]
    edges = tuple((100.0 * p, 100.0 * max(0.0, p - half), 100.0 * min(1.0, p + half)) for p, half in step)
    return Scatter(
        "Calibration of past ranges",
        "chance that the range gave a price up to this [%]",
        "sales up to it [%]",
        (Series("Sales", points, f"{n}"),),
        (Band("Calibrated, 95 of 100 points", edges),),
        Trend("As promised", ((0.0, 0.0), (100.0, 100.0))),
    )
