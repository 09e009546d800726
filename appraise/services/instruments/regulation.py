"""The regulation sheet: adjustments against their tolerances, and the hours that what is out of tolerance takes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from appraise.engine.instruments.regulation import Adjustment, Job, jobs_of
from appraise.engine.instruments.sampling import describe, estimate_share, notes_out
from appraise.engine.instruments.tolerance import bands, within
from appraise.model.measurement import Figure, Grid, Measurement, Value
from appraise.model.notes import LAST, name_of
from appraise.services.displayed_quantities import span, with_unit
from appraise.services.instruments.note_values import Quantity
from appraise.services.instruments.sampling_stats import METHOD, basis_of, bounded
from appraise.services.refused import InputError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.engine.instruments.tolerance import Band
    from appraise.model.case import Kind
    from appraise.tables.row import Row
    from appraise.tables.rows import Tables
    from appraise.tables.rows_notes import RegulationTarget


@dataclass(frozen=True, slots=True)
class Target:
    """One adjustment with its tolerance, wherever the tables keep it."""

    row: RegulationTarget
    unit: str
    anchors: tuple[tuple[float, float], ...]
    plausible: tuple[float, float] | None
    how: str
    from_grade: float
    """What grades worse is put right: a regulation does not leave marginal what it touches [grade]."""

    @property
    def limits(self) -> list[Band]:
        """Return the intervals in tolerance."""
        return bands(self.anchors, self.from_grade)

    @property
    def words(self) -> str:
        """Return the tolerance as people read it."""
        return " or ".join(_interval(low, high, self.unit) for low, high in self.limits)

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


def _interval(low: float | None, high: float | None, unit: str) -> str:
    if low is None:
        return f"up to {with_unit(high, unit)}" if high is not None else "any"
    return span(low, high, unit) if high is not None else f"from {with_unit(low, unit)}"


def targets_of(tables: Tables, kind: Kind, sheet: str = "action") -> dict[str, Target]:
    """Return the adjustments of a sheet, in working order, by key.

    Args:
        tables: Every table.
        kind: Grand or upright.
        sheet: action | dampers.
    """
    found = {}
    worst = tables.setting("regulate_from_grade")
    for row in tables.regulation_targets.values():
        if row.sheet == sheet and kind in row.kinds:
            check = tables.checks.get(row.check)
            if check is not None:
                found[row.key] = Target(row, check.unit, check.anchors, check.plausible, check.how, worst)
            else:
                found[row.key] = Target(row, row.unit, row.anchors, row.plausible, row.how, worst)
    return found


def regulation_measurement(
    readings: Mapping[str, Mapping[int, float]],
    kind: Kind,
    tables: Tables,
    *,
    population: int = LAST,
    level: float | None = None,
) -> Measurement:
    """Return what is out of tolerance and the hours it takes.

    Args:
        readings: By key of the adjustment, reading by key number in the adjustment's unit.
        kind: Grand or upright.
        tables: Every table.
        population: Notes of the compass.
        level: Confidence level [–]; none: as the settings say.

    Raises:
        InputError: No readings, an adjustment that this kind does not have, or a note beyond the compass.
    """
    level = tables.setting("sampling_level") if level is None else level
    targets = targets_of(tables, kind)
    measured = {key: values for key, values in readings.items() if values}
    if not measured:
        raise InputError(f"found no readings, expected some of {', '.join(targets)}")
    for key, values in measured.items():
        if key not in targets:
            raise InputError(f"found {key}, expected an adjustment of the {kind}: {', '.join(targets)}")
        if max(values) > population:
            raise InputError(f"{key}: found note {max(values)}, expected one of the compass, up to {population}")
    shares: dict[str, tuple[float, float, float]] = {}
    rows: list[tuple[Value, ...]] = []
    for key, target in targets.items():
        if key in measured:
            read = [measured[key][note] for note in sorted(measured[key])]
            share = estimate_share(read, population, level, target.limits, 0.0)
            shares[key] = share.low, share.value, share.high
            few, many = notes_out(share.low, share.high, population)
            spread = describe(read)
            out = sum(not within(value, target.limits) for value in read)
            low, high = bounded(spread.least), bounded(spread.greatest)
            rows.append((target.row.label, target.unit, spread.n, spread.mean, low, high, target.words, out, few, many))
    adjustments = {key: target.adjustment for key, target in targets.items()}
    whole_from = tables.setting("regulation_whole_set_share")
    work = [
        jobs_of(adjustments, {key: share[place] for key, share in shares.items()}, population, whole_from)
        for place in range(3)
    ]
    hours = [sum(job.hours for job in jobs) for jobs in work]
    full = tables.remedies.get(f"regulate_{kind}")
    outputs = [
        Figure("hours_low", "regulation, hours from", hours[0], "h"),
        Figure("hours", "as it reads", hours[1], "h"),
        Figure("hours_high", "to", hours[2], "h", "from the sample; the times are the tables’"),
    ]
    says = _missing(targets, measured)
    if full is not None:
        outputs.append(Figure("full_regulation_hours", f"{full.label.lower()}", full.hours_typical, "h", "for the set"))
        if hours[1] >= full.hours_typical:
            says.append("So much is out that a full regulation is the job to quote.")
    if not hours[1]:
        says.append("Nothing measured is out of tolerance.")
    return Measurement(
        "regulation",
        f"Regulation, {kind}",
        (
            Figure("kind", "kind", kind.value),
            Figure("population", "notes of the compass", population),
            Figure("level", "confidence", level),
        ),
        tuple(outputs),
        (_sheet(rows), _out(targets, measured), _work(work[1], targets)),
        tuple(says),
        (),
        (
            *(
                basis_of(f"tolerance: {targets[k].row.label}", _judge(targets[k], tables), tables)
                for k in targets
                if k in measured
            ),
            *(basis_of(f"hours: {targets[job.key].row.label}", targets[job.key].row, tables) for job in work[2]),
            *METHOD[1:],
        ),
    )


def _judge(target: Target, tables: Tables) -> Row:
    return tables.checks.get(target.row.check, target.row)


def _missing(targets: Mapping[str, Target], measured: Mapping[str, object]) -> list[str]:
    missing = [target.row.label.lower() for key, target in targets.items() if key not in measured]
    return [f"Not measured, and not in the hours unless disturbed: {', '.join(missing)}."] if missing else []


def _sheet(rows: list[tuple[Value, ...]]) -> Grid:
    columns = (
        ("adjustment", "adjustment", ""),
        ("unit", "unit", ""),
        ("n", "n", ""),
        ("mean", "mean", ""),
        ("least", "least", ""),
        ("greatest", "greatest", ""),
        ("tolerance", "tolerance", ""),
        ("out", "out", ""),
        ("notes_out_low", "of all, from", ""),
        ("notes_out_high", "to", ""),
    )
    return Grid("sheet", "The sheet", columns, tuple(rows))


def _out(targets: Mapping[str, Target], measured: Mapping[str, Mapping[int, float]]) -> Grid:
    columns = (("adjustment", "adjustment", ""), ("note", "note", ""), ("name", "name", ""), ("reading", "reading", ""))
    rows = [
        (target.row.label, note, name_of(note), value)
        for key, target in targets.items()
        for note, value in sorted(measured.get(key, {}).items())
        if not within(value, target.limits)
    ]
    return Grid("out_of_tolerance", "Notes out of tolerance", columns, tuple(rows))


def _work(jobs: tuple[Job, ...], targets: Mapping[str, Target]) -> Grid:
    columns = (
        ("adjustment", "adjustment", ""),
        ("notes", "notes", ""),
        ("hours", "hours", ""),
        ("because_of", "gone through again after", ""),
    )
    rows = tuple(
        (
            targets[job.key].row.label,
            round(job.notes, 1),
            job.hours,
            ", ".join(targets[key].row.label.lower() for key in job.follows),
        )
        for job in jobs
    )
    return Grid("work", "The work, as it reads", columns, rows)
