"""The rows of the reference tables as frozen data; what each column means is said here once."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from appraise.model.case import Kind
    from appraise.tables import rows_carriage, rows_wood


class Standing(StrEnum):
    """How far a row can be relied on."""

    PUBLISHED = "published"
    COMMON_PRACTICE = "common practice"
    FROM_MEMORY = "from memory"
    OUR_ASSUMPTION = "our assumption"


class CheckKind(StrEnum):
    """How a check is answered."""

    GRADED = "graded"
    """A grade 1–5 by the words of the row."""
    MEASURED = "measured"
    """A quantity in `unit`, turned into a grade by the anchors."""
    COUNT = "count"
    """A whole number of places or notes, turned into a grade by the anchors."""
    YES_NO = "yes_no"
    """Present or not; `grade_yes` and `grade_no` say what that means."""
    RECORD = "record"
    """A text to write down; it carries no grade."""


class Statistic(StrEnum):
    """How several readings of one check become one number."""

    MEAN = "mean"
    WORST = "worst"
    """The reading with the worst grade."""
    P90 = "p90"
    """The grade that one reading in ten exceeds."""
    SHARE = "share"
    """Percentage of the readings that grade worse than 3 (out of tolerance)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """What every row carries."""

    table: str
    key: str
    standing: Standing
    source: str = "none"
    """Key in `sources`, or "none" where the standing allows it."""
    where: str = ""
    """Page, table or equation in the source."""
    row_note: str = ""
    yours: bool = False
    """True when the row came from the user's own tables."""

    @property
    def ref(self) -> str:
        """Return the row's address, `table/key`."""
        return f"{self.table}/{self.key}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Something a row rests on."""

    key: str
    author: str
    title: str
    publisher: str = ""
    year: str = ""
    url: str = ""
    """DOI or address."""
    licence: str = ""
    seen: date | None = None
    """When somebody last had it in hand; none: never, quoted from memory or second hand."""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Component(Row):
    """A part that ages and is renewed."""

    label: str
    station: str
    kinds: tuple[Kind, ...]
    share_grand: float = 0.0
    """Share of a grand's replacement cost new [–]; the column sums to 1."""
    share_upright: float = 0.0
    """The same for an upright."""
    critical: bool = False
    """Its failure makes the whole instrument unusable."""
    visibility: float
    """How far inspection shows its wear [–], 0 hidden … 1 plain to see."""
    speaks: float = 1.0
    """How far its condition speaks for parts nobody has looked at, against its share of cost [–]: a scratched case says
    little of the pin block."""
    gate: tuple[tuple[float, float], ...] = ()
    """Usability of the whole by this component's grade: (grade, factor) points, linear between. Critical components
    have one; another has one where nobody could use the instrument until it is mended, as with a leg."""

    def share(self, kind: Kind) -> float:
        """Return the share of replacement cost new [–] for a grand or an upright."""
        return self.share_grand if kind == "grand" else self.share_upright


