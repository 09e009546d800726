"""What one more comparable sale would tell."""

from __future__ import annotations

from math import hypot, sqrt
from typing import TYPE_CHECKING

from appraise.engine.information import narrowing
from appraise.engine.market import relative_sd
from appraise.engine.setup import inverse_variance_weights

if TYPE_CHECKING:
    from appraise.engine.scenarios import Worth
    from appraise.engine.setup import Setup


def another_sale(setup: Setup, found: Worth) -> float:
    """Return by how much one more comparable sale can be expected to narrow the range [%].

    Args:
        setup: The priced case.
        found: What it is worth in its draws.

    Notes:
        One more sale of the same kind of sale, as telling as the mean of those at hand, lets the variance of their
        weighted mean fall with the number that they amount to, 1/Σw². Weights and the spread of the reconciled level
        follow as in the valuation; of the variance of the value, the part that the market brings falls with it.
    """
    if setup.basis.method not in ("market", "residual"):
        return 0.0
    evidence = setup.evidence
    channel = relative_sd(setup.channel)
    cost = hypot(relative_sd(setup.replacement), relative_sd(setup.factor), channel)
    condition_sd = sqrt(max(0.0, setup.cost_sd**2 - cost**2))
    single = setup.tables.setting("comparable_sd")
    now, number = cost, 0.0
    if evidence is not None:
        number = 1.0 / sum(sale.weight**2 for sale in evidence.sales)
        single = evidence.relative_sd * sqrt(number)
        cost = sqrt(max(0.0, setup.cost_sd**2 - condition_sd**2))
        now = hypot(setup.weight_cost * cost, (1.0 - setup.weight_cost) * evidence.relative_sd)
    sales = single / sqrt(number + 1.0)
    weight = setup.weight_cost
    if setup.case.market.weight_cost_pct is None or evidence is None:
        weight = inverse_variance_weights((hypot(cost, condition_sd), hypot(sales, condition_sd)))[0]
    then = hypot(weight * cost, (1.0 - weight) * sales)
    if now <= 0.0:
        return 0.0
    total = float(found.value.var())
    if total <= 0.0:
        return 0.0
    return narrowing(min(1.0, found.market_variance / total) * max(0.0, 1.0 - (then / now) ** 2))
