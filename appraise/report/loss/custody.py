"""The chain of custody of a claim: who inspected when and what for, every file by its SHA-256, the trail."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message
from appraise.report.document import Column, Facts, Section, Table
from appraise.report.provenance import amended, trailed
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.report.loss.compared import Compared, StateFile

FILES = (message("What"), message("File"), message("SHA-256"))

ONE_PAGE = 30
"""So many files and facts have room on a page together."""


def section(item: Compared) -> Section:
    """Return the chain of custody, on one page where it has room there, with what it takes to compute it again."""
    say, loss = item.manner.say, item.loss
    facts = (
        (say("Condition before"), _inspected(item, item.before)),
        (say("Condition after"), _inspected(item, item.after)),
        *trailed(item.standing, item.manner, absent=True),
        *amended(item.standing, item.manner),
        (
            say("To reproduce the figures"),
            say(
                "tables {tables}, seed {seed}, {draws} draws",
                tables=loss.tables_version,
                seed=loss.seed,
                draws=loss.draws,
            ),
        ),
    )
    rows = tuple(_files(item))
    table = Table(tuple(Column(say(heading)) for heading in FILES), rows)
    whole = len(rows) + len(facts) <= ONE_PAGE
    return Section(say("Chain of custody"), (Facts(facts), table), whole=whole, key="custody")


def _inspected(item: Compared, state: StateFile) -> str:
    asked, say = state.case.assignment, item.manner.say
    words = [say("inspected {day}", day=item.manner.day(asked.inspected))]
    words += [say("by {who}", who=literal(asked.assessor))] if asked.assessor.strip() else []
    words += [say("reported {day}", day=item.manner.day(asked.reported))] if asked.reported is not None else []
    text = ", ".join(words)
    return say("{inspected}: {purpose}", inspected=text, purpose=literal(asked.purpose)) if asked.purpose else text


def _files(item: Compared) -> Iterator[tuple[str, str, str]]:
    """Yield every file that the claim rests on, once."""
    say, claim = item.manner.say, item.after.case.claim
    yield say("Condition before"), literal(item.before.file), item.before.sha256
    yield say("Condition after"), literal(item.after.file), item.after.sha256
    for what, state in ((say("Photo before"), item.before), (say("Photo after"), item.after)):
        for file in state.case.photo_files:
            yield what, literal(file), literal(state.case.photo(file).sha256) or say("none recorded")
    for quotation in claim.quotations:
        if quotation.file:
            what = say("Quotation, {firm}", firm=literal(quotation.firm))
            yield what, literal(quotation.file), quotation.sha256 or say("none recorded")
    for bid in claim.salvage_bids:
        if bid.file:
            yield (
                say("Bid, {bidder}", bidder=literal(bid.bidder)),
                literal(bid.file),
                bid.sha256 or say("none recorded"),
            )
