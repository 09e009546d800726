"""The work worth doing and the work not worth doing, with what each costs and adds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.missing import missing_rate
from appraise.report.document import Column, Paragraph, Section, Table
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterable

    from appraise.model.result import WorkItem
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block

AT_MOST = 15
"""Jobs outside the plan that get a line of their own, those that add most first."""


def work(item: Appraisal) -> tuple[Section, ...]:
    """The jobs of the plan, those that would about pay beside it, and those that would not."""
    say = item.manner.say
    title, key, items = say("Work"), "work", item.valuation.work
    if not item.case.costs.reckoned:
        why = missing_rate(item.case, item.manner)
        return (Section(title, (Paragraph(say("No work was costed: {why}.", why=why)),), key=key),)
    if not items:
        return (Section(title, (Paragraph(say("No remedy in the tables applies.")),), key=key),)
    told = say(
        "Hours and parts come from the tables, rates from the case; cost includes overhead and contingency. Hours are "
        "typical; a cost is the average to be expected, which is higher, since jobs run over by more than they fall "
        "short. A job of the plan is costed by itself, so that the costs add up to those of the plan; any other job on "
        "top of the plan, with the steps it needs. What a job adds is the average rise of the value before its cost."
    )
    told = " ".join(filter(None, (told, _unseen(item))))
    beside = [job for job in items if not job.chosen and not job.step]
    return (
        Section(title, (Paragraph(told),), key=key),
        Section(say("Worth doing"), _plan(item), level=2, key="work_worth"),
        *_more(
            item, say("About paying for itself beside the plan"), "work_beside", [job for job in beside if job.curable]
        ),
        *_more(
            item, say("Not worth doing for the price"), "work_not_worth", [job for job in beside if not job.curable]
        ),
    )


def _unseen(item: Appraisal) -> str:
    """Say that a job may answer to a fault that nobody saw."""
    if all(part.inspected > 0 for station in item.valuation.stations for part in station.components):
        return ""
    return item.manner.say(
        "A job for a part that was not inspected answers to the faults usual at its age, not to one that was seen."
    )


def _plan(item: Appraisal) -> tuple[Block, ...]:
    say = item.manner.say
    chosen = [job for job in item.valuation.work if job.chosen]
    if not chosen:
        return (Paragraph(say("No job can be expected to bring back what it costs, so none is proposed.")),)
    total = say(
        "The whole plan costs {cost} and takes {hours}.",
        cost=item.figures.spread("plan_cost"),
        hours=item.figures.spread("plan_hours"),
    )
    needed = [item.manner.small(literal(job.label)) for job in chosen if not job.curable and not job.step]
    if needed:
        more = item.manner.several(
            "By itself it would not pay, but another job of the plan needs it: {jobs}.",
            "By themselves they would not pay, but other jobs of the plan need them: {jobs}.",
            len(needed),
            jobs="; ".join(needed),
        )
        total = f"{total} {more}"
    return _table(item, chosen), Paragraph(total)


def _more(item: Appraisal, title: str, key: str, jobs: list[WorkItem]) -> tuple[Section, ...]:
    if not jobs:
        return ()
    ordered = sorted(jobs, key=lambda job: -job.value_added)
    blocks: list[Block] = [_table(item, ordered[:AT_MOST])]
    rest = len(ordered) - AT_MOST
    if rest > 0:
        more = item.manner.several(
            "{count} more was weighed, and adds less; its figures stand in the derivation.",
            "{count} more were weighed, each adding less; their figures stand in the derivation.",
            rest,
            count=rest,
        )
        blocks.append(Paragraph(more))
    return (Section(title, tuple(blocks), level=2, key=key),)


def _table(item: Appraisal, jobs: Iterable[WorkItem]) -> Table:
    say = item.manner.say
    shown = item.figures.shown
    rows = tuple(
        (
            literal(job.label),
            shown(f"work.{job.remedy}.hours"),
            item.figures.spread(f"work.{job.remedy}.cost"),
            say("a step for others") if job.step else shown(f"work.{job.remedy}.value_added"),
        )
        for job in jobs
    )
    columns = (
        Column(say("Job")),
        Column(say("Hours"), numeric=True),
        Column(say("Cost"), numeric=True),
        Column(say("Adds to the value"), numeric=True),
    )
    return Table(columns, rows)
