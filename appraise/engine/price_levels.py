"""What the instrument would bring as new on its market, in every draw: the price levels of the approaches."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import costs as costing
from appraise.engine.draws import median
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from appraise.engine.comparables import Evidence
    from appraise.engine.sampler import Sampler
    from appraise.engine.setup import Setup
    from appraise.model.result import Range

    Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Prices:
    """What the market decides, in every draw, whatever the condition: arrays of shape (m,) [money]."""

    replacement: Array
    levels: tuple[Array, ...]
    """Price as new on its channel by approach: cost, and sales where there are comparables."""
    level: Array
    """The approaches reconciled."""
    most: Array
    """Price new on its channel, which no instrument exceeds."""
    salvage: Array
    """Less removal; may be negative."""


def price_levels(setup: Setup, source: Sampler) -> Prices:
    """Draw the price of the instrument as new by the cost approach and, with comparables, by their prices.

    Args:
        setup: The priced case.
        source: The draws, or the central figures.

    Notes:
        The approaches share what they share. Both go by the same sales where the market factor is taken from the
        comparables, so the chance of which sales came to hand is drawn once for both. What a kind of sale brings is
        drawn once for all kinds, from a poor market for what is not sold in a showroom to a good one: a price carried
        from one kind of sale to another moves with it, and one that was made in the kind of sale asked for does not.
        The two levels are reconciled as a weighted geometric mean: prices spread by ratio, so that two approaches that
        agree leave the middle where it is, and weights by precision never widen it.
    """
    replacement = source.between("replacement cost", setup.replacement)
    channel = source.between("channel", setup.channel)
    evidence = setup.evidence
    luck = source.scores("comparables")
    if evidence is not None and setup.factor_from == "comparables":
        factor = setup.factor.mid * _factors(evidence, source) * np.exp(evidence.factor_sd * luck)
    else:
        factor = source.between("market factor", setup.factor)
    levels = [replacement * factor * channel]
    if evidence is not None:
        by_tables = setup.factor.mid / (evidence.factor_ratio if setup.factor_from == "comparables" else 1.0)
        middle = setup.replacement.mid * by_tables * setup.channel.mid * evidence.ratio
        carried = channel / setup.channel.mid / _as_sold(evidence, source)
        levels.append(middle * carried * np.exp(evidence.relative_sd * luck))
    if setup.disagreement > 0.0:
        wider = np.exp(setup.disagreement * source.scores("disagreement"))
        levels = [level * wider for level in levels]
    level = levels[0]
    if len(levels) > 1:
        level = np.exp(setup.weight_cost * np.log(levels[0]) + (1.0 - setup.weight_cost) * np.log(levels[1]))
    salvage = costing.salvage_drawn(setup.case, setup.tables, replacement, source)
    return Prices(replacement, tuple(levels), level, replacement * channel, salvage)


def price_inputs(setup: Setup) -> list[str]:
    """Return the names of the inputs that the price levels vary with, the replacement cost new first."""
    names = varied("replacement cost", setup.replacement)
    if setup.basis.method == "replacement":
        return names
    evidence = setup.evidence
    if evidence is None or setup.factor_from != "comparables":
        names += varied("market factor", setup.factor)
    kinds = [setup.channel, *(evidence.channels if evidence is not None else ())]
    if any(varied("channel", kind) for kind in kinds):
        names.append("channel")
    if evidence is not None:
        names.append("comparables")
    if setup.disagreement > 0.0:
        names.append("disagreement")
    return [*names, "salvage"]


def varied(name: str, spread: Range) -> list[str]:
    """Return the name of an input where it is uncertain, else nothing."""
    return [name] if spread.high > spread.low else []


def _factors(evidence: Evidence, source: Sampler) -> Array | float:
    """Return the median market level of the lines against its middle [–], each by what its kind of sale brings."""
    if len(set(evidence.channels)) == 1:
        return 1.0 / _relative(evidence.channels[0], source)
    brought = [sale.ratio / _relative(sale.channel, source) for sale in evidence.sales]
    found: Array = median(np.stack(brought)) / evidence.factor_ratio
    return found


def _as_sold(evidence: Evidence, source: Sampler) -> Array:
    """Return what the lines' kinds of sale bring in a draw over what they typically bring, as the level weighs it."""
    shares: dict[Range, float] = {}
    for sale in evidence.sales:
        shares[sale.channel] = shares.get(sale.channel, 0.0) + sale.weight
    weighed = [share * np.log(_relative(channel, source)) for channel, share in shares.items()]
    found: Array = np.exp(np.sum(weighed, axis=0))
    return found


def _relative(channel: Range, source: Sampler) -> Array:
    return source.between("channel", channel) / channel.mid
