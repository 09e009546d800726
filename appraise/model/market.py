"""Prices outside the instrument, and what work on it costs: a part of the case, frozen."""

from __future__ import annotations

from datetime import date
from math import sqrt
from typing import TYPE_CHECKING, Annotated

from appraise.model.lazy_dataclass import dataclass
from appraise.model.plausible import MOST_MARGIN_PCT
from appraise.model.span import Span

if TYPE_CHECKING:
    from appraise.model.declaration import (
        Amount,
        Cost,
        Form,
        Key,
        Name,
        Named,
        Number,
        Percent,
        Price,
        Rate,
        Row,
        Said,
        Size,
        Text,
    )


@dataclass(frozen=True, slots=True)
class Comparable:
    """A like instrument that was sold or offered."""

    label: Annotated[Name, "a name for the comparable", Form("What it is")]
    price: Annotated[Price, 'an amount in quotes, such as "12500.00"', Form("Price")]
    date: Annotated[date, "the day it was sold or offered, as 2026-05-20", Form("Day")]
    sale: Annotated[
        Key,
        "the kind of sale: a row of the table bases",
        Row("bases", "a row of the table bases"),
        Form("Kind of sale"),
    ]
    made: Annotated[Span, "when it was built", Form("Built")]
    grade: Annotated[
        float, Number(1, 5), "its general condition from 1 to 5", Form("General condition", "1 as new to 5 worn out")
    ]
    size_cm: Annotated[Size | None, Form("Size")] = None
    distance_km: Annotated[float, Number(0, 20_040, "km"), Form("Distance")] = 0.0
    """At most half the way round the earth."""
    replacement_cost_new: Annotated[Price | None, Form("Its replacement cost")] = None
    """Of the comparable; none: the subject's."""
    source: Annotated[Text, Form("Source")] = ""
    note: Annotated[Text, Form("Note", long=True)] = ""


@dataclass(frozen=True, slots=True)
class Adjustment:
    """A named adjustment of the assessor: provenance, originality, … with a reason."""

    name: Annotated[Named, "a name for the adjustment", Form("Name")]
    reason: Annotated[Said, "why the assessor makes it", Form("Reason", after="amount")]
    pct: Annotated[float | None, Number(-100, 1000, "%"), Form("Percent")] = None
    """Change of the value [%]."""
    amount: Annotated[Amount | None, Form("Amount")] = None


@dataclass(frozen=True, slots=True)
class Market:
    """Prices outside the instrument."""

    replacement_cost_new: Annotated[
        Price | None, Form("Replacement cost new", "Price of a like instrument, new, today: 14000; no value without it")
    ] = None
    replacement_cost_low: Annotated[
        Price | None, Form("  at least", "With both ends the cost itself may be left open: their middle stands for it")
    ] = None
    replacement_cost_high: Annotated[
        Price | None, Form("  at most", "With both ends the cost itself may be left open: their middle stands for it")
    ] = None
    replacement_source: Annotated[Text, Form("  source", "Where that price is from; the report prints it")] = ""
    comparables: Annotated[tuple[Comparable, ...], Form("Comparables", one="comparable")] = ()
    adjustments: Annotated[tuple[Adjustment, ...], Form("Adjustments", one="adjustment")] = ()
    yearly_price_change_pct: Annotated[
        float,
        Number(-50, 100, "% a year"),
        Form("Price change", "Of the market: brings the prices of comparables to the effective date"),
    ] = 0.0
    """Market trend used to bring a comparable's price to the effective date [% a year]."""
    weight_cost_pct: Annotated[
        Percent | None, Form("Weight of cost approach", "Against the comparables; empty: by how exactly each is known")
    ] = None
    """Weight of the cost approach in the reconciliation; none: by the precision of each."""
    weight_reason: Annotated[Text, Form("  reason", "Why it was weighed so; the report prints it")] = ""

    @property
    def cost_new(self) -> float | None:
        """Replacement cost new [money]: as stated, else the middle of both its ends by ratio; none: neither is there.

        Prices are drawn as lognormal between their ends, whose median is the geometric mean of the two.
        """
        low, high = self.replacement_cost_low, self.replacement_cost_high
        if self.replacement_cost_new is not None:
            return float(self.replacement_cost_new)
        return None if low is None or high is None or low > high else sqrt(float(low) * float(high))


@dataclass(frozen=True, slots=True)
class Costs:
    """Costs of work and handling here."""

    labour_rate: Annotated[
        Cost | None,
        Form("Labour rate an hour", "0 for work that costs nothing, as your own may; then state the rate for parts"),
    ] = None
    """Per hour; none: no remedy can be costed. 0 for work that costs nothing, as one's own may: parts still do."""
    parts_rate: Annotated[
        Rate | None,
        Form(
            "  parts priced at",
            "The trade's rate an hour: the tables give parts as a share of labour; empty: the labour rate",
        ),
    ] = None
    """Rate an hour by which parts are priced, which the tables give as a share of labour; none: the labour rate."""
    overhead_pct: Annotated[
        float | None, Number(0, 1000, "%"), Form("Overhead", "On labour and parts; empty: the table's")
    ] = None
    contingency_pct: Annotated[
        float | None, Number(0, 1000, "%"), Form("Contingency", "For what opening it shows; empty: the table's")
    ] = None
    margin_pct: Annotated[
        float | None, Number(0, MOST_MARGIN_PCT, "%"), Form("Margin", "Of a dealer's resale; empty: the table's")
    ] = None
    carriage: Annotated[Cost | None, Form("Carriage", "Of a dealer's purchase")] = None
    preparation: Annotated[
        Cost | None, Form("Preparation", "Cleaning, regulating, voicing before a resale; empty: the table's hours")
    ] = None
    """Getting it ready for a showroom; none: the table's hours."""
    guarantee: Annotated[Cost | None, Form("Guarantee", "Set aside for it by a dealer; empty: the table's share")] = (
        None
    )
    """Share that a dealer sets aside for it; none: the table's share of the resale price."""
    holding: Annotated[Cost | None, Form("Holding", "Room, money and care until a dealer sells it")] = None
    removal: Annotated[Cost | None, Form("Disposal", "Taking it away for good; empty: the table's hours")] = None
    """Taking the instrument away; none: the table's hours at the labour rate."""

    @property
    def reckoned(self) -> bool:
        """True where work can be costed: a labour rate is stated, and where it is 0 a rate for the parts."""
        return self.labour_rate is not None and bool(self.labour_rate or self.parts_rate)
