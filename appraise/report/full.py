"""The full report: every section, in the order a client reads them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.frame import framed
from appraise.report.sections import closing, condition, drying, identity, pitch, worth

if TYPE_CHECKING:
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Document


def full_report(item: Appraisal) -> Document:
    """Build the full report of a valued case.

    Args:
        item: The case, its figures, its reasons and the words.
    """
    return framed(
        item,
        "Condition and value of a piano",
        (
            identity.summary(item),
            *closing.reasons(item),
            identity.identity(item),
            identity.assignment(item),
            identity.scope(item),
            condition.stations(item),
            condition.components(item),
            condition.readings(item),
            condition.remarks(item),
            condition.history(item),
            *pitch.section(item),
            *drying.section(item),
            worth.work(item),
            *worth.approaches(item),
            worth.spread(item),
            closing.assumptions(item),
            closing.cautions(item),
            closing.statement(),
            closing.sources(item),
            *closing.derivation(item),
        ),
    )
