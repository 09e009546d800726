"""The work that pays for itself, the work that does not, and the next large job to expect."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message
from appraise.report.rationale.story import DUE_YEARS, Chapter, Piece, Story, verb

if TYPE_CHECKING:
    from appraise.model.reason import Quote, Sentence
    from appraise.model.result import WorkItem

TOPIC = "work"

AT_MOST = 3
"""Jobs not worth doing that get a sentence; the table lists them all."""


def chapter(story: Story) -> Chapter:
    """Tell which jobs belong to the best plan, which do not pay, and what comes next."""
    told: list[Sentence] = []
    valuation = story.valuation
    if not story.case.costs.reckoned:
        none = message("No labour rate was given, so no work could be costed.")
        parts = message("Labour is put at nothing and no rate prices the parts, so no work could be costed.")
        told.append(story.tell(TOPIC, none if story.case.costs.labour_rate is None else parts))
    elif valuation.value is not None:
        chosen = [item for item in valuation.work if item.chosen]
        told.extend(_plan(story, chosen))
        told.extend(_not_worth(story, [item for item in valuation.work if not item.chosen]))
    told.extend(_next(story))
    return Chapter(TOPIC, story.say("Work worth doing, and not"), tuple(told))


_WORTH = (
    message("Worth doing: {job}; it costs {cost} and adds {value} to the value."),
    message("Also worth doing: {job}; {cost} of work for {value} of value."),
    message("Then: {job}; it costs {cost} and adds {value}."),
)
"""The first job, and the others in turn."""


def _plan(story: Story, chosen: list[WorkItem]) -> list[Sentence]:
    told = []
    for turn, item in enumerate(chosen):
        cost = story.figures.get(f"work.{item.remedy}.cost")
        added = story.figures.get(f"work.{item.remedy}.value_added")
        if cost is None or added is None:
            continue
        label = job(story, item.label)
        if item.step:
            told.append(
                story.tell(TOPIC, "The plan needs one step more: {job}, which costs {cost}.", job=label, cost=cost)
            )
        elif not item.curable:
            text = message("The plan needs as well, for another job of it: {job}; {cost} of work for {value} of value.")
            told.append(story.tell(TOPIC, text, job=label, cost=cost, value=added))
        else:
            text = _WORTH[0 if turn == 0 else 1 + (turn - 1) % 2]
            told.append(story.tell(TOPIC, text, job=label, cost=cost, value=added))
    total = story.figures.get("plan_cost")
    if total is not None and len(chosen) > 1:
        told.append(
            story.tell(
                TOPIC, "The whole plan costs {cost}; steps that several jobs need are paid for once.", cost=total
            )
        )
    return told


def _not_worth(story: Story, items: list[WorkItem]) -> list[Sentence]:
    told = []
    poor = sorted((item for item in items if not item.curable), key=lambda item: -item.value_added)
    parts: list[list[Piece]] = []
    for item in poor[:AT_MOST]:
        cost = story.figures.get(f"work.{item.remedy}.cost")
        added = story.figures.get(f"work.{item.remedy}.value_added")
        if cost is not None and added is not None:
            label = job(story, item.label)
            parts.append(story.phrase("{job} (costs {cost}, adds {value})", job=label, cost=cost, value=added))
    if parts:
        told.append(story.tell(TOPIC, "Not worth doing for the sake of the price: {jobs}.", jobs=story.series(parts)))
        told.append(
            story.tell(
                TOPIC, "A player may still want such work; a buyer should just not expect to get the money back."
            )
        )
    beside = [item for item in items if item.curable]
    if beside:
        told.append(
            story.tells(
                TOPIC,
                "Beside the plan, {jobs} would about pay for itself.",
                "Beside the plan, {jobs} would each about pay for itself.",
                len(beside),
                jobs=story.series([[job(story, item.label)] for item in beside[:AT_MOST]]),
            )
        )
    return told


def job(story: Story, label: str) -> Quote:
    """Return a remedy's label within a sentence, without the kind that the reader knows already."""
    return story.name(label.removesuffix(", grand").removesuffix(", upright"))


def _between(story: Story) -> list[Piece]:
    low, high = (story.figures.get(f"next_intervention.{end}") for end in ("low", "high"))
    if low is None or high is None or low.shown == high.shown:
        return []
    return story.phrase(" (most likely between {low} and {high})", low=low, high=high)


def _next(story: Story) -> list[Sentence]:
    coming = story.valuation.next_intervention
    node = story.figures.get("next_intervention")
    if coming is None or node is None:
        return []
    part = story.name(coming.label)
    if coming.years.mid < DUE_YEARS:
        return [
            story.tells(
                TOPIC,
                "One large job cannot wait: the {part} is due for renewal now.",
                "One large job cannot wait: the {part} are due for renewal now.",
                verb(1, coming.label),
                part=part,
            )
        ]
    return [
        story.tell(
            TOPIC,
            "The next large job will most likely be the {part}, to be expected in about {years}{range} if nothing is "
            "done before.",
            part=part,
            years=node,
            range=_between(story),
        )
    ]
