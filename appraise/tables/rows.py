"""The rows of the reference tables as frozen data, and their sources; what each column means is said here once."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from appraise.model.case import STATIONS
from appraise.model.lazy_dataclass import dataclass
from appraise.tables import columns as read
from appraise.tables.columns import cell

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from appraise.model.case import Kind
    from appraise.tables import rows_ageing, rows_carriage, rows_measurements, rows_worth


class Standing(StrEnum):
    """How far a row can be relied on."""

    PUBLISHED = "published"
    OWN_EVIDENCE = "own evidence"
    """Learned from the practice's own sales or cases; a row of the user's tables alone."""
    COMMON_PRACTICE = "common practice"
    FROM_MEMORY = "from memory"
    OUR_ASSUMPTION = "our assumption"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Columns that every row carries."""

    table: str
    key: str = cell(read.key)
    standing: Standing = cell(read.choice(Standing))
    source: str = cell(read.filled, "none", required=True)
    """Key in `sources`, or "none" where the standing allows it."""
    where: str = cell(read.text, "")
    """Page, table or equation in the source."""
    row_note: str = cell(read.text, "", column="note")
    yours: bool = False
    """True when the row came from the user's own tables."""

    @property
    def ref(self) -> str:
        """Return the row's address, `table/key`."""
        return f"{self.table}/{self.key}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Something a row rests on."""

    key: str = cell(read.key)
    author: str = cell(read.filled)
    title: str = cell(read.filled)
    publisher: str = cell(read.text, "")
    year: str = cell(read.text, "")
    url: str = cell(read.text, "")
    """DOI or address."""
    licence: str = cell(read.text, "")
    seen: date | None = cell(read.day, None)
    """When somebody last had it in hand; none: never, quoted from memory or second hand."""
    note: str = cell(read.text, "")


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
class Component(Row):
    """A part that ages and is renewed."""

    label: str = cell(read.filled)
    station: str = cell(read.filled, of=STATIONS)
    kinds: tuple[Kind, ...] = cell(read.some_kinds)
    label_grand: str = cell(read.text, "")
    """Its name in a grand; empty: the label does for both kinds."""
    label_upright: str = cell(read.text, "")
    """The same in an upright."""
    share_grand: float = cell(read.share, 0.0)
    """Share of a grand's replacement cost new [–]; the column sums to 1."""
    share_upright: float = cell(read.share, 0.0)
    """The same for an upright."""
    critical: bool = cell(read.flag, False)
    """Its failure makes the whole instrument unusable."""
    visibility: float = cell(read.between(0.15, 0.4))
    """How far inspection shows its wear [–], 0 hidden … 1 plain to see."""
    speaks: float = cell(read.between(0.0, 1.0), 1.0)
    """How far its condition speaks for parts nobody has looked at, against its share of cost [–]: a scratched case says
    little of the pin block."""
    gate: tuple[tuple[float, float], ...] = cell(read.points, ())
    """Usability of the whole by this component's grade: (grade, factor) points, linear between. Critical components
    have one, and so has every other part whose failure stops or spoils playing."""
    appearance: tuple[tuple[float, float], ...] = cell(read.points, ())
    """Share of the value that this component's looks leave, by its grade: (grade, factor) points, linear between; empty
    where its looks do not matter."""
    due_from: float = cell(read.grade, 4.0)
    """Grade from which its renewal or repair is due now: it has no remaining life."""
    hazard: bool = cell(read.flag, False)
    """No part but a fault of the whole, as flood, borers, mould or a lost pitch: it has no share of cost, does not age,
    and is taken to be absent where nobody looked."""

    def named(self, kind: Kind) -> str:
        """Return what a grand's or an upright's part is called."""
        return (self.label_grand if kind == "grand" else self.label_upright) or self.label

    def share(self, kind: Kind) -> float:
        """Return the share of replacement cost new [–] for a grand or an upright."""
        return self.share_grand if kind == "grand" else self.share_upright


