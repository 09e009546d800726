"""What was done to the instrument and when, and how each date is known."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import Extent
from appraise.report.document import Column, Paragraph, Section, Table
from appraise.report.sections.tables import lean
from appraise.report.words import listed, literal, period, small

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.case import Renewal
    from appraise.model.reason import Sentence
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block

EVIDENCE = {
    "renewal": "dated renewal",
    "clues": "clues",
    "undated": "renewal without a date",
    "repaired": "date made, less what repairs give back",
    "made": "date made",
    "stated": "assessor",
    "unknown": "not known",
}
"""How the age of a component is known, in a table's cell."""


def history(item: Appraisal) -> Section:
    """Every renewal with its date, its evidence and the workshop; what clues come to; what holds for the rest."""
    blocks: list[Block] = []
    if item.case.renewals:
        headings = ("Components", "What was done", "When", "By", "Evidence", "Note")
        columns = tuple(Column(heading) for heading in headings)
        blocks.append(lean(columns, tuple(_renewal(item, renewal) for renewal in item.case.renewals)))
    dated = [
        (literal(part.label), item.figures.spread(f"{part.component}.age"))
        for station in item.valuation.stations
        for part in station.components
        if part.age_evidence == "clues"
    ]
    if dated:
        columns = (Column("Dated by clues"), Column("Age that they speak of", numeric=True))
        blocks.append(Table(columns, tuple(dated)))
    general = " ".join(sentence.text for sentence in _general(item))
    if general:
        blocks.append(Paragraph(general))
    return Section("History and dating", tuple(blocks), key="history")


def _general(item: Appraisal) -> Iterator[Sentence]:
    """Yield what the rationale says of the history as a whole; what it says of one renewal stands in the table."""
    for chapter in item.chapters:
        if chapter.topic == "history":
            yield from (each for each in chapter.sentences if all(isinstance(piece, str) for piece in each.pieces))


def _renewal(item: Appraisal, renewal: Renewal) -> tuple[str, ...]:
    labels = [
        small(literal(item.tables.components[key].label)) if key in item.tables.components else key
        for key in renewal.components
    ]
    if renewal.date is not None:
        when = " ".join(period(renewal.date))
    else:
        clues = [
            small(literal(item.tables.dating_clues[key].label))
            for key in renewal.clues
            if key in item.tables.dating_clues
        ]
        when = f"not documented; clues: {listed(clues)}" if clues else "not documented"
    done = "renewed" if renewal.extent == Extent.RENEWED else "repaired"
    return listed(labels), done, when, literal(renewal.by), literal(renewal.evidence), literal(renewal.note)
