"""What the instrument would bring as new on its market, in every draw: the price levels of the approaches."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from appraise.engine.market import Evidence
    from appraise.engine.setup import Setup
    from appraise.engine.simulate import Source
    from appraise.model.result import Range

    Array = NDArray[np.float64]


def price_levels(setup: Setup, source: Source, replacement: Array) -> list[Array]:
    """Return the price of the instrument as new by the cost approach and, with comparables, by their prices [money].

    Args:
        setup: The priced case.
        source: The draws, or the central figures.
        replacement: Replacement cost new in every draw [money], shape (n,).

    Returns:
        One or two arrays of shape (n,).

    Notes:
        The approaches share what they share. Both go by the same sales where the market factor is taken from the
        comparables, so the chance of which sales came to hand is drawn once for both. What a kind of sale brings is
        drawn once for all kinds, from a poor market for what is not sold in a showroom to a good one: a price carried
        from one kind of sale to another moves with it, and one that was made in the kind of sale asked for does not.
    """
    channel = source.between("channel", setup.channel)
    evidence = setup.evidence
    luck = source.scores("comparables")
    if evidence is not None and setup.factor_from == "comparables":
        factor = _factors(evidence, source) * np.exp(evidence.factor_sd * luck)
    else:
        factor = source.between("market factor", setup.factor)
    levels = [replacement * factor * channel]
    if evidence is not None:
        carried = channel / setup.channel.mid / _as_sold(evidence, source)
        levels.append(evidence.level * carried * np.exp(evidence.relative_sd * luck))
    if setup.disagreement > 0.0:
        wider = np.exp(setup.disagreement * source.scores("disagreement"))
        levels = [level * wider for level in levels]
    return levels


def price_inputs(setup: Setup) -> list[str]:
    """Return the names of the inputs that the price levels hang on, the replacement cost new left out."""
    evidence = setup.evidence
    names = [] if evidence is not None and setup.factor_from == "comparables" else varied("market factor", setup.factor)
    kinds = [setup.channel, *(evidence.channels if evidence is not None else ())]
    if any(varied("channel", kind) for kind in kinds):
        names.append("channel")
    if evidence is not None:
        names.append("comparables")
    if setup.disagreement > 0.0:
        names.append("disagreement")
    return names


def varied(name: str, spread: Range) -> list[str]:
    """Return the name of an input where it is uncertain, else nothing."""
    return [name] if spread.high > spread.low else []


def _factors(evidence: Evidence, source: Source) -> Array | float:
    """Return the median market factor of the lines [–], each brought to retail by what its sale brings in a draw."""
    if len(set(evidence.channels)) == 1:
        return evidence.factor / _relative(evidence.channels[0], source)
    brought = [
        line.market_factor / _relative(channel, source)
        for line, channel in zip(evidence.lines, evidence.channels, strict=True)
    ]
    found: Array = np.median(brought, axis=0)
    return found


def _as_sold(evidence: Evidence, source: Source) -> Array:
    """Return what the lines' kinds of sale bring in a draw over what they typically bring, as the level weighs it."""
    shares: dict[Range, float] = {}
    for line, channel in zip(evidence.lines, evidence.channels, strict=True):
        shares[channel] = shares.get(channel, 0.0) + line.weight
    weighed = [share * np.log(_relative(channel, source)) for channel, share in shares.items()]
    found: Array = np.exp(np.sum(weighed, axis=0))
    return found


def _relative(channel: Range, source: Source) -> Array:
    return source.between("channel", channel) / channel.mid
