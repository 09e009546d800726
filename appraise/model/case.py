"""One instrument as the appraiser found it: the content of a case file, frozen."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal  # noqa: TC003 - dataclass fields are read at run time by the store
from enum import StrEnum
from math import sqrt
from typing import TYPE_CHECKING

from appraise.model.claim import Claim, Exclusion, Finding, Origin, Peril, Stage
from appraise.model.locale_format import Units
from appraise.model.message import Message, message
from appraise.model.span import Span  # noqa: TC001

if TYPE_CHECKING:
    from datetime import date

STATIONS: tuple[str, ...] = (
    "structure",
    "soundboard",
    "pin_block",
    "strings",
    "action",
    "dampers",
    "keys",
    "case",
)
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
"""What a person reads for each station."""

FULL_COMPASS = 88
"""Notes of a full compass."""

SCHEMA = 1
"""Version of the case file's layout that this release writes."""


class Kind(StrEnum):
    """What stands there."""

    GRAND = "grand"
    UPRIGHT = "upright"

    @property
    def named(self) -> str:
        """The kind with its article: "a grand", "an upright"."""
        return f"an {self}" if self is Kind.UPRIGHT else f"a {self}"


class Extent(StrEnum):
    """How far a renewal went."""

    RENEWED = "renewed"
    """Replaced or rebuilt: the component's age starts again."""
    REPAIRED = "repaired"
    """Mended: a share of the age is given back."""


@dataclass(frozen=True, slots=True)
class Identity:
    """What the instrument is."""

    kind: Kind
    maker: str = ""
    model: str = ""
    size_cm: float | None = None
    """Length of a grand, height of an upright [cm]."""
    serial: str = ""
    made: Span | None = None
    """When it was built."""
    made_evidence: str = ""
    """How the year is known: serial list, invoice, date found inside."""
    tier: str = ""
    """Standing of the maker in the market: a class of the table `market_factors`, factor "tier"."""
    finish: str = ""
    """Surface of the case: a variant of the table `lives`, component "finish"."""
    key_covering: str = ""
    """Covering of the naturals: a variant of the table `lives`, component "key_coverings"."""
    compass: int = 88
    """Number of notes."""
    overdamper: bool | None = None
    """An upright whose damper mechanism stands above the hammers; none: not stated."""
    drop_action: bool | None = None
    """An action that sits below the level of the keys, as in a small upright; none: not stated."""
    straight_strung: bool | None = None
    """Strung without the bass crossing over the treble; none: not stated."""
    player: str = ""
    """Player or silent system: a class of the table `market_factors`, factor "fitted"; empty: not stated."""
    last_tuned: Span | None = None
    """When it was last tuned."""
    stairs: int | None = None
    """Flights of stairs that it has to be carried over; none: not stated."""
    owners: int | None = None
    """Owners known, the present one among them; none: not stated."""

    @property
    def design(self) -> tuple[str, ...]:
        """What its design has that buyers mark down: classes of the table `market_factors`, factor "design"."""
        facts = {
            "overdamper": self.overdamper,
            "drop_action": self.drop_action,
            "straight_strung": self.straight_strung,
            "compass_short": self.compass < FULL_COMPASS,
        }
        return tuple(key for key, there in facts.items() if there)


@dataclass(frozen=True, slots=True)
class Assignment:
    """What is asked, by whom, when."""

    inspected: date
    """Effective date: the day of the inspection."""
    purpose: str = ""
    basis: str = "private_sale"
    """Kind of value asked for: a row of the table `bases`."""
    currency: str = "EUR"
    """ISO 4217 code."""
    reported: date | None = None
    place: str = ""
    assessor: str = ""
    client: str = ""
    intended_users: str = ""
    limits: str = ""
    """What could not be seen or opened, in the assessor's words."""
    equipment: str = ""
    """What was measured with, and when it was last checked."""
    law: str = "probable_life"
    """Depreciation law: a row of the table `laws`."""
    locale: str = ""
    """How reports write figures and dates: a locale of the CLDR; empty: the house's own way."""
    units: Units = Units.METRIC
    """What reports give lengths and the like in."""


