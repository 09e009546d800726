"""Why the pitch log comes to what it comes to."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.explain.terms import NO_SEASON, VERDICTS
from appraise.model.notes import note_name
from appraise.model.result import Range
from appraise.model.span import Span

if TYPE_CHECKING:
    from appraise.explain.nodes import Context
    from appraise.model.pitch import LogReading, PitchLog
    from appraise.model.reason import Reason

A_YEAR = "cents a year"
A_PERCENT = "cents for each percent of humidity"


def pitch_nodes(context: Context) -> list[Reason]:
    """Return the tree under the pitch log's verdict; none without a log."""
    say, found = context.say, context.valuation.pitch_log
    if found is None:
        return []
    outside = [line for line in found.lines if line.outside]
    parts = [
        context.figure("pitch.readings", say("Pitch log: readings"), found.readings, "", say("counted")),
        context.figure(
            "pitch.used", say("Pitch log: readings of notes read twice or more"), found.used, "", say("counted")
        ),
        context.figure(
            "pitch.years", say("Pitch log: time covered"), found.years, "years", say("first to last reading")
        ),
        context.figure(
            "pitch.last", say("Pitch on the last day"), found.last, "cents", say("median of that day's readings")
        ),
        *_drift(context, found),
        *_season(context, found),
        context.figure(
            "pitch.scatter",
            say("Pitch log: scatter left"),
            found.scatter,
            "cents",
            say("median absolute deviation from what is expected, scaled to a standard deviation"),
        ),
        context.figure(
            "pitch.outside",
            say("Readings outside what is explained"),
            len(outside),
            "",
            say("modified z score beyond the cutoff"),
            context.setting("pitch_outside_score", "pitch_reading_cents"),
            [_reading(context, n, line) for n, line in enumerate(outside, 1)],
        ),
    ]
    node = context.words(
        "pitch",
        say("Pitch log"),
        say(VERDICTS[found.verdict]),
        say("from the drift with its interval, and from what humidity explains"),
        context.setting(
            "pitch_least_readings", "pitch_least_years", "pitch_steady_cents_a_year", "pitch_unclear_cents_a_year"
        ),
    )
    return [replace(node, parts=tuple(parts))]


def _drift(context: Context, found: PitchLog) -> list[Reason]:
    say = context.say
    if found.drift is None:
        return []
    drift = found.drift
    taken_out = not found.season.why_not
    how = say("median slope between all pairs of readings of one note (Theil–Sen; Sen 1968 for the interval)")
    return [
        context.spread(
            "pitch.drift",
            say("Drift of pitch"),
            Range(drift.low, drift.value, drift.high),
            A_YEAR,
            say("{how}, the part that goes with humidity taken out", how=how) if taken_out else how,
            context.setting("pitch_confidence"),
            outer=say("bound of its confidence interval"),
        )
    ]


def _season(context: Context, found: PitchLog) -> list[Reason]:
    say = context.say
    season = found.season
    enough = context.setting(
        "pitch_season_least_readings", "pitch_season_least_humidity", "pitch_season_most_correlation"
    )
    if season.slope is None or season.why_not:
        why = say(NO_SEASON[season.why_not])
        return [
            context.words(
                "pitch.season", say("Season"), say("not taken out"), say("not taken out: {why}", why=why), enough
            )
        ]
    return [
        context.spread(
            "pitch.season",
            say("Pitch with humidity"),
            Range(season.slope.low, season.slope.value, season.slope.high),
            A_PERCENT,
            say("the same slope against humidity, found in turn with the drift"),
            (*enough, *context.setting("pitch_cents_per_humidity")),
            outer=say("bound of its confidence interval"),
        ),
        context.figure(
            "pitch.explained",
            say("Scatter that humidity explains"),
            season.explained,
            "%",
            say("one less the squared ratio of the scatter with and without it"),
            context.setting("pitch_season_share"),
        ),
    ]


def _reading(context: Context, n: int, line: LogReading) -> Reason:
    say = context.say
    base = f"pitch.outside.{n}"
    reading = line.reading
    expected = 0.0 if line.expected is None else line.expected
    return context.figure(
        base,
        say(
            "{note} on {day}",
            note=note_name(reading.note, context.case.identity.compass),
            day=context.manner.brief(Span(reading.date, reading.date)),
        ),
        reading.cents,
        "cents",
        say("as read"),
        (),
        (
            context.words(
                f"{base}.note",
                say("Note"),
                note_name(reading.note, context.case.identity.compass),
                say("note {note} of the keyboard", note=reading.note),
            ),
            context.figure(f"{base}.expected", say("Expected"), expected, "cents", say("drift and season")),
        ),
    )
