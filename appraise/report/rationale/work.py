"""The three lists of work, and the next large job to expect."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.work import groups
from appraise.model.message import message
from appraise.model.result import WorkList
from appraise.report.rationale.story import Chapter, Piece, Story, nothing_inspected, verb

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.reason import Quote, Sentence
    from appraise.model.result import WorkItem

TOPIC = "work"

AT_MOST = 3
"""Jobs of a list that get a sentence; the table lists them all."""


def chapter(story: Story) -> Chapter:
    """Tell what is needed now, what pays for itself, what a player gains, and what comes next."""
    told: list[Sentence] = []
    if not story.case.costs.reckoned:
        none = message("No labour rate was given, so no work could be costed.")
        parts = message("Labour is put at nothing and no rate prices the parts, so no work could be costed.")
        told.append(story.tell(TOPIC, none if story.case.costs.labour_rate is None else parts))
    else:
        lists = groups(story.valuation.work)
        told.extend(_needed(story, lists[WorkList.NEEDED]))
        told.extend(_paying(story, lists[WorkList.PAYS]))
        told.extend(_player(story, lists[WorkList.PLAYER]))
        told.extend(_plan(story))
    told.extend(_due(story))
    told.extend(_next(story))
    told.extend(_economic(story))
    return Chapter(TOPIC, story.say("Work"), tuple(told))


def _needed(story: Story, items: Sequence[WorkItem]) -> list[Sentence]:
    told: list[Sentence] = []
    parts: list[list[Piece]] = []
    for item in items:
        cost = story.figures.get(f"work.{item.remedy}.cost")
        if cost is None:
            continue
        if item.safety and item.if_left:
            text = message("Needed now, for safety: {job}, at {cost}. If it is left: {left}.")
            left = story.name(item.if_left)
            told.append(story.tell(TOPIC, text, job=job(story, item.label), cost=cost, left=left))
        else:
            parts.append(story.phrase("{job} ({cost})", job=job(story, item.label), cost=cost))
    if parts:
        told.append(story.tell(TOPIC, "Needed now: {jobs}.", jobs=story.series(parts)))
    total = story.figures.get("work_list.needed")
    if len(items) > 1 and total is not None:
        told.append(story.tell(TOPIC, "What is needed now costs {total} together.", total=total))
    if told:
        return told
    if nothing_inspected(story.valuation):
        return [story.tell(TOPIC, "Nothing was inspected, so no work can be proposed: look first.")]
    return [story.tell(TOPIC, "Nothing that was inspected needs work now.")]


def _paying(story: Story, items: Sequence[WorkItem]) -> list[Sentence]:
    told = []
    for item in items:
        cost = story.figures.get(f"work.{item.remedy}.cost")
        added = story.figures.get(f"work.{item.remedy}.value_added")
        if cost is None or added is None:
            continue
        label = job(story, item.label)
        if item.step:
            told.append(story.tell(TOPIC, "That takes one step more: {job}, which costs {cost}.", job=label, cost=cost))
        else:
            text = message("Pays for itself: {job}; it costs {cost} and adds {value} to the value.")
            told.append(story.tell(TOPIC, text, job=label, cost=cost, value=added))
    return told


def _player(story: Story, items: Sequence[WorkItem]) -> list[Sentence]:
    parts: list[list[Piece]] = []
    for item in [item for item in items if not item.step][:AT_MOST]:
        cost = story.figures.get(f"work.{item.remedy}.cost")
        if cost is not None:
            parts.append(story.phrase("{job} ({cost})", job=job(story, item.label), cost=cost))
    if not parts:
        return []
    return [
        story.tell(
            TOPIC, "For the player, not for the price: {jobs}; a sale does not pay it back.", jobs=story.series(parts)
        )
    ]


def _plan(story: Story) -> list[Sentence]:
    total = story.figures.get("plan_cost")
    if total is None or story.valuation.best != "after_work":
        return []
    if story.tables.bases[story.valuation.basis].method == "market":
        text = message(
            "The value counts on work that costs {cost} together; steps that several jobs need are paid for once. A "
            "buyer takes that off, and something for the trouble of having it done."
        )
    else:
        text = message(
            "The value counts on work that costs {cost} together, and that is taken off; steps that several jobs need "
            "are paid for once."
        )
    return [story.tell(TOPIC, text, cost=total)]


def job(story: Story, label: str) -> Quote:
    """Return a remedy's label within a sentence, without the kind that the reader knows already."""
    return story.name(label.removesuffix(", grand").removesuffix(", upright"))


def _between(story: Story, figure: str) -> list[Piece]:
    low, high = (story.figures.get(f"{figure}.{end}") for end in ("low", "high"))
    if low is None or high is None or low.shown == high.shown:
        return []
    return story.phrase(" (most likely between {low} and {high})", low=low, high=high)


def _due(story: Story) -> list[Sentence]:
    """Name the large jobs that cannot wait, of the parts that somebody inspected."""
    parts = [part for part in story.valuation.due if part.large and part.inspected]
    if not parts:
        return []
    return [
        story.tells(
            TOPIC,
            "One large job cannot wait: the {parts} is due for renewal now.",
            "Large jobs that cannot wait: the {parts} are due for renewal now.",
            verb(1, parts[0].label) if len(parts) == 1 else len(parts),
            parts=story.series([[story.name(part.label)] for part in parts]),
        )
    ]


def _economic(story: Story) -> list[Sentence]:
    """Say how long the instrument has an economic life."""
    node = story.figures.get("economic_life")
    if node is None:
        return []
    if not node.value:
        return [
            story.tell(
                TOPIC,
                "The economic life of the instrument is over: its best course brings no more than disposal, or work "
                "that playing needs costs more than the sound instrument is worth ({years} left).",
                years=node,
            )
        ]
    return [
        story.tell(
            TOPIC,
            "The remaining economic life of the instrument is about {years}{range}.",
            years=node,
            range=_between(story, "economic_life"),
        )
    ]


def _next(story: Story) -> list[Sentence]:
    coming = story.valuation.next_intervention
    node = story.figures.get("next_intervention")
    if coming is None or node is None:
        return []
    part = story.name(coming.label)
    return [
        story.tell(
            TOPIC,
            "The next large job will most likely be the {part}, to be expected in about {years}{range} if nothing is "
            "done before.",
            part=part,
            years=node,
            range=_between(story, "next_intervention"),
        )
    ]