@dataclass(frozen=True, slots=True)
class Circumstances:
    """Where it stood and how hard it worked."""

    climate: str = "seasonal"
    """A row of the table `climates`."""
    use: str = "domestic"
    """A row of the table `uses`."""
    records: str = "none"
    """Service records: a class of the table `market_factors`, factor "records"."""


@dataclass(frozen=True, slots=True)
class Renewal:
    """A dated event that replaced, rebuilt or mended components."""

    components: tuple[str, ...]
    date: Span | None = None
    clues: tuple[str, ...] = ()
    """Rows of the table `dating_clues`, used where no date is documented."""
    extent: Extent = Extent.RENEWED
    gives_back_pct: float | None = None
    """Share of the age that a repair gives back [%]; none: the table's usual share."""
    by: str = ""
    evidence: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Grade:
    """A grade given by the assessor, for one check or, overruling, for a whole component."""

    grade: float
    """1 as new … 5 spent, in half steps."""
    check: str = ""
    component: str = ""
    """Set instead of `check` when the derived grade is overruled."""
    reason: str = ""
    preliminary: bool = False
    """Of a component, given at a quick look: it stands until a check of the component is made."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What a check gave: a number with its unit, yes or no, or a text to record."""

    check: str
    value: float | bool | str
    unit: str = ""
    """Always the unit of the check's row: the store converts at the boundary."""
    note: int | None = None
    """Note 1–88 where the check is made note by note."""
    place: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Remark:
    """A defect seen."""

    place: str
    """A station or a component."""
    text: str
    cause: str = ""
    origin: Origin = Origin.UNKNOWN
    notes: tuple[int, ...] = ()
    """Notes concerned, 1–88."""
    photos: tuple[str, ...] = ()
    """Paths relative to the case file; what is known of each stands in the case's own list."""
    earlier: int | None = None
    """Which remark of the remembered earlier state this one goes on from, counted from 1."""
    worse: bool = False
    """It is worse than it was in the earlier state."""
    finding: Finding = Finding.YES
    """Whether the fault is there: seen, suspected, looked for in vain, or not seen."""
    probability_pct: float | None = None
    """Of a suspected fault, how likely it is there [%]; none: the table's."""
    check: str = ""
    """Of a suspected fault, the yes-or-no check that it would answer with yes."""
    jobs: tuple[str, ...] = ()
    """Rows of the table `remedies` that mend it, where no grade or reading calls for them."""
    peril: Peril | None = None
    """What did it; none: not stated."""
    stage: Stage | None = None
    """During which part of the carriage; none: not stated."""
    exclusion: Exclusion | None = None
    """What an insurer or a carrier says frees him of it; none: nothing is claimed."""
    exclusion_for: str = ""
    """The sign for that exclusion that was seen."""
    exclusion_against: str = ""
    """The sign against it that was seen."""
    share_pct: float | None = None
    """Share of this damage that is put down to the move [%]; none: all of it."""
    share_reason: str = ""
    """Why it is that share."""

    @property
    def attributed_to(self) -> Origin:
        """The origin, with climate during the carriage counted as the carriage."""
        carried = self.stage in (Stage.HANDING_OVER, Stage.IN_TRANSIT, Stage.DELIVERY)
        return Origin.TRANSIT if self.origin is Origin.CLIMATE and carried else self.origin


@dataclass(frozen=True, slots=True)
class PhotoFile:
    """What was written down of a photo when it was entered."""

    file: str
    """Path relative to the case file."""
    sha256: str = ""
    """Of its bytes, hexadecimal; empty: it was never hashed."""
    taken: str = ""
    """When the camera says that it was taken, ISO 8601, with the offset from UTC where it says so too."""
    caption: str = ""
    checks: tuple[str, ...] = ()
    """The checks it shows."""
    whole: bool = False
    """It shows the instrument as a whole."""
    mark: str = ""
    """An arrow or a circle drawn on it in documents, as `model.photo_mark` has it; the file itself stays as it is."""


@dataclass(frozen=True, slots=True)
class PitchReading:
    """One line of the pitch log: how far a note stood from its place on a day."""

    date: date
    note: int
    """Note 1–88."""
    cents: float
    """Deviation from equal temperament at the agreed pitch [cents], flat negative."""
    temperature: float | None = None
    """Of the air beside the instrument [°C]."""
    humidity: float | None = None
    """Relative humidity there [%]."""
    remark: str = ""


