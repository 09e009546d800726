"""Why the approaches, the work, the range and its guidance are what they are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.costs import job_hours, parts_share, rates
from appraise.engine.guidance import driver_label
from appraise.engine.market import factor_rows, tables_factor
from appraise.engine.market_age import factor_at
from appraise.engine.reasons.nodes import HIGH, LOW
from appraise.model.manner import Units
from appraise.model.reason import Reason
from appraise.model.result import Range

if TYPE_CHECKING:
    from collections.abc import Iterable

    from appraise.engine.reasons.nodes import Context
    from appraise.tables.rows_worth import MarketFactor, Remedy


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


def factor_nodes(context: Context) -> list[Reason]:
    """Return the nodes of the market factor, the channel and usability."""
    say = context.say
    valuation, case, tables = context.valuation, context.case, context.tables
    basis = tables.bases[valuation.basis]
    rows: tuple[MarketFactor, ...] = ()
    if valuation.market_factor_from == "comparables":
        how = say("the tables' factor times the median level of the comparables' market against that of the tables")
    elif valuation.market_factor_from == "basis":
        how = say("this basis looks at cost and takes no market factor")
    else:
        rows = tuple(factor_rows(case, tables))
        how = say(
            "from the tables at a market age of {years}: {product}",
            years=context.show(valuation.market_age, "years"),
            product=_factors(context, rows),
        )
    return [
        context.spread(
            "market_factor",
            say("Market factor"),
            valuation.market_factor,
            "factor",
            how,
            context.refer(*rows),
            _tables_factor(context) if valuation.market_factor_from == "comparables" else [],
        ),
        context.spread(
            "basis_factor",
            say("{label}: share of the retail price", label=basis.label),
            valuation.basis_factor,
            "factor",
            basis.definition,
            context.refer(basis),
        ),
        context.figure(
            "usability",
            say("Usability"),
            valuation.usability,
            "factor",
            say("least of what the components leave that the whole depends on"),
            context.refer(*(row for row in tables.components.values() if row.gate and case.identity.kind in row.kinds)),
        ),
    ]


def _tables_factor(context: Context) -> list[Reason]:
    """Return what the tables would have had for the market factor, to hold that of the comparables against."""
    say, rows = context.say, factor_rows(context.case, context.tables)
    found = tables_factor(context.case, context.tables, context.valuation.market_age)
    how = say("for comparison only; from the tables: {product}", product=_factors(context, rows))
    label = say("Market factor that the tables would have given")
    return [context.spread("market_factor.tables", label, found, "factor", how, context.refer(*rows))]


def _factors(context: Context, rows: Iterable[MarketFactor]) -> str:
    age = context.valuation.market_age
    return " × ".join(
        f"{_called(context, row)} {context.manner.factor(row.typical * factor_at((row,), age))}" for row in rows
    )


def _called(context: Context, row: MarketFactor) -> str:
    """Return what a row is called: its label, but a class of sizes by its bounds where these are not in cm."""
    say, manner = context.say, context.manner
    if row.factor != "size" or manner.units is Units.METRIC:
        return row.label
    low, high = ("" if end is None else manner.quantity(end, "cm") for end in (row.above_cm, row.below_cm))
    if low and high:
        return say("Size from {low} to under {high}", low=low, high=high)
    return say("Size from {low}", low=low) if low else say("Size under {high}", high=high)


def hour_nodes(context: Context) -> list[Reason]:
    """Return what an hour of work is reckoned at; none where no work is costed."""
    say, costs = context.say, context.case.costs
    if not context.valuation.work:
        return []

    parts = [
        context.exact("hour.rate", say("Labour rate"), float(costs.labour_rate or 0), say("as stated in the case")),
        context.share("hour.overhead", say("Overhead"), "overhead_pct"),
        context.share("hour.contingency", say("Contingency"), "contingency_pct"),
    ]
    return [
        context.exact(
            "hour",
            say("Price of an hour of work"),
            rates(context.case, context.tables).labour,
            say("labour rate × (1 + overhead) × (1 + contingency)"),
            (),
            parts,
        )
    ]


def work_nodes(context: Context) -> list[Reason]:
    """Return a cost and a value added for every remedy."""
    say = context.say
    found = []
    for item in context.valuation.work:
        row = context.tables.remedies[item.remedy]
        needs = ", ".join(context.manner.small(context.tables.remedies[key].label) for key in row.requires)
        how = say("hours at the labour rate, parts, overhead and contingency; the mean over the draws")
        found.append(
            context.spread(
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
                ),
                outer=say("least hours and parts, most hours and parts"),
            )
        )
        found.append(
            context.figure(
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
        )
    return found


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


def grid_nodes(context: Context) -> list[Reason]:
    """Return every comparable, adjusted one feature at a time."""
    say = context.say
    found = []
    currency = context.valuation.currency
    for n, line in enumerate(context.valuation.grid, 1):
        steps = [
            context.figure(
                f"comparable.{n}.{name.replace(' ', '_')}",
                say("Adjustment for {feature}", feature=say(name)),
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
        found.append(
            context.figure(
                f"comparable.{n}",
                say("Comparable: {label}", label=line.label),
                line.adjusted,
                "money",
                say(
                    "its price brought to the date, the kind of sale, the size, the age and the condition of the "
                    "subject"
                ),
                (),
                (price, *steps, *measures),
            )
        )
    return found


def guidance_nodes(context: Context) -> list[Reason]:
    """Return what drives the range and what each check not yet made would do to it."""
    say = context.say
    found = [
        context.figure(
            f"range.{driver.input.replace(' ', '_')}",
            driver_label(driver.input, context.case, context.tables, context.manner),
            driver.share,
            "%",
            say("first-order share of the variance of the value, from the draws"),
        )
        for driver in context.valuation.drivers
    ]
    for check in context.valuation.next_checks:
        row = context.tables.checks[check.check]
        found.append(
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
    return found
