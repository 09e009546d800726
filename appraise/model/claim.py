"""The claim for damage in a move, beside the two states of the instrument."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from appraise.model.declaration import (
        Chars,
        Cost,
        Digest,
        Form,
        Key,
        Name,
        Named,
        Number,
        Rate,
        Row,
        Said,
        Some,
        Text,
    )


class Origin(StrEnum):
    """Origin of a remark's defect."""

    BEFORE = "before"
    TRANSIT = "transit"
    CLIMATE = "climate"
    WEAR = "wear"
    UNKNOWN = "unknown"


class Finding(StrEnum):
    """Presence of a fault."""

    YES = "yes"
    SUSPECTED = "suspected"
    NO = "no"
    NOT_SEEN = "not_seen"


class Peril(StrEnum):
    """Cause of the damage."""

    IMPACT = "impact"
    DROP = "drop"
    ABRASION = "abrasion"
    WET = "wet"
    FROST = "frost"
    HEAT = "heat"
    DRY = "dry"
    THEFT = "theft"
    FIRE = "fire"
    OTHER = "other"


class Stage(StrEnum):
    """During which part of the carriage."""

    HANDING_OVER = "handing_over"
    IN_TRANSIT = "in_transit"
    DELIVERY = "delivery"
    AFTER = "after"
    """After the delivery: no part of the carriage."""


class Exclusion(StrEnum):
    """Grounds that free an insurer or a carrier."""

    INHERENT_VICE = "inherent_vice"
    PACKING = "packing"
    WEAR = "wear"
    HUMIDITY = "humidity"
    HANDLING_BY_OWNER = "handling_by_owner"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Quotation:
    """A workshop's price for named jobs."""

    firm: Annotated[Named, "who asks it", Form("Firm")]
    amount: Annotated[Cost, 'an amount without tax, in quotes, such as "1850.00"', Form("Sum", "Without tax")]
    jobs: Annotated[
        tuple[Key, ...],
        Some(),
        "a list of jobs of the table remedies",
        Row("remedies", "a job of the table remedies"),
        Form("Jobs", after="day"),
    ]
    day: Annotated[date, "its date, as 2026-11-20", Form("Day", after="number")]
    number: Annotated[Name, Form("Number", after="firm")] = ""
    tax: Annotated[Cost, Form("Tax", "On that sum")] = Decimal(0)
    scope: Annotated[Text, Form("Scope", "In its own words", long=True)] = ""
    valid_until: Annotated[date | None, Form("Valid until")] = None
    file: Annotated[Name, Form("File", "In the folder of the case; hashed on entry")] = ""
    sha256: Digest = ""
    """Of that file, as it was entered."""


@dataclass(frozen=True, slots=True)
class SalvageBid:
    """A bid for the instrument as it stands after the damage."""

    bidder: Annotated[Named, "who bids", Form("Bidder")]
    amount: Annotated[Cost, 'an amount in quotes, such as "450.00"', Form("Bid", "Collected where it stands")]
    """So that no removal comes off [money]."""
    day: Annotated[date, "the day of the bid, as 2026-11-20", Form("Day")]
    note: Annotated[Text, Form("Note", long=True)] = ""
    file: Annotated[Name, Form("File", "In the folder of the case; hashed on entry")] = ""
    sha256: Digest = ""
    """Of that file, as it was entered."""


@dataclass(frozen=True, slots=True)
class Notice:
    """A notice of damage that was given."""

    day: Annotated[date, "the day it was given, as 2026-11-20", Form("Day")]
    how: Annotated[
        Said,
        "how it was given: letter, email, on the delivery note",
        Form("How", "Letter, email, on the delivery note"),
    ]
    to: Annotated[Name, Form("To")] = ""
    reservations: Annotated[Text, Form("Reservations", "As they were written", long=True)] = ""
    """Its words, as they stand on the delivery note or in the letter."""


