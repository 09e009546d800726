"""What the pitch log says, where there is one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.explain.terms import NO_SEASON
from appraise.model.message import message
from appraise.report.figures import edges
from appraise.report.rationale.story import Chapter, Narrator, Piece, quote

if TYPE_CHECKING:
    from appraise.model.measurement import PitchLog
    from appraise.model.reason import Sentence

TOPIC = "pitch"

_VERDICTS = {
    "steady": message("By its log the pitch is steady"),
    "seasonal": message("By its log the pitch moves with the seasons and comes back"),
    "drifting_flat": message("By its log the pitch is drifting flat"),
    "drifting_sharp": message("By its log the pitch is drifting sharp"),
    "not_enough": message("The pitch log holds too few readings for a verdict"),
}


def chapter(story: Narrator) -> Chapter:
    """Tell the verdict, the drift, the season, and the readings that neither explains."""
    heading = story.say("Pitch")
    found = story.valuation.pitch_log
    if found is None:
        return Chapter(TOPIC, heading, ())
    told = [_verdict(story, found), *_drift(story), *_season(story, found), *_outside(story, found)]
    if found.verdict == "drifting_flat":
        told.append(
            story.tell(
                TOPIC,
                "A piano that keeps going flat though it was tuned is drying, or its pins or joints are giving way; "
                "one that was merely not tuned holds once it has been brought up.",
            )
        )
    told.append(
        story.tell(
            TOPIC,
            "A tuning between two readings would break the log; only readings since the last tuning belong in it.",
        )
    )
    return Chapter(TOPIC, heading, tuple(told))


def _verdict(story: Narrator, found: PitchLog) -> Sentence:
    verdict = story.phrase(_VERDICTS[found.verdict])
    readings, years, last = (story.figures.get(f"pitch.{name}") for name in ("readings", "years", "last"))
    if readings is None or years is None or last is None:
        return story.tell(TOPIC, "{verdict}.", verdict=verdict)
    over: list[Piece] = story.phrase(" over {years}", years=years) if found.years > 0.0 else []
    return story.tells(
        TOPIC,
        "{verdict}: {count} reading{over}; on the last day it stood at {last}.",
        "{verdict}: {count} readings{over}; on the last day it stood at {last}.",
        found.readings,
        verdict=verdict,
        count=readings,
        over=over,
        last=last,
    )


def _drift(story: Narrator) -> list[Sentence]:
    drift = story.figures.get("pitch.drift")
    ends = edges(drift) if drift is not None else ()
    if drift is None or not ends:
        return [story.tell(TOPIC, "No note was read on two days, so no drift can be stated.")]
    return [
        story.tell(
            TOPIC,
            "The drift is {drift}, between {low} and {high} at the confidence in the settings.",
            drift=drift,
            low=ends[0],
            high=ends[1],
        )
    ]


def _season(story: Narrator, found: PitchLog) -> list[Sentence]:
    if found.season.why_not:
        why = story.phrase(NO_SEASON[found.season.why_not])
        return [story.tell(TOPIC, "The seasonal effect could not be removed: {why}.", why=why)]
    slope, explained = story.figures.get("pitch.season"), story.figures.get("pitch.explained")
    if slope is None or explained is None:
        return []
    return [
        story.tell(
            TOPIC,
            "The pitch moves with the humidity of the air by {slope}, which explains {explained} of its scatter.",
            slope=slope,
            explained=explained,
        )
    ]


def _outside(story: Narrator, found: PitchLog) -> list[Sentence]:
    told = []
    for n, line in enumerate((line for line in found.lines if line.outside), 1):
        node, note, expected = (story.figures.get(f"pitch.outside.{n}{part}") for part in ("", ".note", ".expected"))
        if node is None or note is None or expected is None:
            continue
        told.append(
            story.tell(
                TOPIC,
                "Drift and season do not explain one reading: {note} on {day} stood at {found}, against {expected} "
                "expected.",
                note=note,
                day=quote(story.manner.day(line.reading.date)),
                found=node,
                expected=expected,
            )
        )
    return told