@dataclass(frozen=True, slots=True, kw_only=True)
class Check(Row):
    """One thing to look at or measure."""

    station: str
    component: str = cell(read.filled, of="components")
    kinds: tuple[Kind, ...] = cell(read.some_kinds)
    label: str = cell(read.filled)
    kind: CheckKind = cell(read.choice(CheckKind))
    unit: str = cell(read.text, "")
    """Unit of a measured reading, as `model.quantities` names it; empty for the other kinds."""
    anchors: tuple[tuple[float, float], ...] = cell(read.points, ())
    """(value, grade) points, values rising; linear between, flat beyond."""
    statistic: Statistic = cell(read.choice(Statistic), Statistic.MEAN)
    per_note: bool = cell(read.flag, False)
    """Readings are taken note by note."""
    plausible: tuple[float, float] | None = cell(read.pair, None)
    """Readings outside are refused."""
    half_difference: tuple[str, ...] = cell(read.names, (), of="checks")
    """Two checks made note by note: where it has no readings of its own, they follow as half their difference."""
    half_sum: tuple[str, ...] = cell(read.names, (), of="checks")
    """The same as half their sum."""
    grade_yes: float = cell(read.grade, 1.0)
    grade_no: float = cell(read.grade, 1.0)
    cap: float = cell(read.grade, 5.0)
    """The worst grade this check alone can cause."""
    weight: float = cell(read.between(0.0, 1000.0), 1.0)
    """How much of what can be known of the component this check shows, relative to its other checks; > 0
    unless the check is a record."""
    minutes: float = cell(read.between(0.05, 100000.0), 2.0, required=True)
    """Time it takes [min]."""
    words: tuple[tuple[float, str], ...] = cell(read.wordings, ())
    """(grade, wording) for what is seen at that grade."""
    how: str = cell(read.text, "")
    caution: str = cell(read.text, "")
    wear: float = cell(read.between(0.0, 1.0), 1.0)
    """How far its finding speaks of the wear of other parts [–], 0–1: 0 for cracks, borers, floods, earlier repairs,
    whose absence is no sign of care."""
    knock_out: bool = cell(read.flag, False)
    """Belongs to the round that comes first: what it finds can end the matter alone."""
    days: bool = cell(read.flag, False)
    """Takes a day or more: never proposed for a visit."""
    judged_with: tuple[str, ...] = cell(read.names, (), of="checks")
    """Checks of the same component that it is never judged without: it counts for no more than `ahead` grades worse
    than the worst of them."""
    ahead: float = cell(read.between(0.0, 4.0), 0.0)
    """How many grades it may count worse than the worst of the checks it is judged with [grade]: the more it says by
    itself, the more."""
    no_cure: str = cell(read.text, "")
    """Why no job is made for what it finds; empty where one is."""
    put_right_by: str = cell(read.text, "", of="remedies")
    """Remedy that puts the check right and mends no part, as a tuning does; empty: the part wants mending."""
    each: bool = cell(read.flag, False)
    """Counts pieces that are broken or missing: one is fixed now, however little it says of the component."""
    first_job: str = cell(read.text, "", of="remedies")
    """Remedy that comes before any cure of what it finds, as the treatment before new felt; empty: none."""
    disputed: str = cell(read.text, "")
    """Both views, where practitioners disagree."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution(Row):
    """A warning shown where it applies."""

    text: str = cell(read.filled)
    short: str = cell(read.text, "")
    """The same in one short sentence, for a page without room."""
    checks: tuple[str, ...] = cell(read.names, (), of="checks")
    components: tuple[str, ...] = cell(read.names, (), of="components")
    stations: tuple[str, ...] = cell(read.names, (), of=STATIONS)
    kinds: tuple[Kind, ...] = cell(read.kinds, ())
    """Empty: both."""
    materials: tuple[str, ...] = cell(read.names, ())
    """Applies when identity.finish or identity.key_covering is one of these."""
    before_start: float | None = cell(read.above_zero, None)
    """Its turn among what is shown before anything is touched; none: it is not shown there."""
    workshop: bool = cell(read.flag, False)
    """Concerns whoever works at the instrument and no household."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting(Row):
    """One number of the method."""

    value: float = cell(read.number)
    unit: str = cell(read.text)
    means: str = cell(read.filled)
    least: float | None = cell(read.number, None)
    """Plausible range of the value, in its unit: what lies outside is refused. Every row of ours has one, and a row of
    the user's keeps it."""
    most: float | None = cell(read.number, None)
    whole: bool = cell(read.flag, False)
    """Only whole numbers make sense."""


@dataclass(frozen=True, slots=True, eq=False)
class Tables:
    """Every table, by key, in file order; compared by identity, so that what is derived from it can be kept."""

    components: Mapping[str, Component]
    lives: Mapping[str, rows_ageing.Life]
    checks: Mapping[str, Check]
    remedies: Mapping[str, rows_worth.Remedy]
    bases: Mapping[str, rows_worth.Basis]
    market_factors: Mapping[str, rows_worth.MarketFactor]
    prices_new: Mapping[str, rows_worth.PriceNew]
    laws: Mapping[str, rows_ageing.Law]
    climates: Mapping[str, rows_ageing.Climate]
    uses: Mapping[str, rows_ageing.Use]
    dating_clues: Mapping[str, rows_ageing.DatingClue]
    drying_stories: Mapping[str, rows_measurements.DryingStory]
    drying_clues: Mapping[str, rows_measurements.DryingClue]
    condition_classes: Mapping[str, rows_ageing.ConditionClass]
    priors: Mapping[str, rows_ageing.Prior]
    cautions: Mapping[str, Caution]
    settings: Mapping[str, Setting]
    note_norms: Mapping[str, rows_measurements.NoteNorm]
    regulation_targets: Mapping[str, rows_measurements.RegulationTarget]
    damper_reach: Mapping[str, rows_measurements.DamperReach]
    woods: Mapping[str, rows_measurements.Wood]
    sorption: Mapping[str, rows_measurements.SorptionTerm]
    wire_grid: Mapping[str, rows_measurements.WireGridPoint]
    wire_strengths: Mapping[str, rows_measurements.WireStrength]
    wire_materials: Mapping[str, rows_measurements.WireMaterial]
    tension_ceilings: Mapping[str, rows_measurements.TensionCeiling]
    pitch_raises: Mapping[str, rows_measurements.PitchRaise]
    overpulls: Mapping[str, rows_measurements.Overpull]
    climate_limits: Mapping[str, rows_measurements.ClimateLimit]
    settling_times: Mapping[str, rows_measurements.SettlingTime]
    reading_ranges: Mapping[str, rows_measurements.ReadingRange]
    carriage_rules: Mapping[str, rows_carriage.CarriageRule]
    damage_signs: Mapping[str, rows_carriage.DamageSign]
    move_steps: Mapping[str, rows_carriage.MoveStep]
    sources: Mapping[str, Source]
    version: str
    """SHA-256 over the content of every table, the user's rows included, first 12 hex digits."""

    def setting(self, key: str) -> float:
        """Return the value of one setting, in the unit its row states."""
        return self.settings[key].value

    def life(self, component: str, variant: str = "") -> rows_ageing.Life:
        """Return the life row for a component and, where it matters, a material.

        Raises:
            KeyError: The component has no row at all.
        """
        fallback: rows_ageing.Life | None = None
        for row in self.lives.values():
            if row.component == component:
                if row.variant == variant:
                    return row
                if fallback is None or not row.variant:
                    fallback = row
        if fallback is None:
            raise KeyError(component)
        return fallback
