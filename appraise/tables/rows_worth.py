"""The rows of the tables about jobs and prices."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.tables import columns as read
from appraise.tables.columns import cell
from appraise.tables.rows import Row

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.model.case import Kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy(Row):
    """A job that improves components, or a step that other jobs need."""

    label: str = cell(read.filled)
    kinds: tuple[Kind, ...] = cell(read.some_kinds)
    hours_low: float = cell(read.HOURS)
    hours_typical: float = cell(read.HOURS)
    hours_high: float = cell(read.HOURS)
    parts_low: float = cell(read.between(0.0, 1000.0), 0.0)
    """Parts as a fraction of the labour cost [–]."""
    parts_high: float = cell(read.between(0.0, 1000.0), 0.0)
    improves: Mapping[str, float] = cell(read.factors, factory=dict, of="components")
    """Component → grade it is left at; empty for a mere step."""
    resets: bool = cell(read.flag, False)
    """True when the age in service of what it improves starts again."""
    up_to: float = cell(read.grade, 5.0)
    """The worst grade it can cure; a component in worse state it leaves as it is."""
    requires: tuple[str, ...] = cell(read.names, (), of="remedies")
    """Remedies that must be done with it, paid once however many need them."""
    causes: tuple[str, ...] = cell(read.names, (), of="checks")
    """Checks whose finding it answers; empty: whatever is the matter with what it improves. A job that names causes
    leaves what other checks found as it is."""
    per: str = cell(read.text, "")
    """"note": hours and parts are for one piece, and the count of the check that it answers says how many; empty: for
    the whole job."""
    setup_hours: float = cell(read.HOURS, 0.0)
    """Hours for coming to it and closing again, once, beside the hours a piece [h]; part of the labour."""
    size_grand: tuple[tuple[float, float], ...] = cell(read.points, ())
    """(length of the grand [cm], factor on hours and parts) points, linear between, flat beyond; empty: all sizes
    alike."""
    size_upright: tuple[tuple[float, float], ...] = cell(read.points, ())
    """The same by height of the upright [cm]."""
    safety: bool = cell(read.flag, False)
    """Somebody can get hurt until it is done: it comes first of what is needed now."""
    benefit: float = cell(read.between(0.0, 1000.0), 0.0)
    """The player's gain by it, against other jobs [–]; orders what does not pay for itself."""
    if_left: str = cell(read.text, "")
    """Consequence of leaving it undone, as a sentence."""
    stage: float = cell(read.not_negative, 50.0)
    """Its turn in the workshop, lower first: a plate comes out before what needs that, an action is regulated after."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis(Row):
    """A kind of value."""

    label: str = cell(read.filled)
    definition: str = cell(read.filled)
    method: str = cell(read.filled, of=("replacement", "depreciated", "market", "residual"))
    """replacement (new for old) | depreciated (like for like, of the market factor obsolescence alone) | market (a
    channel's share of the retail price) | residual (resale less work, carriage, holding and margin)."""
    low: float = cell(read.FACTOR, 1.0)
    """Channel's share of the retail price [–]."""
    typical: float = cell(read.FACTOR, 1.0)
    high: float = cell(read.FACTOR, 1.0)
    buyer_carries: bool = cell(read.flag, False)
    """The buyer pays for carriage and the first tunings; retail prices include both."""
    work_weighed: bool = cell(read.flag, True)
    """A buyer weighs what work costs; false where the figure is of a sound instrument."""
    obsolescence: float = cell(read.between(0.0, 1.0), 0.0)
    """Depreciated cost: exponent of the base factor by age [–]; the share, on the logarithmic scale, of what the market
    takes for age that is the design's and not the market's."""
    market_level: str = cell(read.text, "")
    """At which level of the market such a price is paid, and why that level is the right one, as a sentence."""
    exposure: str = cell(read.text, "")
    """How long an instrument is usually offered before such a price is paid."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceNew(Row):
    """Price of a like instrument, new."""

    label: str = cell(read.filled)
    kinds: tuple[Kind, ...] = cell(read.some_kinds)
    tier: str = cell(read.filled)
    """Class of maker: a key of `market_factors`."""
    above_cm: float | None = cell(read.above_zero, None)
    """From this size [cm], excluded below."""
    below_cm: float | None = cell(read.above_zero, None)
    currency: str = cell(read.filled)
    year: float = cell(read.between(1900.0, 2200.0))
    """Of these prices."""
    low: float = cell(read.above_zero)
    """[money]"""
    typical: float = cell(read.above_zero)
    high: float = cell(read.above_zero)


@dataclass(frozen=True, slots=True, kw_only=True)
class MarketFactor(Row):
    """Retail price of a class of instrument against its depreciated cost."""

    factor: str = cell(read.filled, of=("base", "tier", "size", "finish", "records", "design", "fitted"))
    """base | tier | size | finish | records."""
    kinds: tuple[Kind, ...] = cell(read.some_kinds)
    label: str = cell(read.filled)
    above_cm: float | None = cell(read.above_zero, None)
    """Size classes: from this size [cm], excluded below."""
    below_cm: float | None = cell(read.above_zero, None)
    low: float = cell(read.FACTOR)
    typical: float = cell(read.FACTOR)
    high: float = cell(read.FACTOR)
    by_age: tuple[tuple[float, float], ...] = cell(read.points, ())
    """(market age [years], factor [–]) points by which low, typical and high are multiplied, linear between, flat
    beyond; empty: the factor knows no age."""
    parts: float = cell(read.FACTOR, 1.0)
    """Classes of maker: what parts cost against those of a good maker [–]."""
    salvage: float = cell(read.FACTOR, 1.0)
    """Classes of maker: what an instrument past use brings, as a core to rebuild or for its parts, against one of a
    good maker of the same price new [–]."""