@dataclass(frozen=True, slots=True, kw_only=True)
class Life(Row):
    """Service life of a component."""

    component: str
    variant: str = ""
    """Material this row is for (identity.finish, identity.key_covering); empty: any other."""
    low: float
    """10 % quantile in domestic use [years]."""
    typical: float
    """Median in domestic use [years]."""
    high: float
    """90 % quantile in domestic use [years]."""
    heavy_low: float
    """10 % quantile under school or practice use [years]."""
    heavy_typical: float
    heavy_high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Check(Row):
    """One thing to look at or measure."""

    station: str
    component: str
    kinds: tuple[Kind, ...]
    label: str
    kind: CheckKind
    unit: str = ""
    """Unit of a measured reading, as `model.units` names it; empty for the other kinds."""
    anchors: tuple[tuple[float, float], ...] = ()
    """(value, grade) points, values rising; linear between, flat beyond."""
    statistic: Statistic = Statistic.MEAN
    per_note: bool = False
    """Readings are taken note by note."""
    plausible: tuple[float, float] | None = None
    """Readings outside are refused."""
    half_difference: tuple[str, ...] = ()
    """Two checks made note by note: where it has no readings of its own, they follow as half their difference."""
    half_sum: tuple[str, ...] = ()
    """The same as half their sum."""
    grade_yes: float = 1.0
    grade_no: float = 1.0
    cap: float = 5.0
    """The worst grade this check alone can cause."""
    weight: float = 1.0
    """How much of what can be known of the component this check shows, relative to its other checks; > 0
    unless the check is a record."""
    minutes: float = 2.0
    """Time it takes [min]."""
    words: tuple[tuple[float, str], ...] = ()
    """(grade, wording) for what is seen at that grade."""
    how: str = ""
    caution: str = ""
    put_right_by: str = ""
    """Remedy that puts the check right and mends no part, as a tuning does; empty: the part wants mending."""
    disputed: str = ""
    """Where practitioners disagree, both views."""


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
    stage: float = 50.0
    """Its turn in the workshop, lower first: a plate comes out before what needs that, an action is regulated after."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis(Row):
    """A kind of value."""

    label: str
    definition: str
    method: str
    """replacement (new for old) | depreciated (like for like, no market factor) | market (a channel's share
    of the retail price) | residual (resale less work, carriage, holding and margin)."""
    low: float = 1.0
    """Channel's share of the retail price [–]."""
    typical: float = 1.0
    high: float = 1.0


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Law(Row):
    """A way from age and life to the consumed share of life."""

    label: str
    how: str
    rate: float | None = None
    """Declining balance: share of the remaining value lost each year [–]."""
    schedule: tuple[float, ...] = ()
    """Schedule: percent good after 1, 2, … years [%]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Climate(Row):
    """Where an instrument stood, as multipliers on service life."""

    label: str
    default: float
    """Multiplier for components not named [–]."""
    factors: Mapping[str, float] = field(default_factory=dict)
    """Component → multiplier [–]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Use(Row):
    """How hard an instrument works."""

    label: str
    weight: float
    """Life = domestic^(1−w) · heavy^w, w this weight [–]; negative for light use."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DatingClue(Row):
    """A look that speaks of the years since a renewal."""

    label: str
    components: tuple[str, ...]
    low: float
    """Fewest years [years]."""
    high: float
    """Most years [years]."""
    reliability: float
    """Weight r of the clue's interval against "says nothing" [–]."""


DRIED_OUT = "dried_out"
"""The story of `drying_stories` that every other is weighed against."""


