"""The rows of the tables about jobs and prices."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from appraise.tables.rows import Row

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.model.case import Kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy(Row):
    """A job that improves components, or a step that other jobs need."""

    label: str
    kinds: tuple[Kind, ...]
    hours_low: float
    hours_typical: float
    hours_high: float
    parts_low: float = 0.0
    """Parts as a fraction of the labour cost [–]."""
    parts_high: float = 0.0
    improves: Mapping[str, float] = field(default_factory=dict)
    """Component → grade it is left at; empty for a mere step."""
    resets: bool = False
    """True when the age in service of what it improves starts again."""
    up_to: float = 5.0
    """The worst grade it can cure; a component in worse state it leaves as it is."""
    requires: tuple[str, ...] = ()
    """Remedies that must be done with it, paid once however many need them."""
    causes: tuple[str, ...] = ()
    """Checks whose finding it answers; empty: whatever is the matter with what it improves. A job that names causes
    leaves what other checks found as it is."""
    per: str = ""
    """"note": hours and parts are for one piece, and the count of the check that it answers says how many; empty: for
    the whole job."""
    setup_hours: float = 0.0
    """Hours for coming to it and closing again, once, beside the hours a piece [h]; part of the labour."""
    size_grand: tuple[tuple[float, float], ...] = ()
    """(length of the grand [cm], factor on hours and parts) points, linear between, flat beyond; empty: all sizes
    alike."""
    size_upright: tuple[tuple[float, float], ...] = ()
    """The same by height of the upright [cm]."""
    safety: bool = False
    """Somebody can get hurt until it is done: it comes first of what is needed now."""
    benefit: float = 0.0
    """What the player gains by it, against other jobs [–]; orders what does not pay for itself."""
    if_left: str = ""
    """What happens if it is left undone, as a sentence."""
    stage: float = 50.0
    """Its turn in the workshop, lower first: a plate comes out before what needs that, an action is regulated after."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis(Row):
    """A kind of value."""

    label: str
    definition: str
    method: str
    """replacement (new for old) | depreciated (like for like, of the market factor obsolescence alone) | market (a
    channel's share of the retail price) | residual (resale less work, carriage, holding and margin)."""
    low: float = 1.0
    """Channel's share of the retail price [–]."""
    typical: float = 1.0
    high: float = 1.0
    buyer_carries: bool = False
    """The buyer pays for carriage and the first tunings; retail prices include both."""
    work_weighed: bool = True
    """A buyer weighs what work costs; false where the figure is of a sound instrument."""
    obsolescence: float = 0.0
    """Depreciated cost: exponent of the base factor by age [–]; the share, on the logarithmic scale, of what the market
    takes for age that is the design's and not the market's."""
    market_level: str = ""
    """At which level of the market such a price is paid, and why that level is the right one, as a sentence."""
    exposure: str = ""
    """How long an instrument is usually offered before such a price is paid."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MarketFactor(Row):
    """What a class of instrument fetches at retail against its depreciated cost."""

    factor: str
    """base | tier | size | finish | records."""
    kinds: tuple[Kind, ...]
    label: str
    above_cm: float | None = None
    """Size classes: from this size [cm], excluded below."""
    below_cm: float | None = None
    low: float
    typical: float
    high: float
    by_age: tuple[tuple[float, float], ...] = ()
    """(market age [years], factor [–]) points by which low, typical and high are multiplied, linear between, flat
    beyond; empty: the factor knows no age."""
    parts: float = 1.0
    """Classes of maker: what parts cost against those of a good maker [–]."""
    salvage: float = 1.0
    """Classes of maker: what an instrument past use brings, as a core to rebuild or for its parts, against one of a
    good maker of the same price new [–]."""
