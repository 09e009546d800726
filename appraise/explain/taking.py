"""Why a price is less what it takes to take the instrument, and what keeping the choice of the course open adds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.taking import hour, taking

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.explain.nodes import Context
    from appraise.model.reason import Reason


def taking_nodes(context: Context) -> Iterator[Reason]:
    """Return what comes off whatever the condition is, the shares of a resale price, and the open choice."""
    basis = context.tables.bases[context.valuation.basis]
    yield from _incentive(context)
    yield from _option(context)
    yield from _suspected(context)
    if basis.method == "residual":
        yield from _shares(context)
    parts = _sums(context)
    if parts:
        amount = taking(context.case, context.tables, basis).flat
        label = context.say("Buyer’s first costs")
        if basis.method == "residual":
            label = context.say("Deducted before the resale")
        how = context.say("sum of its parts, the same whatever the condition is")
        yield context.figure("taking", label, amount, "money", how, (), parts)


def _sums(context: Context) -> list[Reason]:
    say, case, tables = context.say, context.case, context.tables
    basis, costs, kind = tables.bases[context.valuation.basis], case.costs, case.identity.kind
    off = taking(case, tables, basis)
    hours = say("hours of the table at the price of an hour")
    climbed = say("hours of the table at the price of an hour, more for every flight of stairs")
    to_next = say("Carriage to the next owner")
    tunings = say("First tunings") if basis.method == "market" else say("Tunings that the price includes")
    rows = (
        ("carriage", say("Carriage"), off.carriage, costs.carriage, climbed, f"carriage_hours_{kind}"),
        ("tunings", tunings, off.tunings, None, hours, "first_tunings_hours"),
        ("delivery", to_next, off.delivery, None, hours, f"carriage_hours_{kind}"),
        ("preparation", say("Preparation"), off.preparation, costs.preparation, hours, f"preparation_hours_{kind}"),
        ("guarantee", say("Guarantee"), off.guarantee, costs.guarantee, hours, "guarantee_share"),
        ("holding", say("Holding"), off.holding, costs.holding, hours, "holding_share"),
    )
    parts = []
    for address, label, amount, given, how, setting in rows:
        if not amount:
            continue
        if given is not None:
            parts.append(context.exact(address, label, amount, say("as stated in the case")))
            continue
        below = _work(context, address, setting)
        parts.append(context.figure(address, label, amount, "money", how, context.setting(setting), below))
    return parts


def _work(context: Context, address: str, setting: str) -> list[Reason]:
    """Return the hours of a sum that the case does not state, and what an hour of it costs."""
    say, case, tables = context.say, context.case, context.tables
    how = say("labour rate of the case")
    if not case.costs.labour_rate:
        how = say("a share of replacement cost new, for want of a labour rate")
    refs = () if case.costs.labour_rate else context.setting(f"hour_of_new_{case.identity.kind}")
    hours, rate = tables.setting(setting), hour(case, tables)
    parts = [
        context.figure(f"{address}.hours", say("Hours"), hours, "h", say("from the table"), context.setting(setting)),
        context.figure(f"{address}.hour", say("Price of an hour"), rate, "money", how, refs),
    ]
    if address == "carriage" and case.identity.stairs:
        more = case.identity.stairs * tables.setting("carriage_per_flight")
        how = say("number of flights × the share of the table")
        reference = context.setting("carriage_per_flight")
        parts.append(context.figure("carriage.stairs", say("More for stairs"), more, "%", how, reference))
    return parts


def _shares(context: Context) -> Iterator[Reason]:
    """Return the shares of the resale price that a dealer keeps or spends."""
    say = context.say
    off = taking(context.case, context.tables, context.tables.bases[context.valuation.basis])
    yield context.share("margin", say("Margin on the resale price"), "margin_pct")
    for key, label, share in (
        ("guarantee_share", say("Guarantee, of the resale price"), off.guarantee_share),
        ("holding_share", say("Holding, of the resale price"), off.holding_share),
    ):
        if share:
            yield context.figure(key, label, share, "%", say("from the table"), context.setting(key))
    how = say("1 less margin, guarantee and holding, as far as these are shares")
    yield context.figure("kept", say("Left of the resale price"), off.kept, "%", how)


def _incentive(context: Context) -> Iterator[Reason]:
    """Return what a buyer wants for the trouble of having work done; none where nobody else has it done."""
    basis, tables = context.tables.bases[context.valuation.basis], context.tables
    if basis.method != "market" or not context.valuation.work or not basis.work_weighed:
        return
    how = context.say("share of what work costs that a buyer takes off beside the cost: trouble, time and risk")
    label, key = context.say("Buyer’s allowance for the trouble of work, as a share"), "incentive_typical"
    yield context.figure("incentive", label, tables.setting(key), "%", how, context.setting(key))


def _option(context: Context) -> Iterator[Reason]:
    say, valuation = context.say, context.valuation
    if valuation.option <= 0.0:
        return
    how = say(
        "the median of the draws, in each of which the course is chosen by what the instrument shows once it is "
        "opened, less the best single course chosen today"
    )
    yield context.figure("option", say("Option value of opening it first"), valuation.option, "money", how)


def _suspected(context: Context) -> list[Reason]:
    """Return the best estimate without each suspected fault and with it."""
    say, result = context.say, []
    for one in context.valuation.suspected:
        fault = say(one.label)
        how = say("median of the draws in which the fault is not there")
        label = say("Best estimate without what is suspected: {fault}", fault=fault)
        result.append(context.figure(f"suspected.{one.check}.without", label, one.without, "money", how))
        how = say("median of the draws in which it is there")
        label = say("Best estimate with what is suspected: {fault}", fault=fault)
        result.append(context.figure(f"suspected.{one.check}.counted", label, one.counted, "money", how))
    return result