class ClueRole(StrEnum):
    """What a clue to drying speaks of."""

    DAMAGE = "damage"
    """What drying does to wood and glue."""
    HISTORY = "history"
    """That the air was dry for long: the cause, not the damage."""
    CONTEXT = "context"
    """What makes dry air likely."""
    DAMP = "damp"
    """The opposite: signs of damp."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingStory(Row):
    """One of the stories that compete to explain what is seen."""

    label: str
    odds: float
    """Before any clue, relative to the other stories [–]."""
    means: str
    """What it would mean for the owner."""
    advice: str
    """What to watch or do where it leads."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingClue(Row):
    """Something to look for that speaks for or against drying out."""

    label: str
    section: str
    """Where it is seen; clues of one section are not independent witnesses."""
    role: ClueRole
    strength: float
    """1 weak to 5 strong, as practitioners weigh it."""
    seen_if_dried: float
    """How often it is seen in an instrument that has dried out [–]."""
    ratios: Mapping[str, float] = field(default_factory=dict)
    """Rival story → likelihood ratio of seeing the clue, dried out against that rival [–]."""
    checks: tuple[str, ...] = ()
    """Checks of the walk that tell of it."""
    from_grade: float | None = None
    """Seen when one of the checks grades this or worse."""
    above: float | None = None
    """And its reading is not below this, in the check's unit."""
    below: float | None = None
    """And its reading is not above this, in the check's unit."""
    climates: tuple[str, ...] = ()
    """Seen where the case states one of these climates."""
    verdict: str = ""
    """Seen when the pitch log comes to this verdict."""
    other: str = ""
    """Other explanations, in words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionClass(Row):
    """One of Heidecke's nine classes."""

    grade: float
    c_pct: float
    """Heidecke's depreciation for condition alone [%]."""
    label: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Prior(Row):
    """The grade expected of a component nobody has looked at, by the consumed share of its life."""

    consumed: float
    """Consumed share of life [–]."""
    grade: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution(Row):
    """A warning shown where it applies."""

    text: str
    short: str = ""
    """The same in one short sentence, for a page without room."""
    checks: tuple[str, ...] = ()
    components: tuple[str, ...] = ()
    stations: tuple[str, ...] = ()
    kinds: tuple[Kind, ...] = ()
    """Empty: both."""
    materials: tuple[str, ...] = ()
    """Applies when identity.finish or identity.key_covering is one of these."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting(Row):
    """One number of the method."""

    value: float
    unit: str
    means: str


class Sense(StrEnum):
    """On which side of its line a reading is as expected."""

    ABOUT = "about"
    LEAST = "least"
    MOST = "most"


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteNorm(Row):
    """What a check is expected to read, note by note."""

    check: str
    """The check whose readings it speaks of, in that check's unit."""
    sense: Sense
    points: tuple[tuple[float, float], ...]
    """(key number, value) points, linear between, flat beyond."""
    departure: float = 0.0
    """How far beyond the line a note is still as expected, in the unit of the check."""
    even: float = 0.0
    """How far a note may stand from its neighbours, in the same unit; 0: not looked at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RegulationTarget(Row):
    """One adjustment of a regulation sheet; its tolerance is a check's, or its own where no check measures it."""

    label: str
    sheet: str
    """action | dampers."""
    kinds: tuple[Kind, ...]
    check: str = ""
    unit: str = ""
    anchors: tuple[tuple[float, float], ...] = ()
    """(value, grade) points where there is no check."""
    plausible: tuple[float, float] | None = None
    how: str = ""
    minutes_per_note: float
    """Time to put one note right [min]."""
    setup_hours: float
    """Time before the first note [h]."""
    disturbs: tuple[str, ...] = ()
    """Adjustments to be gone through again on the same notes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DamperReach(Row):
    """How far up damper felts commonly go."""

    felt: str
    """wedge | any."""
    label: str
    note_low: float
    """[key number]."""
    note_high: float
    """[key number]."""


@dataclass(frozen=True, slots=True, eq=False)
class Tables:
    """Every table, by key, in file order; compared by identity, so that what is derived from it can be kept."""

    components: Mapping[str, Component]
    lives: Mapping[str, Life]
    checks: Mapping[str, Check]
    remedies: Mapping[str, Remedy]
    bases: Mapping[str, Basis]
    market_factors: Mapping[str, MarketFactor]
    laws: Mapping[str, Law]
    climates: Mapping[str, Climate]
    uses: Mapping[str, Use]
    dating_clues: Mapping[str, DatingClue]
    drying_stories: Mapping[str, DryingStory]
    drying_clues: Mapping[str, DryingClue]
    condition_classes: Mapping[str, ConditionClass]
    priors: Mapping[str, Prior]
    cautions: Mapping[str, Caution]
    settings: Mapping[str, Setting]
    note_norms: Mapping[str, NoteNorm]
    regulation_targets: Mapping[str, RegulationTarget]
    damper_reach: Mapping[str, DamperReach]
    woods: Mapping[str, rows_wood.Wood]
    sorption: Mapping[str, rows_wood.SorptionTerm]
    wire_grid: Mapping[str, rows_wood.WireGridPoint]
    wire_strengths: Mapping[str, rows_wood.WireStrength]
    wire_materials: Mapping[str, rows_wood.WireMaterial]
    tension_ceilings: Mapping[str, rows_wood.TensionCeiling]
    pitch_raises: Mapping[str, rows_wood.PitchRaise]
    overpulls: Mapping[str, rows_wood.Overpull]
    climate_limits: Mapping[str, rows_wood.ClimateLimit]
    settling_times: Mapping[str, rows_wood.SettlingTime]
    reading_ranges: Mapping[str, rows_wood.ReadingRange]
    carriage_rules: Mapping[str, rows_carriage.CarriageRule]
    damage_signs: Mapping[str, rows_carriage.DamageSign]
    move_steps: Mapping[str, rows_carriage.MoveStep]
    sources: Mapping[str, Source]
    version: str
    """SHA-256 over the content of every table, the user's rows included, first 12 hex digits."""

    def setting(self, key: str) -> float:
        """Return the value of one setting, in the unit its row states."""
        return self.settings[key].value

    def life(self, component: str, variant: str = "") -> Life:
        """Return the life row for a component and, where it matters, a material.

        Raises:
            KeyError: The component has no row at all.
        """
        fallback: Life | None = None
        for row in self.lives.values():
            if row.component == component:
                if row.variant == variant:
                    return row
                if fallback is None or not row.variant:
                    fallback = row
        if fallback is None:
            raise KeyError(component)
        return fallback
