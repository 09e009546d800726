"""The chapters on the pitch log and on whether it has dried out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.explain.terms import CONCLUSIONS, NO_SEASON
from appraise.model.message import message
from appraise.report.figures import edges
from appraise.report.rationale.story import Chapter, Narrator, Piece, quote
from appraise.tables.rows_measurements import DRIED_OUT, ClueRole

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.measurement import DryingAssessment, PitchLog
    from appraise.model.reason import Sentence


PITCH = "pitch"

_VERDICTS = {
    "steady": message("By its log the pitch is steady"),
    "seasonal": message("By its log the pitch moves with the seasons and comes back"),
    "drifting_flat": message("By its log the pitch is drifting flat"),
    "drifting_sharp": message("By its log the pitch is drifting sharp"),
    "not_enough": message("The pitch log holds too few readings for a verdict"),
}


def pitch_chapter(story: Narrator) -> Chapter:
    """Tell the verdict, the drift, the season, and the readings that neither explains."""
    heading = story.say("Pitch")
    result = story.valuation.pitch_log
    if result is None:
        return Chapter(PITCH, heading, ())
    sentences = [_verdict(story, result), *_drift(story), *_season(story, result), *_outside(story, result)]
    if result.verdict == "drifting_flat":
        sentences.append(
            story.tell(
                PITCH,
                "A piano that keeps going flat after tuning is drying out, or its pins or joints are giving way; one "
                "that was merely left untuned holds once it has been raised.",
            )
        )
    sentences.append(
        story.tell(
            PITCH,
            "A tuning between two readings would break the log; only readings since the last tuning belong in it.",
        )
    )
    return Chapter(PITCH, heading, tuple(sentences))


def _verdict(story: Narrator, log: PitchLog) -> Sentence:
    verdict = story.phrase(_VERDICTS[log.verdict])
    readings, years, last = (story.figures.get(f"pitch.{name}") for name in ("readings", "years", "last"))
    if readings is None or years is None or last is None:
        return story.tell(PITCH, "{verdict}.", verdict=verdict)
    over: list[Piece] = story.phrase(" over {years}", years=years) if log.years > 0.0 else []
    return story.tells(
        PITCH,
        "{verdict}: {count} reading{over}; on the last day it stood at {last}.",
        "{verdict}: {count} readings{over}; on the last day it stood at {last}.",
        log.readings,
        verdict=verdict,
        count=readings,
        over=over,
        last=last,
    )


def _drift(story: Narrator) -> Iterator[Sentence]:
    drift = story.figures.get("pitch.drift")
    ends = edges(drift) if drift is not None else ()
    if drift is None or not ends:
        yield story.tell(PITCH, "No note was read on two days, so no drift can be stated.")
        return
    yield story.tell(
        PITCH,
        "The drift is {drift}, between {low} and {high} at the confidence in the settings.",
        drift=drift,
        low=ends[0],
        high=ends[1],
    )


def _season(story: Narrator, log: PitchLog) -> Iterator[Sentence]:
    if log.season.why_not:
        why = story.phrase(NO_SEASON[log.season.why_not])
        yield story.tell(PITCH, "The seasonal effect could not be removed: {why}.", why=why)
        return
    slope, explained = story.figures.get("pitch.season"), story.figures.get("pitch.explained")
    if slope is None or explained is None:
        return
    yield story.tell(
        PITCH,
        "The pitch moves with the humidity of the air by {slope}, which explains {explained} of its scatter.",
        slope=slope,
        explained=explained,
    )


def _outside(story: Narrator, log: PitchLog) -> Iterator[Sentence]:
    for n, line in enumerate((line for line in log.lines if line.outside), 1):
        node, note, expected = (story.figures.get(f"pitch.outside.{n}{part}") for part in ("", ".note", ".expected"))
        if node is None or note is None or expected is None:
            continue
        yield story.tell(
            PITCH,
            "Drift and season do not explain one reading: {note} on {day} stood at {found}, against {expected} "
            "expected.",
            note=note,
            day=quote(story.manner.day(line.reading.date)),
            found=node,
            expected=expected,
        )


DRYING = "drying"

_AFFECTED = (
    (
        "pins",
        message(
            "The tuning pins have begun to slip, the worst result of drying: sooner or later the piano cannot be "
            "kept in tune."
        ),
        message(
            "Loose tuning pins are the worst result of drying; none has been found so far, and their torque is to be "
            "watched."
        ),
    ),
    (
        "board",
        message(
            "The soundboard has opened: cracks and gaps may be shimmed and glued, but a lost crown does not come back."
        ),
        message(
            "The soundboard has not opened so far; cracks, reopened shims and gaps at the ribs would be the next sign."
        ),
    ),
    (
        "keys",
        message(
            "The key coverings or the keys themselves have moved: what has lifted can be glued, and more may follow."
        ),
        message("The key coverings hold so far; they lift at the back first."),
    ),
)
"""Section of the table, what is told where its damage was seen, and where it was looked for and not seen."""

_CONCLUDED = {
    "suspected": message("Drying out is the likeliest explanation, but the clues do not allow that conclusion."),
    "open": message("The question stays open: no explanation leads clearly."),
    "nothing": message("None of the clues looked for points to drying or to damp."),
}
"""Sentences for the conclusions that are no story of their own."""

_TELLING = 0.0005
"""Probability below which a story is not told by its figure, for it would read as none [–]."""

_DRYING = frozenset({"dried_out", "suspected", "cycling"})


def drying_chapter(story: Narrator) -> Chapter:
    """Tell the conclusion and what it rests on, where clues were looked for."""
    heading = story.say("Drying")
    result = story.valuation.drying
    if result is None:
        return Chapter(DRYING, heading, ())
    sentences = [_conclusion(story, result), *_odds(story, result), *_most(story, result), *_lacking(story, result)]
    if result.damp:
        sentences.append(
            story.tell(
                DRYING, "There are signs of damp as well: both together point to swings in humidity, which harm more."
            )
        )
    if result.conclusion in _DRYING:
        sentences.extend(_consequences(story, result))
    sentences.extend(_advice(story, result))
    sentences.extend(_next(story))
    return Chapter(DRYING, heading, tuple(sentences))


def _conclusion(story: Narrator, drying: DryingAssessment) -> Sentence:
    strong = story.figures.get("drying.strong")
    if drying.conclusion == "dried_out" and strong is not None:
        return story.tell(
            DRYING,
            "The clues show that it has dried out: {count} strong clues of damage in different sections, and a dry "
            "history.",
            count=strong,
        )
    if drying.conclusion in _CONCLUDED:
        return story.tell(DRYING, _CONCLUDED[drying.conclusion])
    likeliest = story.phrase(CONCLUSIONS[drying.conclusion])
    return story.tell(DRYING, "The likeliest explanation is not drying out: {story}.", story=likeliest)


def _odds(story: Narrator, drying: DryingAssessment) -> Iterator[Sentence]:
    items: list[list[Piece]] = []
    for one in sorted(drying.stories, key=lambda one: -one.after):
        node = story.figures.get(f"drying.story.{one.key}")
        if node is not None and one.after >= _TELLING:
            items.append([story.name(story.tables.drying_stories[one.key].label), " ", node])
    if not items:
        return
    if any(one.after < _TELLING for one in drying.stories):
        items.append(story.phrase("next to nothing for the others"))
    yield story.tell(
        DRYING,
        "The probabilities after all clues: {stories}; the explanations are taken to exclude one another, and "
        "the likelihood ratios behind them are an assumption of the tables.",
        stories=story.series(items),
    )


def _most(story: Narrator, drying: DryingAssessment) -> Iterator[Sentence]:
    if not drying.most:
        return
    clue = story.name(story.tables.drying_clues[drying.most].label)
    if next(one.seen for one in drying.witnesses if one.clue == drying.most):
        yield story.tell(DRYING, "The clue that counts most: “{clue}”, which was seen.", clue=clue)
        return
    yield story.tell(DRYING, "The clue that counts most: “{clue}”, which was looked for and not found.", clue=clue)


def _lacking(story: Narrator, drying: DryingAssessment) -> Iterator[Sentence]:
    if drying.conclusion != "suspected":
        return
    if len(drying.strong) < story.tables.setting("drying_least_strong"):
        text = message("For the conclusion, strong clues of damage in more than one section are lacking.")
        yield story.tell(DRYING, text)
    if not drying.dry_history:
        yield story.tell(DRYING, "For the conclusion, a record of dry air over weeks is lacking.")


def _consequences(story: Narrator, drying: DryingAssessment) -> Iterator[Sentence]:
    for section, harmed, whole in _AFFECTED:
        looked = [
            one.seen
            for one in drying.witnesses
            if (row := story.tables.drying_clues[one.clue]).section == section and row.role is ClueRole.DAMAGE
        ]
        if any(looked):
            yield story.tell(DRYING, harmed)
        elif looked:
            yield story.tell(DRYING, whole)
    yield story.tell(
        DRYING,
        "To be watched: the torque of the same pins, the pitch of the same notes and the humidity beside them, in "
        "the same months of each year.",
    )


def _advice(story: Narrator, drying: DryingAssessment) -> Iterator[Sentence]:
    row = story.tables.drying_stories.get(DRIED_OUT if drying.conclusion == "suspected" else drying.conclusion)
    if row is None:
        return
    yield story.tell(DRYING, "Meaning: {meaning}.", meaning=quote(row.means))
    yield story.tell(DRYING, "{advice}.", advice=quote(row.advice))


def _next(story: Narrator) -> Iterator[Sentence]:
    node = story.figures.get("drying.next")
    if node is None:
        return
    yield story.tell(DRYING, "Of the clues not yet looked for, this one would tell most: “{clue}”.", clue=node)
