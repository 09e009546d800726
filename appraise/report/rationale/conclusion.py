"""Which way out is worth most, how the approaches were weighed, and what the assessor adjusted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.explain.terms import APPROACHES
from appraise.model.message import message
from appraise.report.rationale.story import quote
from appraise.report.value_texts import counts_on_choice, no_ready_market, nothing_inspected

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.reason import Reason, Sentence
    from appraise.report.rationale.story import Narrator, Piece

TOPIC = "value"


def sentences(story: Narrator) -> list[Sentence]:
    """Tell how the approaches were weighed, and what the assessor adjusted."""
    return [*_approaches(story), *outlying(story), *_adjustments(story)]


def course(story: Narrator) -> list[Sentence]:
    """Tell what sets the value: the instrument as is, after work, or disposal; and what is suspected."""
    return [*_course(story), *_suspected(story)]


def outlying(story: Narrator) -> Iterator[Sentence]:
    """Tell of each comparable that contradicts the others, or the tables, by more than sales scatter."""
    for n, line in enumerate(story.valuation.grid, 1):
        names = (f"comparable.{n}.{name}" for name in ("against", "outlying", "weight"))
        times, score, weight = (story.figures.get(name) for name in names)
        if line.outlying is None or times is None or score is None or weight is None:
            continue
        text = message(
            "Comparable No. {number} ({label}) stands out: its price speaks of {times} of the level that the other "
            "comparables show, more than sales scatter (modified z score {score}). It counts with its weight of "
            "{weight} all the same: its price, day, kind of sale and condition ask for a second look."
        )
        if line.outlying.against == "tables":
            text = message(
                "Comparable No. {number} ({label}) stands out: its price speaks of {times} of the level that the "
                "tables show, more than they leave open (modified z score {score}). It counts with its weight of "
                "{weight} all the same: its price, day, kind of sale and condition ask for a second look."
            )
        label = quote(line.label)
        yield story.tell(TOPIC, text, number=str(n), label=label, times=times, score=score, weight=weight)


def _suspected(story: Narrator) -> Iterator[Sentence]:
    """Tell the best estimate without each suspected fault and with it."""
    for one in story.valuation.suspected:
        names = [f"suspected.{one.check}.{end}" for end in ("without", "counted")]
        without, counted = (story.figures.get(name) for name in names)
        if without is not None and counted is not None:
            text = "{fault} is suspected: without it the best estimate is {without}, with it {counted}."
            yield story.tell(TOPIC, text, fault=story.name(one.label), without=without, counted=counted)


def _course(story: Narrator) -> list[Sentence]:
    figures, best = story.figures, story.valuation.best
    left, after, salvage = (figures.get(key) for key in ("left_alone", "after_work", "salvage"))
    if story.tables.bases[story.valuation.basis].method == "replacement":
        return []
    if best == "salvage" and salvage is not None:
        return [*_salvage(story, salvage, left), *_open_choice(story)]
    if best == "after_work" and after is not None and left is not None:
        return [_with_work(story, after, left), *_next_to_nothing(story, salvage), *_open_choice(story)]
    weighed = story.tables.bases[story.valuation.basis].work_weighed
    if weighed and not story.case.costs.reckoned:
        none = message("Without a labour rate no work could be considered: the piano is valued as is.")
        parts = message("Without a rate to price the parts no work could be considered: the piano is valued as is.")
        lines = [story.tell(TOPIC, none if story.case.costs.labour_rate is None else parts)]
    else:
        lines = [story.tell(TOPIC, _as_is(story))]
    if not weighed:
        return lines
    return [*lines, *_disposal_beside(story), *_next_to_nothing(story, salvage), *_open_choice(story)]


def _disposal_beside(story: Narrator) -> Iterator[Sentence]:
    """Say that disposal would bring more than the instrument as is, and that the value looks at both."""
    as_is, disposal = story.valuation.left_alone, story.valuation.salvage
    left, salvage = story.figures.get("left_alone"), story.figures.get("salvage")
    if as_is is None or disposal is None or left is None or salvage is None or disposal.mid <= as_is.mid:
        return
    text = message(
        "Disposal would bring {salvage}, more than the {left} of the piano as is; the value takes the higher of the "
        "two."
    )
    yield story.tell(TOPIC, text, salvage=salvage, left=left)


def _as_is(story: Narrator) -> str:
    """Say why nothing but the value as is counts."""
    if not story.tables.bases[story.valuation.basis].work_weighed:
        return message("This kind of value assumes every playing part to be sound, so no work is considered.")
    if nothing_inspected(story.valuation):
        return message("Nothing was inspected, so no work can be proposed yet: the piano is valued as is.")
    return message("The piano is worth most as is: no work on the parts inspected recovers its cost.")


def _open_choice(story: Narrator) -> Iterator[Sentence]:
    """Say what keeping the choice of the course open adds, where it shows."""
    option = story.figures.get("option")
    if option is None or not counts_on_choice(story.tables, story.valuation):
        return
    yield story.tell(
        TOPIC,
        "The best estimate includes {option} for the choice kept open: the course that pays best is chosen once "
        "the piano is opened and better known.",
        option=option,
    )


def _next_to_nothing(story: Narrator, salvage: Reason | None) -> Iterator[Sentence]:
    v = story.valuation
    if salvage is None or v.value is None or not no_ready_market(story.tables, v):
        return
    if v.value.mid >= 0:
        frank = story.tell(TOPIC, "No ready market is expected: the figure is close to zero.")
    else:
        frank = story.tell(TOPIC, "No ready market is expected: the figure is a cost, not a price.")
    yield frank
    yield story.tell(
        TOPIC,
        "If no buyer comes, disposal (the salvage of its parts less the cost of taking it away) comes to "
        "{salvage}, to be paid and not received.",
        salvage=salvage,
    )


def _with_work(story: Narrator, after: Reason, left: Reason) -> Sentence:
    cost = story.figures.get("plan_cost")
    return story.tell(
        TOPIC,
        "Extraordinary assumption: the work that the value counts on can be done for about {cost}. With that work "
        "done and paid for, the piano comes to {after}; if not, its value as is would be {left}.",
        cost=[] if cost is None else [cost],
        after=after,
        left=left,
    )


def _salvage(story: Narrator, salvage: Reason, left: Reason | None) -> list[Sentence]:
    if story.valuation.salvage is not None and story.valuation.salvage.mid < 0:
        lines = [
            story.tell(
                TOPIC,
                "No ready market is expected: at {salvage} the figure is the cost of disposal, not a price.",
                salvage=salvage,
            ),
            story.tell(TOPIC, "Its parts bring less than it costs to take it away."),
        ]
    else:
        lines = [
            story.tell(
                TOPIC,
                "Disposal brings more than a sale as an instrument: the figure of {salvage} is the salvage of its "
                "parts less the cost of taking it away.",
                salvage=salvage,
            )
        ]
    if left is not None:
        lines.append(story.tell(TOPIC, "Sold as is, the piano would come to {left}.", left=left))
    return lines


def _approaches(story: Narrator) -> Iterator[Sentence]:
    used = [item for item in story.valuation.approaches if item.used]
    parts: list[list[Piece]] = []
    for item in used:
        node = story.figures.get(f"approach.{item.approach}")
        if node is not None:
            label = story.name(story.say(APPROACHES[item.approach]))
            parts.append(story.phrase("the {approach} gives {figure}", approach=label, figure=node))
    if len(parts) < 2:
        return
    ways, market = story.series(parts), story.case.market
    if market.weight_cost_pct is not None:
        text = message("More than one approach was used: {ways}; the assessor weighted them.")
    else:
        text = message("More than one approach was used: {ways}; each is weighted by its precision.")
    yield story.tell(TOPIC, text, ways=ways)
    yield from _beside(story, [item.value.mid for item in used])
    if market.weight_reason.strip():
        yield story.tell(TOPIC, "The assessor's reason: {reason}.", reason=story.said(market.weight_reason))


def _beside(story: Narrator, middles: list[float]) -> Iterator[Sentence]:
    """Say why the best estimate does not lie between the approaches, where it does not."""
    value = story.valuation.value
    if value is None or story.case.market.adjustments or min(middles) <= value.mid <= max(middles):
        return
    yield story.tell(
        TOPIC,
        "The best estimate comes from both together and is rounded, so it can lie just outside the two.",
    )


def _adjustments(story: Narrator) -> Iterator[Sentence]:
    for n, item in enumerate(story.case.market.adjustments, 1):
        nodes = [story.figures.get(address) for address in (f"adjustment.{n}", f"adjustment.{n}.amount")]
        sizes: list[list[Piece]] = [[node] for node in nodes if node is not None]
        name, reason = story.name(item.name), story.said(item.reason)
        if sizes:
            yield story.tell(
                TOPIC,
                "The assessor adjusted the value for {feature} by {size}: {reason}.",
                feature=name,
                size=story.series(sizes),
                reason=reason,
            )
        else:
            text = message("The assessor adjusted the value for {feature}: {reason}.")
            yield story.tell(TOPIC, text, feature=name, reason=reason)
