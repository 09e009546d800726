"""What a person reads for the codes of the engine: verdicts, explanations, approaches, features of a sale, periods."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message

if TYPE_CHECKING:
    from appraise.model.result import Approach

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
    "precision": message("weighed by how precisely each is known"),
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
    "suit": message("suit"),
    "claim": message("claim"),
}
"""What a period is for that runs from a delivery."""

PERIOD_NOTES = {
    "": "",
    "holidays": message("public holidays are not counted either, so the last day may be later"),
    "least": message("the minimum to be allowed; the contract may give longer"),
}
"""Why the last day of a period may be another."""


def weighting(approach: Approach) -> str:
    """Return why an approach has its weight, or none: a message, or the assessor's own reason."""
    return approach.reason if approach.weighting == "stated" else _WEIGHTING[approach.weighting]
