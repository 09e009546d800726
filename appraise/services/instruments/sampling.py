"""A sample of notes for the whole compass: against a check of the tables, or against limits of one's own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.measurement import Figure, Grid, Measurement
from appraise.model.notes import LAST, name_of
from appraise.services.displayed_quantities import with_unit
from appraise.services.instruments.sampling_stats import (
    METHOD,
    OPEN,
    Asked,
    Sample,
    asked_of,
    basis_of,
    bounded,
    judged_grade,
    keyed,
    more_words,
    sample_of,
)
from appraise.services.quantity import tolerance
from appraise.services.refused import InputError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.tables.rows import Check, Tables


def sample_measurement(
    values: Mapping[int, float],
    tables: Tables,
    *,
    check: Check | None = None,
    low: float | None = None,
    high: float | None = None,
    unit: str = "",
    by_mean: bool | None = None,
    allowed_pct: float | None = None,
    population: int = LAST,
    level: float | None = None,
) -> Measurement:
    """Return what a sample says of the whole compass.

    Args:
        values: Reading by key number, in the unit of the check or in `unit`.
        tables: Every table.
        check: The row whose anchors, tolerance and statistic hold; none: the limits hold.
        low: Least value in tolerance, where there is no check.
        high: Greatest value in tolerance, where there is no check.
        unit: Base unit, where there is no check.
        by_mean: Hold the mean against the tolerance, not the share of notes outside; none: as the check does.
        allowed_pct: Share of notes that may be out [%]; none: as the check or, without one, the settings say.
        population: Notes of the compass.
        level: Confidence level [–]; none: as the settings say.

    Raises:
        InputError: No readings, more than notes, or limits the wrong way round.
    """
    if not values:
        raise InputError("found no readings, expected one at least")
    if len(values) > population or max(values) > population:
        raise InputError(
            f"found {len(values)} readings up to note {max(values)}, expected notes from 1 to {population}"
        )
    if low is not None and high is not None and low > high:
        raise InputError(f"found limits from {low:g} to {high:g}, expected the smaller first")
    level = tables.setting("sampling_level") if level is None else level
    asked = _asked(tables, check, (low, high), by_mean, allowed_pct)
    unit = check.unit if check is not None else unit
    readings = [values[note] for note in sorted(values)]
    sample = sample_of(readings, asked, population, level)
    outputs = list(figures_of(sample, unit, population))
    if check is not None and not check.per_note and len(values) > 1:
        outputs[0] = Figure("n", "notes measured", len(values), "", "the check is not one read note by note")
    if check is not None:
        outputs.append(Figure("grade", "grade", judged_grade(check, readings, population, tables)))
    return Measurement(
        "sample",
        f"Sample of {len(values)} of {population} notes" + (f": {check.label}" if check is not None else ""),
        _inputs(check, asked, (low, high), unit, level, population),
        tuple(outputs),
        (_notes(values, unit),),
        tuple(_says(sample, asked, unit, level, population)),
        (check.caution,) if check is not None and check.caution else (),
        (*METHOD, *((basis_of(f"tolerance: {check.label}", check, tables),) if check is not None else ())),
    )


def _asked(
    tables: Tables,
    check: Check | None,
    limits: tuple[float | None, float | None],
    by_mean: bool | None,
    allowed_pct: float | None,
) -> Asked:
    asked = Asked((), True, tables.setting("p90_allowed_pct") / 100.0)
    if check is not None:
        asked = asked_of(check, tables)
    elif limits != (None, None):
        asked = Asked((limits,), True, asked.allowed)
    mean = asked.by_mean if by_mean is None else by_mean
    if by_mean is None and allowed_pct is not None:
        mean = False
    return Asked(asked.limits, mean, asked.allowed if allowed_pct is None else allowed_pct / 100.0)


def figures_of(sample: Sample, unit: str, population: int) -> tuple[Figure, ...]:
    """Return the statistics beside the strip.

    Args:
        sample: What the readings say.
        unit: Unit of the readings.
        population: Notes of the compass.
    """
    spread, mean, share = sample.spread, sample.mean, sample.share
    one = "one note tells nothing of the others" if spread.n == 1 < population else ""
    found = [
        Figure("n", "notes measured", spread.n),
        Figure(keyed("mean", unit), "mean", spread.mean, unit),
        Figure(keyed("mean_low", unit), "mean of the whole compass, from", bounded(mean.low), unit, one),
        Figure(keyed("mean_high", unit), "to", bounded(mean.high), unit),
        Figure(keyed("sd", unit), "standard deviation", spread.sd if spread.n > 1 else None, unit),
        Figure(keyed("least", unit), "least", spread.least, unit),
        Figure(keyed("greatest", unit), "greatest", spread.greatest, unit),
        Figure("out", "out of tolerance", sample.out),
        Figure("share_out_pct", "share out of tolerance", 100.0 * share.value, "%"),
        Figure("notes_out_low", "notes out in the whole compass, from", sample.notes_low),
        Figure("notes_out_high", "to", sample.notes_high),
        Figure("verdict", "the compass", sample.verdict),
        Figure(
            "more_notes",
            "notes still to measure",
            sample.settled.more if spread.n > 1 or spread.n == population else None,
            "",
            "if they read like these",
        ),
    ]
    return tuple(found)


def _inputs(
    check: Check | None,
    asked: Asked,
    limits: tuple[float | None, float | None],
    unit: str,
    level: float,
    population: int,
) -> tuple[Figure, ...]:
    found = [Figure("population", "notes of the compass", population), Figure("level", "confidence", level)]
    if check is not None:
        found += [Figure("check", "check", check.key), Figure("tolerance", "tolerance", tolerance(check))]
    elif limits != (None, None):
        found += [
            Figure(keyed("limit_low", unit), "in tolerance from", limits[0], unit),
            Figure(keyed("limit_high", unit), "to", limits[1], unit),
        ]
    if asked.limits:
        held = "mean" if asked.by_mean else "share of notes out"
        found.append(Figure("statistic", "held against it", held))
        if not asked.by_mean:
            found.append(Figure("allowed_pct", "notes that may be out", 100.0 * asked.allowed, "%"))
    return tuple(found)


def _notes(values: Mapping[int, float], unit: str) -> Grid:
    columns = (("note", "note", ""), ("name", "name", ""), (keyed("value", unit), "reading", unit))
    rows = tuple((note, name_of(note) if note <= LAST else str(note), values[note]) for note in sorted(values))
    return Grid("notes", "Note by note", columns, rows)


def _says(sample: Sample, asked: Asked, unit: str, level: float, population: int) -> list[str]:
    if not asked.limits:
        return ["No tolerance was given, so nothing is to be settled."]
    if asked.by_mean:
        figure = f"the mean, {with_unit(sample.spread.mean, unit)},"
    else:
        figure = f"the share of notes out, {100.0 * sample.share.value:.3g} %,"
    if sample.verdict == OPEN:
        told = f"At {100.0 * level:g} % confidence {figure} is not yet known well enough."
    elif sample.spread.n == population:
        told = f"Every note was measured: {figure} is {sample.verdict}."
    else:
        told = f"At {100.0 * level:g} % confidence {figure} is {sample.verdict} for the whole compass."
    return [text for text in (told, more_words(sample, population)) if text]