@dataclass(frozen=True, slots=True)
class LimitRate:
    """Worth of a unit of a carriage limit in the currency of the case."""

    unit: Annotated[
        str, Chars(0, r"^[A-Z]{3}$"), "SDR, or a currency of ISO 4217", Form("Unit", "SDR, or a currency", begins="SDR")
    ]
    rate: Annotated[
        float,
        Number(0, 1_000_000, low_open=True),
        "what one unit comes to in the currency of the case",
        Form("Rate", "Currency of the case for one unit"),
    ]
    """[money/unit]"""
    day: Annotated[date, "the day of the rate, as 2026-11-20", Form("Day")]
    source: Annotated[Text, Form("Source")] = ""


@dataclass(frozen=True, slots=True)
class Claim:
    """The claim after a move, beside the two states."""

    delivered: Annotated[date | None, Form("Delivered on", "Notice dates are counted from it: 2026-10-23")] = None
    weight_kg: Annotated[
        float | None, Number(20, 2000, "kg"), Form("Gross weight", "With packing; pounds are understood: 1058 lb")
    ] = None
    volume_m3: Annotated[float | None, Number(0.1, 150, "m³"), Form("Load space", "Of the whole consignment")] = None
    sum_insured: Annotated[Rate | None, Form("Sum insured", "As the policy states it")] = None
    value_at_risk: Annotated[
        Rate | None, Form("Value at risk", "Full value to be insured; empty: the value before")
    ] = None
    excess: Annotated[Cost | None, Form("Excess (deductible)", "First part of a loss, borne by the insured")] = None
    special_condition: Annotated[
        bool,
        Form(
            "Special condition of average",
            "yes: no average where the sum insured reaches most of the value at risk, as the policy says",
        ),
    ] = False
    betterment: Annotated[
        bool,
        Form(
            "Deduct new for old", "yes: what new parts make better than before is taken off; policies and courts differ"
        ),
    ] = True
    surrendered: Annotated[
        bool, Form("Salvage passes to insurer", "After a total loss; yes: no salvage is taken off")
    ] = False
    residual: Annotated[
        Cost | None,
        Form(
            "Residual diminution after repair", "What a good repair leaves of the fall in value; empty: by the grades"
        ),
    ] = None
    total_loss_pct: Annotated[
        float | None, Number(10, 200, "%"), Form("Total loss from", "Of the value before; empty: the table's share")
    ] = None
    """Share of the value before from which a repair is a total loss [%]; none: the table's."""
    tax_recovered: Annotated[
        bool, Form("Tax recovered", "yes: the claimant gets the tax on a quotation back, so that it is no loss")
    ] = False
    regime: Annotated[
        Name, Row("regimes", "a regime of the table carriage_rules"), Form("Regime of carriage", "Empty: not known")
    ] = ""
    """Regime of carriage that is taken to govern."""
    contract_number: Annotated[Name, Form("Contract number")] = ""
    consignment_number: Annotated[Name, Form("Consignment number")] = ""
    claim_number: Annotated[Name, Form("Claim number")] = ""
    policy_number: Annotated[Name, Form("Policy number")] = ""
    carrier: Annotated[Name, Form("Carrier", after="mover")] = ""
    insurer: Annotated[Name, Form("Insurer", after="carrier")] = ""
    mover: Annotated[Name, Form("Mover", after="regime")] = ""
    declared_value: Annotated[Rate | None, Form("Declared value", "Declared to the carrier")] = None
    lost: Annotated[date | None, Form("Date of loss", after="handed_over")] = None
    """Place of discovery, where it is known."""
    handed_over: Annotated[date | None, Form("Handed over on")] = None
    """Day on which the carrier took it over."""
    quotations: Annotated[tuple[Quotation, ...], Form("Quotations", one="quotation")] = ()
    salvage_bids: Annotated[tuple[SalvageBid, ...], Form("Bids for the salvage", one="bid")] = ()
    notices: Annotated[tuple[Notice, ...], Form("Notices given", one="notice")] = ()
    rates: Annotated[tuple[LimitRate, ...], Form("Rates for limits", one="rate")] = ()

    @property
    def papers(self) -> tuple[tuple[str, int, str, str], ...]:
        """The files of quotations and bids: the list each stands in, its place there, its name and its SHA-256."""
        files = [("quotations", at, one.file, one.sha256) for at, one in enumerate(self.quotations)]
        files += [("salvage_bids", at, one.file, one.sha256) for at, one in enumerate(self.salvage_bids)]
        return tuple(each for each in files if each[2])
