"""The three lists of work, and the next large job to expect."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message
from appraise.model.result import WorkList
from appraise.report.rationale.story import Chapter, Narrator, Piece, verb
from appraise.report.value_texts import disposed, why_none_needed, work_lists
from appraise.report.words import job_label

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from appraise.model.reason import Quote, Sentence
    from appraise.model.result import WorkItem

TOPIC = "work"

AT_MOST = 3
"""Jobs of a list that get a sentence; the table lists them all."""


def chapter(story: Narrator) -> Chapter:
    """Tell what is needed now, what pays for itself, what a player gains, and what comes next."""
    sentences: list[Sentence] = []
    if not story.case.costs.reckoned:
        none = message("No labour rate was given, so no work could be costed.")
        parts = message("The labour rate is 0 and no rate was given to price the parts, so no work could be costed.")
        sentences.append(story.tell(TOPIC, none if story.case.costs.labour_rate is None else parts))
    else:
        lists = work_lists(story.valuation)
        if disposed(story.valuation):
            sentences.extend(_were_it_kept(story, [*lists[WorkList.NEEDED], *lists[WorkList.PAYS]]))
        else:
            sentences.extend(_needed(story, lists[WorkList.NEEDED]))
            sentences.extend(_paying(story, lists[WorkList.PAYS]))
            sentences.extend(_player(story, lists[WorkList.PLAYER]))
            sentences.extend(_plan(story))
    if not disposed(story.valuation):
        sentences.extend(_due(story))
        sentences.extend(_next(story))
    sentences.extend(_economic(story))
    return Chapter(TOPIC, story.say("Work"), tuple(sentences))


def _were_it_kept(story: Narrator, items: Sequence[WorkItem]) -> Iterator[Sentence]:
    """Say that disposal is the course, and what the instrument would need otherwise."""
    yield story.tell(TOPIC, "The course is disposal, so no work is advised.")
    total = story.figures.get("work_listed")
    labels = [[job(story, item.label)] for item in items]
    if labels and total is not None:
        text = message("If kept, it would need work that costs about {total}: {jobs}.")
        yield story.tell(TOPIC, text, total=total, jobs=story.series(labels))
    for item in items:
        if item.safety and item.if_left:
            text = message("For safety, until it is taken away: {left}.")
            yield story.tell(TOPIC, text, left=story.name(item.if_left))


def _needed(story: Narrator, items: Sequence[WorkItem]) -> list[Sentence]:
    sentences: list[Sentence] = []
    parts: list[list[Piece]] = []
    for item in items:
        cost = story.figures.get(f"work.{item.remedy}.cost")
        if cost is None:
            continue
        if item.safety and item.if_left:
            text = message("Needed now, for safety: {job}, at {cost}. If not done: {left}.")
            left = story.name(item.if_left)
            sentences.append(story.tell(TOPIC, text, job=job(story, item.label), cost=cost, left=left))
        else:
            parts.append(story.phrase("{job} ({cost})", job=job(story, item.label), cost=cost))
    if parts:
        sentences.append(story.tell(TOPIC, "Needed now: {jobs}.", jobs=story.series(parts)))
    total = story.figures.get("work_list.needed")
    if len(items) > 1 and total is not None:
        sentences.append(story.tell(TOPIC, "Together, the work needed now costs {total}.", total=total))
    if sentences:
        return sentences
    why, due = why_none_needed(story.valuation)
    return [story.tell(TOPIC, why, parts=story.series([[story.name(label)] for label in due]))]


def _paying(story: Narrator, items: Sequence[WorkItem]) -> Iterator[Sentence]:
    for item in items:
        cost = story.figures.get(f"work.{item.remedy}.cost")
        added = story.figures.get(f"work.{item.remedy}.value_added")
        if cost is None or added is None:
            continue
        label = job(story, item.label)
        if item.step:
            yield story.tell(TOPIC, "That takes one more step: {job}, which costs {cost}.", job=label, cost=cost)
        else:
            text = message("Pays for itself: {job}; it costs {cost} and adds {value} to the value.")
            yield story.tell(TOPIC, text, job=label, cost=cost, value=added)


def _player(story: Narrator, items: Sequence[WorkItem]) -> Iterator[Sentence]:
    parts: list[list[Piece]] = []
    for item in [item for item in items if not item.step][:AT_MOST]:
        cost = story.figures.get(f"work.{item.remedy}.cost")
        if cost is not None:
            parts.append(story.phrase("{job} ({cost})", job=job(story, item.label), cost=cost))
    if not parts:
        return
    yield story.tell(
        TOPIC,
        "For the player, not for the price: {jobs}; a sale does not recover the cost.",
        jobs=story.series(parts),
    )


def _plan(story: Narrator) -> Iterator[Sentence]:
    total = story.figures.get("plan_cost")
    if total is None or story.valuation.best != "after_work":
        return
    if story.tables.bases[story.valuation.basis].method == "market":
        text = message(
            "The value counts on work that costs {cost} together; steps that several jobs need are paid for once. A "
            "buyer deducts that cost and an allowance for the trouble."
        )
    else:
        text = message(
            "The value counts on work that costs {cost} together, which is deducted; steps that several jobs need "
            "are paid for once."
        )
    yield story.tell(TOPIC, text, cost=total)


def job(story: Narrator, label: str) -> Quote:
    """Return a remedy's label within a sentence, without the kind that the reader knows already."""
    return story.name(job_label(label))


