"""One instrument as the appraiser found it: the content of a case file, frozen.

The classes are the one declaration of the case: reading, schema, forms, choices and the words of the trail follow
from their annotations (`model.declaration`).
"""

from __future__ import annotations

from dataclasses import field
from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

from appraise.model.claim import Claim, Exclusion, Finding, Origin, Peril, Stage
from appraise.model.dealings import Offer, Outcome, Practice
from appraise.model.findings import (
    DryingClueSeen,
    EffectiveAge,
    Extent,
    Grade,
    LeftOut,
    PhotoFile,
    PitchReading,
    Reading,
    Remark,
    Renewal,
)
from appraise.model.lazy_dataclass import dataclass
from appraise.model.market import Adjustment, Comparable, Costs, Market
from appraise.model.message import Message, message
from appraise.model.quantities import Units
from appraise.model.span import Span

if TYPE_CHECKING:
    from appraise.model.declaration import Chars, Digest, Form, Key, Name, Named, Number, Remarked, Row, Size, Text

__all__ = (
    "FULL_COMPASS",
    "SCHEMA",
    "STATIONS",
    "STATION_LABELS",
    "Adjustment",
    "Assignment",
    "Case",
    "Circumstances",
    "Comparable",
    "Costs",
    "DryingClueSeen",
    "EarlierState",
    "EffectiveAge",
    "Exclusion",
    "Extent",
    "Finding",
    "Grade",
    "Identity",
    "Kind",
    "LeftOut",
    "Market",
    "Offer",
    "Origin",
    "Outcome",
    "Peril",
    "PhotoFile",
    "PitchReading",
    "Practice",
    "Reading",
    "Remark",
    "Renewal",
    "Stage",
    "Units",
)

STATIONS: tuple[str, ...] = ("structure", "soundboard", "pin_block", "strings", "action", "dampers", "keys", "case")
"""The eight stops of the walk, in walking order."""

STATION_LABELS: dict[str, Message] = {
    "structure": message("Structure"),
    "soundboard": message("Soundboard"),
    "pin_block": message("Pin block"),
    "strings": message("Strings"),
    "action": message("Action"),
    "dampers": message("Dampers"),
    "keys": message("Keys"),
    "case": message("Case"),
}
"""Name of each station."""

FULL_COMPASS = 88
"""Notes of a full compass."""

SCHEMA = 1
"""Version of the case file's layout that this release writes."""


class Kind(StrEnum):
    """The words or figure there."""

    GRAND = "grand"
    UPRIGHT = "upright"

    @property
    def named(self) -> str:
        """The kind with its article: "a grand", "an upright"."""
        return f"an {self}" if self is Kind.UPRIGHT else f"a {self}"


