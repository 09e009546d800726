"""Labels of the engine's codes: verdicts, inputs, features of a sale, missing inputs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.age import event_names
from appraise.model.locale_format import PLAIN
from appraise.model.loss import RemarkClass
from appraise.model.message import message

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.case import Case
    from appraise.model.locale_format import Formatter
    from appraise.model.loss import CarriageLimit, CheckAnswer, LimitSum
    from appraise.model.result import Approach
    from appraise.tables.rows import Tables


VERDICTS = {
    "steady": message("steady"),
    "seasonal": message("seasonal"),
    "drifting_flat": message("drifting flat"),
    "drifting_sharp": message("drifting sharp"),
    "not_enough": message("not enough readings"),
}
"""Each verdict on a pitch log."""

NO_SEASON = {
    "few": message("too few readings with humidity"),
    "narrow": message("humidity hardly changed"),
    "with time": message("humidity and time run together"),
    "no effect": message("humidity shows no effect that could not be chance"),
}
"""Why the season was not taken out of a pitch log."""

CONCLUSIONS = {
    "dried_out": message("dried out"),
    "suspected": message("drying suspected, not concluded"),
    "cycling": message("swinging between dry and damp"),
    "untuned": message("long untuned"),
    "poor_work": message("poor earlier work"),
    "age": message("age and wear"),
    "open": message("open: no explanation leads"),
    "nothing": message("no sign of it seen"),
}
"""Each conclusion on whether an instrument has dried out."""

APPROACHES = {"cost": message("Cost approach"), "sales": message("Sales comparison")}

_WEIGHTING = {
    "": "",
    "precision": message("weighted by its precision"),
    "no_comparables": message("no comparables"),
    "off_basis": message("not used on this basis"),
}

FEATURES = {
    "time": message("time"),
    "kind_of_sale": message("kind of sale"),
    "size": message("size"),
    "age_and_condition": message("age and condition"),
}
"""Features by which a comparable is adjusted."""

PERIODS = {
    "notice_apparent": message("notice of apparent damage"),
    "notice_concealed": message("notice of concealed damage"),
    "notice_delay": message("notice of delay"),
    "suit": message("suit"),
    "claim": message("claim"),
}
"""Label of each period that runs from a delivery."""

PERIOD_NOTES = {
    "": "",
    "holidays": message("public holidays are not counted either, so the last day may be later"),
    "least": message("the minimum to be allowed; the contract may give longer"),
}
"""Why the last day of a period may be another."""


def weighting(approach: Approach) -> str:
    """Return why an approach has its weight, or none: a message, or the assessor's own reason."""
    return approach.reason if approach.weighting == "stated" else _WEIGHTING[approach.weighting]


OUTCOMES = {
    RemarkClass.KEPT: message("kept"),
    RemarkClass.WORSE: message("worse"),
    RemarkClass.NEW: message("new"),
    RemarkClass.MENDED: message("repaired"),
}
"""Label of each outcome of a defect."""

NOT_NOTED = message("not noted again")
"""Label of a defect that was not noted again and not ticked as repaired."""


def outcome_text(outcome: RemarkClass, *, ticked: bool) -> str:
    """Return what became of a remark; repaired only where the assessor said so, to be said yet."""
    return NOT_NOTED if outcome is RemarkClass.MENDED and not ticked else OUTCOMES[outcome]


def answers_text(answers: Sequence[CheckAnswer], unit: str, manner: Formatter) -> str:
    """Return the answers to one check: "grade 3", "7.4 N·m (note 40); 6.8 N·m (note 52)"; empty where it was not made.

    Args:
        answers: In the order they were written down.
        unit: Of the check.
        manner: How the reader gets figures and words.
    """
    return "; ".join(_answer(each, unit, manner) for each in answers)


def _answer(answer: CheckAnswer, unit: str, manner: Formatter) -> str:
    value = answer.value
    if isinstance(value, bool):
        said = manner.say("yes") if value else manner.say("no")
    elif answer.suspected:
        said = manner.say("suspected")
    elif isinstance(value, str):
        said = value
    elif answer.graded:
        said = manner.say("grade {grade}", grade=manner.number(value))
    else:
        said = manner.quantity(value, unit)
    where = answer.place if answer.note is None else manner.say("note {note}", note=answer.note)
    return f"{said} ({where})" if where else said


def limit_text(limit: CarriageLimit, manner: Formatter) -> str:
    """Return how a limit comes about: "480 kg × 8.33", or what it needs to be worked out."""
    if limit.amount is None:
        by_weight = limit.missing == "weight"
        return manner.say("needs the weight") if by_weight else manner.say("needs the volume of the load space")
    how = _sum(next(each for each in limit.sums if each.amount == limit.amount), manner)
    if len(limit.sums) == 1:
        return how
    amounts = manner.listed(manner.decimal(each.amount, 2, 2) for each in limit.sums)
    return manner.say("{how}; the highest of {amounts}", how=how, amounts=amounts)


def _sum(one: LimitSum, manner: Formatter) -> str:
    def shown(value: float) -> str:
        return manner.decimal(float(f"{value:.6g}"), 6)

    if one.by == "package":
        return manner.say("{amount} a package", amount=manner.decimal(one.amount, 2, 2))
    if one.by == "lb":
        pounds = manner.decimal(one.size, 2, 2)
        return manner.say("{pounds} lb × {rate}, pounds not rounded first", pounds=pounds, rate=shown(one.rate))
    return f"{shown(one.size)} {one.by} × {shown(one.rate)}"


_LABELS = {
    "general condition": message("General condition of the parts not inspected"),
    "replacement cost": message("Replacement cost new"),
    "market factor": message("Market factor"),
    "channel": message("Price level of this kind of sale"),
    "comparables": message("Spread of the comparables"),
    "disagreement": message("Disagreement of the approaches"),
    "hours": message("Hours of work"),
    "parts": message("Cost of parts"),
    "salvage": message("Salvage"),
    "incentive": message("Buyer’s allowance for the trouble of work"),
    "made": message("Date of making"),
}


def driver_label(name: str, case: Case, tables: Tables, manner: Formatter = PLAIN) -> str:
    """Return what a person reads for an uncertain input.

    Args:
        name: Of the input.
        case: For the components of renewals.
        tables: For the labels of components.
        manner: How the reader gets words.
    """
    head, _, tail = name.partition(".")
    if head == "grade":
        return manner.say("Grade of {part}", part=manner.small(tables.components[tail].named(case.identity.kind)))
    if head == "life":
        return manner.say(
            "Service life of {part}", part=manner.small(tables.components[tail].named(case.identity.kind))
        )
    if head == "suspected":
        return manner.say("Suspected fault: {check}", check=manner.small(tables.checks[tail].label))
    if head == "renewal":
        named = dict(zip(event_names(case.renewals), case.renewals, strict=True))
        renewed = named[name].components if name in named else ()
        if not renewed:
            return manner.say("Renewal")
        return manner.say("Date of the renewal of {part}", part=manner.small(tables.components[renewed[0]].label))
    return manner.say(_LABELS[name])


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
