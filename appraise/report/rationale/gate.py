"""The part that holds the whole back, and what a buyer does about that."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message, messages
from appraise.report.rationale.story import UNNOTICED, Narrator, Piece, verb
from appraise.report.rationale.work import job

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.reason import Reason, Sentence
    from appraise.model.result import ComponentResult, WorkItem

TOPIC = "value"

LITTLE = 0.9
"""Usability above which a critical component only begins to tell on the whole [–]."""

OTHERS = 4
"""Other parts that would hold the whole back that are named, the worst first."""

_A_LITTLE = messages(
    "The {part}{grade} already limits the use of the whole a little: the instrument counts at {usability} of the sum "
    "of its parts.",
    "The {part}{grade} already limit the use of the whole a little: the instrument counts at {usability} of the sum "
    "of its parts.",
)
_MUCH = messages(
    "The {part}{grade} holds the whole piano back: however good the rest is, the instrument counts at only "
    "{usability} of the sum of its parts.",
    "The {part}{grade} hold the whole piano back: however good the rest is, the instrument counts at only "
    "{usability} of the sum of its parts.",
)


def sentences(story: Narrator) -> list[Sentence]:
    """Say which part holds the whole instrument back, what a buyer does about that, and which others would as well."""
    basis = story.tables.bases[story.valuation.basis]
    if basis.method == "replacement" or not basis.work_weighed:
        return []
    parts = [part for station in story.valuation.stations for part in station.components]
    gated = sorted((part for part in parts if part.usability < 1.0), key=lambda part: part.usability)
    if gated and gated[0].inspected <= 0 and story.tables.components[gated[0].component].hazard:
        return []  # nobody looked whether the fault is there
    usability = story.figures.get("usability")
    if not gated or usability is None or story.valuation.usability > UNNOTICED:
        return []
    worst = gated[0]
    least = 1.0 if story.valuation.usability > LITTLE else LITTLE
    others = [part for part in gated[1:] if part.inspected > 0 and part.usability < least]
    grade = story.figures.get(f"{worst.component}.grade")
    at = [] if grade is None else story.phrase(", at grade {grade},", grade=grade)
    texts, number = _A_LITTLE if story.valuation.usability > LITTLE else _MUCH, verb(1, worst.label)
    name = story.name(worst.label)
    lines = [story.tells(TOPIC, *texts, number, part=name, grade=at, usability=usability)]
    lines.extend(_buyer(story, worst, usability))
    if others:
        lines.append(_others(story, others))
    return lines


def _buyer(story: Narrator, part: ComponentResult, usability: Reason) -> Iterator[Sentence]:
    """Say whether a buyer takes off what the work costs, or pays for the instrument as is."""
    basis, valuation = story.tables.bases[story.valuation.basis], story.valuation
    if valuation.value is None or not story.case.costs.reckoned:
        return
    if part.inspected <= 0:
        yield story.tell(TOPIC, "That grade is only the one expected for its age: the part was not inspected.")
        return
    jobs = [item for item in valuation.work if part.component in story.tables.remedies[item.remedy].improves]
    counted = [item for item in jobs if item.chosen]
    if counted and valuation.best == "after_work":
        yield from _deducted(story, counted[0])
        return
    if not jobs:
        if valuation.best == "salvage" or basis.method != "market":
            return
        text = message("No work is proposed for that; a buyer pays for the piano as is: {usability} of a sound one.")
        yield story.tell(TOPIC, text, usability=usability)
        return
    if valuation.best != "left_alone" or basis.method != "market":
        yield story.tell(TOPIC, "Fixing that costs more than it adds.")
        return
    text = message("Fixing that costs more than it adds; a buyer pays for the piano as is: {usability} of a sound one.")
    yield story.tell(TOPIC, text, usability=usability)


def _deducted(story: Narrator, item: WorkItem) -> Iterator[Sentence]:
    cost = story.figures.get(f"work.{item.remedy}.cost")
    if cost is None:
        return
    label = job(story, item.label)
    method = story.tables.bases[story.valuation.basis].method
    if method == "market":
        text = message("A buyer deducts the cost of that job, about {cost}, and an allowance for the trouble: {job}.")
    elif method == "residual":
        text = message("A dealer deducts the cost of that job, about {cost}: {job}.")
    else:
        text = message("The cost of that job comes off, about {cost}: {job}.")
    yield story.tell(TOPIC, text, cost=cost, job=label)


def _others(story: Narrator, others: list[ComponentResult]) -> Sentence:
    named: list[list[Piece]] = [[story.name(part.label)] for part in others[:OTHERS]]
    if len(others) > OTHERS:
        named.append(story.phrase("other parts"))
    parts = story.series(named)
    if len(others) > 1:
        return story.tell(TOPIC, "The {parts} would hold it back as well, were they the only fault.", parts=parts)
    return story.tells(
        TOPIC,
        "The {parts} would do the same, were it the only fault.",
        "The {parts} would do the same, were they the only fault.",
        verb(1, others[0].label),
        parts=parts,
    )
