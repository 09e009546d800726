"""Charts of readings: the pitch log over time, and touch across the compass."""

from __future__ import annotations

from collections import Counter
from statistics import median
from typing import TYPE_CHECKING

from appraise.engine.derived import following
from appraise.engine.instruments.pitch_log import judge_log
from appraise.engine.instruments.tolerance import bands
from appraise.engine.instruments.touch import QUANTITIES, flags_of, line_of
from appraise.model.chart import Along, Band, Scatter, Series, Trend
from appraise.model.notes import LAST, name_of
from appraise.model.span import years_between
from appraise.report.document import Drawing
from appraise.report.words import listed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from appraise.engine.instruments.pitch_log import Line, PitchLog
    from appraise.engine.instruments.touch import Line as Expected
    from appraise.model.case import Identity
    from appraise.report.appraisal import Appraisal
    from appraise.tables.rows import Check

NOTES = 5
"""Notes of a pitch log with a mark of their own; the rest share one."""

SOUND = 2.0
"""A reading that grades no worse is sound [grade]."""

PITCH = "pitch_a4"
"""The check whose anchors say what pitch is sound."""

NAMED = 6
"""Notes that stand out and are named for those who do not see the chart."""

DRAWN = ("downweight", "upweight", "friction")
"""Quantities of touch that are drawn; the balance weight follows from them."""


def pitch_log(item: Appraisal) -> Drawing | None:
    """Draw every reading of the pitch log by day, with the drift and what is sound.

    Returns:
        None without readings on two days.
    """
    days = {reading.date for reading in item.case.pitch_log}
    if len(days) < 2:
        return None
    found = judge_log(item.case.pitch_log, item.tables)
    shown = item.figures.shown
    trend = _trend(item, found)
    first, last = float(min(days).toordinal()), float(max(days).toordinal())
    limits = bands(item.tables.checks[PITCH].anchors, SOUND) if PITCH in item.tables.checks else []
    wanted = tuple(Band("sound", ((first, low, high), (last, low, high))) for low, high in limits)
    says = f"Pitch: {shown('pitch')}, by {shown('pitch.readings')} readings over {shown('pitch.years')}"
    if trend is not None:
        says += f"; drift {trend.shown}"
    says += f"; on the last day {shown('pitch.last')} from its place."
    outside = [line for line in found.lines if line.outside]
    if outside:
        names = listed(f"{name_of(line.reading.note)} on {line.reading.date.isoformat()}" for line in outside)
        says += f" Outside what is explained: {names}."
    caption = "How far each note stood from its place, flat below."
    if trend is not None and not found.season.why_not:
        caption += " The line is the drift at middling humidity: what goes with humidity is taken out of it."
    if wanted:
        caption += " Shaded: what the check of A4 grades as sound."
    if outside:
        caption += " Hollow: a reading outside what is explained."
    chart = Scatter("Pitch over time", "", "cents from its place", _by_note(found), wanted, trend, Along.DAY)
    return Drawing(chart, caption, says)


def _by_note(found: PitchLog) -> tuple[Series, ...]:
    counts = Counter(line.reading.note for line in found.lines)
    own = [note for note, _ in sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))]
    apart = sorted(own if len(own) <= NOTES + 1 else own[:NOTES])
    series = [_one_note(name_of(note), [line for line in found.lines if line.reading.note == note]) for note in apart]
    rest = [line for line in found.lines if line.reading.note not in apart]
    return (*series, _one_note("other notes", rest)) if rest else tuple(series)


def _one_note(label: str, lines: Sequence[Line]) -> Series:
    def points(chosen: Sequence[Line]) -> tuple[tuple[float, float], ...]:
        return tuple((float(line.reading.date.toordinal()), line.reading.cents) for line in chosen)

    return Series(label, points(lines), odd=points([line for line in lines if line.outside]))


