"""Sentences on the instrument, the inspection and the kind of value."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import FULL_COMPASS, Kind
from appraise.model.message import message
from appraise.report.rationale.story import Chapter, Narrator, Piece, quote
from appraise.report.value_texts import nothing_inspected

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.reason import Sentence

TOPIC = "instrument"


def chapter(story: Narrator) -> Chapter:
    """Tell what the instrument is, on what day it was seen and on what basis it is valued."""
    sentences = [_what(story), _made(story)]
    compass = story.case.identity.compass
    if compass != FULL_COMPASS:
        notes = quote(story.manner.several("{count} note", "{count} notes", compass, count=compass))
        sentences.append(story.tell(TOPIC, "Its compass is {notes}.", notes=notes))
    sentences.append(_visit(story))
    sentences.extend(_basis(story))
    return Chapter(TOPIC, story.say("The instrument"), tuple(sentences))


def _what(story: Narrator) -> Sentence:
    return story.tell(
        TOPIC,
        "This is {instrument}{maker}{serial}.",
        instrument=_kind(story),
        maker=_maker(story),
        serial=_serial(story),
    )


def _kind(story: Narrator) -> list[Piece]:
    identity = story.case.identity
    grand = identity.kind == Kind.GRAND
    if identity.size_cm is None:
        return story.phrase("a grand piano") if grand else story.phrase("an upright piano")
    size = quote(f"{story.manner.amount(identity.size_cm, 'cm', 1)} {story.manner.unit('cm')}")
    if grand:
        return story.phrase("a grand piano {size} long", size=size)
    return story.phrase("an upright piano {size} high", size=size)


def _maker(story: Narrator) -> list[Piece]:
    identity = story.case.identity
    maker, model = quote(identity.maker), quote(identity.model)
    if identity.maker.strip() and identity.model.strip():
        return story.phrase(" by {maker}, model {model}", maker=maker, model=model)
    if identity.maker.strip():
        return story.phrase(" by {maker}", maker=maker)
    if identity.model.strip():
        return story.phrase(", model {model}, its maker unknown", model=model)
    return story.phrase(" by an unknown maker")


def _serial(story: Narrator) -> list[Piece]:
    serial = story.case.identity.serial
    if not serial.strip():
        return story.phrase(", serial number not known")
    return story.phrase(", serial number {serial}", serial=quote(serial))


def _made(story: Narrator) -> Sentence:
    identity = story.case.identity
    if identity.made is None:
        return story.tell(TOPIC, "When it was made is not known.")
    when = quote(story.manner.when(identity.made))
    if identity.made_evidence.strip():
        evidence = quote(identity.made_evidence)
        return story.tell(TOPIC, "It was made {when}; evidence: {evidence}.", when=when, evidence=evidence)
    return story.tell(TOPIC, "It was made {when}; no evidence for the date is on record.", when=when)


def _visit(story: Narrator) -> Sentence:
    assignment = story.case.assignment
    if nothing_inspected(story.valuation):
        text = message("No part of it was inspected; it is valued as of {day}{place}{assessor}{client}.")
    else:
        text = message("It was inspected on {day}{place}{assessor}{client}; every figure is as of that day.")
    place, assessor, client = quote(assignment.place), quote(assignment.assessor), quote(assignment.client)
    return story.tell(
        TOPIC,
        text,
        day=quote(story.manner.day(assignment.inspected)),
        place=[" (", place, ")"] if assignment.place.strip() else "",
        assessor=story.phrase(" by {assessor}", assessor=assessor) if assignment.assessor.strip() else "",
        client=story.phrase(", for {client}", client=client) if assignment.client.strip() else "",
    )


def _basis(story: Narrator) -> Iterator[Sentence]:
    basis = story.tables.bases[story.valuation.basis]
    yield story.tell(
        TOPIC,
        "The kind of value is {basis}: {definition}.",
        basis=story.name(basis.label),
        definition=story.said(basis.definition),
    )
    purpose = story.case.assignment.purpose
    if purpose.strip():
        yield story.tell(TOPIC, "Purpose of the valuation: {purpose}.", purpose=story.said(purpose))
