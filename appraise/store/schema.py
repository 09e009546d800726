"""The case file's layout: a strict model for every table of the file, field for field as in `model.case`."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from appraise.model.case import Extent, Kind
from appraise.model.claim import Exclusion, Finding, Origin, Peril, Stage
from appraise.model.locale_format import Units
from appraise.model.photo_mark import FORM
from appraise.model.plausible import MOST_MARGIN_PCT
from appraise.store.fields import (
    Amount,
    Cents,
    Cost,
    Day,
    HalfStep,
    Humidity,
    Key,
    Measured,
    Name,
    NoteNumber,
    Percent,
    Price,
    Rate,
    Said,
    Temperature,
    Text,
    When,
    Years,
)

_Notes = Annotated[tuple[int, ...], Field(strict=False, max_length=500)]
_Number = Annotated[int, Field(ge=1, le=10_000)]
_Numbers = Annotated[tuple[_Number, ...], Field(strict=False, max_length=500)]
_PhotoPath = Annotated[str, Field(min_length=1, max_length=500)]
_Digest = Annotated[str, Field(pattern=r"^(?:[0-9a-f]{64})?$")]
_Keys = Annotated[tuple[Key, ...], Field(strict=False, max_length=500)]


class Section(BaseModel):
    """What every table of the file has in common."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)


class IdentitySection(Section):
    """`[identity]`."""

    kind: Annotated[Kind, Field(strict=False, description='"grand" or "upright"')]
    maker: Name = ""
    model: Name = ""
    size_cm: Annotated[float, Field(ge=50, le=500)] | None = None
    serial: Name = ""
    made: When | None = None
    made_evidence: Text = ""
    tier: Key = ""
    finish: Key = ""
    key_covering: Key = ""
    compass: Annotated[int, Field(ge=12, le=120)] = 88
    overdamper: bool | None = None
    drop_action: bool | None = None
    straight_strung: bool | None = None
    player: Key = ""
    last_tuned: When | None = None
    stairs: Annotated[int, Field(ge=0, le=60)] | None = None
    owners: Annotated[int, Field(ge=1, le=50)] | None = None


class AssignmentSection(Section):
    """`[assignment]`."""

    inspected: Annotated[Day, Field(description="the day of the inspection, as 2026-11-20")]
    purpose: Text = ""
    basis: Key = "private_sale"
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = "EUR"
    reported: Day | None = None
    place: Name = ""
    assessor: Name = ""
    client: Name = ""
    intended_users: Text = ""
    limits: Text = ""
    equipment: Text = ""
    law: Key = "probable_life"
    locale: Key = ""
    units: Annotated[Units, Field(strict=False)] = Units.METRIC


class CircumstancesSection(Section):
    """`[circumstances]`."""

    climate: Key = "seasonal"
    use: Key = "domestic"
    records: Key = "none"


class RenewalSection(Section):
    """One of `[[renewals]]`."""

    components: Annotated[_Keys, Field(min_length=1, description="a list of components")]
    date: When | None = None
    clues: _Keys = ()
    extent: Annotated[Extent, Field(strict=False)] = Extent.RENEWED
    gives_back_pct: Percent | None = None
    by: Name = ""
    evidence: Text = ""
    note: Text = ""


class GradeSection(Section):
    """One of `[[grades]]`."""

    grade: Annotated[HalfStep, Field(description="a grade from 1 to 5, in half steps")]
    check: Key = ""
    component: Key = ""
    reason: Text = ""
    preliminary: bool = False


class ReadingSection(Section):
    """One of `[[readings]]`, in the unit as written."""

    check: Annotated[Key, Field(description="a check of the table checks")]
    value: Annotated[Measured, Field(description="a number, true or false, or a text")]
    unit: Key = ""
    note: int | None = None
    place: Name = ""
    remark: Text = ""


class RemarkSection(Section):
    """One of `[[remarks]]`."""

    place: Annotated[Key, Field(description="a station or a component")]
    text: Annotated[Said, Field(description="what was seen")]
    cause: Text = ""
    origin: Annotated[Origin, Field(strict=False)] = Origin.UNKNOWN
    notes: _Notes = ()
    photos: Annotated[tuple[_PhotoPath, ...], Field(strict=False, max_length=500)] = ()
    photo: Annotated[str, Field(max_length=500, description="one photo, as earlier releases wrote it")] = ""
    sha256: Annotated[_Digest, Field(description="of that one photo")] = ""
    earlier: _Number | None = None
    worse: bool = False
    finding: Annotated[Finding, Field(strict=False)] = Finding.YES
    probability_pct: Annotated[float, Field(gt=0, lt=100)] | None = None
    check: Key = ""
    jobs: _Keys = ()
    peril: Annotated[Peril, Field(strict=False)] | None = None
    stage: Annotated[Stage, Field(strict=False)] | None = None
    exclusion: Annotated[Exclusion, Field(strict=False)] | None = None
    exclusion_for: Text = ""
    exclusion_against: Text = ""
    share_pct: Percent | None = None
    share_reason: Text = ""


