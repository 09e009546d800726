"""The full report: every section, in the order a client reads them; how each figure came about is the annex."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.document_header import framed
from appraise.report.sections import (
    assignment,
    closing,
    condition,
    depreciation,
    drying,
    history,
    identity,
    photos,
    pitch,
    prose,
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
        *prose.reasons(item),
        assignment.assignment(item),
        identity.identity(item),
        assignment.scope(item),
        history.history(item),
        *condition.condition(item),
        condition.defects(item),
        photos.plates(item),
        *pitch.section(item),
        *drying.section(item),
        depreciation.depreciation(item),
        depreciation.remaining(item),
        *work.work(item),
        *worth.approaches(item),
        worth.spread(item),
        closing.assumptions(item),
        closing.cautions(item),
        closing.statement(item),
        sources.sources(item),
        sources.again(item),
    )
    return framed(item, say("Condition and value of a piano"), sections, contents=True)
