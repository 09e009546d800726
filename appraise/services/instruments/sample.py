"""A sample of notes for the whole compass: against a check of the tables, or against limits of one's own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.measurement import Basis, Figure, Grid, Measurement
from appraise.model.notes import LAST, name_of
from appraise.model.problem import InputError
from appraise.model.quantities import UNITS
from appraise.model.sentence import Amount, sentence
from appraise.services.instruments.citations import basis_of
from appraise.services.instruments.inputs import COMPASS, LEVEL, Field, Given, Tool, csv_field, unit_field
from appraise.services.instruments.sampling_stats import (
    METHOD,
    OPEN,
    Asked,
    Sample,
    asked_of,
    bounded,
    judged_grade,
    keyed,
    more_words,
    sample_of,
)
from appraise.services.quantity_limits import Quantity, quantity_of, tolerance
from appraise.store.findings import did_you_mean

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.tables.rows import Check, Tables


def _answer(given: Given) -> Measurement:
    check = _check(given["check"], given.tables)
    if check is not None and (given["low"] or given["high"]):
        raise InputError("--check beside --low or --high", "one or the other")
    what = _quantity(check, given)
    unit = given.meant(what.unit)
    values = given.by_note({"readings": what}, "readings", unit, given["compass"])["readings"]
    low, high = (Quantity("limit", what.unit).read(text, meant=unit) if text else None for text in _limits(given))
    share, statistic = given["allowed"], given["statistic"]
    return sample_measurement(
        values,
        given.tables,
        check=check,
        low=low,
        high=high,
        unit=what.unit,
        by_mean=None if statistic is None else statistic == "mean",
        allowed_pct=Quantity("allowed", "", (0.0, 100.0)).read(share.rstrip("%")) if share else None,
        population=given["compass"],
        level=given["level"],
    )


def _limits(given: Given) -> tuple[str | None, str | None]:
    return given["low"], given["high"]


def _check(key: str | None, tables: Tables) -> Check | None:
    if key is None:
        return None
    check = tables.checks.get(key)
    if check is None or not check.anchors:
        fitting = [row.key for row in tables.checks.values() if row.per_note and row.anchors]
        mend = did_you_mean(key, fitting) or "`appraise sources checks` lists them"
        raise InputError(f'the check "{key}"', "one with anchors", mend)
    return check


def _quantity(check: Check | None, given: Given) -> Quantity:
    others = (given["column"],) if given["column"] else ()
    if check is not None:
        return quantity_of(check, "value", others)
    unit = {key.casefold(): unit for key, unit in UNITS.items()}.get(given["unit"].casefold())
    if unit is None:
        known = ", ".join(key for key in UNITS if key)
        raise InputError(f"the unit “{given['unit'][:20]}”", f"one of {known}")
    return Quantity("value", unit.base, None, others)


TOOL = Tool(
    "sample",
    "Sample",
    "Readings are given as note=value (A4=52, 46-58=51) or in a file with columns of notes and readings, or one "
    "column alone, a line a note.",
    (
        Field("readings", "readings: A4=52, 49=52,5, 46-58=51", "NOTE=VALUE", kind="any"),
        csv_field("columns note and value, or one column"),
        Field("--column", "the column of the readings, where it is not called value", "NAME"),
        Field("--check", "a check of the tables: its unit, tolerance and statistic", "CHECK"),
        Field("--low", "least value in tolerance, without a check", "VALUE"),
        Field("--high", "greatest value in tolerance, without a check", "VALUE"),
        unit_field("as the check has it and --units gives it, or another of its kind"),
        Field("--statistic", "what is held against the tolerance", choices=("mean", "share")),
        Field("--allowed", "share of notes that may be out of tolerance", "PERCENT"),
        COMPASS,
        LEVEL,
    ),
    _answer,
)


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
        raise InputError("no readings", "one at least")
    if len(values) > population or max(values) > population:
        found = f"{len(values)} readings up to note {max(values)}"
        raise InputError(found, f"notes from 1 to {population}")
    if low is not None and high is not None and low > high:
        raise InputError(f"limits from {low:g} to {high:g}", "the smaller first")
    level = tables.setting("sampling_level") if level is None else level
    limits = (low, high)
    asked = _asked(tables, check, limits, by_mean, allowed_pct)
    unit = check.unit if check is not None else unit
    readings = [values[note] for note in sorted(values)]
    sample = sample_of(readings, asked, population, level)
    outputs = list(figures_of(sample, unit, population))
    inputs = [Figure("population", "notes of the compass", population), Figure("level", "confidence", level)]
    title = f"Sample of {len(values)} of {population} notes"
    rests_on: tuple[Basis, ...] = METHOD
    cautions: tuple[str, ...] = ()
    if check is not None:
        title += f": {check.label}"
        inputs += [Figure("check", "check", check.key), Figure("tolerance", "tolerance", tolerance(check))]
        if not check.per_note and len(values) > 1:
            outputs[0] = Figure("n", "notes measured", len(values), "", "the check is not one read note by note")
        outputs.append(Figure("grade", "grade", judged_grade(check, readings, population, tables)))
        rests_on = (*METHOD, basis_of(f"tolerance: {check.label}", check, tables))
        cautions = (check.caution,) if check.caution else ()
    elif limits != (None, None):
        inputs.append(Figure(keyed("limit_low", unit), "in tolerance from", low, unit))
        inputs.append(Figure(keyed("limit_high", unit), "to", high, unit))
    if asked.limits:
        inputs.append(Figure("statistic", "held against it", "mean" if asked.by_mean else "share of notes out"))
        if not asked.by_mean:
            inputs.append(Figure("allowed_pct", "notes that may be out", 100.0 * asked.allowed, "%"))
    rows = ((note, name_of(note) if note <= LAST else str(note), values[note]) for note in sorted(values))
    notes = Grid.of("notes", "Note by note", f"note | name | {keyed('value', unit)} reading [{unit}]", rows)
    says = tuple(_says(sample, asked, unit, level, population))
    return Measurement("sample", title, tuple(inputs), tuple(outputs), (notes,), says, cautions, rests_on)


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
    """Return the statistics of a sample of so many notes, in the unit of the readings."""
    spread, mean = sample.spread, sample.mean
    one = "one note tells nothing of the others" if spread.n == 1 < population else ""
    more = sample.settled.more if spread.n > 1 or spread.n == population else None
    return (
        Figure("n", "notes measured", spread.n),
        Figure(keyed("mean", unit), "mean", spread.mean, unit),
        Figure(keyed("mean_low", unit), "mean of the whole compass, from", bounded(mean.low), unit, one),
        Figure(keyed("mean_high", unit), "to", bounded(mean.high), unit),
        Figure(keyed("sd", unit), "standard deviation", spread.sd if spread.n > 1 else None, unit),
        Figure(keyed("least", unit), "least", spread.least, unit),
        Figure(keyed("greatest", unit), "greatest", spread.greatest, unit),
        Figure("out", "out of tolerance", sample.out),
        Figure("share_out_pct", "share out of tolerance", 100.0 * sample.share.value, "%"),
        Figure("notes_out_low", "notes out in the whole compass, from", sample.notes_low),
        Figure("notes_out_high", "to", sample.notes_high),
        Figure("verdict", "the compass", sample.verdict),
        Figure("more_notes", "notes still to measure", more, "", "if they read like these"),
    )


def _says(sample: Sample, asked: Asked, unit: str, level: float, population: int) -> list[str]:
    if not asked.limits:
        return ["No tolerance was given, so nothing is to be settled."]
    if asked.by_mean:
        figure = sentence("the mean, {mean},", mean=Amount(sample.spread.mean, unit))
    else:
        share = Amount(100.0 * sample.share.value, "%", 3)
        figure = sentence("the share of notes out, {share},", share=share)
    confidence = Amount(100.0 * level, "%", 6)
    if sample.verdict == OPEN:
        settled = "At {level} confidence {figure} is not yet known well enough."
    elif sample.spread.n == population:
        settled = "Every note was measured: {figure} is {verdict}."
    else:
        settled = "At {level} confidence {figure} is {verdict} for the whole compass."
    first = sentence(settled, level=confidence, figure=figure, verdict=sample.verdict)
    return [text for text in (first, more_words(sample, population)) if text]