class PhotoSection(Section):
    """One of `[[photos]]`."""

    file: Annotated[_PhotoPath, Field(description="the path of a photo, relative to the case file")]
    sha256: _Digest = ""
    taken: Annotated[str, Field(pattern=r"^(?:\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:[+-]\d\d:\d\d)?)?$")] = ""
    caption: Text = ""
    checks: _Keys = ()
    whole: bool = False
    mark: Annotated[
        str, Field(pattern=FORM, description='such as "circle 40 62": arrow or circle, per cent from the left and top')
    ] = ""


class EffectiveAgeSection(Section):
    """One of `[[effective_ages]]`."""

    component: Annotated[Key, Field(description="a component")]
    years: Annotated[Years, Field(description="an age in years")]
    reason: Annotated[Said, Field(description="why the assessor states it")]


class PitchReadingSection(Section):
    """One of `[[pitch_log]]`."""

    date: Annotated[Day, Field(description="the day of the reading, as 2026-11-20")]
    note: Annotated[NoteNumber, Field(description='the note, 1 to 88, or its name: "A4"')]
    cents: Annotated[Cents, Field(description="the deviation in cents, flat negative")]
    temperature: Temperature | None = None
    humidity: Humidity | None = None
    remark: Text = ""


class DryingClueSection(Section):
    """One of `[[drying_clues]]`."""

    clue: Annotated[Key, Field(description="a row of the table drying_clues")]
    seen: Annotated[bool, Field(description="true, or false where it was looked for and is not there")]
    remark: Text = ""


class LeftOutSection(Section):
    """One of `[[left_out]]`."""

    check: Annotated[Key, Field(description="a check of the table checks")]
    reason: Text = ""


class ComparableSection(Section):
    """One of `[[market.comparables]]`."""

    label: Annotated[Name, Field(description="a name for the comparable")]
    price: Annotated[Price, Field(description='an amount in quotes, such as "12500.00"')]
    date: Annotated[Day, Field(description="the day it was sold or offered, as 2026-05-20")]
    sale: Annotated[Key, Field(description="the kind of sale: a row of the table bases")]
    made: Annotated[When, Field(description="when it was built")]
    grade: Annotated[float, Field(ge=1, le=5, description="its general condition from 1 to 5")]
    size_cm: Annotated[float, Field(ge=50, le=500)] | None = None
    distance_km: Annotated[float, Field(ge=0, le=20_040)] = 0.0
    replacement_cost_new: Price | None = None
    source: Text = ""
    note: Text = ""


class AdjustmentSection(Section):
    """One of `[[market.adjustments]]`."""

    name: Annotated[Name, Field(min_length=1, description="a name for the adjustment")]
    reason: Annotated[Said, Field(description="why the assessor makes it")]
    pct: Annotated[float, Field(ge=-100, le=1000)] | None = None
    amount: Amount | None = None


class MarketSection(Section):
    """`[market]` without its lists."""

    replacement_cost_new: Price | None = None
    replacement_cost_low: Price | None = None
    replacement_cost_high: Price | None = None
    replacement_source: Text = ""
    yearly_price_change_pct: Annotated[float, Field(ge=-50, le=100)] = 0.0
    weight_cost_pct: Percent | None = None
    weight_reason: Text = ""


class CostsSection(Section):
    """`[costs]`."""

    labour_rate: Cost | None = None
    parts_rate: Rate | None = None
    overhead_pct: Annotated[float, Field(ge=0, le=1000)] | None = None
    contingency_pct: Annotated[float, Field(ge=0, le=1000)] | None = None
    margin_pct: Annotated[float, Field(ge=0, le=MOST_MARGIN_PCT)] | None = None
    carriage: Cost | None = None
    preparation: Cost | None = None
    guarantee: Cost | None = None
    holding: Cost | None = None
    removal: Cost | None = None


