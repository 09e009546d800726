"""Derivation of the value before and the value after, side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.loss.changes import on_later_terms, with_damage
from appraise.engine.valuation import value_case
from appraise.explain.terms import APPROACHES
from appraise.model.message import message
from appraise.report.words import literal

if TYPE_CHECKING:
    from appraise.model.result import Valuation
    from appraise.report.loss.compared import Compared

VALUES = (message("Step"), message("Before"), message("After, as established"))
HOW = message(
    "Value as is: replacement cost new, times the share of cost new left, market factor and kind of sale, less what a "
    "buyer spends on carriage and first tunings. Cost approach: in every draw the best of as is, best work done "
    "and salvage. Sales comparison: each sale brought to the instrument. Each is weighted by its precision. Medians "
    "of draws come near their products; the full report of either file shows every component."
)


def value_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return the steps of both valuations, as the loss took them; none without a value."""
    if item.loss.value_before is None:
        return ()
    case = on_later_terms(item.before.case, item.after.case)
    struck = with_damage(case, item.after.case, item.proposed.components, item.tables)
    draws, seed = item.loss.draws, item.loss.seed
    both = [value_case(each, item.tables, draws=draws, seed=seed) for each in (case, struck)]
    say, manner = item.manner.say, item.manner
    new = item.amount(None if case.market.cost_new is None else float(case.market.cost_new))
    rows = [
        (say("Replacement cost new"), new, new),
        (say("Share of cost new left, usability included"), *(_share(item, each) for each in both)),
        (
            say("Market factor, by the comparables")
            if both[0].market_factor_from == "comparables"
            else say("Market factor, by the table"),
            *(manner.factor(each.market_factor.mid) for each in both),
        ),
        (say("Kind of sale, of a showroom price"), *(manner.percent(each.basis_factor.mid) for each in both)),
        (say("Buyer’s carriage and first tunings"), *(item.amount(each.taking) for each in both)),
        (say("Value as is"), *(item.spread(each.left_alone) for each in both)),
        (say("Value with the best work done, less its cost"), *(item.spread(each.after_work) for each in both)),
    ]
    for at, approach in enumerate(both[0].approaches):
        if approach.approach == "sales":
            rows += [
                (
                    say("Sale: {label}, {price}", label=literal(line.label), price=item.amount(line.price)),
                    *(item.amount(each.grid[n].adjusted) for each in both),
                )
                for n, line in enumerate(both[0].grid)
            ]
        cells = (
            say("{value}, weight {weight}", value=item.spread(one.value), weight=manner.percent(one.weight))
            for one in (each.approaches[at] for each in both)
        )
        rows.append((literal(manner.render(APPROACHES[approach.approach])), *cells))
    rows.append((say("Value"), item.spread(item.loss.value_before), item.spread(item.proposed.value_after)))
    return tuple(rows)


def _share(item: Compared, valuation: Valuation) -> str:
    share = valuation.share_of_new
    low, mid, high = (item.manner.percent(each) for each in (share.low, share.mid, share.high))
    return item.manner.say("{middle} ({low} to {high})", middle=mid, low=low, high=high)
