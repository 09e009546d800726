"""Which way out is worth most, how the approaches were weighed, and what the assessor adjusted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message

if TYPE_CHECKING:
    from appraise.model.reason import Reason, Sentence
    from appraise.report.rationale.story import Piece, Story

TOPIC = "value"


def sentences(story: Story) -> list[Sentence]:
    """Tell what sets the value: leaving the instrument alone, the work, or what its parts bring."""
    return [*_what_sets_it(story), *_approaches(story), *_adjustments(story)]


def _what_sets_it(story: Story) -> list[Sentence]:
    figures, best = story.figures, story.valuation.best
    left, after, salvage = (figures.get(key) for key in ("left_alone", "after_work", "salvage"))
    if story.tables.bases[story.valuation.basis].method == "replacement":
        return []
    if best == "salvage" and salvage is not None:
        return [*_salvage(story, salvage, left), *_open_choice(story)]
    if best == "after_work" and after is not None and left is not None:
        return [_with_work(story, after, left), *_open_choice(story)]
    if not story.case.costs.reckoned:
        none = message("It is valued as is: without a labour rate no work could be weighed.")
        parts = message("It is valued as is: without a rate to price parts by no work could be weighed.")
        told = [story.tell(TOPIC, none if story.case.costs.labour_rate is None else parts)]
    else:
        told = [
            story.tell(
                TOPIC,
                "It is worth most as is: no work on what was inspected can be expected to bring back what it costs.",
            )
        ]
    return [*told, *_next_to_nothing(story, salvage), *_open_choice(story)]


def _open_choice(story: Story) -> list[Sentence]:
    """Say what keeping the choice of the course open adds, where it shows."""
    option = story.figures.get("option")
    if option is None or story.valuation.option < story.valuation.step:
        return []
    return [
        story.tell(
            TOPIC,
            "Of the best estimate, {option} is for the choice that stays open: once the piano is opened and better "
            "known, the course that pays best is taken.",
            option=option,
        )
    ]


def _next_to_nothing(story: Story, salvage: Reason | None) -> list[Sentence]:
    v = story.valuation
    if salvage is None or v.salvage is None or v.value is None or v.value.mid >= -v.salvage.mid:
        return []
    if v.value.mid >= 0:
        frank = story.tell(TOPIC, "No ready market is expected: that is next to nothing.")
    else:
        frank = story.tell(TOPIC, "No ready market is expected: the figure is a cost, not a price.")
    return [
        frank,
        story.tell(
            TOPIC,
            "If nobody comes for it, what its parts bring less the cost of taking it away is {salvage}, to be paid and "
            "not received.",
            salvage=salvage,
        ),
    ]


def _with_work(story: Story, after: Reason, left: Reason) -> Sentence:
    return story.tell(
        TOPIC,
        "The best estimate rests on an extraordinary assumption: that the work listed below can be done for about what "
        "is stated. With that done and paid for, the piano comes to {after}; as is, without any work, to {left}.",
        after=after,
        left=left,
    )


def _salvage(story: Story, salvage: Reason, left: Reason | None) -> list[Sentence]:
    if story.valuation.salvage is not None and story.valuation.salvage.mid < 0:
        told = [
            story.tell(TOPIC, "No ready market is expected, and the figure is the cost of disposal, not a price."),
            story.tell(
                TOPIC,
                "What its parts bring is less than it costs to take the piano away; the balance is {salvage}.",
                salvage=salvage,
            ),
        ]
    else:
        told = [
            story.tell(
                TOPIC,
                "It is worth more for its parts than as an instrument, and the figure of {salvage} is "
                "what they bring once it has been taken away.",
                salvage=salvage,
            )
        ]
    if left is not None:
        told.append(story.tell(TOPIC, "Kept and played as is, the piano would come to {left}.", left=left))
    return told


def _approaches(story: Story) -> list[Sentence]:
    used = [item for item in story.valuation.approaches if item.used]
    parts: list[list[Piece]] = []
    for item in used:
        node = story.figures.get(f"approach.{item.approach}")
        if node is not None:
            label = story.name(story.say(item.label))
            parts.append(story.phrase("the {approach} gives {figure}", approach=label, figure=node))
    if len(parts) < 2:
        return []
    ways, market = story.series(parts), story.case.market
    if market.weight_cost_pct is not None:
        text = message("More than one way leads to the value: {ways}; they were weighed by the assessor.")
    else:
        text = message("More than one way leads to the value: {ways}; they were weighed by how exact each of them is.")
    told = [story.tell(TOPIC, text, ways=ways)]
    told.extend(_beside(story, [item.value.mid for item in used]))
    if market.weight_reason.strip():
        told.append(story.tell(TOPIC, "The assessor's reason: {reason}.", reason=story.said(market.weight_reason)))
    return told


def _beside(story: Story, middles: list[float]) -> list[Sentence]:
    """Say why the best estimate does not lie between the approaches, where it does not."""
    value = story.valuation.value
    if value is None or story.case.market.adjustments or min(middles) <= value.mid <= max(middles):
        return []
    return [
        story.tell(
            TOPIC,
            "The best estimate is the middle of both drawn together, and rounded: it can come to lie a little beside "
            "the two.",
        )
    ]


def _adjustments(story: Story) -> list[Sentence]:
    told = []
    for n, item in enumerate(story.case.market.adjustments, 1):
        nodes = [story.figures.get(address) for address in (f"adjustment.{n}", f"adjustment.{n}.amount")]
        sizes: list[list[Piece]] = [[node] for node in nodes if node is not None]
        name, reason = story.name(item.name), story.said(item.reason)
        if sizes:
            told.append(
                story.tell(
                    TOPIC,
                    "The assessor adjusted the value for {feature} by {size}: {reason}.",
                    feature=name,
                    size=story.series(sizes),
                    reason=reason,
                )
            )
        else:
            text = message("The assessor adjusted the value for {feature}: {reason}.")
            told.append(story.tell(TOPIC, text, feature=name, reason=reason))
    return told