class EarlierStateSection(Section):
    """`[earlier_state]`."""

    file: Annotated[Name, Field(min_length=1, description="the name of the frozen copy beside this file")]
    sha256: Annotated[
        str, Field(pattern=r"^[0-9a-f]{64}$", description="the SHA-256 of the frozen copy, as it was when it was set")
    ]
    day: Annotated[Day, Field(description="the day of its inspection, as 2026-11-20")]
    purpose: Text = ""
    mended: _Numbers = ()
    trail: Annotated[_Digest, Field(description="the hash of the last line of the trail when it was set")] = ""


class ClaimSection(Section):
    """`[claim]`."""

    delivered: Day | None = None
    weight_kg: Annotated[float, Field(ge=20, le=2000)] | None = None
    volume_m3: Annotated[float, Field(ge=0.1, le=150)] | None = None
    sum_insured: Rate | None = None
    value_at_risk: Rate | None = None
    excess: Cost | None = None
    special_condition: bool = False
    betterment: bool = True
    surrendered: bool = False
    residual: Cost | None = None
    total_loss_pct: Annotated[float, Field(ge=10, le=200)] | None = None
    tax_recovered: bool = False
    regime: Name = ""
    contract_number: Name = ""
    consignment_number: Name = ""
    claim_number: Name = ""
    policy_number: Name = ""
    carrier: Name = ""
    insurer: Name = ""
    mover: Name = ""
    declared_value: Rate | None = None
    lost: Day | None = None
    handed_over: Day | None = None


class QuotationSection(Section):
    """One of `[[claim.quotations]]`."""

    firm: Annotated[Name, Field(min_length=1, description="who asks it")]
    amount: Annotated[Cost, Field(description='an amount without tax, in quotes, such as "1850.00"')]
    jobs: Annotated[_Keys, Field(min_length=1, description="a list of jobs of the table remedies")]
    day: Annotated[Day, Field(description="its date, as 2026-11-20")]
    number: Name = ""
    tax: Cost = Decimal(0)
    scope: Text = ""
    valid_until: Day | None = None
    file: Name = ""
    sha256: _Digest = ""


class SalvageBidSection(Section):
    """One of `[[claim.salvage_bids]]`."""

    bidder: Annotated[Name, Field(min_length=1, description="who bids")]
    amount: Annotated[Cost, Field(description='an amount in quotes, such as "450.00"')]
    day: Annotated[Day, Field(description="the day of the bid, as 2026-11-20")]
    note: Text = ""
    file: Name = ""
    sha256: _Digest = ""


class NoticeSection(Section):
    """One of `[[claim.notices]]`."""

    day: Annotated[Day, Field(description="the day it was given, as 2026-11-20")]
    how: Annotated[Said, Field(description="how it was given: letter, email, on the delivery note")]
    to: Name = ""
    reservations: Text = ""


class LimitRateSection(Section):
    """One of `[[claim.rates]]`."""

    unit: Annotated[str, Field(pattern=r"^[A-Z]{3}$", description="SDR, or a currency of ISO 4217")]
    rate: Annotated[float, Field(gt=0, le=1e6, description="what one unit comes to in the currency of the case")]
    day: Annotated[Day, Field(description="the day of the rate, as 2026-11-20")]
    source: Text = ""


SECTIONS: dict[tuple[str, ...], type[Section]] = {
    ("identity",): IdentitySection,
    ("assignment",): AssignmentSection,
    ("circumstances",): CircumstancesSection,
    ("market",): MarketSection,
    ("costs",): CostsSection,
    ("earlier_state",): EarlierStateSection,
    ("claim",): ClaimSection,
}
"""Tables of the file."""

LISTS: dict[tuple[str, ...], type[Section]] = {
    ("renewals",): RenewalSection,
    ("grades",): GradeSection,
    ("readings",): ReadingSection,
    ("remarks",): RemarkSection,
    ("photos",): PhotoSection,
    ("effective_ages",): EffectiveAgeSection,
    ("pitch_log",): PitchReadingSection,
    ("drying_clues",): DryingClueSection,
    ("left_out",): LeftOutSection,
    ("market", "comparables"): ComparableSection,
    ("market", "adjustments"): AdjustmentSection,
    ("claim", "quotations"): QuotationSection,
    ("claim", "salvage_bids"): SalvageBidSection,
    ("claim", "notices"): NoticeSection,
    ("claim", "rates"): LimitRateSection,
}
"""Arrays of tables."""

TOP_LEVEL = ("schema", "invented", *dict.fromkeys(path[0] for path in (*SECTIONS, *LISTS)))
"""Every key that may stand at the head of a file."""
