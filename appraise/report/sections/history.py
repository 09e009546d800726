"""Work on record: renewals and repairs, their dates and the evidence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import Extent
from appraise.model.findings import in_time
from appraise.model.message import message
from appraise.report.document import Column, Paragraph, Section, Table
from appraise.report.sections.cells import lean
from appraise.report.words import capital, literal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.case import Renewal
    from appraise.model.reason import Sentence
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block

EVIDENCE = {
    "renewal": message("dated renewal"),
    "clues": message("clues"),
    "undated": message("renewal without a date"),
    "repaired": message("date made, less what repairs give back"),
    "made": message("date made"),
    "stated": message("assessor"),
    "unknown": message("not known"),
}
"""Source of a component's age, in a table's cell."""


def history(item: Appraisal) -> Section:
    """Every renewal with its date, its evidence and the workshop; what clues come to; what holds for the rest."""
    say = item.manner.say
    blocks: list[Block] = []
    if item.case.renewals:
        headings = (say("Components"), say("Work done"), say("When"), say("By"), say("Evidence"), say("Note"))
        columns = tuple(Column(heading) for heading in headings)
        blocks.append(lean(columns, tuple(_renewal(item, renewal) for renewal in in_time(item.case.renewals))))
    dated = [
        (literal(part.label), item.figures.spread(f"{part.component}.age"))
        for station in item.valuation.stations
        for part in station.components
        if part.age_evidence == "clues"
    ]
    if dated:
        columns = (Column(say("Dated by clues")), Column(say("Age indicated"), numeric=True))
        blocks.append(Table(columns, tuple(dated)))
    general = " ".join(sentence.text for sentence in _general(item))
    if general:
        blocks.append(Paragraph(general))
    return Section(say("History and dating"), tuple(blocks), key="history")


def _general(item: Appraisal) -> Iterator[Sentence]:
    """Yield what the rationale says of the history as a whole; what it says of one renewal stands in the table."""
    for chapter in item.chapters:
        if chapter.topic == "history":
            yield from (each for each in chapter.sentences if all(isinstance(piece, str) for piece in each.pieces))


def _renewal(item: Appraisal, renewal: Renewal) -> tuple[str, ...]:
    say = item.manner.say
    labels = [
        item.manner.small(literal(item.tables.components[key].named(item.case.identity.kind)))
        if key in item.tables.components
        else key
        for key in renewal.components
    ]
    if renewal.date is not None:
        when = item.manner.when(renewal.date)
    else:
        clues = [
            item.manner.small(literal(item.tables.dating_clues[key].label))
            for key in renewal.clues
            if key in item.tables.dating_clues
        ]
        when = (
            say("not documented; clues: {clues}", clues=item.manner.listed(clues)) if clues else say("not documented")
        )
    done = say("renewed") if renewal.extent == Extent.RENEWED else say("repaired")
    parts = capital(item.manner.listed(labels))
    return parts, done, when, literal(renewal.by), literal(renewal.evidence), literal(renewal.note)
