"""The work that pays for itself, the work that does not, and the next large job to expect."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.rationale.story import DUE_YEARS, Chapter, Piece, Story, name, sentence, series
from appraise.report.words import many

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
    if story.case.costs.labour_rate is None:
        told.append(sentence(TOPIC, "No labour rate was given, so no work could be costed."))
    elif valuation.value is not None:
        chosen = [item for item in valuation.work if item.chosen]
        told.extend(_plan(story, chosen))
        told.extend(_not_worth(story, [item for item in valuation.work if not item.chosen]))
    told.extend(_next(story))
    return Chapter(TOPIC, "Work worth doing, and not", tuple(told))


def _plan(story: Story, chosen: list[WorkItem]) -> list[Sentence]:
    if not chosen:
        return []
    told = []
    for turn, item in enumerate(chosen):
        cost = story.figures.get(f"work.{item.remedy}.cost")
        added = story.figures.get(f"work.{item.remedy}.value_added")
        if cost is None or added is None:
            continue
        label = job(item.label)
        if item.step:
            told.append(sentence(TOPIC, "The plan needs one step more: ", label, ", which costs ", cost, "."))
            continue
        forms: tuple[list[Piece], ...] = (
            ["Worth doing: ", label, "; it costs ", cost, " and adds ", added, " to the value."],
            ["Also worth doing: ", label, "; ", cost, " of work for ", added, " of value."],
            ["Then: ", label, "; it costs ", cost, " and adds ", added, "."],
        )
        told.append(sentence(TOPIC, forms[0] if turn == 0 else forms[1 + (turn - 1) % 2]))
    total = story.figures.get("plan_cost")
    if total is not None and len(chosen) > 1:
        told.append(
            sentence(TOPIC, "The whole plan costs ", total, "; steps that several jobs need are paid for once.")
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
            parts.append([job(item.label), " (costs ", cost, ", adds ", added, ")"])
    if parts:
        told.append(sentence(TOPIC, "Not worth doing for the sake of the price: ", series(parts), "."))
        told.append(
            sentence(
                TOPIC,
                "A player may still want such work; a buyer should just not expect to get the money back.",
            )
        )
    beside = [item for item in items if item.curable]
    if beside:
        one = len(beside) == 1
        told.append(
            sentence(
                TOPIC,
                "Beside the plan, ",
                series([[job(item.label)] for item in beside[:AT_MOST]]),
                " would about pay for itself." if one else " would each about pay for itself.",
            )
        )
    return told


def job(label: str) -> Quote:
    """Return a remedy's label within a sentence, without the kind that the reader knows already."""
    return name(label.removesuffix(", grand").removesuffix(", upright"))


def _between(story: Story) -> list[Piece]:
    low, high = (story.figures.get(f"next_intervention.{end}") for end in ("low", "high"))
    if low is None or high is None or low.shown == high.shown:
        return []
    return [" (most likely between ", low, " and ", high, ")"]


def _next(story: Story) -> list[Sentence]:
    coming = story.valuation.next_intervention
    node = story.figures.get("next_intervention")
    if coming is None or node is None:
        return []
    if coming.years.mid < DUE_YEARS:
        due = "are" if many(coming.label) else "is"
        return [sentence(TOPIC, "One large job cannot wait: the ", name(coming.label), f" {due} due for renewal now.")]
    return [
        sentence(
            TOPIC,
            "The next large job will most likely be the ",
            name(coming.label),
            ", to be expected in about ",
            node,
            *_between(story),
            " if nothing is done before.",
        )
    ]
