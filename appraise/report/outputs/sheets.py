"""Papers without a valuation as JSON: what the sheet says, and nothing of what the instrument is worth."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.result import WorkList
from appraise.report.kinds import ReportKind, document_for
from appraise.report.outputs.document import DOCUMENT, STANDING
from appraise.report.outputs.fields import (
    DAY,
    LITERAL,
    MONEY,
    SHA256,
    TEXT,
    WHOLE,
    YES_NO,
    Field,
    Object,
    Output,
    leaf,
    list_of,
    nullable,
    number,
    one_of,
    range_of,
)
from appraise.report.outputs.value import IDENTITY
from appraise.report.workorder import in_turn

if TYPE_CHECKING:
    from appraise.model.case import Offer
    from appraise.model.result import WorkItem
    from appraise.report.appraisal import Appraisal

_OFFERED: Object[Offer] = Object(
    amount=nullable(leaf({"type": "string", "pattern": r"^-?[0-9]+(\.[0-9]+)?$"}, lambda amount: f"{amount:f}")),
    until=nullable(DAY),
    counts_on=LITERAL,
)
_JOB: Object[WorkItem] = Object(
    remedy=TEXT,
    label=TEXT,
    list=one_of(*(each for each in WorkList if each is not WorkList.PLAYER)).of(lambda job: job.group),
    cost=range_of(MONEY),
    hours=range_of(number(2)),
    pieces=WHOLE,
    safety=YES_NO,
    if_left=LITERAL,
)

_OF_A_CASE: Object[Appraisal] = Object(
    case=TEXT.of(lambda i: i.file),
    case_sha256=SHA256.of(lambda i: i.sha256),
    identity=IDENTITY.of(lambda i: i.case.identity),
    inspected=DAY.of(lambda i: i.case.assignment.inspected),
    assessor=LITERAL.of(lambda i: i.case.assignment.assessor),
)
_CURRENCY: Field[Appraisal] = TEXT.of(lambda i: i.case.assignment.currency)

OFFER: Output[Appraisal] = Output(
    "offer",
    **_OF_A_CASE.fields,
    currency=_CURRENCY,
    kind=one_of(ReportKind.OFFER).of(lambda _: ReportKind.OFFER),
    offer=_OFFERED.of(lambda i: i.case.offer),
    **STANDING.within(lambda i: i.standing),
    document=DOCUMENT.of(lambda i: document_for(ReportKind.OFFER, i)),
)
"""An offer for a seller: of the valuation behind it nothing; `check` knows the file by its trail."""

WORK_ORDER: Output[Appraisal] = Output(
    "work_order",
    **_OF_A_CASE.fields,
    client=LITERAL.of(lambda i: i.case.assignment.client),
    currency=_CURRENCY,
    kind=one_of(ReportKind.WORKORDER).of(lambda _: ReportKind.WORKORDER),
    jobs=list_of(_JOB).of(in_turn),
    **STANDING.within(lambda i: i.standing),
    document=DOCUMENT.of(lambda i: document_for(ReportKind.WORKORDER, i)),
)
"""A work order, its jobs in the order of the workshop: of the valuation behind it nothing; its trail tells `check`."""
