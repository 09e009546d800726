"""The engine's answer: plain frozen numbers, no arrays, money as floats in the case's currency."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from appraise.model.measurement import DryingAssessment, PitchLog

from appraise.model.lazy_dataclass import dataclass


@dataclass(frozen=True, slots=True)
class Range:
    """A low, a middle and a high figure: the 10th, 50th and 90th percentile unless said otherwise."""

    low: float
    mid: float
    high: float

    @property
    def width(self) -> float:
        """High less low, in the figure's own unit."""
        return self.high - self.low


@dataclass(frozen=True, slots=True)
class CheckResult:
    """Verdict of one check."""

    check: str
    grade: float
    """The grade it counts for: after the cap, and after the checks that it is judged together with."""
    value: float | None = None
    """The reduced reading, in the check's unit; none for graded and yes/no checks."""
    value_low: float | None = None
    """90 % interval of the reduced reading, where it is a sample."""
    value_high: float | None = None
    readings: int = 0
    capped: bool = False
    alone: float | None = None
    """Its own grade after the cap, where the checks that it is judged together with let it count for less."""
    chance: float = 0.0
    """Of a suspected fault: how likely it is there [–]; 0 where none is suspected."""
    grade_there: float | None = None
    """Of a suspected fault: what it counts for where it is there; `grade` is where it is not."""

    @property
    def own_grade(self) -> float:
        """Return the grade of its own finding after the cap, whatever other checks say [grade]."""
        return self.grade if self.alone is None else self.alone


@dataclass(frozen=True, slots=True)
class ComponentResult:
    """One component at the central values, with its spread."""

    component: str
    label: str
    station: str
    share: float
    """Of replacement cost new [–]."""
    inspected: float
    """How much of what can be known of it has been looked at [–], 0–1; 1 where the assessor set its grade himself."""
    wear_seen: float
    """How much of what shows its wear has been looked at [–], 0–1: that a rare fault is absent shows none of it."""
    checks: tuple[CheckResult, ...]
    governing: str
    """Check that sets the grade; empty when not inspected or overruled."""
    derived_grade: float | None
    """From the checks; none when nothing was checked."""
    overruled: bool
    overrule_reason: str
    expected_grade: float
    """The grade that its age lets expect."""
    unseen_grade: float
    """The grade expected of it where nobody looked: the same, moved by what was seen of the rest."""
    grade: Range
    age_years: Range
    """Age in service."""
    age_evidence: str
    """renewal | clues | undated | repaired | made | stated | unknown."""
    life_years: Range
    """Service life here: 10 %, median, 90 %."""
    consumed: float
    """Consumed share of life after credit for what is seen [–]."""
    depreciation: Range
    """[–]."""
    effective_age_years: float
    remaining_years: Range
    variance_share: float
    """First-order share of the value's variance that its grade and age bring [–]."""
    usability: float
    """Gate of a critical component at its grade [–]; 1 for the others."""
    due: bool = False
    """At or past the grade from which its repair or renewal is due: no life remains."""


@dataclass(frozen=True, slots=True)
class StationResult:
    """One station: its components weighted by share of cost."""

    station: str
    label: str
    grade: Range
    inspected: float
    checks_done: int
    checks_total: int
    depreciation: Range
    effective_age_years: float
    remaining_years: Range
    """Time to the first of its components to need renewal."""
    variance_share: float
    components: tuple[ComponentResult, ...]


class WorkList(StrEnum):
    """The three lists of work, in the order in which they are shown."""

    NEEDED = "needed"
    """Safety first, then what it takes to play and to hold pitch."""
    PAYS = "pays"
    """Adds what it costs, and what a buyer wants for the trouble."""
    PLAYER = "player"
    """Sound advice that a sale does not pay back."""


@dataclass(frozen=True, slots=True)
class WorkItem:
    """One remedy and what it can be expected to cost and to bring."""

    remedy: str
    label: str
    group: WorkList
    hours: Range
    """Low, typical, high [h], of this job alone."""
    cost: Range
    """Money, contingency included: least and most by the table, and between them the mean over the draws."""
    value_added: float
    """Mean rise of the value before cost, next to the rest of the plan."""
    curable: bool
    """Adds at least what it costs and what a buyer wants for the trouble."""
    chosen: bool
    """Part of the best course."""
    step: bool = False
    """Improves nothing itself, and is paid once for the jobs that need it."""
    safety: bool = False
    """Somebody can get hurt until it is done."""
    pieces: int = 1
    """How many pieces it is made for, where it is priced by the piece."""
    if_left: str = ""
    """Consequence of leaving it undone."""


@dataclass(frozen=True, slots=True)
class Outlying:
    """How a sale contradicts others, or the tables, by more than sales scatter."""

    against: str
    """others | tables."""
    score: float
    """Modified z score of its market level [–], signed."""
    times: float
    """Its market level over that of what it contradicts [–]."""


@dataclass(frozen=True, slots=True)
class GridLine:
    """One comparable adjusted to the subject, one feature at a time."""

    label: str
    price: float
    steps: tuple[tuple[str, float], ...]
    """(feature, money added), in the order applied: time | kind_of_sale | size | age_and_condition."""
    adjusted: float
    gross_pct: float
    net_pct: float
    weight: float
    """[–], the column sums to 1."""
    flagged: bool
    """Past the stated gross limit."""
    market_factor: float
    """Its price over its own modelled retail-level depreciated cost [–]."""
    outlying: Outlying | None = None
    """How it stands out; none where it does not. No figure hangs on it."""


