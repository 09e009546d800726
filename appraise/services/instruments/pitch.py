"""A pitch log as one answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.instruments.pitch_log import VERDICTS, WHY_NOT, judge_log
from appraise.model.measurement import Basis, Figure, Grid, Measurement, Plot
from appraise.model.notes import name_of
from appraise.model.span import years_between
from appraise.services.refused import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.engine.instruments.pitch_log import PitchLog
    from appraise.model.case import PitchReading
    from appraise.tables.rows import Tables

CAUTIONS = (
    "A tuning between two readings breaks the log: enter only what was read since the last one.",
    "Short swings of temperature move the pitch as well; read at the same hour, in air that has settled.",
)


def pitch_measurement(log: Sequence[PitchReading], tables: Tables) -> Measurement:
    """Judge a pitch log.

    Args:
        log: Readings in any order.
        tables: Holds what is enough.

    Raises:
        InputError: No readings.
    """
    if not log:
        raise InputError("the pitch log holds no reading")
    found = judge_log(log, tables)
    outside = [line for line in found.lines if line.outside]
    return Measurement(
        instrument="pitch",
        title="Pitch log",
        inputs=(
            Figure("readings", "Readings", found.readings),
            Figure("readings_used", "Of notes read twice or more", found.used),
            Figure("span_years", "From first to last", found.years, "years"),
        ),
        outputs=(
            Figure("verdict", "Verdict", VERDICTS[found.verdict]),
            *_drift(found, tables),
            *_season(found),
            Figure(
                "usual_cents_per_rh_pct",
                "With humidity, as often met",
                tables.setting("pitch_cents_per_humidity"),
                "cents/%",
                "from memory; for comparison only",
            ),
            Figure("scatter_cents", "Scatter left", found.scatter, "cents"),
            Figure("outside", "Readings outside what is explained", len(outside)),
            Figure("last_cents", "On the last day", found.last, "cents"),
        ),
        grids=(_lines(found),),
        says=tuple(pitch_says(found, tables)),
        cautions=CAUTIONS,
        rests_on=(
            Basis(
                "drift and its interval",
                "published",
                "P. K. Sen, JASA 63, 1968",
                "median of pairwise slopes; interval from Kendall's statistic (from memory)",
            ),
            Basis("season", "our assumption", "", "the same slope against humidity, found in turn with the drift"),
            Basis("what is enough", "our assumption", "", "settings pitch_…"),
        ),
        plots=(_plot(log),),
    )


def _plot(log: Sequence[PitchReading]) -> Plot:
    """Return cents against time; the last day is 0."""
    last = max(reading.date for reading in log)
    points = sorted((years_between(last, reading.date), reading.cents) for reading in log)
    return Plot("log", "Cents from place", "years", "cents", tuple(points))


def pitch_says(found: PitchLog, tables: Tables) -> list[str]:
    """Return the verdict and what it rests on, as plain sentences."""
    told = []
    if found.verdict == "not_enough":
        need = f"{tables.setting('pitch_least_readings'):g} readings over {tables.setting('pitch_least_years'):g} year"
        told.append(f"Not enough readings for a verdict: it takes {need}, and an interval narrow enough to tell.")
    else:
        told.append(f"The pitch is {VERDICTS[found.verdict]}.")
    if found.season.why_not:
        told.append(f"The season was not taken out: {WHY_NOT[found.season.why_not]}.")
    elif found.verdict != "seasonal":
        told.append("What goes with humidity was taken out first.")
    told.extend(
        f"{name_of(line.reading.note)} on {line.reading.date.isoformat()} stands outside what drift and season "
        "explain: look at that note, or at that reading."
        for line in found.lines
        if line.outside
    )
    return told


def _drift(found: PitchLog, tables: Tables) -> list[Figure]:
    if found.drift is None:
        return [Figure("drift_cents_per_year", "Drift", None, "cents/year", "no note was read on two days")]
    level = f"{100 * tables.setting('pitch_confidence'):g} % interval"
    return [
        Figure("drift_cents_per_year", "Drift", found.drift.value, "cents/year", "flat negative"),
        Figure("drift_low_cents_per_year", "Drift, low", found.drift.low, "cents/year", level),
        Figure("drift_high_cents_per_year", "Drift, high", found.drift.high, "cents/year", level),
    ]


def _season(found: PitchLog) -> list[Figure]:
    season = found.season
    if season.slope is None:
        return [Figure("season_cents_per_rh_pct", "With humidity", None, "cents/%", WHY_NOT[season.why_not])]
    note = WHY_NOT.get(season.why_not, "")
    return [
        Figure("season_cents_per_rh_pct", "With humidity", season.slope.value, "cents/%", note),
        Figure("season_low_cents_per_rh_pct", "With humidity, low", season.slope.low, "cents/%"),
        Figure("season_high_cents_per_rh_pct", "With humidity, high", season.slope.high, "cents/%"),
        Figure("season_explained_pct", "Scatter that humidity explains", 100.0 * season.explained, "%"),
    ]


def _lines(found: PitchLog) -> Grid:
    return Grid(
        "readings",
        "Readings",
        (
            ("date", "Day", ""),
            ("note", "Note", ""),
            ("note_name", "Name", ""),
            ("cents", "Found", "cents"),
            ("expected_cents", "Expected", "cents"),
            ("temperature_c", "Air", "°C"),
            ("humidity_pct", "Humidity", "%"),
            ("outside", "Outside", ""),
        ),
        tuple(
            (
                line.reading.date.isoformat(),
                line.reading.note,
                name_of(line.reading.note),
                line.reading.cents,
                line.expected,
                line.reading.temperature,
                line.reading.humidity,
                line.outside,
            )
            for line in found.lines
        ),
    )
