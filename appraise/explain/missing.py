"""What a case lacks for a value in money or for the cost of work, in a few words."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.model.locale_format import Formatter


def missing_cost(case: Case, manner: Formatter) -> str:
    """Return why there is no replacement cost new to begin with, as part of a sentence.

    Args:
        case: One whose market has no `cost_new`.
        manner: In which it is said.
    """
    say, currency = manner.say, case.assignment.currency
    low, high = case.market.replacement_cost_low, case.market.replacement_cost_high
    if low is None and high is None:
        return say("no replacement cost new was given")
    if high is None:
        least = manner.exact_money(float(low or 0), currency)
        return say("only the low figure of the replacement cost new was given, {amount}, not the high", amount=least)
    most = manner.exact_money(float(high), currency)
    if low is None:
        return say("only the high figure of the replacement cost new was given, {amount}, not the low", amount=most)
    return say("the low figure of the replacement cost new is above the high")


def missing_rate(case: Case, manner: Formatter) -> str:
    """Return why no work can be costed, as part of a sentence.

    Args:
        case: One whose costs are not `reckoned`.
        manner: In which it is said.
    """
    if case.costs.labour_rate is None:
        return manner.say("no labour rate was given")
    return manner.say("the labour rate is 0, and no rate was given to price the parts")
