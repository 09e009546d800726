"""The arithmetic of claims: average, excess, new for old, total loss, a carrier's limit. Pure numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from appraise.model.loss import CarriageLimit, LimitSum
from appraise.model.quantities import to_base

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from appraise.model.loss import Terms
    from appraise.tables.rows import Tables
    from appraise.tables.rows_carriage import CarriageRule

    Array = NDArray[np.float64]


def average_share(sum_insured: float, value_at_risk: float, *, spared_from: float | None = None) -> float:
    """Return the share of a loss that average leaves [–], 0–1.

    Args:
        sum_insured: [money], ≥ 0.
        value_at_risk: Full value that ought to be insured [money].
        spared_from: Special condition of average: share of the value at risk [–] from which none is applied.

    References:
        The usual pro-rata condition of average: loss × sum insured / value at risk where underinsured.
    """
    if value_at_risk <= 0.0 or sum_insured >= value_at_risk:
        return 1.0
    share = max(sum_insured, 0.0) / value_at_risk
    return 1.0 if spared_from is not None and share >= spared_from else share


def payable(
    loss: float,
    *,
    sum_insured: float | None = None,
    value_at_risk: float | None = None,
    excess: float = 0.0,
    spared_from: float | None = None,
) -> float:
    """Return what is payable for a loss [money], ≥ 0: average first, then the sum insured as the limit, then excess.

    Args:
        loss: [money]; a negative one counts as none.
        sum_insured: [money]; none: no average and no limit.
        value_at_risk: [money]; none: no average.
        excess: The first part of every loss, borne by the insured [money].
        spared_from: As for `average_share`.
    """
    owed = max(loss, 0.0)
    if sum_insured is not None:
        if value_at_risk is not None:
            owed *= average_share(sum_insured, value_at_risk, spared_from=spared_from)
        owed = min(owed, max(sum_insured, 0.0))
    return max(owed - max(excess, 0.0), 0.0)


def betterment(cost: float, depreciation: float) -> float:
    """Return new for old [money], from 0 to the cost: the depreciation of what is replaced times what it costs.

    Args:
        cost: Of the replacement [money].
        depreciation: Of what is replaced, as it stood before the loss [–]; cut to 0–1.
    """
    return max(cost, 0.0) * min(1.0, max(0.0, depreciation))


def diminution(before: Array, after: Array, salvage: Array, cure: Array | None = None) -> Array:
    """Return what damage takes off the value [money], shape (n,), from 0 to the value before.

    Args:
        before: Value before [money], shape (n,).
        after: Value after [money], shape (n,).
        salvage: What the wreck brings, its removal taken off [money], shape (n,).
        cure: Cost of curing what can be cured, less what that makes better than before [money], shape (n,); none:
            nothing can be cured.

    Notes:
        A buyer takes off no less for damage that can be cured than what curing it costs, and no more than the whole
        value, less what the wreck still brings. Where it brings less than its removal costs, that is a cost of disposal
        beside the loss and no part of the instrument's value.
    """
    most = np.maximum(before - np.maximum(salvage, 0.0), 0.0)
    fall = before - after if cure is None else np.maximum(before - after, cure)
    found: Array = np.clip(fall, 0.0, most)
    return found


def total_loss(before: Array, salvage: Array, *, surrendered: bool) -> Array:
    """Return a total loss [money], shape (n,), from 0 to the value before.

    Args:
        before: Value before [money], shape (n,).
        salvage: What the wreck brings, its removal taken off [money], shape (n,); below 0 it is a cost of disposal
            beside the loss.
        surrendered: The wreck goes to the insurer, so that nothing is taken off.
    """
    left = np.zeros_like(before) if surrendered else np.maximum(salvage, 0.0)
    found: Array = np.maximum(before - left, 0.0)
    return found


def is_total(repair: float, value_before: float, share: float) -> bool:
    """Tell whether a repair reaches the stated share of the value before.

    Args:
        repair: Cost before betterment [money].
        value_before: [money].
        share: [–].
    """
    return repair > 0.0 and repair >= share * value_before


def is_constructive_total(repair: float, forwarding: float, value_on_arrival: float) -> bool:
    """Tell whether goods under a marine policy are a constructive total loss.

    Args:
        repair: Cost of repair [money].
        forwarding: Cost of sending the goods on to where they were bound for [money].
        value_on_arrival: What they are worth there [money].

    References:
        Marine Insurance Act 1906 (UK), section 60(2)(iii), from memory.
    """
    return repair + forwarding > value_on_arrival


def marine_partial(insured: float, sound: float, damaged: float) -> float:
    """Return the measure of a partial loss of goods under a valued marine policy [money].

    Args:
        insured: Value fixed by the policy [money].
        sound: Sound value [money], > 0.
        damaged: Damaged value [money].

    References:
        Marine Insurance Act 1906 (UK), section 71(3).
    """
    return insured * (sound - damaged) / sound


def carriage_limit(rule: CarriageRule, weight_kg: float | None, volume_m3: float | None) -> CarriageLimit:
    """Work out the most that a rule lets be owed for one package of a stated weight and volume.

    Args:
        rule: With an amount by weight, by volume or by package.
        weight_kg: Gross weight [kg]; none: not stated.
        volume_m3: Load space [m³]; none: not stated.

    Returns:
        The greatest of what the rule offers, in its unit. Pounds are not rounded before they are priced.
    """
    pounds = None if weight_kg is None else weight_kg / to_base(1.0, "lb")[0]
    rates = (
        ("package", rule.per_package, 1.0),
        ("kg", rule.per_kg, weight_kg),
        ("lb", rule.per_lb, pounds),
        ("m³", rule.per_m3, volume_m3),
    )
    sums = tuple(
        LimitSum(by, rate * size, size, rate) for by, rate, size in rates if rate is not None and size is not None
    )
    by_weight = rule.per_kg is not None or rule.per_lb is not None
    if not sums or (by_weight and weight_kg is None):
        return CarriageLimit(rule.key, None, rule.unit, (), "weight" if by_weight else "volume")
    return CarriageLimit(rule.key, max(each.amount for each in sums), rule.unit, sums)


def total_share(terms: Terms, tables: Tables) -> float:
    """Return the share of the value before from which a repair is a total loss [–]: as stated, else the table's."""
    stated = terms.total_loss_pct
    return (tables.setting("loss_total_share_pct") if stated is None else float(stated)) / 100.0
