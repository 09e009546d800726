"""Sentences on renewals, their evidence and undocumented ages."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.clues import disagreeing
from appraise.model.case import Extent
from appraise.model.findings import in_time
from appraise.report.rationale.story import Chapter, Narrator, Piece, quote, verb

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.case import Renewal
    from appraise.model.reason import Sentence
    from appraise.tables.rows_ageing import DatingClue

TOPIC = "history"


def chapter(story: Narrator) -> Chapter:
    """Tell the renewals in the order of time, then what has no record."""
    sentences: list[Sentence] = []
    for renewal in in_time(story.case.renewals):
        sentences.extend(_renewal(story, renewal))
    if any(renewal.extent == Extent.REPAIRED for renewal in story.case.renewals):
        sentences.append(
            story.tell(TOPIC, "A repair takes off only part of the age: a repaired part does not count as new.")
        )
    if not story.case.renewals:
        sentences.append(
            story.tell(TOPIC, "No renewal is on record, so every part is taken to be as old as the instrument.")
        )
    elif _untouched(story):
        sentences.append(
            story.tell(TOPIC, "Every part without a record of its own is taken to be as old as the instrument.")
        )
    sentences.extend(_stated_ages(story))
    return Chapter(TOPIC, story.say("Its history"), tuple(sentences))


def _renewal(story: Narrator, renewal: Renewal) -> Iterator[Sentence]:
    done = _done(story, renewal)
    if not done:
        return
    if renewal.date is None:
        yield story.tell(TOPIC, "{done} at an undocumented date.", done=done)
        yield from _clues(story, renewal)
    elif renewal.evidence.strip():
        evidence = quote(renewal.evidence)
        yield story.tell(TOPIC, "{done}; evidence: {evidence}.", done=done, evidence=evidence)
    else:
        yield story.tell(TOPIC, "{done}; undocumented.", done=done)
    if renewal.note.strip():
        yield story.tell(TOPIC, "The assessor adds: {note}.", note=story.said(renewal.note))


def _done(story: Narrator, renewal: Renewal) -> list[Piece]:
    """Say what was done to which parts, when and by whom; nothing where the tables know none of the parts."""
    labels = [
        story.tables.components[key].named(story.case.identity.kind)
        for key in renewal.components
        if key in story.tables.components
    ]
    if not labels:
        return []
    parts = story.series([[story.name(label)] for label in labels])
    number = verb(len(labels), labels[0])
    when: list[Piece] = [] if renewal.date is None else [" ", quote(story.manner.when(renewal.date))]
    by = story.phrase(" by {workshop}", workshop=quote(renewal.by)) if renewal.by.strip() else []
    if renewal.extent == Extent.RENEWED:
        return story.phrases(
            "The {parts} was renewed{when}{by}",
            "The {parts} were renewed{when}{by}",
            number,
            parts=parts,
            when=when,
            by=by,
        )
    return story.phrases(
        "The {parts} was repaired{when}{by}",
        "The {parts} were repaired{when}{by}",
        number,
        parts=parts,
        when=when,
        by=by,
    )


def _clues(story: Narrator, renewal: Renewal) -> Iterator[Sentence]:
    rows = [story.tables.dating_clues[key] for key in renewal.clues if key in story.tables.dating_clues]
    ages = [
        (story.tables.components[key].named(story.case.identity.kind), node)
        for key in renewal.components
        if key in story.tables.components and (node := story.figures.get(f"{key}.age")) is not None
    ]
    if not rows:
        yield story.tell(TOPIC, "No clue to the date was found either, so its age is very uncertain.")
        return
    clues = story.series([[story.name(row.label)] for row in rows])
    if not ages:
        yield story.tell(TOPIC, "Clues to the date: {clues}.", clues=clues)
        return
    shown: list[list[Piece]] = [[ages[0][1]]]
    if len({node.shown for _, node in ages}) > 1:
        shown = [story.phrase("{age} for the {part}", age=node, part=story.name(label)) for label, node in ages]
    sentences = story.tells(
        TOPIC,
        "The clue to the date is {clues}, which points to an age of {ages}.",
        "The clues to the date are {clues}, which point to an age of {ages}.",
        len(rows),
        clues=clues,
        ages=story.series(shown),
    )
    yield sentences
    yield from _disagreement(story, rows)


def _disagreement(story: Narrator, rows: list[DatingClue]) -> list[Sentence]:
    labels = {row.key: row.label for row in rows}
    return [
        story.tell(
            TOPIC,
            "Two clues disagree: {first} and {second}; the work may have been done in stages, which widens the range "
            "of dates.",
            first=story.name(labels[first]),
            second=story.name(labels[second]),
        )
        for first, second in disagreeing(rows)
    ]


def _untouched(story: Narrator) -> bool:
    renewed = {key for renewal in story.case.renewals for key in renewal.components}
    return any(part.component not in renewed for station in story.valuation.stations for part in station.components)


def _stated_ages(story: Narrator) -> Iterator[Sentence]:
    for stated in story.case.effective_ages:
        row = story.tables.components.get(stated.component)
        node = story.figures.get(f"{stated.component}.effective_age")
        if row is None or node is None:
            continue
        yield story.tell(
            TOPIC,
            "For the {part} the assessor states an effective age of {age}: {reason}.",
            part=story.name(row.label),
            age=node,
            reason=story.said(stated.reason),
        )
