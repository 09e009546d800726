"""What many sections write: what somebody stated, or that nobody did; where a row of a table comes from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message
from appraise.report.document import Paragraph
from appraise.report.words import literal

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.report.appraisal import Appraisal
    from appraise.tables.row import Row

NOT_STATED = message("not stated")
"""Where nobody wrote anything."""


def source_of(item: Appraisal, row: Row) -> str:
    """Return where a row comes from: author, title, year and place, or its standing alone."""
    say = item.manner.say
    source = item.tables.sources.get(row.source)
    standing = say(str(row.standing))
    if source is None:
        return _marked(item, row, say("{standing}, no source", standing=standing))
    words = [source.author, source.title, source.year, row.where]
    return _marked(item, row, f"{', '.join(literal(word) for word in words if word)} ({standing})")


def _marked(item: Appraisal, row: Row, text: str) -> str:
    return item.manner.say("{source} (the appraiser’s own table)", source=text) if row.yours else text


def stated(item: Appraisal, text: str) -> str:
    """Return what somebody wrote, or that nobody did."""
    return literal(text) or item.manner.say(NOT_STATED)


def counts_on_work(item: Appraisal) -> bool:
    """Tell whether the best estimate counts on work, which is an extraordinary assumption."""
    valuation = item.valuation
    return valuation.value is not None and valuation.best == "after_work" and valuation.after_work is not None


def invented(case: Case) -> tuple[Paragraph, ...]:
    """Return what a case says of itself being invented, as the paragraph that heads its documents."""
    return (Paragraph(literal(case.invented)),) if case.invented.strip() else ()
