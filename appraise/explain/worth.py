"""Why the price new, the work, the comparables, the range and its guidance are what they are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.costs import job_hours, parts_share, rates
from appraise.explain.nodes import HIGH, LOW
from appraise.explain.terms import FEATURES, driver_label
from appraise.model.reason import Reason
from appraise.model.result import Range

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.explain.nodes import Context
    from appraise.model.result import GridLine, WorkItem
    from appraise.tables.rows_worth import Remedy


def replacement_node(context: Context) -> Reason:
    """Return the node of the replacement cost new, as the case states it."""
    say = context.say
    market, currency = context.case.market, context.valuation.currency
    parts = []
    for name, label, amount in (
        ("low", LOW, market.replacement_cost_low),
        ("high", HIGH, market.replacement_cost_high),
    ):
        if amount is not None:
            end = context.manner.exact_money(float(amount), currency)
            parts.append(
                Reason(
                    f"replacement_cost_new.{name}",
                    say(label, label=say("Replacement cost new")),
                    float(amount),
                    "money",
                    end,
                    say("as stated in the case"),
                )
            )
    middle = market.cost_new or 0.0
    if market.replacement_cost_new is None:
        how = say("middle of the least and the most, by ratio, as prices spread")
        text = context.manner.money(middle, currency)
    else:
        how = say("as stated in the case")
        text = context.manner.exact_money(middle, currency)
    if market.replacement_source:
        how = say("{how}: {source}", how=how, source=market.replacement_source)
    spread = () if parts else context.setting("replacement_cost_sd")
    return Reason(
        "replacement_cost_new",
        say("Replacement cost new"),
        middle,
        "money",
        text,
        how,
        spread,
        tuple(parts),
    )


def hour_nodes(context: Context) -> Iterator[Reason]:
    """Return what an hour of work is reckoned at; none where no work is costed."""
    say, costs = context.say, context.case.costs
    if not context.valuation.work:
        return

    parts = [
        context.exact("hour.rate", say("Labour rate"), float(costs.labour_rate or 0), say("as stated in the case")),
        context.share("hour.overhead", say("Overhead"), "overhead_pct"),
        context.share("hour.contingency", say("Contingency"), "contingency_pct"),
    ]
    yield context.exact(
        "hour",
        say("Price of an hour of work"),
        rates(context.case, context.tables).labour,
        say("labour rate × (1 + overhead) × (1 + contingency)"),
        (),
        parts,
    )


def work_nodes(context: Context) -> Iterator[Reason]:
    """Return a cost and a value added for every remedy."""
    say = context.say
    for item in context.valuation.work:
        row = context.tables.remedies[item.remedy]
        needs = ", ".join(context.manner.small(context.tables.remedies[key].label) for key in row.requires)
        how = say("hours at the labour rate, parts, overhead and contingency; the mean over the draws")
        yield context.spread(
            f"work.{item.remedy}.cost",
            say("{label}: cost", label=item.label),
            item.cost,
            "money",
            say("{how}; needs {needs}", how=how, needs=needs) if needs else how,
            context.refer(row),
            (
                context.spread(
                    f"work.{item.remedy}.hours",
                    say("{label}: hours", label=item.label),
                    item.hours,
                    "h",
                    say("from the table, by the size of the instrument and the number of pieces"),
                    context.refer(row),
                    outer=say("low and high of the table"),
                ),
                _parts(context, row),
                *_pieces(context, item),
            ),
            outer=say("least hours and parts, most hours and parts"),
        )
        yield context.figure(
            f"work.{item.remedy}.value_added",
            say("{label}: value added", label=item.label),
            item.value_added,
            "money",
            say(
                "value with the work done less value without it, the rest of the plan done in both; the mean over "
                "the draws"
            ),
            context.refer(row),
        )


def _pieces(context: Context, item: WorkItem) -> Iterator[Reason]:
    """Return how many pieces a job is made for; none of a job for the whole set."""
    if item.pieces <= 1:
        return
    say, row = context.say, context.tables.remedies[item.remedy]
    how = say("counted by the checks that the job answers")
    label = say("{label}: pieces", label=item.label)
    yield context.figure(f"work.{item.remedy}.pieces", label, item.pieces, "", how, context.refer(row))


def _parts(context: Context, row: Remedy) -> Reason:
    """Return the node of what the parts of one job cost by themselves."""
    say = context.say
    hourly = rates(context.case, context.tables).parts
    hours = job_hours(context.case, row, context.tables)
    share = parts_share(context.case, row, context.tables)
    return context.spread(
        f"work.{row.key}.parts",
        say("{label}: parts", label=row.label),
        Range(
            hours.low * hourly * share.low,
            hours.mid * hourly * share.mid,
            hours.high * hourly * share.high,
        ),
        "money",
        _parts_how(context),
        context.refer(row),
        outer=say("least hours and parts, most hours and parts"),
    )


def _parts_how(context: Context) -> str:
    say, stated = context.say, context.case.costs.parts_rate
    if stated is None:
        return say("the table's share of the labour cost, overhead and contingency included; part of the cost")
    return say(
        "the table's share of what its hours would cost at {rate} each, as stated for parts in the case, overhead and "
        "contingency included; part of the cost",
        rate=context.manner.exact_money(float(stated), context.valuation.currency),
    )


def grid_nodes(context: Context) -> Iterator[Reason]:
    """Return every comparable, adjusted one feature at a time."""
    say = context.say
    currency = context.valuation.currency
    for n, line in enumerate(context.valuation.grid, 1):
        steps = [
            context.figure(
                f"comparable.{n}.{name}",
                say("Adjustment for {feature}", feature=say(FEATURES[name])),
                amount,
                "money",
                say("the price as adjusted so far, times this feature's factor less one"),
            )
            for name, amount in line.steps
        ]
        price = Reason(
            f"comparable.{n}.price",
            say("Price"),
            line.price,
            "money",
            context.manner.exact_money(line.price, currency),
            say("as stated"),
        )
        measures = [
            context.figure(
                f"comparable.{n}.gross",
                say("Gross adjustment"),
                line.gross_pct / 100.0,
                "%",
                say("sum of the adjustments without their signs, over the price"),
                context.setting("gross_limit_pct"),
            ),
            context.figure(
                f"comparable.{n}.net",
                say("Net adjustment"),
                line.net_pct / 100.0,
                "%",
                say("sum of the adjustments over the price"),
            ),
            context.figure(
                f"comparable.{n}.weight",
                say("Weight"),
                line.weight,
                "%",
                say("inverse of the gross market adjustment, less with distance"),
                context.setting("comparable_weight_floor", "distance_halving_km"),
            ),
            context.figure(
                f"comparable.{n}.market_factor",
                say("Level of its market"),
                line.market_factor,
                "factor",
                say("level of its market against that of the tables at which the model gives its price"),
            ),
        ]
        measures += _outlying(context, n, line)
        yield context.figure(
            f"comparable.{n}",
            say("Comparable: {label}", label=line.label),
            line.adjusted,
            "money",
            say("its price brought to the date, the kind of sale, the size, the age and the condition of the subject"),
            (),
            (price, *steps, *measures),
        )


def _outlying(context: Context, n: int, line: GridLine) -> list[Reason]:
    """Return by how much a comparable stands out; nothing where it does not."""
    say, one = context.say, line.outlying
    if one is None:
        return []
    label = say("Level of its market against that of the other comparables")
    how = say("level of its market over their median")
    if one.against == "tables":
        label = say("Level of its market against that of the tables")
        how = say("no two other comparables bear it out, and the tables leave open less than that")
    return [
        context.figure(f"comparable.{n}.against", label, one.times, "%", how),
        context.figure(
            f"comparable.{n}.outlying",
            say("Stands out: modified z score"),
            round(one.score, 1),
            "",
            say("of the logarithm of its market level, over the scatter, which is no less than that of one sale"),
            context.setting("sale_outside_score", "comparable_sd"),
        ),
    ]


def guidance_nodes(context: Context) -> list[Reason]:
    """Return what drives the range and what each check not yet made would do to it."""
    say = context.say
    nodes = [
        context.figure(
            driver.address,
            driver_label(driver.input, context.case, context.tables, context.manner),
            driver.share,
            "%",
            say("first-order share of the variance of the value, from the draws"),
        )
        for driver in context.valuation.drivers
    ]
    for check in context.valuation.next_checks:
        row = context.tables.checks[check.check]
        nodes.append(
            context.figure(
                f"narrows.{check.check}",
                say("{label}: would narrow the range by", label=check.label),
                check.narrows_pct / 100.0,
                "%",
                say("expected fall of the width of the range once this check is made"),
                context.refer(row),
                (
                    context.figure(
                        f"narrows.{check.check}.minutes",
                        say("Time it takes"),
                        check.minutes,
                        "min",
                        say("from the table"),
                        context.refer(row),
                    ),
                ),
            )
        )
    return nodes
