"""What a person reads for an uncertain input of the range."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.age import event_names
from appraise.model.locale_format import PLAIN
from appraise.model.message import message

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.model.locale_format import Formatter
    from appraise.tables.rows import Tables

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
