"""The three lists of work, with what each job costs and adds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.explain.terms import missing_rate
from appraise.model.message import message
from appraise.model.result import WorkList
from appraise.report.document import Paragraph, Section
from appraise.report.sections.cells import counts_on_work, figure_column, table, text_column
from appraise.report.value_texts import disposed, job_count, job_text, list_title, none_needed, work_lists
from appraise.report.words import job_label, literal

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.result import WorkItem
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block
    from appraise.report.sections.cells import Declared

DISPOSAL_FIRST = message(
    "The value assumes disposal, so no work is advised. The lists show the work that the instrument would need, were "
    "it kept."
)
"""Before the lists of an instrument that is worth no more than its parts."""


def work(item: Appraisal) -> tuple[Section, ...]:
    """Return the three lists of work: needed now, pays for itself, for the player."""
    say = item.manner.say
    title, key = say("Work"), "work"
    if not item.case.costs.reckoned:
        why = missing_rate(item.case, item.manner)
        return (Section(title, (Paragraph(say("No work was costed: {why}.", why=why)),), key=key),)
    text = say(
        "Hours and parts come from the tables, by the size of the instrument and the class of its maker, rates from "
        "the case; cost includes overhead and contingency. Hours are typical; a cost is the average to be expected. "
        "Shared steps are listed once. The value that a job adds is the average rise before its cost."
    )
    text = " ".join(filter(None, (text, _unseen(item))))
    blocks = [Paragraph(text)]
    if disposed(item.valuation):
        blocks.insert(0, Paragraph(say(DISPOSAL_FIRST)))
    return (
        Section(title, tuple(blocks), key=key),
        *(
            Section(say(list_title(item.valuation, group)), _list(item, group, jobs), level=2, key=f"work_{group}")
            for group, jobs in work_lists(item.valuation).items()
        ),
        *_total(item),
    )


def _unseen(item: Appraisal) -> str:
    """Say that nothing is proposed on a part that nobody inspected."""
    if all(part.inspected > 0 for station in item.valuation.stations for part in station.components):
        return ""
    return item.manner.say("No work is proposed on a part that was not inspected: inspect first.")


def _list(item: Appraisal, group: WorkList, jobs: Sequence[WorkItem]) -> tuple[Block, ...]:
    say = item.manner.say
    if not jobs:
        none = {
            WorkList.NEEDED: none_needed(item.valuation, item.manner),
            WorkList.PAYS: say("No further work can be expected to recover its cost."),
            WorkList.PLAYER: say("Nothing further is proposed."),
        }
        return (Paragraph(none[group]),)
    shown = item.figures.shown

    def adds(job: WorkItem) -> str:
        return say("a step of other jobs") if job.step else shown(f"work.{job.remedy}.value_added")

    last: Declared[WorkItem] = figure_column(say("Adds to the value"), adds)
    if group is WorkList.NEEDED:
        last = text_column(say("If not done"), lambda job: literal(job.if_left))
    listed = table(
        jobs,
        text_column(say("Job"), lambda job: job_text(job, item.manner)),
        figure_column(say("Hours"), lambda job: shown(f"work.{job.remedy}.hours")),
        figure_column(say("Cost"), lambda job: item.figures.spread(f"work.{job.remedy}.cost")),
        last,
    )
    blocks: list[Block] = [listed]
    if len(jobs) > 1:
        blocks.append(Paragraph(say("Together: {cost}.", cost=item.figures.spread(f"work_list.{group}"))))
    return tuple(blocks)


def _total(item: Appraisal) -> tuple[Section, ...]:
    """Return the total of work needed and paying for itself, and the part the value counts on."""
    say, spread = item.manner.say, item.figures.spread
    if item.figures.get("work_listed") is None:
        return ()
    text = message("Needed now or paying for itself: {jobs}, at {cost} together, in {hours}.")
    if disposed(item.valuation):
        text = message("Were it kept: {jobs}, at {cost} together, in {hours}.")
    count = job_count(item.valuation)
    jobs = item.manner.several("{count} job", "{count} jobs", count, count=count)
    words = say(text, jobs=jobs, cost=spread("work_listed"), hours=spread("work_listed_hours"))
    blocks = [Paragraph(words)]
    if counts_on_work(item):
        counted = item.manner.listed(
            item.manner.small(job_label(literal(job.label)))
            for job in item.valuation.work
            if job.chosen and not job.step
        )
        of_that = say("Of these the value counts on {jobs}, at {cost}.", jobs=counted, cost=spread("plan_cost"))
        blocks.append(Paragraph(of_that))
    return (Section(say("In all"), tuple(blocks), level=2, key="work_total"),)
