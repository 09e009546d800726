"""What is in doubt, quoted, bid, carried and noticed, as plain tables of the object of a loss."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.loss.limits import converted
from appraise.model.currency import minor_digits
from appraise.report.json_parts import money, pct, spanned_money
from appraise.report.loss.costing import billed
from appraise.report.words import literal

if TYPE_CHECKING:
    from datetime import date
    from decimal import Decimal

    from appraise.model.loss import QuotedWork, RemarkScenario, Scenario
    from appraise.report.json_parts import Json
    from appraise.report.loss.compared import Compared


def doubtful(each: RemarkScenario) -> Json:
    """Return a remark in doubt with both sides."""
    it = each.line.latest
    return {
        "place": it.place,
        "text": literal(it.text),
        "doubt": each.doubt.value,
        "check": it.check or None,
        "probability_pct": None if each.probability is None else pct(each.probability),
        "costed": each.costed,
        "loss_without": spanned_money(each.without),
        "loss_with": spanned_money(each.counted),
        "payable_without": spanned_money(each.payable_without),
        "payable_with": spanned_money(each.payable_counted),
    }


def quoted(each: QuotedWork) -> Json:
    """Return a quotation with what became of it."""
    it = each.quotation
    return {
        "firm": literal(it.firm),
        "number": literal(it.number),
        "day": it.day.isoformat(),
        "valid_until": _day(it.valid_until),
        "jobs": list(it.jobs),
        "scope": literal(it.scope),
        "amount": money(float(it.amount)),
        "tax": money(float(it.tax)),
        "counted": money(each.counted),
        "by_table": spanned_money(each.by_table),
        "use": each.use.value,
        "file": literal(it.file) or None,
        "sha256": it.sha256 or None,
    }


def bill_object(item: Compared, scenario: Scenario) -> Json | None:
    """Return the repair line by line; null without a labour rate or a job."""
    found = billed(item, scenario)
    if found is None:
        return None
    digits = minor_digits(item.loss.currency)

    def exact(figure: Decimal | None) -> str | None:
        return None if figure is None else f"{figure:.{digits}f}"

    lines = [
        {
            "remedy": line.job.remedy,
            "hours": None if line.hours is None else float(line.hours),
            "labour": exact(line.labour),
            "parts_pct": None if line.parts_pct is None else float(line.parts_pct),
            "parts": exact(line.parts),
            "overhead": exact(line.overhead),
            "contingency": exact(line.contingency),
            "cost": exact(line.cost),
            "depreciation_pct": float(line.worn_pct),
            "betterment": exact(line.betterment),
        }
        for line in found.lines
    ]
    return {
        "labour_rate": str(found.rate),
        "parts_rate": str(found.parts_rate),
        "overhead_pct": float(found.overhead_pct),
        "contingency_pct": float(found.contingency_pct),
        "lines": lines,
        "cost": exact(found.cost),
        "betterment": exact(found.betterment),
        "net": exact(found.net),
    }


def claim_object(item: Compared) -> Json:
    """Return what the file says of carriage, policy, bids and notices, with the limits in its currency."""
    claim = item.after.case.claim
    names = ("carrier", "insurer", "mover", "contract_number", "consignment_number", "claim_number", "policy_number")
    limits = []
    for limit in item.limits:
        mine = converted(limit, item.loss.currency, claim.rates)
        if mine is not None:
            rate = mine.rate
            limits.append(
                {
                    "rule": limit.rule,
                    "amount": money(mine.amount),
                    "rate": None if rate is None else rate.rate,
                    "rate_day": None if rate is None else rate.day.isoformat(),
                    "rate_source": None if rate is None else literal(rate.source) or None,
                }
            )
    return {
        "regime": literal(claim.regime) or None,
        **{name: literal(getattr(claim, name)) or None for name in names},
        "declared_value": None if claim.declared_value is None else money(float(claim.declared_value)),
        "handed_over": _day(claim.handed_over),
        "lost": _day(claim.lost),
        "notices": [
            {
                "day": each.day.isoformat(),
                "how": literal(each.how),
                "to": literal(each.to) or None,
                "reservations": literal(each.reservations) or None,
            }
            for each in claim.notices
        ],
        "salvage_bids": [
            {
                "bidder": literal(bid.bidder),
                "day": bid.day.isoformat(),
                "amount": money(float(bid.amount)),
                "file": literal(bid.file) or None,
                "sha256": bid.sha256 or None,
            }
            for bid in claim.salvage_bids
        ],
        "limits": limits,
    }


def _day(when: date | None) -> str | None:
    return None if when is None else when.isoformat()
