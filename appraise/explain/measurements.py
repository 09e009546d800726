"""Why the pitch log comes to what it comes to, and why an instrument is, or is not, called dried out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.explain.terms import CONCLUSIONS, NO_SEASON, VERDICTS
from appraise.model.notes import note_name
from appraise.model.result import Range
from appraise.model.span import Span

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.explain.nodes import Context
    from appraise.model.measurement import ClueEvidence, DryingAssessment, LogReading, PitchLog
    from appraise.model.reason import Reason


A_YEAR = "cents a year"
A_PERCENT = "cents for each percent of humidity"


def pitch_nodes(context: Context) -> Iterator[Reason]:
    """Return the tree under the pitch log's verdict; none without a log."""
    say, result = context.say, context.valuation.pitch_log
    if result is None:
        return
    outside = [line for line in result.lines if line.outside]
    parts = [
        context.figure("pitch.readings", say("Pitch log: readings"), result.readings, "", say("counted")),
        context.figure(
            "pitch.used", say("Pitch log: readings of notes read twice or more"), result.used, "", say("counted")
        ),
        context.figure(
            "pitch.years", say("Pitch log: time covered"), result.years, "years", say("first to last reading")
        ),
        context.figure(
            "pitch.last", say("Pitch on the last day"), result.last, "cents", say("median of that day's readings")
        ),
        *_drift(context, result),
        *_season(context, result),
        context.figure(
            "pitch.scatter",
            say("Pitch log: scatter left"),
            result.scatter,
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
        say(VERDICTS[result.verdict]),
        say("from the drift with its interval, and from what humidity explains"),
        context.setting(
            "pitch_least_readings", "pitch_least_years", "pitch_steady_cents_a_year", "pitch_unclear_cents_a_year"
        ),
    )
    yield replace(node, parts=tuple(parts))


def _drift(context: Context, log: PitchLog) -> Iterator[Reason]:
    say = context.say
    if log.drift is None:
        return
    drift = log.drift
    taken_out = not log.season.why_not
    how = say("median slope between all pairs of readings of one note (Theil–Sen; Sen 1968 for the interval)")
    yield context.spread(
        "pitch.drift",
        say("Drift of pitch"),
        Range(drift.low, drift.value, drift.high),
        A_YEAR,
        say("{how}, the part that goes with humidity taken out", how=how) if taken_out else how,
        context.setting("pitch_confidence"),
        outer=say("bound of its confidence interval"),
    )


def _season(context: Context, log: PitchLog) -> Iterator[Reason]:
    say = context.say
    season = log.season
    enough = context.setting(
        "pitch_season_least_readings", "pitch_season_least_humidity", "pitch_season_most_correlation"
    )
    if season.slope is None or season.why_not:
        why = say(NO_SEASON[season.why_not])
        yield context.words(
            "pitch.season", say("Season"), say("not taken out"), say("not taken out: {why}", why=why), enough
        )
        return
    yield context.spread(
        "pitch.season",
        say("Pitch with humidity"),
        Range(season.slope.low, season.slope.value, season.slope.high),
        A_PERCENT,
        say("the same slope against humidity, found in turn with the drift"),
        (*enough, *context.setting("pitch_cents_per_humidity")),
        outer=say("bound of its confidence interval"),
    )
    yield context.figure(
        "pitch.explained",
        say("Scatter that humidity explains"),
        season.explained,
        "%",
        say("one less the squared ratio of the scatter with and without it"),
        context.setting("pitch_season_share"),
    )


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


def drying_nodes(context: Context) -> Iterator[Reason]:
    """Return the tree under the conclusion on drying; none where no clue was looked for."""
    say, result = context.say, context.valuation.drying
    if result is None:
        return
    head = context.words(
        "drying",
        say("Has it dried out?"),
        say(CONCLUSIONS[result.conclusion]),
        say("the likeliest explanation; “dried out” only with strong clues in different sections and a dry history"),
        context.setting("drying_strong_from", "drying_least_strong", "drying_leads_from"),
    )
    parts = (*_stories(context, result), *(_clue(context, one) for one in result.witnesses), *_rest(context, result))
    yield replace(head, parts=parts)


def _stories(context: Context, drying: DryingAssessment) -> Iterator[Reason]:
    say = context.say
    for story in drying.stories:
        row = context.tables.drying_stories[story.key]
        base = f"drying.story.{story.key}"
        before = context.figure(
            f"{base}.before",
            say("{label}: before any clue", label=row.label),
            story.before,
            "%",
            say("its odds over the sum of all"),
            context.refer(row),
        )
        yield context.figure(
            base,
            say("{label}: probability", label=row.label),
            story.after,
            "%",
            say("odds before any clue times the likelihood ratios of the clues, the clues taken as independent"),
            context.refer(row),
            (before,),
        )


def _clue(context: Context, one: ClueEvidence) -> Reason:
    say = context.say
    row = context.tables.drying_clues[one.clue]
    base = f"drying.clue.{one.clue}"
    if one.origin == "check":
        how = say("follows from the check: {label}", label=context.tables.checks[one.check].label)
    elif one.origin == "climate":
        how = say("follows from the climate that the case states")
    elif one.origin == "pitch log":
        how = say("follows from the pitch log")
    else:
        said = next((clue.remark for clue in context.case.drying_clues if clue.clue == one.clue), "")
        how = say("the assessor's word: {said}", said=said) if said.strip() else say("the assessor's word")
    node = context.words(base, row.label, say("seen") if one.seen else say("not there"), how, context.refer(row))
    return replace(
        node,
        parts=(
            context.figure(
                f"{base}.strength", say("{label}: strength", label=row.label), row.strength, "", say("from the table")
            ),
            context.figure(
                f"{base}.moved",
                say("{label}: moves the log odds of “dried out” by", label=row.label),
                one.moved,
                "",
                say("log odds with all clues, less those without this one"),
            ),
        ),
    )


def _rest(context: Context, drying: DryingAssessment) -> Iterator[Reason]:
    say = context.say
    clues = context.tables.drying_clues
    yield context.figure(
        "drying.strong",
        say("Strong clues of damage, one a section"),
        len(drying.strong),
        "",
        say("counted, at most one a section"),
        context.setting("drying_strong_from"),
    )
    if drying.next_clues:
        key, bits = drying.next_clues[0]
        yield replace(
            context.words(
                "drying.next",
                say("Worth looking for next"),
                clues[key].label,
                say("of the clues not yet looked for, the one that can be expected to tell most"),
                context.refer(clues[key]),
            ),
            parts=(
                context.figure(
                    "drying.next.tells",
                    say("Information to be expected from it"),
                    bits,
                    "bit",
                    say("entropy of the explanations now, less its mean after looking"),
                ),
            ),
        )
