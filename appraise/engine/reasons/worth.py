"""Why the approaches, the work, the range and its guidance are what they are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.costs import rate
from appraise.engine.market import factor_rows
from appraise.model import shown
from appraise.model.reason import Reason
from appraise.model.result import Range

if TYPE_CHECKING:
    from appraise.engine.reasons.nodes import Context
    from appraise.tables.rows import MarketFactor, Remedy


def replacement_node(context: Context) -> Reason:
    """Return the node of the replacement cost new, as the case states it."""
    market, currency = context.case.market, context.valuation.currency
    parts = []
    for name, amount in (("low", market.replacement_cost_low), ("high", market.replacement_cost_high)):
        if amount is not None:
            text = shown.exact_money(float(amount), currency)
            parts.append(
                Reason(
                    f"replacement_cost_new.{name}",
                    f"Replacement cost new, {name}",
                    float(amount),
                    "money",
                    text,
                    "as stated in the case",
                )
            )
    middle = float(market.replacement_cost_new or 0)
    how = (
        f"as stated in the case: {market.replacement_source}" if market.replacement_source else "as stated in the case"
    )
    spread = () if parts else context.setting("replacement_cost_sd")
    return Reason(
        "replacement_cost_new",
        "Replacement cost new",
        middle,
        "money",
        shown.exact_money(middle, currency),
        how,
        spread,
        tuple(parts),
    )


def factor_nodes(context: Context) -> list[Reason]:
    """Return the nodes of the market factor, the channel and usability."""
    valuation, case, tables = context.valuation, context.case, context.tables
    basis = tables.bases[valuation.basis]
    rows: tuple[MarketFactor, ...] = ()
    if valuation.market_factor_from == "comparables":
        how = "median of each comparable's price over its own modelled value"
    elif valuation.market_factor_from == "basis":
        how = "this basis looks at cost and takes no market factor"
    else:
        rows = tuple(factor_rows(case, tables))
        how = "from the tables: " + " × ".join(f"{row.label} {shown.factor(row.typical)}" for row in rows)
    return [
        context.spread("market_factor", "Market factor", valuation.market_factor, "factor", how, context.refer(*rows)),
        context.spread(
            "basis_factor",
            f"{basis.label}: share of the retail price",
            valuation.basis_factor,
            "factor",
            basis.definition,
            context.refer(basis),
        ),
        context.figure(
            "usability",
            "Usability",
            valuation.usability,
            "factor",
            "least of what the components leave that the whole depends on",
            context.refer(*(row for row in tables.components.values() if row.gate and case.identity.kind in row.kinds)),
        ),
    ]


def work_nodes(context: Context) -> list[Reason]:
    """Return a cost and a value added for every remedy."""
    found = []
    for item in context.valuation.work:
        row = context.tables.remedies[item.remedy]
        needs = ", ".join(context.tables.remedies[key].label.lower() for key in row.requires)
        how = "hours at the labour rate, parts, overhead and contingency"
        found.append(
            context.spread(
                f"work.{item.remedy}.cost",
                f"{item.label}: cost",
                item.cost,
                "money",
                f"{how}; needs {needs}" if needs else how,
                (*context.refer(row), *context.setting("contingency_pct")),
                (
                    context.spread(
                        f"work.{item.remedy}.hours",
                        f"{item.label}: hours",
                        item.hours,
                        "h",
                        "from the table",
                        context.refer(row),
                        outer="low and high of the table",
                    ),
                    *([_parts(context, row)] if item.chosen else []),
                ),
                outer="least hours and parts, most hours and parts",
            )
        )
        found.append(
            context.figure(
                f"work.{item.remedy}.value_added",
                f"{item.label}: value added",
                item.value_added,
                "money",
                "value with the work done less value without it, the rest of the plan done in both",
                context.refer(row),
            )
        )
    return found


def _parts(context: Context, row: Remedy) -> Reason:
    """Return the node of what the parts of one job cost by themselves."""
    hourly = rate(context.case, context.tables)
    middle = 0.5 * (row.parts_low + row.parts_high)
    return context.spread(
        f"work.{row.key}.parts",
        f"{row.label}: parts",
        Range(
            row.hours_low * hourly * row.parts_low,
            row.hours_typical * hourly * middle,
            row.hours_high * hourly * row.parts_high,
        ),
        "money",
        "the table's share of the labour cost, overhead and contingency included; part of the cost",
        context.refer(row),
        outer="least hours and parts, most hours and parts",
    )


def grid_nodes(context: Context) -> list[Reason]:
    """Return every comparable, adjusted one feature at a time."""
    found = []
    currency = context.valuation.currency
    for n, line in enumerate(context.valuation.grid, 1):
        steps = [
            context.figure(
                f"comparable.{n}.{name.replace(' ', '_')}",
                f"Adjustment for {name}",
                amount,
                "money",
                "the price as adjusted so far, times this feature's factor less one",
            )
            for name, amount in line.steps
        ]
        price = Reason(
            f"comparable.{n}.price", "Price", line.price, "money", shown.exact_money(line.price, currency), "as stated"
        )
        measures = [
            context.figure(
                f"comparable.{n}.gross",
                "Gross adjustment",
                line.gross_pct / 100.0,
                "%",
                "sum of the adjustments without their signs, over the price",
                context.setting("gross_limit_pct"),
            ),
            context.figure(
                f"comparable.{n}.net",
                "Net adjustment",
                line.net_pct / 100.0,
                "%",
                "sum of the adjustments over the price",
            ),
            context.figure(
                f"comparable.{n}.weight",
                "Weight",
                line.weight,
                "%",
                "inverse of the gross market adjustment, less with distance",
                context.setting("comparable_weight_floor", "distance_halving_km"),
            ),
            context.figure(
                f"comparable.{n}.market_factor",
                "Its market factor",
                line.market_factor,
                "factor",
                "its price at retail level over its own modelled value",
            ),
        ]
        found.append(
            context.figure(
                f"comparable.{n}",
                f"Comparable: {line.label}",
                line.adjusted,
                "money",
                "its price brought to the date, the kind of sale, the size, the age and the condition of the subject",
                (),
                (price, *steps, *measures),
            )
        )
    return found


def guidance_nodes(context: Context) -> list[Reason]:
    """Return what drives the range and what each check not yet made would do to it."""
    found = [
        context.figure(
            f"range.{driver.input.replace(' ', '_')}",
            driver.label,
            driver.share,
            "%",
            "first-order share of the variance of the value, from the draws",
        )
        for driver in context.valuation.drivers
    ]
    for check in context.valuation.next_checks:
        row = context.tables.checks[check.check]
        found.append(
            context.figure(
                f"narrows.{check.check}",
                f"{check.label}: would narrow the range by",
                check.narrows_pct / 100.0,
                "%",
                "expected fall of the width of the range once this check is made",
                context.refer(row),
                (
                    context.figure(
                        f"narrows.{check.check}.minutes",
                        "Time it takes",
                        check.minutes,
                        "min",
                        "from the table",
                        context.refer(row),
                    ),
                ),
            )
        )
    return found
