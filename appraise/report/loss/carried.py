"""Rows of the carriage, the policy and the notices, and of the limits beside the loss; every cell is literal text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.loss.limits import converted
from appraise.explain.terms import limit_text
from appraise.model.message import message
from appraise.report.loss.compared import NOT_KNOWN
from appraise.report.words import literal

if TYPE_CHECKING:
    from datetime import date

    from appraise.report.loss.compared import Compared

LIMITS = (message("Regime"), message("At most"), message("Rate"), message("Comes to"))
NOTICES = (message("Date"), message("How"), message("To"), message("Reservations, as written"))
NO_NOTICE = message("No notice is recorded in this file.")


def data_rows(item: Compared) -> tuple[tuple[str, str], ...]:
    """Return who carried, who insures, the numbers and the days; what is not known says so."""
    say, claim = item.manner.say, item.after.case.claim

    def day(when: date | None) -> str:
        return "" if when is None else item.manner.day(when)

    worth = claim.declared_value
    declared = "" if worth is None else item.manner.exact_money(float(worth), item.loss.currency)
    rows = (
        (say("Regime of carriage"), literal(claim.regime) or say("not known; a matter for the contract and the law")),
        (say("Mover"), literal(claim.mover)),
        (say("Carrier"), literal(claim.carrier)),
        (say("Insurer"), literal(claim.insurer)),
        (say("Contract number"), literal(claim.contract_number)),
        (say("Consignment number"), literal(claim.consignment_number)),
        (say("Claim number"), literal(claim.claim_number)),
        (say("Policy number"), literal(claim.policy_number)),
        (say("Value declared to the carrier"), declared),
        (say("Handed over"), day(claim.handed_over)),
        (say("Date of loss"), day(claim.lost)),
        (say("Delivered"), day(item.delivered)),
    )
    return tuple((label, text or say("not stated")) for label, text in rows)


def notice_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return the notices that were given, earliest first."""
    notices = sorted(item.after.case.claim.notices, key=lambda each: each.day)
    return tuple(
        (
            item.manner.day(each.day),
            literal(each.how),
            literal(each.to) or NOT_KNOWN,
            literal(each.reservations) or NOT_KNOWN,
        )
        for each in notices
    )


def noticed(item: Compared, last: date) -> str:
    """Return what of the notices in the file was given by the last day of a period; never that none was given."""
    say = item.manner.say
    given = sorted((each.day, each.how) for each in item.after.case.claim.notices)
    if not given:
        return say("no notice is recorded in this file")
    first, how = given[0]
    when = item.manner.day(first)
    if first <= last:
        return say("{day}, {how}", day=when, how=literal(how))
    return say("first recorded {day}, {how}", day=when, how=literal(how))


def load(item: Compared) -> str:
    """Return in a sentence the weight and the volume that the limits are computed for."""
    manner, stated = item.manner, []
    if item.weight_kg is not None:
        stated.append(f"{manner.amount(item.weight_kg, 'kg', 3)} {manner.unit('kg')}")
    if item.volume_m3 is not None:
        stated.append(f"{manner.amount(item.volume_m3, 'm³', 3)} {manner.unit('m³')}")
    if not stated:
        return manner.say("No weight or volume was stated.")
    return manner.say("Computed for {load}, one package.", load=manner.listed(stated))


def limit_rows(item: Compared, *, worked: bool = False) -> tuple[tuple[str, ...], ...]:
    """Return each limit that can be worked out, in the currency of the case where a rate is stated.

    Args:
        item: The comparison.
        worked: With how each is worked out, where no table beside tells it.
    """
    say, claim, rows = item.manner.say, item.after.case.claim, []
    for limit in item.limits:
        if limit.amount is None:
            continue
        rule = item.tables.carriage_rules[limit.rule]
        mine = converted(limit, item.loss.currency, claim.rates)
        rate = NOT_KNOWN
        if mine is None:
            rate = say("no rate for {unit} is stated", unit=limit.unit)
        elif mine.rate is not None:
            rate = say(
                "1 {unit} = {rate} {currency}, {day}",
                unit=limit.unit,
                rate=item.manner.decimal(mine.rate.rate, 6),
                currency=item.loss.currency,
                day=item.manner.day(mine.rate.day),
            )
            rate += f", {literal(mine.rate.source)}" if mine.rate.source.strip() else ""
        regime = literal(rule.regime)
        regime = say("{regime} (as stated)", regime=regime) if rule.regime == claim.regime else regime
        comes_to = NOT_KNOWN if mine is None else item.manner.exact_money(mine.amount, item.loss.currency)
        at_most = f"{limit.unit} {item.manner.decimal(limit.amount, 2, 2)}"
        at_most = f"{at_most}: {limit_text(limit, item.manner)}" if worked else at_most
        rows.append((regime, at_most, rate, comes_to))
    return tuple(rows)
