"""Whether it has dried out: the odds, what moved them, what follows, and what to watch."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.explain.terms import CONCLUSIONS
from appraise.model.message import message
from appraise.report.rationale.story import Chapter, Narrator, Piece, quote
from appraise.tables.rows_measurements import DRIED_OUT, ClueRole

if TYPE_CHECKING:
    from appraise.model.measurement import DryingAssessment
    from appraise.model.reason import Sentence

TOPIC = "drying"

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
    "nothing": message("Nothing that was looked for speaks of drying or of damp."),
}
"""Sentences for the conclusions that are no story of their own."""

_TELLING = 0.0005
"""Probability below which a story is not told by its figure, for it would read as none [–]."""

_DRYING = frozenset({"dried_out", "suspected", "cycling"})


def chapter(story: Narrator) -> Chapter:
    """Tell the conclusion and what it rests on, where clues were looked for."""
    heading = story.say("Drying")
    found = story.valuation.drying
    if found is None:
        return Chapter(TOPIC, heading, ())
    told = [_conclusion(story, found), *_odds(story, found), *_most(story, found), *_lacking(story, found)]
    if found.damp:
        told.append(
            story.tell(TOPIC, "There are signs of damp as well: both kinds together speak of swings, which harm more.")
        )
    if found.conclusion in _DRYING:
        told.extend(_consequences(story, found))
    told.extend(_advice(story, found))
    told.extend(_next(story))
    return Chapter(TOPIC, heading, tuple(told))


def _conclusion(story: Narrator, found: DryingAssessment) -> Sentence:
    strong = story.figures.get("drying.strong")
    if found.conclusion == "dried_out" and strong is not None:
        return story.tell(
            TOPIC,
            "The clues show that it has dried out: {count} strong clues of damage in different sections, and a dry "
            "history.",
            count=strong,
        )
    if found.conclusion in _CONCLUDED:
        return story.tell(TOPIC, _CONCLUDED[found.conclusion])
    told = story.phrase(CONCLUSIONS[found.conclusion])
    return story.tell(TOPIC, "The likeliest explanation is not drying out: {story}.", story=told)


def _odds(story: Narrator, found: DryingAssessment) -> list[Sentence]:
    items: list[list[Piece]] = []
    for one in sorted(found.stories, key=lambda one: -one.after):
        node = story.figures.get(f"drying.story.{one.key}")
        if node is not None and one.after >= _TELLING:
            items.append([story.name(story.tables.drying_stories[one.key].label), " ", node])
    if not items:
        return []
    if any(one.after < _TELLING for one in found.stories):
        items.append(story.phrase("next to nothing for the others"))
    return [
        story.tell(
            TOPIC,
            "The probabilities after all clues: {stories}; the explanations are taken to exclude one another, and "
            "the likelihood ratios behind them are an assumption of the tables.",
            stories=story.series(items),
        )
    ]


def _most(story: Narrator, found: DryingAssessment) -> list[Sentence]:
    if not found.most:
        return []
    clue = story.name(story.tables.drying_clues[found.most].label)
    if next(one.seen for one in found.witnesses if one.clue == found.most):
        return [story.tell(TOPIC, "The clue that counts most: “{clue}”, which was seen.", clue=clue)]
    return [story.tell(TOPIC, "The clue that counts most: “{clue}”, which was looked for and not found.", clue=clue)]


def _lacking(story: Narrator, found: DryingAssessment) -> list[Sentence]:
    if found.conclusion != "suspected":
        return []
    told = []
    if len(found.strong) < story.tables.setting("drying_least_strong"):
        text = message("For the conclusion, strong clues of damage in more than one section are lacking.")
        told.append(story.tell(TOPIC, text))
    if not found.dry_history:
        told.append(story.tell(TOPIC, "For the conclusion, a record of dry air over weeks is lacking."))
    return told


def _consequences(story: Narrator, found: DryingAssessment) -> list[Sentence]:
    told = []
    for section, harmed, whole in _AFFECTED:
        looked = [
            one.seen
            for one in found.witnesses
            if (row := story.tables.drying_clues[one.clue]).section == section and row.role is ClueRole.DAMAGE
        ]
        if any(looked):
            told.append(story.tell(TOPIC, harmed))
        elif looked:
            told.append(story.tell(TOPIC, whole))
    told.append(
        story.tell(
            TOPIC,
            "To be watched: the torque of the same pins, the pitch of the same notes and the humidity beside them, in "
            "the same months of each year.",
        )
    )
    return told


def _advice(story: Narrator, found: DryingAssessment) -> list[Sentence]:
    row = story.tables.drying_stories.get(DRIED_OUT if found.conclusion == "suspected" else found.conclusion)
    if row is None:
        return []
    return [
        story.tell(TOPIC, "Meaning: {meaning}.", meaning=quote(row.means)),
        story.tell(TOPIC, "{advice}.", advice=quote(row.advice)),
    ]


def _next(story: Narrator) -> list[Sentence]:
    node = story.figures.get("drying.next")
    if node is None:
        return []
    return [story.tell(TOPIC, "Of the clues not yet looked for, this one would tell most: “{clue}”.", clue=node)]
