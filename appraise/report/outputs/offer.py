"""An offer to a seller as JSON: what the sheet says, and nothing of the valuation behind it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.kinds import ReportKind, document_for
from appraise.report.outputs.document import DOCUMENT, STANDING
from appraise.report.outputs.fields import DAY, LITERAL, SHA256, TEXT, Object, Output, leaf, nullable, one_of
from appraise.report.outputs.value import IDENTITY

if TYPE_CHECKING:
    from appraise.model.case import Offer
    from appraise.report.appraisal import Appraisal

_OFFERED: Object[Offer] = Object(
    amount=nullable(leaf({"type": "string", "pattern": r"^-?[0-9]+(\.[0-9]+)?$"}, lambda amount: f"{amount:f}")),
    until=nullable(DAY),
    counts_on=LITERAL,
)
OFFER: Output[Appraisal] = Output(
    "offer",
    case=TEXT.of(lambda i: i.file),
    case_sha256=SHA256.of(lambda i: i.sha256),
    identity=IDENTITY.of(lambda i: i.case.identity),
    inspected=DAY.of(lambda i: i.case.assignment.inspected),
    assessor=LITERAL.of(lambda i: i.case.assignment.assessor),
    currency=TEXT.of(lambda i: i.case.assignment.currency),
    kind=one_of(ReportKind.OFFER).of(lambda _: ReportKind.OFFER),
    offer=_OFFERED.of(lambda i: i.case.offer),
    **STANDING.within(lambda i: i.standing),
    document=DOCUMENT.of(lambda i: document_for(ReportKind.OFFER, i)),
)
"""An offer for a seller: of the valuation behind it nothing; `check` knows the file by its trail."""
