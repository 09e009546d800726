"""What a claim for damage in a move needs to know beside the two states of the instrument."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date


class Origin(StrEnum):
    """Where a remark's defect came from."""

    BEFORE = "before"
    TRANSIT = "transit"
    CLIMATE = "climate"
    WEAR = "wear"
    UNKNOWN = "unknown"


class Finding(StrEnum):
    """Whether a fault is there."""

    YES = "yes"
    SUSPECTED = "suspected"
    NO = "no"
    NOT_SEEN = "not_seen"


class Peril(StrEnum):
    """What did the damage."""

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
    """What frees an insurer or a carrier where it holds."""

    INHERENT_VICE = "inherent_vice"
    PACKING = "packing"
    WEAR = "wear"
    HUMIDITY = "humidity"
    HANDLING_BY_OWNER = "handling_by_owner"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Quotation:
    """What a workshop asks for named jobs."""

    firm: str
    amount: Decimal
    """Without tax [money]."""
    jobs: tuple[str, ...]
    """Rows of the table `remedies` that it covers."""
    day: date
    number: str = ""
    tax: Decimal = Decimal(0)
    """On the amount [money]."""
    scope: str = ""
    """What it covers, in its own words."""
    valid_until: date | None = None
    file: str = ""
    """The document beside the case file."""
    sha256: str = ""
    """Of its bytes, hexadecimal."""


@dataclass(frozen=True, slots=True)
class SalvageBid:
    """What somebody offers for the instrument as it stands after the damage."""

    bidder: str
    amount: Decimal
    """Collected where it stands, so that no removal comes off [money]."""
    day: date
    note: str = ""
    file: str = ""
    """The document beside the case file."""
    sha256: str = ""
    """Of its bytes, hexadecimal."""


@dataclass(frozen=True, slots=True)
class Notice:
    """A notice of damage that was given."""

    day: date
    how: str
    """Letter, email, on the delivery note."""
    to: str = ""
    reservations: str = ""
    """Its words, as they stand on the delivery note or in the letter."""


@dataclass(frozen=True, slots=True)
class LimitRate:
    """What a unit of a carriage limit comes to in the currency of the case."""

    unit: str
    """SDR, or a currency of ISO 4217."""
    rate: float
    """Currency of the case for one unit [money/unit]."""
    day: date
    """The day of the rate."""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Claim:
    """What a claim after a move needs to know beside the two states."""

    delivered: date | None = None
    """Day of the delivery: periods of notice are counted from it."""
    weight_kg: float | None = None
    """Gross weight of what was carried [kg]."""
    volume_m3: float | None = None
    """Load space it took [m³]."""
    sum_insured: Decimal | None = None
    value_at_risk: Decimal | None = None
    """Full value that ought to be insured; none: value before."""
    excess: Decimal | None = None
    special_condition: bool = False
    """No average where the sum insured reaches the stated share of the value at risk."""
    betterment: bool = True
    """Deduct new for old."""
    surrendered: bool = False
    """After a total loss the insurer takes what is left, so no salvage is taken off."""
    residual: Decimal | None = None
    """What the assessor says that a good repair still leaves of the loss in value; none: what the grades say."""
    total_loss_pct: float | None = None
    """Share of the value before from which a repair is a total loss [%]; none: the table's."""
    tax_recovered: bool = False
    """The claimant gets the tax on a quotation back, so that it is no part of the loss."""
    regime: str = ""
    """Regime of carriage that is taken to govern, as the table `carriage_rules` names it; empty: not known."""
    contract_number: str = ""
    consignment_number: str = ""
    claim_number: str = ""
    policy_number: str = ""
    carrier: str = ""
    insurer: str = ""
    mover: str = ""
    declared_value: Decimal | None = None
    """Declared to the carrier [money]."""
    lost: date | None = None
    """Day of the loss, where it is known."""
    handed_over: date | None = None
    """Day on which the carrier took it over."""
    quotations: tuple[Quotation, ...] = ()
    salvage_bids: tuple[SalvageBid, ...] = ()
    notices: tuple[Notice, ...] = ()
    rates: tuple[LimitRate, ...] = ()

    @property
    def papers(self) -> tuple[tuple[str, int, str, str], ...]:
        """The files of quotations and bids: the list each stands in, its place there, its name and its SHA-256."""
        files = [("quotations", at, one.file, one.sha256) for at, one in enumerate(self.quotations)]
        files += [("salvage_bids", at, one.file, one.sha256) for at, one in enumerate(self.salvage_bids)]
        return tuple(each for each in files if each[2])
