"""Rows of what is in doubt, of causes, quotations and bids; every cell is literal text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.claim import Exclusion, Peril, Stage
from appraise.model.loss import Doubt, QuotationUse
from appraise.model.message import message
from appraise.report.loss.compared import NOT_KNOWN
from appraise.report.words import literal

if TYPE_CHECKING:
    from decimal import Decimal

    from appraise.model.loss import QuotedWork, RemarkScenario
    from appraise.report.loss.compared import Compared

DOUBTS = {
    Doubt.UNKNOWN: message("origin unknown"),
    Doubt.SUSPECTED: message("suspected"),
    Doubt.UNMOVED: message("no part got worse"),
    Doubt.UNTOLD: message("no defect noted"),
    Doubt.NOT_SEEN: message("not seen"),
}
PERILS = {
    Peril.IMPACT: message("impact"),
    Peril.DROP: message("drop"),
    Peril.ABRASION: message("abrasion"),
    Peril.WET: message("wet"),
    Peril.FROST: message("frost"),
    Peril.HEAT: message("heat"),
    Peril.DRY: message("dry"),
    Peril.THEFT: message("theft"),
    Peril.FIRE: message("fire"),
    Peril.OTHER: message("another peril"),
}
STAGES = {
    Stage.HANDING_OVER: message("handover"),
    Stage.IN_TRANSIT: message("in transit"),
    Stage.DELIVERY: message("delivery"),
    Stage.AFTER: message("after delivery"),
}
EXCLUSIONS = {
    Exclusion.INHERENT_VICE: message("inherent vice"),
    Exclusion.PACKING: message("insufficient packing"),
    Exclusion.WEAR: message("wear and tear"),
    Exclusion.HUMIDITY: message("humidity or temperature"),
    Exclusion.HANDLING_BY_OWNER: message("handling by the owner"),
    Exclusion.OTHER: message("another exclusion"),
}
USES = {
    QuotationUse.TAKEN: message("in place of the table"),
    QuotationUse.EXPIRED: message("not counted: no longer valid on the day of the valuation"),
    QuotationUse.BEYOND: message("not counted: it names a job outside this repair"),
    QuotationUse.OVERLAPS: message("not counted: a lower quotation prices one of its jobs"),
}

IN_DOUBT = (
    message("Place"),
    message("What"),
    message("In doubt"),
    message("Without it"),
    message("With it"),
)
CAUSES = (
    message("Place"),
    message("What"),
    message("Peril and stage"),
    message("Exclusion claimed"),
    message("Signs seen for it"),
    message("Signs seen against it"),
    message("Share of the move"),
)
QUOTATIONS = (
    message("Quotation"),
    message("Jobs"),
    message("Sum"),
    message("By the table"),
    message("Counted"),
    message("File"),
)
BIDS = (message("Bidder"), message("Date"), message("Bid"), message("File"))

NO_JOB = message("no job and no change of grade answers to it: nothing is counted")


def doubt_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return each remark in doubt with what is payable without and with it, the rest as established."""
    return tuple(
        (
            item.place(each.line.latest.place),
            item.manner.say("Worse by {checks}", checks=literal(each.line.latest.text))
            if each.doubt is Doubt.UNTOLD
            else literal(each.line.latest.text),
            _doubt(item, each),
            item.spread(each.payable_without),
            item.spread(each.payable_counted) if each.costed else item.manner.say(NO_JOB),
        )
        for each in item.loss.doubtful
    )


def _doubt(item: Compared, each: RemarkScenario) -> str:
    say = item.manner.say
    words = say(DOUBTS[each.doubt])
    if each.probability is None:
        return words
    share = item.manner.percent(each.probability)
    if each.line.latest.probability_pct is None:
        return say("{doubt}, {share} likely (no probability stated)", doubt=words, share=share)
    return say("{doubt}, {share} likely", doubt=words, share=share)


def cause_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return the fresh remarks of which a peril, a stage, an exclusion or a share is stated."""
    say, rows = item.manner.say, []
    for line in item.loss.remarks:
        it = line.latest
        if not line.fresh or not (it.peril or it.stage or it.exclusion or it.share_pct is not None):
            continue
        words = [*([say(PERILS[it.peril])] if it.peril else []), *([say(STAGES[it.stage])] if it.stage else [])]
        share = "" if it.share_pct is None else f"{item.manner.percentage(it.share_pct, 1)}: {literal(it.share_reason)}"
        cells = (
            ", ".join(words),
            say(EXCLUSIONS[it.exclusion]) if it.exclusion else "",
            literal(it.exclusion_for),
            literal(it.exclusion_against),
            share,
        )
        rows.append((item.place(it.place), literal(it.text), *(cell or NOT_KNOWN for cell in cells)))
    return tuple(rows)


def quotation_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return the quotations with what the table makes of the same jobs, as the widest reading takes them."""
    return tuple(_quotation(item, each) for each in item.loss.scenarios[-1].quotations)


def _quotation(item: Compared, each: QuotedWork) -> tuple[str, ...]:
    say, it = item.manner.say, each.quotation
    head = [literal(it.firm), literal(it.number), item.manner.day(it.day)]
    if it.valid_until is not None:
        head.append(say("valid until {day}", day=item.manner.day(it.valid_until)))
    jobs = [
        literal(item.tables.remedies[job].label) if job in item.tables.remedies else literal(job) for job in it.jobs
    ]
    scope = f"{item.manner.listed(jobs)}: {literal(it.scope)}" if it.scope.strip() else item.manner.listed(jobs)
    tax = say("{amount}, tax {tax}", amount=_exact(item, it.amount), tax=_exact(item, it.tax))
    table = item.spread(each.by_table)
    return (
        ", ".join(word for word in head if word),
        scope,
        tax,
        table,
        f"{_exact(item, each.counted)}; {say(USES[each.use])}",
        literal(it.file) or NOT_KNOWN,
    )


def bid_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return the bids for the instrument as it stands, highest first: that one counts."""
    bids = sorted(item.after.case.claim.salvage_bids, key=lambda bid: -bid.amount)
    return tuple(
        (
            f"{literal(bid.bidder)}: {literal(bid.note)}" if bid.note.strip() else literal(bid.bidder),
            item.manner.day(bid.day),
            _exact(item, bid.amount),
            literal(bid.file) or NOT_KNOWN,
        )
        for bid in bids
    )


def _exact(item: Compared, amount: Decimal) -> str:
    return item.manner.exact_money(float(amount), item.loss.currency)
