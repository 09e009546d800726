"""The work order: what is needed now and what pays for itself, for the workshop in its order, with room to write."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.explain.terms import missing_rate
from appraise.model.notes import note_name
from appraise.model.result import WorkList
from appraise.report.cautions import applicable
from appraise.report.document import Bullets, Column, Facts, FillInLines, Paragraph, Section, Table, Ticks
from appraise.report.document_header import framed
from appraise.report.figures import NOTHING
from appraise.report.provenance import amended
from appraise.report.sections.cells import figure_column, invented, lean_table, table, text_column
from appraise.report.sections.readings import BY_NOTE, found_at, per_note
from appraise.report.sections.work import DISPOSAL_FIRST
from appraise.report.value_texts import (
    LOCAL_CODES,
    disposed,
    job_count,
    job_text,
    list_title,
    none_needed,
    work_lists,
)
from appraise.report.words import job_label, literal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.case import Remark
    from appraise.model.result import CheckResult, WorkItem
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block, Document
    from appraise.tables.rows_worth import Remedy


def work_order(item: Appraisal) -> Document:
    """Arrange the work of a valued case for the workshop.

    Args:
        item: The valued case.

    Returns:
        What is needed now and what pays for itself, each job once and in the order of the workshop, with its list,
        hours, parts, cost and what each concerns, boxes to tick and lines to fill in; then what a player gains.
        Nothing of what the instrument is worth.
    """
    say = item.manner.say
    jobs = in_turn(item)
    sections = [_head(item, jobs), _cautions(item)]
    sections.append(_overview(item, jobs) if jobs else _none(item))
    sections += _jobs(item, jobs)
    if item.case.costs.reckoned and not disposed(item.valuation):
        sections.append(_beside(item))
    if jobs:
        sections.append(_done(item))
    return framed(item, say("Work order"), tuple(sections))


def in_turn(item: Appraisal) -> list[WorkItem]:
    """Return what is needed and what pays for itself in the order of the workshop: by stage, then as in the table."""
    rows = item.tables.remedies
    places = {key: place for place, key in enumerate(rows)}
    chosen = [work for work in item.valuation.work if work.group is not WorkList.PLAYER]
    return sorted(chosen, key=lambda work: (rows[work.remedy].stage, places[work.remedy]))


def _head(item: Appraisal, jobs: list[WorkItem]) -> Section:
    say = item.manner.say
    asked, it = item.case.assignment, item.case.identity
    spread = item.figures.spread
    rows = [
        (say("Serial number"), literal(it.serial) or say("not stated")),
        (say("Place"), literal(asked.place) or say("not stated")),
        (say("For"), literal(asked.client) or say("not stated")),
        (say("Assessed by"), literal(asked.assessor) or say("not stated")),
        (say("Inspected"), item.manner.day(asked.inspected)),
        *amended(item.standing, item.manner),
    ]
    if jobs:
        rows += [
            (say("Jobs"), str(job_count(item.valuation))),
            (say("Hours in all"), spread("work_listed_hours")),
            (say("Cost of all, shared steps once"), spread("work_listed")),
        ]
        rows += [
            (say(list_title(item.valuation, group)), item.figures.shown(f"work_list.{group}"))
            for group in (WorkList.NEEDED, WorkList.PAYS)
            if item.figures.get(f"work_list.{group}") is not None
        ]
    blocks: list[Block] = [*invented(item.case)]
    if jobs and disposed(item.valuation):
        blocks.append(Paragraph(say(DISPOSAL_FIRST)))
    blocks.append(Facts(tuple(rows)))
    return Section(say("The instrument"), tuple(blocks), key="instrument")


def _cautions(item: Appraisal) -> Section:
    say = item.manner.say
    rows = applicable(item.case, item.tables, item.valuation)
    local = Paragraph(say(LOCAL_CODES))
    texts = tuple(literal(row.text) for row in rows)
    return Section(say("Before work begins"), (Bullets(texts), local) if texts else (local,), key="cautions")


def _overview(item: Appraisal, jobs: list[WorkItem]) -> Section:
    say = item.manner.say
    spread = item.figures.spread
    turns = {job.remedy: turn for turn, job in enumerate(jobs, 1)}
    overview = lean_table(
        jobs,
        figure_column(say("No."), lambda job: str(turns[job.remedy])),
        text_column(say("Job"), lambda job: job_text(job, item.manner)),
        text_column(say("List"), lambda job: say(list_title(item.valuation, job.group))),
        figure_column(say("Hours"), lambda job: spread(f"work.{job.remedy}.hours")),
        figure_column(say("Parts"), lambda job: spread(f"work.{job.remedy}.parts")),
        figure_column(say("Cost with parts"), lambda job: spread(f"work.{job.remedy}.cost")),
        text_column(say("Goes with"), lambda job: _with(item, turns, item.tables.remedies[job.remedy])),
    )
    note = say(
        "In workshop order. A job that goes with another is needed by that one, before or after it as its number "
        "says, and is done and paid for once however many need it. Hours are typical, with low and high; hours and "
        "parts come from the tables, and the workshop’s own figures take precedence. Cost is the average to be "
        "expected, with overhead and contingency; it is higher than typical, since jobs overrun by more than they "
        "fall short."
    )
    concerned = {check.check for job in jobs for check in _checks(item, item.tables.remedies[job.remedy])}
    if per_note(item.case, concerned):
        note = f"{note} {say(BY_NOTE)}"
    return Section(say("Jobs in order"), (overview, Paragraph(note)), key="jobs")


def _with(item: Appraisal, turns: dict[str, int], row: Remedy) -> str:
    needed = sorted(turns[key] for key in row.requires if key in turns)
    return item.manner.listed(item.manner.say("No. {number}", number=turn) for turn in needed) or NOTHING


def _jobs(item: Appraisal, jobs: list[WorkItem]) -> Iterator[Section]:
    say = item.manner.say
    result: set[int] = set()
    for turn, job in enumerate(jobs, 1):
        title = f"{turn} {job_label(literal(job.label))}"
        blocks = tuple(_one(item, job, _remarks_for(item, job, result)))
        yield Section(title, blocks, level=2, key=f"job_{job.remedy}")
    rest = [remark for place, remark in enumerate(item.case.remarks) if place not in result]
    if rest:
        title = say("Noted, with no job in this order")
        yield Section(title, (Bullets(tuple(_remark(item, remark) for remark in rest)),), level=2, key="left")


def _remarks_for(item: Appraisal, job: WorkItem, used: set[int]) -> list[Remark]:
    """Return the remarks that a job sees to: at its components, or at a station of them that no earlier job saw to."""
    parts = item.tables.remedies[job.remedy].improves
    stations = {item.tables.components[key].station for key in parts if key in item.tables.components}
    results = [
        place
        for place, remark in enumerate(item.case.remarks)
        if remark.place in parts
        or (remark.place in stations and remark.place not in item.tables.components and place not in used)
    ]
    used.update(results)
    return [item.case.remarks[place] for place in results]


def _one(item: Appraisal, job: WorkItem, remarks: list[Remark]) -> Iterator[Block]:
    say = item.manner.say
    row = item.tables.remedies[job.remedy]
    results = tuple(_concerned(item, row))
    if results:
        # With one part there is no need to name it in every line: the job does.
        first = 0 if len({cells[0] for cells in results}) > 1 else 1
        columns = (Column(say("Part")), Column(say("Check")), Column(say("Found")), Column(say("Grade"), numeric=True))
        yield Table(columns[first:], tuple(cells[first:] for cells in results))
    if job.group is WorkList.NEEDED and job.if_left:
        yield Paragraph(say("If not done: {left}", left=item.manner.small(literal(job.if_left))))
    boxes = [_remark(item, remark) for remark in remarks]
    boxes.append(say("Done: {job}", job=item.manner.small(job_label(literal(job.label)))))
    for key, grade in row.improves.items():
        part = item.tables.components.get(key)
        label = item.manner.small(literal(part.named(item.case.identity.kind))) if part else key
        boxes.append(
            say(
                "Inspected again: {part}, at grade {grade} or better",
                part=label,
                grade=item.manner.number(grade),
            )
        )
    yield Ticks(tuple(boxes))
    yield FillInLines((say("Hours spent"), say("Parts used"), say("Done by, on")))


def _concerned(item: Appraisal, row: Remedy) -> Iterator[tuple[str, str, str, str]]:
    """Yield a line for each check that stands worse than the job leaves it."""
    for check in _checks(item, row):
        known = item.tables.checks[check.check]
        result = found_at(item, check.check) or item.figures.shown(f"reading.{check.check}")
        part = literal(item.tables.components[known.component].named(item.case.identity.kind))
        yield part, literal(known.label), result, item.figures.shown(f"check.{check.check}")


def _checks(item: Appraisal, row: Remedy) -> Iterator[CheckResult]:
    for station in item.valuation.stations:
        for part in station.components:
            if part.component in row.improves:
                yield from (check for check in part.checks if check.grade > row.improves[part.component])


def _remark(item: Appraisal, remark: Remark) -> str:
    text = literal(remark.text).rstrip(".")
    if remark.notes:
        notes = item.manner.listed(note_name(note, item.case.identity.compass) for note in remark.notes)
        text = item.manner.several(
            "{remark} (note {notes})", "{remark} (notes {notes})", len(remark.notes), remark=text, notes=notes
        )
    if not remark.cause.strip():
        return text
    return item.manner.say("{remark}; cause: {cause}", remark=text, cause=literal(remark.cause))


def _none(item: Appraisal) -> Section:
    say = item.manner.say
    if not item.case.costs.reckoned:
        text = say("There is no plan, because no work was costed: {why}.", why=missing_rate(item.case, item.manner))
    else:
        none = none_needed(item.valuation, item.manner)
        text = " ".join((none, say("No work can be expected to recover its cost.")))
    return Section(say("Jobs in order"), (Paragraph(text),), key="jobs")


def _beside(item: Appraisal) -> Section:
    say = item.manner.say
    title, key = say("For the player, not for the price"), "beside"
    beside = work_lists(item.valuation).get(WorkList.PLAYER, ())
    if not beside:
        return Section(title, (Paragraph(say("Nothing further is proposed.")),), key=key)
    jobs = table(
        beside,
        text_column(say("Job"), lambda job: job_text(job, item.manner)),
        figure_column(say("Hours"), lambda job: item.figures.shown(f"work.{job.remedy}.hours")),
        figure_column(say("Cost"), lambda job: item.figures.shown(f"work.{job.remedy}.cost")),
    )
    return Section(title, (jobs,), key=key)


def _done(item: Appraisal) -> Section:
    say = item.manner.say
    labels = (
        say("Hours in all"),
        say("Parts in all"),
        say("Found on opening, and not in this order"),
        say("Handed back, checked by, on"),
    )
    return Section(say("When it is done"), (FillInLines(labels),), key="done")
