"""The full report, every section in the order a client reads them, and its annex: how each figure came about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.document import Paragraph, Section
from appraise.report.document_header import framed
from appraise.report.sections import (
    assignment,
    cells,
    closing,
    condition,
    depreciation,
    history,
    identity,
    measurements,
    photos,
    signatures,
    sources,
    work,
    worth,
)

if TYPE_CHECKING:
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Document


def full_report(item: Appraisal) -> Document:
    """Build the full report of a valued case.

    Args:
        item: The case, its figures, its reasons and the words.
    """
    say = item.manner.say
    sections = (
        identity.summary(item),
        *cells.reasons(item),
        assignment.assignment(item),
        identity.identity(item),
        assignment.scope(item),
        history.history(item),
        *condition.condition(item),
        condition.defects(item),
        photos.plates(item),
        *measurements.pitch_section(item),
        *measurements.drying_section(item),
        depreciation.depreciation(item),
        depreciation.remaining(item),
        *work.work(item),
        *worth.approaches(item),
        worth.spread(item),
        closing.assumptions(item),
        closing.cautions(item),
        closing.statement(item),
        signatures.signatures(item.case.assignment, item.manner),
        sources.sources(item),
        sources.again(item),
    )
    return framed(item, say("Condition and value of a piano"), sections, contents=True)


def annex(item: Appraisal) -> Document:
    """Build the annex of a valued case.

    Args:
        item: The case, its figures, its reasons and the words.
    """
    say = item.manner.say
    belongs = say(
        "This annex belongs to the report on condition and value as on {day}, made from the same case file and "
        "tables; their hashes are at the end of both. It shows how each figure was derived and adds no opinion.",
        day=item.manner.day(item.case.assignment.inspected),
    )
    sections = (
        Section(say("About this annex"), (Paragraph(belongs),), key="about"),
        depreciation.depreciation_rows(item),
        depreciation.remaining_rows(item),
        sources.rows_used(item),
        sources.derivation(item),
        sources.again(item),
    )
    return framed(item, say("Annex: derivation of the figures"), sections, contents=True)
