"""Why the approaches come to what they do: what each is at the central figures, and what a resale costs."""

from __future__ import annotations

from math import exp, log
from typing import TYPE_CHECKING

from appraise.engine.taking import taking
from appraise.explain.market import factor_nodes
from appraise.explain.terms import APPROACHES, weighting
from appraise.explain.worth import grid_nodes, replacement_node

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.explain.nodes import Context
    from appraise.model.case import Case
    from appraise.model.reason import Reason
    from appraise.model.result import Valuation


def central_share_of_new(case: Case, valuation: Valuation) -> float:
    """Return what condition leaves of a new one at the central figures, usability included [–]."""
    return dict(valuation.laws)[case.assignment.law] * valuation.usability


def approach_nodes(context: Context, condition: Reason) -> Iterator[Reason]:
    """Return each approach with its weight and what it comes from, or why it was left out.

    Args:
        context: What the nodes draw on.
        condition: The node of what condition leaves, below the cost approach.
    """
    say = context.say
    valuation = context.valuation
    for approach in valuation.approaches:
        key = approach.approach
        if not approach.used:
            yield context.words(
                f"approach.{key}",
                say(APPROACHES[key]),
                say("not used"),
                say("left out: {reason}", reason=context.render(weighting(approach))),
            )
            continue
        weight = context.figure(
            f"approach.{key}.weight",
            say("{label}: weight", label=say(APPROACHES[key])),
            approach.weight,
            "%",
            context.render(weighting(approach)),
        )
        spread = context.figure(
            f"approach.{key}.uncertainty",
            say("{label}: relative standard uncertainty", label=say(APPROACHES[key])),
            approach.relative_uncertainty,
            "%",
            say(
                "root sum of squares of its inputs' relative uncertainties; the price level of a kind of sale counts "
                "as far as prices are carried from one kind to another"
            ),
        )
        if key == "cost":
            how = _cost_how(context)
            parts = [weight, spread, *_cost(context), replacement_node(context), *factor_nodes(context), condition]
        else:
            how = _sales_how(context)
            parts = [weight, spread, _sales(context), *grid_nodes(context)]
        yield context.spread(
            f"approach.{key}",
            say(APPROACHES[key]),
            approach.value,
            "money",
            how,
            parts=parts,
        )


def _cost_how(context: Context) -> str:
    """Say how the cost approach comes about."""
    say, method = context.say, context.tables.bases[context.valuation.basis].method
    if method == "replacement":
        return say("the replacement cost new, and nothing taken off")
    if method == "depreciated":
        return say(
            "median of the draws: replacement cost new × share of new left by condition, or salvage if that is more"
        )
    return say(
        "median of the draws, in each the course that is worth most: as is, after work, or disposal; the course as "
        "is, at the central figures, is derived below"
    )


def _cost(context: Context) -> Iterator[Reason]:
    """Return what the cost approach comes to at the central figures, nothing done; none for a new one."""
    say, valuation = context.say, context.valuation
    method = context.tables.bases[valuation.basis].method
    if method == "replacement":
        return
    if method == "depreciated":
        how = say(
            "replacement cost new × share of new left by condition at the central figures, usability included, × "
            "share left by cosmetic condition"
        )
    else:
        how = say(
            "replacement cost new × market factor × share of the retail price × share of new left by condition at "
            "the central figures, usability included, × effect of renewals × share left by cosmetic condition"
        )
    amount = (
        (context.case.market.cost_new or 0.0)
        * valuation.market_factor.mid
        * valuation.basis_factor.mid
        * central_share_of_new(context.case, valuation)
        * valuation.renewal
        * valuation.appearance
    )
    yield _central(context, "cost", amount, how)


def _sales_how(context: Context) -> str:
    """Say how the sales comparison comes about."""
    return context.say(
        "median of the draws, in each the course that is worth most: as is, after work, or disposal, by the prices of "
        "the comparables, adjusted to this instrument one feature at a time and weighted"
    )


def _sales(context: Context) -> Reason:
    """Return what the sales comparison comes to at the central figures, nothing done."""
    lines = context.valuation.grid
    if all(line.adjusted > 0.0 for line in lines):
        mean = exp(sum(line.weight * log(line.adjusted) for line in lines))
        how = context.say("weighted geometric mean of the adjusted prices")
    else:
        # Carriage can come to more than a worn instrument brings; of such prices there is no geometric mean.
        mean = sum(line.weight * line.adjusted for line in lines)
        how = context.say("weighted mean of the adjusted prices: one of them is not above 0")
    return _central(context, "sales", mean, how)


def _central(context: Context, approach: str, amount: float, how: str) -> Reason:
    """Return an approach as is: what comes off taken off, and no more than the price of a new one."""
    say, basis = context.say, context.tables.bases[context.valuation.basis]
    if approach == "cost":
        off = taking(context.case, context.tables, basis)
        if basis.method == "residual":
            amount = amount * off.kept - off.flat
            how = say("{how}; × what is left of the resale price, less what is deducted before the resale", how=how)
        elif off.flat:
            amount -= off.flat
            how = say("{how}; less the buyer’s first costs", how=how)
        most = (context.case.market.cost_new or 0.0) * context.valuation.basis_factor.mid
        if amount > most:
            amount, how = most, say("{how}; cut to the price of a new one on this market", how=how)
    return context.figure(f"approach.{approach}.central", say("As is, at the central figures"), amount, "money", how)


def disagreement_nodes(context: Context) -> Iterator[Reason]:
    """Return by how much the range is wider because the approaches contradict one another; none where they do not."""
    say, more = context.say, context.valuation.disagreement
    if more <= 0.0:
        return
    how = say(
        "the two approaches differ by more than their uncertainties: their mean is given the uncertainty that the "
        "difference shows (Birge ratio), which adds this relative standard deviation"
    )
    yield context.figure("disagreement", say("Added because the approaches contradict one another"), more, "%", how)
