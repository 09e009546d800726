"""What stands there, who looked at it when, and what kind of value was asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import Kind
from appraise.report.rationale.story import Chapter, Piece, Story, name, quote, said, sentence
from appraise.report.words import day, number, period

if TYPE_CHECKING:
    from appraise.model.reason import Sentence

FULL_COMPASS = 88
"""Notes of a full compass; a fewer or greater number is worth a word."""


def chapter(story: Story) -> Chapter:
    """Tell what the instrument is, on what day it was seen and on what basis it is valued."""
    told = [_what(story), _made(story)]
    if story.case.identity.compass != FULL_COMPASS:
        told.append(sentence("instrument", "Its compass is ", quote(f"{story.case.identity.compass} notes"), "."))
    told.append(_visit(story))
    told.extend(_basis(story))
    return Chapter("instrument", "The instrument", tuple(told))


def _what(story: Story) -> Sentence:
    identity = story.case.identity
    grand = identity.kind == Kind.GRAND
    pieces: list[Piece] = ["This is a grand piano" if grand else "This is an upright piano"]
    if identity.size_cm is not None:
        pieces += [" ", quote(f"{number(identity.size_cm)} cm"), " long" if grand else " high"]
    if identity.maker.strip():
        pieces += [" by ", quote(identity.maker)]
        if identity.model.strip():
            pieces += [", model ", quote(identity.model)]
    elif identity.model.strip():
        pieces += [", model ", quote(identity.model), ", its maker unknown"]
    else:
        pieces += [" by an unknown maker"]
    pieces += (
        [", serial number ", quote(identity.serial)] if identity.serial.strip() else [", without a known serial number"]
    )
    return sentence("instrument", pieces, ".")


def _made(story: Story) -> Sentence:
    identity = story.case.identity
    if identity.made is None:
        return sentence("instrument", "When it was made is not known.")
    preposition, words = period(identity.made)
    pieces: list[Piece] = [f"It was made {preposition} ", quote(words)]
    if identity.made_evidence.strip():
        return sentence("instrument", pieces, ", on the evidence of: ", quote(identity.made_evidence), ".")
    return sentence("instrument", pieces, "; no evidence for the date was written down.")


def _visit(story: Story) -> Sentence:
    assignment = story.case.assignment
    pieces: list[Piece] = ["It was inspected on ", quote(day(assignment.inspected))]
    if assignment.place.strip():
        pieces += [" at ", quote(assignment.place)]
    if assignment.assessor.strip():
        pieces += [" by ", quote(assignment.assessor)]
    if assignment.client.strip():
        pieces += [", for ", quote(assignment.client)]
    return sentence("instrument", pieces, "; every figure holds for that day.")


def _basis(story: Story) -> list[Sentence]:
    basis = story.tables.bases[story.valuation.basis]
    told = [
        sentence(
            "instrument",
            "The kind of value asked for is ",
            name(basis.label),
            ", which means: ",
            said(basis.definition),
            ".",
        )
    ]
    if story.case.assignment.purpose.strip():
        told.append(sentence("instrument", "It is wanted for: ", said(story.case.assignment.purpose), "."))
    return told