@dataclass(frozen=True, slots=True)
class Identity:
    """The instrument's identity."""

    kind: Annotated[Kind, '"grand" or "upright"', Form("Kind")]
    maker: Annotated[Name, Form("Maker", "Name on the fallboard")] = ""
    model: Annotated[Name, Form("Model", "As the maker calls it")] = ""
    size_cm: Annotated[Size | None, Form("Size", "Length of a grand, height of an upright; 47 in")] = None
    """Length of a grand, height of an upright [cm]."""
    serial: Annotated[Name, Form("Serial number")] = ""
    made: Annotated[Span | None, Form("Built", "1931, 1931-05 or 1925/1931")] = None
    """When it was built."""
    made_evidence: Annotated[Text, Form("How that is known", "Serial list, invoice, date inside")] = ""
    tier: Annotated[
        Key,
        Row("market_factors.tier", "a row of the table market_factors, factor tier", fits=True),
        Form("Maker's standing", "What buyers take the name for; it moves the market factor"),
    ] = ""
    finish: Annotated[Key, Row("finishes", "a finish of the table lives"), Form("Finish", "Surface of the case")] = ""
    key_covering: Annotated[
        Key,
        Row("lives.key_coverings", "a covering of the table lives"),
        Form(
            "Key coverings",
            "▲ Ivory: trade and transport are regulated, check current rules. Celluloid burns fast: no flame",
        ),
    ] = ""
    """Covering of the naturals."""
    compass: Annotated[
        int, Number(12, 120, "notes"), Form("Compass", "How many keys it has, as a rule 88; below it buyers pay less")
    ] = FULL_COMPASS
    overdamper: Annotated[
        bool | None,
        Form("Overdamper", "yes: an upright whose dampers stand above the hammers; buyers pay less. Empty: not stated"),
    ] = None
    drop_action: Annotated[
        bool | None,
        Form(
            "Drop action", "yes: a small upright whose action sits below the keys; dear to service. Empty: not stated"
        ),
    ] = None
    straight_strung: Annotated[
        bool | None,
        Form("Straight-strung", "yes: no bass string crosses over the treble; no: overstrung. Empty: not stated"),
    ] = None
    player: Annotated[
        Key,
        Row("market_factors.fitted", "a row of the table market_factors, factor fitted", fits=True),
        Form("Player or silent system", "What is fitted; it moves the market factor. Empty: not stated"),
    ] = ""
    last_tuned: Annotated[
        Span | None,
        Form("Last tuned", "2025, 2025-05 or 2019/2022: what to expect of the tuning where nobody listened"),
    ] = None
    stairs: Annotated[
        int | None,
        Number(0, 60, "flights"),
        Form("Stairs", "Flights it has to be carried over; they add to carriage. Empty: not stated"),
    ] = None
    owners: Annotated[
        int | None, Number(1, 50), Form("Owners", "Owners known, the present one among them; the report prints it")
    ] = None

    @property
    def design(self) -> tuple[str, ...]:
        """Features of its design that buyers mark down: classes of the table `market_factors`, factor "design"."""
        facts = {
            "overdamper": self.overdamper,
            "drop_action": self.drop_action,
            "straight_strung": self.straight_strung,
            "compass_short": self.compass < FULL_COMPASS,
        }
        return tuple(key for key, there in facts.items() if there)


@dataclass(frozen=True, slots=True)
class Assignment:
    """The assignment: basis of value, client, day."""

    inspected: Annotated[
        date, "the day of the inspection, as 2026-11-20", Form("Inspected on", "Effective date: 2026-11-20")
    ]
    purpose: Annotated[Text, Form("Purpose", "What the value is wanted for", after="currency")] = ""
    basis: Annotated[
        Key,
        Row("bases", "a row of the table bases"),
        Form("Basis of value", "Which kind of price is asked for; the report prints its definition"),
    ] = "private_sale"
    currency: Annotated[
        str,
        Chars(0, r"^[A-Z]{3}$", "three capital letters of ISO 4217, such as EUR"),
        Form("Currency", "ISO 4217: EUR, CHF, GBP"),
    ] = "EUR"
    reported: Annotated[date | None, Form("Reported on", "Day of the report: 2026-11-20")] = None
    place: Annotated[Name, Form("Place", "Where it was inspected")] = ""
    assessor: Annotated[Name, Form("Assessor", "Who inspects and answers for the report")] = ""
    client: Annotated[Name, Form("Client", "Who asks for the value")] = ""
    intended_users: Annotated[Text, Form("Intended users", "Who else may rely on the report")] = ""
    limits: Annotated[Text, Form("Limits", "What could not be seen or opened", long=True)] = ""
    equipment: Annotated[Text, Form("Measured with", "Gauges and weights, and when last checked")] = ""
    law: Annotated[
        Key,
        Row("laws", "a row of the table laws"),
        Form(
            "Depreciation law",
            "How age becomes loss of worth; the others are for whoever is told to use one",
            after="units",
        ),
    ] = "probable_life"
    locale: Annotated[
        Key,
        Row("locales"),
        Form("Reports written as in", "Figures and dates: de_CH, en_US, fr_FR; empty: as on the screen"),
    ] = ""
    """How reports write figures and dates: a locale of the CLDR; empty: the house's own way."""
    units: Annotated[
        Units,
        Form(
            "Measured in",
            labels=(("metric", "metric"), ("inch", "inches, inch-pounds, pounds, °F; touch stays in grams")),
        ),
    ] = Units.METRIC


