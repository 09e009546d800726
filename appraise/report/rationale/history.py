"""What was renewed when, on what evidence, and what nobody wrote down."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.clues import disagreeing
from appraise.model.case import Extent
from appraise.report.rationale.story import Chapter, Piece, Story, name, quote, said, sentence, series
from appraise.report.words import many, period

if TYPE_CHECKING:
    from appraise.model.case import Renewal
    from appraise.model.reason import Sentence
    from appraise.tables.rows import DatingClue

TOPIC = "history"


def chapter(story: Story) -> Chapter:
    """Tell the renewals in the order of the file, then what has no record."""
    told: list[Sentence] = []
    for renewal in story.case.renewals:
        told.extend(_renewal(story, renewal))
    if any(renewal.extent == Extent.REPAIRED for renewal in story.case.renewals):
        told.append(
            sentence(TOPIC, "A repair gives back only part of the age: what was repaired does not count as new since.")
        )
    if not story.case.renewals:
        told.append(
            sentence(
                TOPIC,
                "No renewal is on record, so every part is taken to be as old as the instrument.",
            )
        )
    elif _untouched(story):
        told.append(sentence(TOPIC, "Every part without a record of its own is taken to be as old as the instrument."))
    told.extend(_stated_ages(story))
    return Chapter(TOPIC, "Its history", tuple(told))


def _labels(story: Story, keys: tuple[str, ...]) -> tuple[list[list[Piece]], bool]:
    labels = [story.tables.components[key].label for key in keys if key in story.tables.components]
    plural = len(labels) > 1 or (bool(labels) and many(labels[0]))
    return [[name(label)] for label in labels], plural


def _renewal(story: Story, renewal: Renewal) -> list[Sentence]:
    labels, plural = _labels(story, renewal.components)
    if not labels:
        return []
    be = "were" if plural else "was"
    done = "renewed" if renewal.extent == Extent.RENEWED else "repaired"
    pieces: list[Piece] = ["The ", *series(labels), f" {be} {done}"]
    if renewal.date is not None:
        preposition, words = period(renewal.date)
        pieces += [f" {preposition} ", quote(words)]
    if renewal.by.strip():
        pieces += [" by ", quote(renewal.by)]
    told = []
    if renewal.date is None:
        told.append(sentence(TOPIC, pieces, " at a date that nobody wrote down."))
        told.extend(_clues(story, renewal))
    elif renewal.evidence.strip():
        told.append(sentence(TOPIC, pieces, "; evidence: ", quote(renewal.evidence), "."))
    else:
        told.append(sentence(TOPIC, pieces, "; there is no paper to show for it."))
    if renewal.note.strip():
        told.append(sentence(TOPIC, "The assessor adds: ", said(renewal.note), "."))
    return told


def _clues(story: Story, renewal: Renewal) -> list[Sentence]:
    rows = [story.tables.dating_clues[key] for key in renewal.clues if key in story.tables.dating_clues]
    ages = [
        (story.tables.components[key].label, node)
        for key in renewal.components
        if key in story.tables.components and (node := story.figures.get(f"{key}.age")) is not None
    ]
    if not rows:
        return [sentence(TOPIC, "There is no clue to the date either, so the age stays wide open.")]
    speak = "speak" if len(rows) > 1 or many(rows[0].label) else "speaks"
    pieces: list[Piece] = [
        "What was seen tells something of it: ",
        *series([[name(row.label)] for row in rows]),
    ]
    if not ages:
        return [sentence(TOPIC, pieces, ".")]
    shown: list[list[Piece]] = []
    if len({node.shown for _, node in ages}) == 1:
        shown.append([ages[0][1]])
    else:
        shown.extend([node, " for the ", name(label)] for label, node in ages)
    return [sentence(TOPIC, pieces, f" {speak} of an age of ", series(shown), "."), *_disagreement(rows)]


def _disagreement(rows: list[DatingClue]) -> list[Sentence]:
    labels = {row.key: row.label for row in rows}
    return [
        sentence(
            TOPIC,
            "Two clues disagree: ",
            name(labels[first]),
            " and ",
            name(labels[second]),
            "; the work may have been done in parts, and the date stays the wider for it.",
        )
        for first, second in disagreeing(rows)
    ]


def _untouched(story: Story) -> bool:
    renewed = {key for renewal in story.case.renewals for key in renewal.components}
    return any(part.component not in renewed for station in story.valuation.stations for part in station.components)


def _stated_ages(story: Story) -> list[Sentence]:
    told = []
    for stated in story.case.effective_ages:
        row = story.tables.components.get(stated.component)
        node = story.figures.get(f"{stated.component}.effective_age")
        if row is None or node is None:
            continue
        told.append(
            sentence(
                TOPIC,
                "For the ",
                name(row.label),
                " the assessor states an effective age of ",
                node,
                ": ",
                said(stated.reason),
                ".",
            )
        )
    return told
