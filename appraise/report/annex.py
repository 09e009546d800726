"""The annex of a full report: how every figure came about, in a document of its own that can be made at any time.

The appraiser signs the report; whoever wants to follow a figure down to its table rows asks for the annex, and finds by
the same hashes that it belongs to it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.document import Paragraph, Section
from appraise.report.document_header import framed
from appraise.report.sections import components, sources

if TYPE_CHECKING:
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Document


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
        components.depreciation(item),
        components.remaining(item),
        sources.rows_used(item),
        sources.derivation(item),
        sources.again(item),
    )
    return framed(item, say("Annex: derivation of the figures"), sections, contents=True)