@dataclass(frozen=True, slots=True)
class Approach:
    """One approach to value."""

    approach: str
    """cost | sales."""
    value: Range
    relative_uncertainty: float
    """Standard uncertainty over value [–]."""
    weight: float
    used: bool
    weighting: str
    """Why it has this weight: stated | precision; why none: no_comparables | off_basis; empty: it is the only one."""
    reason: str = ""
    """The assessor's own words for a stated weight."""


@dataclass(frozen=True, slots=True)
class Driver:
    """One uncertain input and the share of the value's variance it brings."""

    input: str
    share: float
    """First-order [–]."""

    @property
    def name(self) -> str:
        """Its name in addresses and outputs, in one word."""
        return self.input.replace(" ", "_")

    @property
    def address(self) -> str:
        """Return its address in the reason tree."""
        return f"range.{self.name}"


@dataclass(frozen=True, slots=True)
class NextCheck:
    """A check not yet made or still in doubt, and what making it would do to the range."""

    check: str
    label: str
    station: str
    component: str
    narrows_pct: float
    """Expected fall of the range's width [%]."""
    minutes: float


@dataclass(frozen=True, slots=True)
class Suspected:
    """A fault that is suspected, and the value without it and with it."""

    check: str
    label: str
    chance: float
    """[–]"""
    without: float
    """Median of the draws in which it is not there [money]."""
    counted: float
    """Median of those in which it is [money]."""


@dataclass(frozen=True, slots=True)
class NextIntervention:
    """The next large job after what is due now."""

    component: str
    """Most likely to bring it."""
    label: str
    probability: float
    """That it is this one [–]."""
    years: Range
    competing: tuple[str, ...] = ()
    """Every component that could bring it: its renewal is a large job and it is not due now."""


@dataclass(frozen=True, slots=True)
class DuePart:
    """A component without remaining life."""

    component: str
    label: str
    station: str
    grade: float
    large: bool
    """Its renewal is a large job."""
    inspected: bool
    """False where its age alone lets expect so and nobody looked."""


@dataclass(frozen=True, slots=True)
class EconomicLife:
    """How long an instrument is worth more than its disposal and than the work it needs."""

    years: Range
    """From the inspection; at the longest `longest`."""
    longest: float
    """End of the projection [years]: a figure that reaches it stands for this or more."""
    by_value: float
    """Share of the draws in which disposal comes to bring as much as the best course [–]."""
    by_work: float
    """Share in which work that playing needs comes to cost more than the sound instrument is worth [–]."""
    part: str
    """Component whose renewal ends it most often; empty where work never does."""
    part_label: str
    basis: str
    """Kind of sale at which the instrument is priced."""


@dataclass(frozen=True, slots=True)
class General:
    """Inference from the parts that were inspected to those that were not."""

    grade: float
    """Mean of the grades seen, each by how much of it was seen, its share of cost and how far it speaks."""
    weight: float
    """How far it moves what age lets expect [–], in [0, 1)."""


@dataclass(frozen=True, slots=True)
class Valuation:
    """Everything the engine says about a case."""

    basis: str
    currency: str
    value: Range | None
    """As it stands, rounded outward; none without a replacement cost new."""
    exact: Range | None
    """The same before rounding."""
    percentiles: tuple[tuple[int, float], ...]
    share_of_new: Range
    """Σ share · (1 − D) times usability: what condition leaves of a new one [–]."""
    left_alone: Range | None
    after_work: Range | None
    """Best plan done, its cost taken off."""
    salvage: Range | None
    """Less removal; may be negative."""
    plan_cost: Range | None
    taking: float
    """What a buyer pays for carriage and first tunings, or what a dealer pays before the resale, whatever the
    condition is [money]; taken off already."""
    option: float
    """What opening the instrument could add: the choice of the course kept open, over the best course chosen today
    [money]; counted in the value."""
    renewal: float
    """Effect of renewals on the market age at the central figures [–]; 1 where nothing was renewed."""
    appearance: float
    """Share that the looks leave of it at the central figures [–]."""
    best: str
    """left_alone | after_work | salvage: what sets the value at the central figures."""
    market_age: float
    """Central age at which the market factor is taken [years]."""
    market_factor: Range
    market_factor_from: str
    """comparables | table."""
    basis_factor: Range
    usability: float
    step: float
    """Rounding step [money]."""
    work: tuple[WorkItem, ...]
    stations: tuple[StationResult, ...]
    general: General | None
    """Absent where nothing was inspected."""
    due: tuple[DuePart, ...]
    """Components without remaining life, in walking order; a fault of the whole is none."""
    next_intervention: NextIntervention | None
    """Absent where everything that could bring it is due now."""
    next_checks: tuple[NextCheck, ...]
    """Every check not yet made, and those by which a fault is suspected, most informative first."""
    suspected: tuple[Suspected, ...]
    """Empty without a value in money."""
    approaches: tuple[Approach, ...]
    disagreement: float
    """By how much the range of both approaches is wider because they contradict one another: a relative standard
    deviation [–]."""
    grid: tuple[GridLine, ...]
    drivers: tuple[Driver, ...]
    """Largest first."""
    laws: tuple[tuple[str, float], ...]
    """Share of new left under every depreciation law, at the central values [–]."""
    pitch_log: PitchLog | None
    """Absent without a log."""
    drying: DryingAssessment | None
    """Absent where no clue was looked for."""
    tables_version: str
    seed: int
    draws: int

    def component(self, key: str) -> ComponentResult:
        """Return one component's result.

        Raises:
            KeyError: No such component in this instrument.
        """
        for station in self.stations:
            for component in station.components:
                if component.component == key:
                    return component
        raise KeyError(key)

    def station(self, key: str) -> StationResult:
        """Return one station's result.

        Raises:
            KeyError: No such station.
        """
        for station in self.stations:
            if station.station == key:
                return station
        raise KeyError(key)
