"""Charts of readings: the pitch log over time, and touch across the compass."""

from __future__ import annotations

from collections import Counter
from statistics import median
from typing import TYPE_CHECKING

from appraise.engine.derived import following
from appraise.engine.instruments.sampling import bands
from appraise.engine.instruments.touch import QUANTITIES, flags_of, line_of
from appraise.explain.grading import STATISTICS
from appraise.model.chart import Along, Band, Scatter, Series, Trend
from appraise.model.message import message
from appraise.model.notes import LAST, name_of, note_name
from appraise.model.span import years_between
from appraise.report.document import Drawing
from appraise.report.words import capital

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from appraise.engine.instruments.touch import Line as Expected
    from appraise.model.measurement import LogReading, PitchLog
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

QUANTITY = {
    "downweight": message("downweight"),
    "upweight": message("upweight"),
    "friction": message("friction"),
}
"""Label of each quantity."""


def pitch_log(item: Appraisal) -> Drawing | None:
    """Draw every reading of the pitch log by day, with the drift and what is sound.

    Returns:
        None without readings on two days.
    """
    days = {reading.date for reading in item.case.pitch_log}
    result = item.valuation.pitch_log
    if result is None or len(days) < 2:
        return None
    shown, say = item.figures.shown, item.manner.say
    trend = _trend(item, result)
    first, last = float(min(days).toordinal()), float(max(days).toordinal())
    limits = bands(item.tables.checks[PITCH].anchors, SOUND) if PITCH in item.tables.checks else []
    wanted = tuple(Band(say("sound"), ((first, low, high), (last, low, high))) for low, high in limits)
    says = item.manner.several(
        "Pitch: {verdict}, by {count} reading over {years}{drift}; on the last day {last} from pitch.",
        "Pitch: {verdict}, by {count} readings over {years}{drift}; on the last day {last} from pitch.",
        result.readings,
        verdict=shown("pitch"),
        count=shown("pitch.readings"),
        years=shown("pitch.years"),
        drift="" if trend is None else say("; drift {drift}", drift=trend.shown),
        last=shown("pitch.last"),
    )
    outside = [line for line in result.lines if line.outside]
    if outside:
        names = item.manner.listed(_told(item, line) for line in outside)
        more = say("Outside what is explained: {readings}.", readings=names)
        says = f"{says} {more}"
    caption = [say("Deviation of each note from its pitch, flat below.")]
    if trend is not None and not result.season.why_not:
        caption.append(say("The line is the drift at average humidity, the effect of humidity taken out."))
    if wanted:
        caption.append(say("Shaded: the range that the check of A4 grades as sound."))
    if outside:
        caption.append(say("Hollow: a reading outside what is explained."))
    series = _by_note(item, result)
    chart = Scatter(say("Pitch over time"), "", say("cents from pitch"), series, wanted, trend, Along.DAY)
    return Drawing(chart, " ".join(caption), says, item.manner)


def _told(item: Appraisal, line: LogReading) -> str:
    day = item.manner.day(line.reading.date)
    return item.manner.say("{note} on {day}", note=note_name(line.reading.note, item.case.identity.compass), day=day)


def _by_note(item: Appraisal, log: PitchLog) -> tuple[Series, ...]:
    counts = Counter(line.reading.note for line in log.lines)
    own = [note for note, _ in sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))]
    apart = sorted(own if len(own) <= NOTES + 1 else own[:NOTES])
    series = [
        _one_note(
            note_name(note, item.case.identity.compass), [line for line in log.lines if line.reading.note == note]
        )
        for note in apart
    ]
    rest = [line for line in log.lines if line.reading.note not in apart]
    return (*series, _one_note(item.manner.say("other notes"), rest)) if rest else tuple(series)


def _one_note(label: str, lines: Sequence[LogReading]) -> Series:
    def points(chosen: Sequence[LogReading]) -> tuple[tuple[float, float], ...]:
        return tuple((float(line.reading.date.toordinal()), line.reading.cents) for line in chosen)

    return Series(label, points(lines), odd=points([line for line in lines if line.outside]))


