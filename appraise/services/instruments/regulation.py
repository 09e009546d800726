"""The regulation sheet: adjustments against their tolerances, and the hours that what is out of tolerance takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.instruments.regulation import Adjustment, Job, jobs_of
from appraise.engine.instruments.sampling import bands, describe, estimate_share, notes_out, within
from appraise.model.case import Kind
from appraise.model.lazy_dataclass import dataclass
from appraise.model.measurement import Figure, Grid, Measurement, Value
from appraise.model.notes import LAST, name_of
from appraise.model.problem import InputError
from appraise.model.sentence import bounds, joined
from appraise.services.instruments.citations import basis_of
from appraise.services.instruments.inputs import (
    COMPASS,
    KIND,
    LEVEL,
    Field,
    Given,
    Tool,
    by_note,
    compass_of,
    csv_field,
)
from appraise.services.instruments.sampling_stats import METHOD, bounded
from appraise.services.note_readings import note_columns, typed
from appraise.services.quantity_limits import Quantity
from appraise.tables.files import nearest

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from appraise.engine.instruments.sampling import Band
    from appraise.model.case import Case
    from appraise.tables.rows import Tables
    from appraise.tables.rows_measurements import RegulationTarget


def _answer(given: Given) -> Measurement:
    kind, groups = Kind(given["kind"]), given["of"]
    quantities = [target.quantity for target in targets_of(given.tables, kind).values()]
    known = {name: what for what in quantities for name in (*what.others, what.key)}
    readings: dict[str, dict[int, float]] = {}
    if given.from_file(groups, "--of"):
        units = {what.key: given.meant(what.unit) for what in quantities}
        readings = note_columns(given["csv"], quantities, units, most=given["compass"])
    for name, *words in groups:
        what = known.get(name)
        if what is None:
            mend = nearest(name, known) or "known are " + ", ".join(one.key for one in quantities)
            raise InputError(f'"{name}"', "an adjustment", mend)
        if what.key in readings:
            raise InputError(f"{what.key} twice", "it once")
        readings[what.key] = typed(words, what, given.meant(what.unit))
    return regulation_measurement(readings, kind, given.tables, population=given["compass"], level=given["level"])


def _of_case(case: Case, given: Given) -> Measurement:
    kind, tables = case.identity.kind, given.tables
    checks = {key: target.row.check for key, target in targets_of(tables, kind).items() if target.row.check}
    readings = {key: by_note(case, check) for key, check in checks.items()}
    if not any(readings.values()):
        raise InputError("Nothing measured yet: key dip, blow, let-off and the rest, note by note, at Action and Keys.")
    return regulation_measurement(readings, kind, tables, population=compass_of(case))


TOOL = Tool(
    "regulation",
    "Regulation",
    "`appraise sources regulation_targets` lists the adjustments; "
    "a length is in mm, or in inches with --units inch, unless its unit is written.",
    (
        Field(
            "--of",
            "one adjustment and its readings, as often as needed: --of let_off 1=2 A4=1,5 --of key_dip 1-88=10",
            ("ADJUSTMENT", "NOTE=VALUE"),
            kind="groups",
        ),
        csv_field("columns note and any of the adjustments"),
        KIND,
        COMPASS,
        LEVEL,
    ),
    _answer,
    _of_case,
    feeds=("key_dip",),
)


@dataclass(frozen=True, slots=True)
class Target:
    """One adjustment with its tolerance, wherever the tables keep it."""

    row: RegulationTarget
    unit: str
    anchors: tuple[tuple[float, float], ...]
    plausible: tuple[float, float] | None
    from_grade: float
    """Notes that grade worse are put right: a regulation leaves nothing marginal that it touches [grade]."""

    @property
    def limits(self) -> list[Band]:
        """Return the intervals in tolerance."""
        return bands(self.anchors, self.from_grade)

    @property
    def words(self) -> str:
        """Return the tolerance as people read it."""
        return joined(" or ", (bounds(low, high, self.unit) for low, high in self.limits))

    @property
    def adjustment(self) -> Adjustment:
        """Return what putting it right takes."""
        return Adjustment(self.row.key, self.row.minutes_per_note, self.row.setup_hours, self.row.disturbs)

    @property
    def quantity(self) -> Quantity:
        """Return the quantity to read, under the adjustment's name and the check's."""
        short = self.row.key.removeprefix("key_").removesuffix("_grand").removesuffix("_upright")
        others = tuple(name for name in (self.row.key, self.row.check, short) if name)
        return Quantity(self.row.key, self.unit, self.plausible, others)


def targets_of(tables: Tables, kind: Kind, sheet: str = "action") -> dict[str, Target]:
    """Return the adjustments of a sheet, "action" or "dampers", in working order, by key."""
    result = {}
    worst = tables.setting("regulate_from_grade")
    for row in tables.regulation_targets.values():
        if row.sheet == sheet and kind in row.kinds:
            told = tables.checks.get(row.check, row)
            result[row.key] = Target(row, told.unit, told.anchors, told.plausible, worst)
    return result


def regulation_measurement(
    readings: Mapping[str, Mapping[int, float]],
    kind: Kind,
    tables: Tables,
    *,
    population: int = LAST,
    level: float | None = None,
) -> Measurement:
    """Return what is out of tolerance and the hours it takes, from readings by adjustment and key number.

    Raises:
        InputError: No readings, an adjustment that this kind does not have, or a note beyond the compass.
    """
    level = tables.setting("sampling_level") if level is None else level
    targets = targets_of(tables, kind)
    measured = {key: dict(sorted(values.items())) for key, values in readings.items() if values}
    if not measured:
        raise InputError("no readings", f"some of {', '.join(targets)}")
    for key, values in measured.items():
        if key not in targets:
            raise InputError(key, f"an adjustment of the {kind}: {', '.join(targets)}")
        if max(values) > population:
            raise InputError(f"note {max(values)}", f"one of the compass, up to {population}", subject=key)
    shares: dict[str, tuple[float, float, float]] = {}
    rows: list[tuple[Value, ...]] = []
    out: list[tuple[Value, ...]] = []
    for key, target in targets.items():
        if key in measured:
            read, label = list(measured[key].values()), target.row.label
            share = estimate_share(read, population, level, target.limits, 0.0)
            shares[key] = share.low, share.value, share.high
            far = [(label, n, name_of(n), x) for n, x in measured[key].items() if not within(x, target.limits)]
            out += far
            spread, few = describe(read), notes_out(share.low, share.high, population)
            edges = bounded(spread.least), bounded(spread.greatest)
            rows.append((label, target.unit, spread.n, spread.mean, *edges, target.words, len(far), *few))
    work = work_of(targets, [{k: share[n] for k, share in shares.items()} for n in range(3)], population, tables)
    outputs, hours = hours_of(work, "regulation, hours from", ("", "", "from the sample; the times are the tables’"))
    missing = [target.row.label.lower() for key, target in targets.items() if key not in measured]
    says = [f"Not measured, and not in the hours unless disturbed: {', '.join(missing)}."] if missing else []
    full = tables.remedies.get(f"regulate_{kind}")
    if full is not None:
        outputs.append(Figure("full_regulation_hours", full.label.lower(), full.hours_typical, "h", "for the set"))
        if hours >= full.hours_typical:
            says.append("So much is out that a full regulation is the job to quote.")
    if not hours:
        says.append("Nothing measured is out of tolerance.")
    jobs = [
        (row.label, round(job.notes, 1), job.hours, ", ".join(targets[k].row.label.lower() for k in job.follows))
        for row, job in ((targets[job.key].row, job) for job in work[1])
    ]
    held = [(targets[key].row, tables.checks.get(targets[key].row.check, targets[key].row)) for key in shares]
    tolerances = [basis_of(f"tolerance: {row.label}", judge, tables) for row, judge in held]
    times = [basis_of(f"hours: {targets[job.key].row.label}", targets[job.key].row, tables) for job in work[2]]
    sheet = "adjustment | unit | n | mean | least | greatest | tolerance | out | notes_out_low of all, from"
    return Measurement(
        "regulation",
        f"Regulation, {kind}",
        (
            Figure("kind", "kind", kind.value),
            Figure("population", "notes of the compass", population),
            Figure("level", "confidence", level),
        ),
        tuple(outputs),
        (
            Grid.of("sheet", "The sheet", f"{sheet} | notes_out_high to", rows),
            Grid.of("out_of_tolerance", "Notes out of tolerance", "adjustment | note | name | reading", out),
            Grid.of(
                "work",
                "The work, as it reads",
                "adjustment | notes | hours | because_of gone through again after",
                jobs,
            ),
        ),
        tuple(says),
        (),
        (*tolerances, *times, *METHOD[1:]),
    )


def work_of(
    targets: Mapping[str, Target], shares: Iterable[Mapping[str, float]], population: int, tables: Tables
) -> list[tuple[Job, ...]]:
    """Return the work for each set of shares out of tolerance [–], by adjustment."""
    adjustments = {key: target.adjustment for key, target in targets.items()}
    whole_from = tables.setting("regulation_whole_set_share")
    return [jobs_of(adjustments, share, population, whole_from) for share in shares]


def hours_of(work: Iterable[Iterable[Job]], first: str, notes: tuple[str, str, str]) -> tuple[list[Figure], float]:
    """Return the hours of the least, the likeliest and the most work as figures, and the likeliest [h]."""
    hours = [sum(job.hours for job in jobs) for jobs in work]
    names = (("hours_low", first), ("hours", "as it reads"), ("hours_high", "to"))
    figures = [
        Figure(key, label, value, "h", note) for (key, label), value, note in zip(names, hours, notes, strict=True)
    ]
    return figures, hours[1]
