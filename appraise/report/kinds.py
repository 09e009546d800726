"""Which kinds of report there are, and the document of each; every writer and every command asks here."""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Document
    from appraise.report.loss.compared import Compared


class ReportKind(StrEnum):
    """Kind of document, by its reader."""

    FULL = "full"
    """The appraisal."""
    ANNEX = "annex"
    """The derivation of every figure of the appraisal, in a document of its own."""
    SUMMARY = "summary"
    """A page or two for an owner, in the words of a household."""
    WORKORDER = "workorder"
    """The jobs of the plan, for the workshop."""
    OFFER = "offer"
    """Offer to a seller, on one page, without the dealer's figures."""
    BUYING = "buying"
    """Buying sheet: the highest offer and its steps, for internal use only."""
    LOSS = "loss"
    """The claim dossier: two states of one instrument."""
    NOTICE = "notice"
    """The letter of notice to the carrier, of the same two states."""
    REQUEST = "request"
    """The request to a workshop for a quotation, of the same two states."""


OF_A_LOSS = (ReportKind.LOSS, ReportKind.NOTICE, ReportKind.REQUEST)
"""Kinds that are made from two states compared; the others are made from one case."""


SIGNED = frozenset(
    {ReportKind.FULL, ReportKind.SUMMARY, ReportKind.OFFER, ReportKind.LOSS, ReportKind.NOTICE, ReportKind.REQUEST}
)
"""Kinds that the practice signs."""


WITHOUT_VALUE = (ReportKind.OFFER, ReportKind.WORKORDER)
"""Kinds for others' eyes: in no format do they hold a valuation, so that there is none to compute again."""


def document_for(kind: str, item: Appraisal | Compared) -> Document:
    """Return the document of one kind, under the letterhead of its case.

    Args:
        kind: One of `ReportKind`.
        item: A valued case; for one of `OF_A_LOSS`, two states compared.

    Raises:
        ValueError: There is no such kind.
        TypeError: The kind needs the other sort of item.
    """
    from appraise.report.appraisal import Appraisal
    from appraise.report.document_header import headed

    made = _arranged(kind, item)
    case = item.case if isinstance(item, Appraisal) else item.after.case
    return headed(made, case, item.letterhead, signs=ReportKind(kind) in SIGNED)


def _arranged(kind: str, item: Appraisal | Compared) -> Document:
    # Here and below: what a kind is made with is imported when it is asked for, since `--help` names the kinds too.
    from appraise.report.appraisal import Appraisal

    wanted = ReportKind(kind)
    if isinstance(item, Appraisal) == (wanted in OF_A_LOSS):
        needed = "two states compared" if wanted in OF_A_LOSS else "a valued case"
        raise TypeError(f"a report of the kind {wanted} is made from {needed}, not from {type(item).__name__}")
    if not isinstance(item, Appraisal):
        from appraise.report.document_header import closed, footer
        from appraise.report.loss.dossier import dossier
        from appraise.report.loss.letters import notice, request
        from appraise.report.preliminary import compared_notes, marked, paragraphs, with_mark

        written = {ReportKind.NOTICE: notice, ReportKind.REQUEST: request}.get(wanted, dossier)(item)
        result = compared_notes(item)
        first, *others = closed(written.sections, item.manner)
        sections = (replace(first, blocks=(*paragraphs(result), *first.blocks)), *others)
        title = marked(written.title, result, item.manner)
        line = footer(item.after.case.identity, item.loss.day, item.manner)
        return replace(written, title=title, sections=sections, footer=with_mark(line, result, item.manner))
    if wanted is ReportKind.SUMMARY:
        from appraise.report.owner import owner_summary

        return owner_summary(item)
    if wanted is ReportKind.WORKORDER:
        from appraise.report.workorder import work_order

        return work_order(item)
    if wanted is ReportKind.OFFER:
        from appraise.report.offer import offer_sheet

        return offer_sheet(item)
    if wanted is ReportKind.BUYING:
        from appraise.report.offer import buying_sheet

        return buying_sheet(item)
    if wanted is ReportKind.ANNEX:
        from appraise.report.full import annex

        return annex(item)
    from appraise.report.full import full_report

    return full_report(item)