@dataclass(frozen=True, slots=True)
class Circumstances:
    """Its rooms and its use."""

    climate: Annotated[
        Key,
        Row("climates", "a row of the table climates"),
        Form("Climate", "Where it stood for most of its life; one reading of the day goes into the pitch log below"),
    ] = "seasonal"
    use: Annotated[
        Key, Row("uses", "a row of the table uses"), Form("Use", "How hard it was played for most of its life")
    ] = "domestic"
    records: Annotated[
        Key,
        Row("market_factors.records", "a row of the table market_factors, factor records", fits=True),
        Form("Service records", "Papers of tunings and repairs that you saw"),
    ] = "none"


@dataclass(frozen=True, slots=True)
class EarlierState:
    """A frozen copy of this case as it stood before a move, kept beside it."""

    file: Annotated[Named, "the name of the frozen copy beside this file"]
    sha256: Annotated[
        str,
        Chars(0, r"^[0-9a-f]{64}$", "64 hexadecimal digits in lower case"),
        "the SHA-256 of the frozen copy, as it was when it was set",
    ]
    day: Annotated[date, "the day of its inspection, as 2026-11-20"]
    purpose: Text = ""
    """Purpose of the setting."""
    mended: tuple[Remarked, ...] = ()
    """Remarks of it that were looked for and found mended."""
    trail: Annotated[Digest, "the hash of the last line of the trail when it was set"] = ""


@dataclass(frozen=True, slots=True)
class Case:
    """A whole case file."""

    identity: Annotated[Identity, Form("Instrument")]
    assignment: Annotated[Assignment, Form("Assignment")]
    circumstances: Annotated[Circumstances, Form("Circumstances")] = Circumstances()
    renewals: Annotated[tuple[Renewal, ...], Form("Renewals", one="renewal")] = ()
    grades: Annotated[tuple[Grade, ...], Form("Grades", one="grade")] = ()
    readings: Annotated[tuple[Reading, ...], Form("Readings", one="reading")] = ()
    remarks: Annotated[tuple[Remark, ...], Form("Defects", one="defect")] = ()
    photos: Annotated[tuple[PhotoFile, ...], Form("Photos", one="photo")] = ()
    """Photos of checks, of remarks and of the whole, each file once."""
    effective_ages: Annotated[tuple[EffectiveAge, ...], Form("Effective ages", one="effective age")] = ()
    pitch_log: Annotated[tuple[PitchReading, ...], Form("Pitch log", one="pitch reading")] = ()
    drying_clues: Annotated[tuple[DryingClueSeen, ...], Form("Clues to drying", one="clue to drying")] = ()
    left_out: Annotated[tuple[LeftOut, ...], Form("Cannot be done here", one="cannot be done here")] = ()
    market: Annotated[Market, Form("Market")] = field(default_factory=Market)
    costs: Annotated[Costs, Form("Costs")] = field(default_factory=Costs)
    earlier_state: EarlierState | None = None
    claim: Annotated[Claim, Form("Claim")] = field(default_factory=Claim)
    offer: Annotated[Offer, Form("Offer")] = field(default_factory=Offer)
    outcome: Annotated[Outcome, Form("Outcome")] = field(default_factory=Outcome)
    practice: Annotated[Practice, Form("Practice")] = field(default_factory=Practice)
    invented: Text = ""
    """For demo cases: a sentence saying that everything in the file is invented."""

    @property
    def preliminary(self) -> frozenset[str]:
        """Components that were graded at a quick look, no check of them made since."""
        return frozenset(grade.component for grade in self.grades if grade.preliminary)

    def photo(self, file: str) -> PhotoFile:
        """Return what is known of a photo that the case names; its path alone where nothing else is."""
        return next((photo for photo in self.photos if photo.file == file), PhotoFile(file))

    @property
    def photo_files(self) -> tuple[str, ...]:
        """Every photo that the case names, once."""
        named = (file for remark in self.remarks for file in remark.photos)
        return tuple(dict.fromkeys((*(photo.file for photo in self.photos), *named)))