@dataclass(frozen=True, slots=True)
class DryingClueSeen:
    """A clue to drying that the assessor looked for."""

    clue: str
    """A row of the table `drying_clues`."""
    seen: bool
    """False: looked for, and not there."""
    remark: str = ""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A check that could not be made on this visit."""

    check: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Comparable:
    """A like instrument that was sold or offered."""

    label: str
    price: Decimal
    date: date
    sale: str
    """Kind of sale: a row of the table `bases`."""
    made: Span
    grade: float
    """Its general condition, 1–5."""
    size_cm: float | None = None
    distance_km: float = 0.0
    replacement_cost_new: Decimal | None = None
    """Of the comparable; none: the subject's."""
    source: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Adjustment:
    """A named adjustment of the assessor: provenance, originality, … with a reason."""

    name: str
    reason: str
    pct: float | None = None
    """Change of the value [%], from −100."""
    amount: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Market:
    """Prices outside the instrument."""

    replacement_cost_new: Decimal | None = None
    replacement_cost_low: Decimal | None = None
    replacement_cost_high: Decimal | None = None
    replacement_source: str = ""
    comparables: tuple[Comparable, ...] = ()
    adjustments: tuple[Adjustment, ...] = ()
    yearly_price_change_pct: float = 0.0
    """Market trend used to bring a comparable's price to the effective date [% a year]."""
    weight_cost_pct: float | None = None
    """Weight of the cost approach in the reconciliation; none: by the precision of each."""
    weight_reason: str = ""

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
    """What work and handling cost here."""

    labour_rate: Decimal | None = None
    """Per hour; none: no remedy can be costed. 0 for work that costs nothing, as one's own may: parts still do."""
    parts_rate: Decimal | None = None
    """Rate an hour by which parts are priced, which the tables give as a share of labour; none: the labour rate."""
    overhead_pct: float | None = None
    contingency_pct: float | None = None
    margin_pct: float | None = None
    carriage: Decimal | None = None
    preparation: Decimal | None = None
    """Getting it ready for a showroom; none: the table's hours."""
    guarantee: Decimal | None = None
    """What a dealer sets aside for it; none: the table's share of the resale price."""
    holding: Decimal | None = None
    removal: Decimal | None = None
    """Taking the instrument away; none: the table's hours at the labour rate."""

    @property
    def reckoned(self) -> bool:
        """True where work can be costed: a labour rate is stated, and where it is 0 a rate for the parts."""
        return self.labour_rate is not None and bool(self.labour_rate or self.parts_rate)


@dataclass(frozen=True, slots=True)
class EffectiveAge:
    """An effective age stated by the assessor in place of the calculated one."""

    component: str
    years: float
    reason: str


@dataclass(frozen=True, slots=True)
class EarlierState:
    """A frozen copy of this case as it stood before a move, kept beside it."""

    file: str
    """Its name; it lies in the folder of the case file."""
    sha256: str
    """Of its bytes, hexadecimal."""
    day: date
    """The day of its inspection."""
    purpose: str = ""
    """What it was set for."""
    mended: tuple[int, ...] = ()
    """Remarks of it that were looked for and found mended, counted from 1."""
    trail: str = ""
    """Hash of the last line of the trail when it was set; empty where there was no trail."""


@dataclass(frozen=True, slots=True)
class Case:
    """A whole case file."""

    identity: Identity
    assignment: Assignment
    circumstances: Circumstances = Circumstances()
    renewals: tuple[Renewal, ...] = ()
    grades: tuple[Grade, ...] = ()
    readings: tuple[Reading, ...] = ()
    remarks: tuple[Remark, ...] = ()
    photos: tuple[PhotoFile, ...] = ()
    """Photos of checks, of remarks and of the whole, each file once."""
    effective_ages: tuple[EffectiveAge, ...] = ()
    pitch_log: tuple[PitchReading, ...] = ()
    drying_clues: tuple[DryingClueSeen, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    market: Market = field(default_factory=Market)
    costs: Costs = field(default_factory=Costs)
    earlier_state: EarlierState | None = None
    claim: Claim = field(default_factory=Claim)
    invented: str = ""
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