def _between(story: Narrator, figure: str) -> list[Piece]:
    low, high = (story.figures.get(f"{figure}.{end}") for end in ("low", "high"))
    if low is None or high is None or low.shown == high.shown:
        return []
    return story.phrase(" (probably between {low} and {high})", low=low, high=high)


def _due(story: Narrator) -> Iterator[Sentence]:
    """Name the large jobs that cannot wait, of the parts that somebody inspected."""
    parts = [part for part in story.valuation.due if part.large and part.inspected]
    if not parts:
        return
    yield story.tells(
        TOPIC,
        "One large job cannot wait: the {parts} is due for renewal now.",
        "Large jobs that cannot wait: the {parts} are due for renewal now.",
        verb(1, parts[0].label) if len(parts) == 1 else len(parts),
        parts=story.series([[story.name(part.label)] for part in parts]),
    )


def _economic(story: Narrator) -> Iterator[Sentence]:
    """Say how long the instrument has an economic life."""
    node = story.figures.get("economic_life")
    if node is None:
        return
    if not node.value:
        yield story.tell(
            TOPIC,
            "The instrument has reached the end of its economic life ({years} left): its best course brings no "
            "more than disposal, or the work that playing needs costs more than a sound instrument is worth.",
            years=node,
        )
        return
    yield story.tell(
        TOPIC,
        "The remaining economic life of the instrument is about {years}{range}.",
        years=node,
        range=_between(story, "economic_life"),
    )


def _next(story: Narrator) -> Iterator[Sentence]:
    """Say when a large job is to be expected, whichever part comes first, and how long the likeliest lasts alone."""
    coming = story.valuation.next_intervention
    node = story.figures.get("next_intervention")
    if coming is None or node is None:
        return
    own, range_ = story.figures.get(f"{coming.component}.remaining"), _between(story, "next_intervention")
    part = story.name(coming.label)
    if own is None or len(coming.competing) < 2:
        text = message("The next large job will be the {part}, in about {years}{range}.")
        yield story.tell(TOPIC, text, part=part, years=node, range=range_)
        return
    yield story.tells(
        TOPIC,
        "A large job is expected in about {years}{range}, whichever part comes first: most likely the "
        "{part}, which by itself should last about {own}.",
        "A large job is expected in about {years}{range}, whichever part comes first: most likely the "
        "{part}, which by themselves should last about {own}.",
        verb(1, coming.label),
        part=part,
        years=node,
        range=range_,
        own=own,
    )
