"""Words for the figures of a loss: what a check said before and after, and how a carrier's limit comes about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.loss import RemarkClass
from appraise.model.message import message

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.locale_format import Formatter
    from appraise.model.loss import CarriageLimit, CheckAnswer, LimitSum

OUTCOMES = {
    RemarkClass.KEPT: message("kept"),
    RemarkClass.WORSE: message("worse"),
    RemarkClass.NEW: message("new"),
    RemarkClass.MENDED: message("repaired"),
}
"""What became of a remark."""

NOT_NOTED = message("not noted again")
"""What became of one of which nobody said that it was repaired."""


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
