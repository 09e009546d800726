"""A pitch log as one answer: drift with its interval, what the season explains, and a verdict."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from appraise.commands import told
from appraise.engine.instruments.pitch_log import judge_log
from appraise.explain.terms import NO_SEASON, VERDICTS
from appraise.model import plausible
from appraise.model.case import PitchReading
from appraise.model.measurement import Basis, Figure, Grid, Measurement, Plot
from appraise.model.notes import note_name, number_of
from appraise.model.problem import InputError, Problem, Unreadable
from appraise.model.quantities import Units, in_unit, unit_shown, within
from appraise.model.sentence import Amount, joined, sentence
from appraise.model.span import years_between
from appraise.model.unsafe import sanitize_line
from appraise.services.instruments.csv_reader import separated
from appraise.services.instruments.inputs import Field, Given, Tool

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.model.measurement import PitchLog
    from appraise.tables.rows import Tables

CAUTIONS = (
    "A tuning between two readings breaks the log: enter only what was read since the last one.",
    "Short swings of temperature move the pitch as well; read at the same hour, in air that has settled.",
)
COLUMNS = {"date": ("day",), "note": ("key",), "cents": (), "temperature": ("temp",), "humidity": ("rh",), "remark": ()}
"""The columns that may stand in a file, and other headings that mean them."""
_COMPARED = "from memory; for comparison only"
NEEDED = ("date", "note", "cents")
_QUANTITIES = {
    "cents": ("cents", plausible.CENTS),
    "temperature": ("°C", plausible.CELSIUS),
    "humidity": ("%", plausible.HUMIDITY),
}
"""Unit and plausible range of a column."""


def _answer(given: Given) -> Measurement:
    path, tables = given["file"], given.tables
    is_case = path.suffix.lower() == ".toml"
    log = given.case_at(path).pitch_log if is_case else read_pitch_csv(path, given.units)
    try:
        return pitch_measurement(log, tables)
    except InputError as refused:
        raise refused.about(str(path)) from None


def _of_case(case: Case, given: Given) -> Measurement:
    if not case.pitch_log:
        raise InputError(
            told("No pitch log yet: {particulars}, list “Pitch log”: date, note, cents, and the humidity beside it.")
        )
    return pitch_measurement(case.pitch_log, given.tables)


TOOL = Tool(
    "pitch",
    "Pitch log",
    "FILE is a case, or comma-separated values with the columns date, note, cents, temperature, humidity, remark; a "
    "temperature is in °C, or in °F with --units inch, unless cell or heading says.",
    (Field("file", "a case file (.toml), or a log as .csv", "FILE", kind="file"),),
    _answer,
    _of_case,
)


def read_pitch_csv(path: Path, units: Units = Units.METRIC) -> tuple[PitchReading, ...]:
    """Read a pitch log.

    Args:
        path: UTF-8, columns parted by comma, semicolon or tabulator, the first row naming them:
            date, note, cents, and if known temperature, humidity, remark.
        units: What a temperature is in where neither cell nor heading says.

    Returns:
        The readings in the order of the file.

    Raises:
        Unreadable: The file is no such table, or rows of it cannot be; carries every problem, a line each.
    """
    read = separated(path, COLUMNS)
    problems = [
        Problem(str(path), 1, name, "no such column", f"the columns {', '.join(NEEDED)} at least")
        for name in NEEDED
        if name not in read.lines[0].cells
    ]
    if problems:
        raise Unreadable(*problems)
    result: list[PitchReading] = []
    for line in read.lines:
        if not any(line.cells.values()):
            continue
        values: dict[str, object] = {}
        for name, cell in line.cells.items():
            try:
                values[name] = _cell(name, cell, read.units.get(name, ""), units)
            except InputError as refused:
                problems.append(read.problem(line, name, refused))
        if len(values) == len(line.cells):
            result.append(PitchReading(**values))  # type: ignore[arg-type]
    if problems:
        raise Unreadable(*problems)
    return tuple(result)


def _cell(name: str, cell: str, heading: str, units: Units) -> object:
    """Read one cell, a number without a unit in that of its heading, else in the one shown."""
    if name == "remark":
        return sanitize_line(cell)[:20_000]
    if name == "date":
        return _day(cell)
    if name == "note":
        return number_of(cell)
    if not cell and name != "cents":
        return None
    unit, bounds = _QUANTITIES[name]
    meant = heading or unit_shown(unit, units)
    if not cell:
        raise InputError("nothing", f"a number in {meant}")
    return within(in_unit(cell, unit, meant=meant), bounds, unit, units)


def _day(cell: str) -> date:
    try:
        day = date.fromisoformat(cell)
    except ValueError:
        raise InputError(f"“{sanitize_line(cell[:40])}”", "a day written as 2026-11-20") from None
    if not plausible.is_likely(day):
        raise InputError(day, plausible.YEARS)
    return day


def pitch_measurement(log: Sequence[PitchReading], tables: Tables) -> Measurement:
    """Judge a pitch log, its readings in any order.

    Raises:
        InputError: No readings.
    """
    if not log:
        raise InputError("the pitch log holds no reading")
    found = judge_log(log, tables)
    outside = [line for line in found.lines if line.outside]
    usual = tables.setting("pitch_cents_per_humidity")
    season = "the same slope against humidity, found in turn with the drift"
    kendall = "median of pairwise slopes; interval from Kendall's statistic (from memory)"
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
            Figure("usual_cents_per_rh_pct", "With humidity, as often met", usual, "cents/%", _COMPARED),
            Figure("scatter_cents", "Scatter left", found.scatter, "cents"),
            Figure("outside", "Readings outside what is explained", len(outside)),
            Figure("last_cents", "On the last day", found.last, "cents"),
        ),
        grids=(_lines(found),),
        says=tuple(pitch_says(found, tables)),
        cautions=CAUTIONS,
        rests_on=(
            Basis("drift and its interval", "published", "P. K. Sen, JASA 63, 1968", kendall),
            Basis("season", "our assumption", "", season),
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
    says: list[str] = []
    if found.verdict == "not_enough":
        says.append(
            sentence(
                "Not enough readings for a verdict: it takes {readings} readings over {years} year, and an interval "
                "narrow enough to tell.",
                readings=Amount(tables.setting("pitch_least_readings")),
                years=Amount(tables.setting("pitch_least_years")),
            )
        )
    else:
        says.append(f"The pitch is {VERDICTS[found.verdict]}.")
    if found.season.why_not:
        says.append(f"The season was not taken out: {NO_SEASON[found.season.why_not]}.")
    elif found.verdict != "seasonal":
        says.append("What goes with humidity was taken out first.")
    says.extend(
        sentence(
            "{note} on {day} stands outside what drift and season explain: look at that note, or at that reading.",
            note=note_name(line.reading.note),
            day=line.reading.date,
        )
        for line in found.lines
        if line.outside
    )
    return says


def _drift(found: PitchLog, tables: Tables) -> list[Figure]:
    if found.drift is None:
        return [Figure("drift_cents_per_year", "Drift", None, "cents/year", "no note was read on two days")]
    level = sentence("{level} interval", level=Amount(100 * tables.setting("pitch_confidence"), "%", 6))
    return [
        Figure("drift_cents_per_year", "Drift", found.drift.value, "cents/year", "flat negative"),
        Figure("drift_low_cents_per_year", "Drift, low", found.drift.low, "cents/year", level),
        Figure("drift_high_cents_per_year", "Drift, high", found.drift.high, "cents/year", level),
    ]


def _season(found: PitchLog) -> list[Figure]:
    season = found.season
    if season.slope is None:
        return [Figure("season_cents_per_rh_pct", "With humidity", None, "cents/%", NO_SEASON[season.why_not])]
    note = NO_SEASON.get(season.why_not, "")
    return [
        Figure("season_cents_per_rh_pct", "With humidity", season.slope.value, "cents/%", note),
        Figure("season_low_cents_per_rh_pct", "With humidity, low", season.slope.low, "cents/%"),
        Figure("season_high_cents_per_rh_pct", "With humidity, high", season.slope.high, "cents/%"),
        Figure("season_explained_pct", "Scatter that humidity explains", 100.0 * season.explained, "%"),
    ]


def _lines(found: PitchLog) -> Grid:
    rows = (
        (
            joined("", (one.date,)), one.note, note_name(one.note), one.cents, line.expected, one.temperature,
            one.humidity, line.outside,
        )
        for one, line in ((line.reading, line) for line in found.lines)
    )  # fmt: skip
    columns = "date Day | note Note | note_name Name | cents Found [cents] | expected_cents Expected [cents]"
    columns += " | temperature_c Air [°C] | humidity_pct Humidity [%] | outside Outside"
    return Grid.of("readings", "Readings", columns, rows)