def _trend(item: Appraisal, log: PitchLog) -> Trend | None:
    """Return the drift as a line at the median height of the readings that it was found from."""
    if log.drift is None:
        return None
    slope, season = log.drift.value, log.season
    used = [line.reading for line in log.lines if line.expected is not None]
    first, last = used[0].date, used[-1].date
    damp = [reading.humidity for reading in used if reading.humidity is not None]
    taken_out = season.slope.value if season.slope is not None and not season.why_not else 0.0
    usual = median(damp) if damp else 0.0

    def level(on: date, cents: float, humidity: float | None) -> float:
        return cents - slope * years_between(first, on) - taken_out * ((humidity or usual) - usual)

    start = median(level(reading.date, reading.cents, reading.humidity) for reading in used)
    end = start + slope * years_between(first, last)
    points = ((float(first.toordinal()), start), (float(last.toordinal()), end))
    return Trend(item.manner.say("drift"), points, item.figures.spread("pitch.drift"), "pitch.drift")


def touch(item: Appraisal) -> Drawing | None:
    """Draw downweight, upweight and friction across the compass, with what the tables want there.

    Returns:
        None where none was read at two notes or more.
    """
    case, tables = item.case, item.tables
    keys = QUANTITIES[case.identity.kind]
    series, wanted, result = [], [], []
    followed, say = following(case, tables), item.manner.say
    for name in DRAWN:
        check = tables.checks.get(keys.get(name, ""))
        values = {} if check is None else _by_key(item, check, followed)
        if check is None or len(values) < 2:
            continue
        norm = next((row for row in tables.note_norms.values() if row.check == check.key), None)
        expected = None if norm is None else line_of(norm)
        if expected is not None:
            wanted.append(_band(item, name, expected, case.identity.compass))
        flags = () if expected is None else flags_of(values, expected, check.anchors)
        odd = tuple((float(note), values[note]) for note in sorted({flag.note for flag in flags}))
        figure = f"reading.{check.key}"
        shown = item.figures.shown(figure) if item.figures.get(figure) is not None else ""
        points = tuple((float(note), value) for note, value in values.items())
        mean = f"{say(STATISTICS[check.statistic])} {shown}" if shown else ""
        series.append(Series(capital(say(QUANTITY[name])), points, mean, odd, figure))
        result.append(_touch_at(item, say(QUANTITY[name]), mean, odd))
    if not series:
        return None
    chart = Scatter(
        say("Touch across the compass"),
        say("note"),
        "g",
        tuple(series),
        tuple(wanted),
        along=Along.NOTE,
        notes=case.identity.compass,
    )
    caption = [say("Each weight at its note.")]
    if wanted:
        caption.append(say("Shaded, or on the marked side of a line: the expected range."))
    if any(each.odd for each in series):
        caption.append(say("Hollow: a note that stands out."))
    return Drawing(
        chart, " ".join(caption), say("Touchweight: {quantities}.", quantities="; ".join(result)), item.manner
    )


def _touch_at(item: Appraisal, name: str, mean: str, odd: Sequence[tuple[float, float]]) -> str:
    """Say what one quantity of touch is, and name the notes that stand out: by number on an unusual compass."""
    text = f"{name}, {mean}" if mean else name
    if not odd:
        return text
    say, identity = item.manner.say, item.case.identity
    notes = [int(note) for note, _ in odd]
    usual = identity.compass <= LAST
    names = [name_of(note) if usual else say("note {note}", note=note) for note in notes[:NAMED]]
    if len(notes) > NAMED:
        names.append(say("more"))
    return say("{quantity} (standing out: {notes})", quantity=text, notes=item.manner.listed(names))


def _by_key(item: Appraisal, check: Check, followed: Mapping[str, Mapping[int, float]]) -> dict[int, float]:
    read = {
        reading.note: float(reading.value)
        for reading in item.case.readings
        if reading.check == check.key and reading.note is not None and isinstance(reading.value, float)
    }
    values = read or dict(followed.get(check.key, {}))
    return {note: values[note] for note in sorted(values)}


def _band(item: Appraisal, name: str, expected: Expected, compass: int) -> Band:
    places = sorted({1, compass, *(int(note) for note, _ in expected.points if 1 <= note <= compass)})
    say, what = item.manner.say, item.manner.say(QUANTITY[name])
    edges = tuple((float(n), _edge(expected, n, -1), _edge(expected, n, 1)) for n in places)
    if expected.below is None:
        return Band(say("{quantity}, at most", quantity=what), edges)
    return Band(say("{quantity}, at least", quantity=what) if expected.above is None else what, edges)


def _edge(expected: Expected, note: int, side: int) -> float | None:
    allowed = expected.below if side < 0 else expected.above
    return None if allowed is None else expected.at(note) + side * allowed
