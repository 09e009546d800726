"""The work order: the jobs of the plan for the workshop, in the order they are done, with room to write."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.cautions import applicable
from appraise.report.document import Blanks, Bullets, Column, Facts, Paragraph, Section, Table, Ticks
from appraise.report.figures import NOTHING
from appraise.report.frame import framed
from appraise.report.sections.readings import BY_NOTE, found_at, per_note
from appraise.report.sections.tables import lean
from appraise.report.words import counted, day, listed, literal, number, small

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.case import Remark
    from appraise.model.result import CheckResult, WorkItem
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block, Document
    from appraise.tables.rows import Remedy

BESIDE = 10
"""Jobs beside the plan that are named; the full report lists all."""


def work_order(item: Appraisal) -> Document:
    """Arrange the plan of a valued case for the workshop.

    Args:
        item: The valued case.

    Returns:
        The jobs that the valuation counts on, each once and in the order of the workshop, with hours, parts, cost,
        what each brings and concerns, boxes to tick and lines to fill in; then the jobs that were considered.
    """
    jobs = in_turn(item)
    sections = [_head(item, jobs), _cautions(item)]
    sections.append(_overview(item, jobs) if jobs else _none(item))
    sections += _jobs(item, jobs)
    if item.case.costs.labour_rate is not None:
        sections.append(_beside(item))
    sections.append(_done(jobs))
    return framed(item, "Work order", tuple(sections))


def in_turn(item: Appraisal) -> list[WorkItem]:
    """Return the jobs of the plan in the order of the workshop: by stage, then as they stand in the table."""
    rows = item.tables.remedies
    places = {key: place for place, key in enumerate(rows)}
    chosen = [work for work in item.valuation.work if work.chosen]
    return sorted(chosen, key=lambda work: (rows[work.remedy].stage, places[work.remedy]))


def _head(item: Appraisal, jobs: list[WorkItem]) -> Section:
    asked, it = item.case.assignment, item.case.identity
    shown, spread = item.figures.shown, item.figures.spread
    rows = [
        ("Serial number", literal(it.serial) or "not stated"),
        ("Where it stands", literal(asked.place) or "not stated"),
        ("For", literal(asked.client) or "not stated"),
        ("Assessed by", literal(asked.assessor) or "not stated"),
        ("Inspected", day(asked.inspected)),
    ]
    if jobs:
        rows += [
            ("Jobs", str(len(jobs))),
            ("Hours in all", spread("plan_hours")),
            ("Cost of all, shared steps once", spread("plan_cost")),
            ("Value left alone", shown("left_alone")),
            ("Value with all done, the cost taken off", shown("after_work")),
        ]
    blocks: list[Block] = [Facts(tuple(rows))]
    if item.case.invented.strip():
        blocks.insert(0, Paragraph(literal(item.case.invented)))
    return Section("The instrument", tuple(blocks), key="instrument")


def _cautions(item: Appraisal) -> Section:
    rows = applicable(item.case, item.tables, item.valuation)
    local = Paragraph("Local codes and licensed practice come first wherever work can hurt someone or break a law.")
    texts = tuple(literal(row.text) for row in rows)
    return Section("Before anything is touched", (Bullets(texts), local) if texts else (local,), key="cautions")


def _overview(item: Appraisal, jobs: list[WorkItem]) -> Section:
    shown, spread = item.figures.shown, item.figures.spread
    rows = tuple(
        (
            str(turn),
            literal(job.label),
            spread(f"work.{job.remedy}.hours"),
            spread(f"work.{job.remedy}.parts"),
            spread(f"work.{job.remedy}.cost"),
            "serves others" if job.step else shown(f"work.{job.remedy}.value_added"),
            _with(jobs, item.tables.remedies[job.remedy]),
        )
        for turn, job in enumerate(jobs, 1)
    )
    columns = (
        Column("No.", numeric=True),
        Column("Job"),
        Column("Hours", numeric=True),
        Column("Parts", numeric=True),
        Column("Cost with parts", numeric=True),
        Column("Adds to the value", numeric=True),
        Column("Goes with"),
    )
    note = (
        "In the order of the workshop. A job that goes with another is needed by it, before or after as its number "
        "says, and is done and paid once however many need it. Hours are typical, with low and high; they and the "
        "parts come from the tables, and the workshop’s own come first. Cost includes overhead and contingency."
    )
    concerned = {check.check for job in jobs for check in _checks(item, item.tables.remedies[job.remedy])}
    if per_note(item.case, concerned):
        note += f" {BY_NOTE}"
    return Section("Jobs in order", (lean(columns, rows), Paragraph(note)), key="jobs")


def _with(jobs: list[WorkItem], row: Remedy) -> str:
    turns = {job.remedy: turn for turn, job in enumerate(jobs, 1)}
    needed = sorted(turns[key] for key in row.requires if key in turns)
    return listed(f"No. {turn}" for turn in needed) or NOTHING


def _jobs(item: Appraisal, jobs: list[WorkItem]) -> Iterator[Section]:
    told: set[int] = set()
    for turn, job in enumerate(jobs, 1):
        title = f"{turn} {literal(job.label)}"
        blocks = tuple(_one(item, job, _remarks_for(item, job, told)))
        yield Section(title, blocks, level=2, key=f"job_{job.remedy}")
    rest = [remark for place, remark in enumerate(item.case.remarks) if place not in told]
    if rest:
        title = "Noted, and mended by no job of the plan"
        yield Section(title, (Bullets(tuple(_remark(remark) for remark in rest)),), level=2, key="left")


def _remarks_for(item: Appraisal, job: WorkItem, told: set[int]) -> list[Remark]:
    """Return the remarks that a job sees to: at its components, or at a station of them that no earlier job saw to."""
    parts = item.tables.remedies[job.remedy].improves
    stations = {item.tables.components[key].station for key in parts if key in item.tables.components}
    found = [
        place
        for place, remark in enumerate(item.case.remarks)
        if remark.place in parts
        or (remark.place in stations and remark.place not in item.tables.components and place not in told)
    ]
    told.update(found)
    return [item.case.remarks[place] for place in found]


def _one(item: Appraisal, job: WorkItem, remarks: list[Remark]) -> Iterator[Block]:
    row = item.tables.remedies[job.remedy]
    found = tuple(_concerned(item, row))
    if found:
        # With one part there is no need to name it in every line: the job does.
        first = 0 if len({cells[0] for cells in found}) > 1 else 1
        columns = (Column("Part"), Column("Check"), Column("Found"), Column("Grade", numeric=True))
        yield Table(columns[first:], tuple(cells[first:] for cells in found))
    boxes = [_remark(remark) for remark in remarks]
    boxes.append(f"Done: {small(literal(job.label))}")
    for key, grade in row.improves.items():
        part = item.tables.components.get(key)
        label = small(literal(part.label)) if part else key
        boxes.append(f"Looked at again: {label}, to stand at grade {number(grade)} or better")
    yield Ticks(tuple(boxes))
    yield Blanks(("Hours spent", "Parts used", "Done by, on"))


def _concerned(item: Appraisal, row: Remedy) -> Iterator[tuple[str, str, str, str]]:
    """Yield a line for each check that stands worse than the job leaves it."""
    for check in _checks(item, row):
        known = item.tables.checks[check.check]
        found = found_at(item.case, item.tables, check.check) or item.figures.shown(f"reading.{check.check}")
        part = literal(item.tables.components[known.component].label)
        yield part, literal(known.label), found, item.figures.shown(f"check.{check.check}")


def _checks(item: Appraisal, row: Remedy) -> Iterator[CheckResult]:
    for station in item.valuation.stations:
        for part in station.components:
            if part.component in row.improves:
                yield from (check for check in part.checks if check.grade > row.improves[part.component])


def _remark(remark: Remark) -> str:
    text = literal(remark.text).rstrip(".")
    if remark.notes:
        text += f" ({'note' if len(remark.notes) == 1 else 'notes'} {listed(str(note) for note in remark.notes)})"
    return f"{text}; cause: {literal(remark.cause)}" if remark.cause.strip() else text


def _none(item: Appraisal) -> Section:
    if item.case.costs.labour_rate is None:
        text = "No labour rate was given, so no work was costed and there is no plan."
    else:
        text = "The valuation counts on no work: no job brings back what it costs at these rates."
    return Section("Jobs in order", (Paragraph(text),), key="jobs")


def _beside(item: Appraisal) -> Section:
    title, key = "Considered, and not in the plan", "beside"
    beside = [job for job in item.valuation.work if not job.chosen and not job.step]
    if not beside:
        return Section(title, (Paragraph("No other job in the tables would change anything."),), key=key)
    told = sorted(beside, key=lambda job: -job.value_added)[:BESIDE]
    rows = tuple(
        (
            literal(job.label),
            item.figures.shown(f"work.{job.remedy}.hours"),
            item.figures.shown(f"work.{job.remedy}.cost"),
            item.figures.shown(f"work.{job.remedy}.value_added"),
        )
        for job in told
    )
    columns = (
        Column("Job"),
        Column("Hours", numeric=True),
        Column("Cost", numeric=True),
        Column("Would add", numeric=True),
    )
    rest = len(beside) - len(told)
    text = "These add less than they cost, with the steps they need, or no more than the plan already brings."
    if rest:
        text += f" {counted(rest, 'other job')} that would add less: see the full report."
    return Section(title, (Table(columns, rows), Paragraph(text)), key=key)


def _done(jobs: list[WorkItem]) -> Section:
    labels = ["Handed back, checked by, on"]
    if jobs:
        labels = ["Hours in all", "Parts in all", "What was found on opening that the order does not say", *labels]
    return Section("When it is done", (Blanks(tuple(labels)),), key="done")