def _trend(item: Appraisal, found: PitchLog) -> Trend | None:
    """Return the drift as a line at the median height of the readings that it was found from."""
    if found.drift is None:
        return None
    slope, season = found.drift.value, found.season
    used = [line.reading for line in found.lines if line.expected is not None]
    first, last = used[0].date, used[-1].date
    damp = [reading.humidity for reading in used if reading.humidity is not None]
    taken_out = season.slope.value if season.slope is not None and not season.why_not else 0.0
    usual = median(damp) if damp else 0.0

    def level(on: date, cents: float, humidity: float | None) -> float:
        return cents - slope * years_between(first, on) - taken_out * ((humidity or usual) - usual)

    start = median(level(reading.date, reading.cents, reading.humidity) for reading in used)
    end = start + slope * years_between(first, last)
    points = ((float(first.toordinal()), start), (float(last.toordinal()), end))
    return Trend("drift", points, item.figures.spread("pitch.drift"), "pitch.drift")


def touch(item: Appraisal) -> Drawing | None:
    """Draw downweight, upweight and friction across the compass, with what the tables want there.

    Returns:
        None where none was read at two notes or more.
    """
    case, tables = item.case, item.tables
    keys = QUANTITIES[case.identity.kind]
    series, wanted, told = [], [], []
    followed = following(case, tables)
    for name in DRAWN:
        check = tables.checks.get(keys.get(name, ""))
        values = {} if check is None else _by_key(item, check, followed)
        if check is None or len(values) < 2:
            continue
        norm = next((row for row in tables.note_norms.values() if row.check == check.key), None)
        expected = None if norm is None else line_of(norm)
        if expected is not None:
            wanted.append(_band(name, expected, case.identity.compass))
        flags = () if expected is None else flags_of(values, expected, check.anchors)
        odd = tuple((float(note), values[note]) for note in sorted({flag.note for flag in flags}))
        figure = f"reading.{check.key}"
        shown = item.figures.shown(figure) if item.figures.get(figure) is not None else ""
        points = tuple((float(note), value) for note, value in values.items())
        series.append(
            Series(name.capitalize(), points, f"{check.statistic.value} {shown}" if shown else "", odd, figure)
        )
        told.append(f"{name}{f', {check.statistic.value} {shown}' if shown else ''}{_standing_out(odd, case.identity)}")
    if not series:
        return None
    chart = Scatter(
        "Touch across the compass",
        "note",
        "g",
        tuple(series),
        tuple(wanted),
        along=Along.NOTE,
        notes=case.identity.compass,
    )
    caption = "Each weight at its note."
    if wanted:
        caption += " Shaded, or on the marked side of a line: what is expected there."
    if any(each.odd for each in series):
        caption += " Hollow: a note that stands out."
    return Drawing(chart, caption, f"Touchweight: {'; '.join(told)}.")


def _standing_out(odd: Sequence[tuple[float, float]], identity: Identity) -> str:
    """Name the notes that stand out, by their number where the compass is not the usual one."""
    if not odd:
        return ""
    notes = [int(note) for note, _ in odd]
    names = [name_of(note) if identity.compass <= LAST else f"note {note}" for note in notes[:NAMED]]
    return f" (standing out: {listed([*names, *(['more'] if len(notes) > NAMED else [])])})"


def _by_key(item: Appraisal, check: Check, followed: Mapping[str, Mapping[int, float]]) -> dict[int, float]:
    read = {
        reading.note: float(reading.value)
        for reading in item.case.readings
        if reading.check == check.key and reading.note is not None and isinstance(reading.value, float)
    }
    values = read or dict(followed.get(check.key, {}))
    return {note: values[note] for note in sorted(values)}


def _band(name: str, expected: Expected, compass: int) -> Band:
    places = sorted({1, compass, *(int(note) for note, _ in expected.points if 1 <= note <= compass)})
    edges = tuple((float(n), _edge(expected, n, -1), _edge(expected, n, 1)) for n in places)
    if expected.below is None:
        return Band(f"{name}, at most", edges)
    return Band(f"{name}, at least" if expected.above is None else name, edges)


def _edge(expected: Expected, note: int, side: int) -> float | None:
    allowed = expected.below if side < 0 else expected.above
    return None if allowed is None else expected.at(note) + side * allowed
