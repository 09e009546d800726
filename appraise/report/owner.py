"""One page for an owner: what it is, what it is worth and why, its condition, what it needs, and points to note."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.engine.drying import assess_drying
from appraise.engine.missing import missing_cost, missing_rate
from appraise.model.chart import Ranges
from appraise.model.result import WorkList
from appraise.report.cautions import applicable
from appraise.report.charts.worth import value_range
from appraise.report.document import Blanks, Bullets, Column, Facts, Paragraph, Section, Table
from appraise.report.frame import framed
from appraise.report.lives import look_first_told, until_first
from appraise.report.preliminary import inspected_told
from appraise.report.sections.identity import BELOW_ZERO, assumed, assumed_rows, not_inspected
from appraise.report.sections.tables import lean
from appraise.report.sections.work import DISPOSAL_FIRST
from appraise.report.standing import amended
from appraise.report.words import cut, literal
from appraise.report.worth_told import (
    counts_on_choice,
    disposed,
    job_told,
    level_told,
    list_title,
    lists_told,
    none_needed,
    nothing_inspected,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.reason import Sentence
    from appraise.model.result import WorkItem
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block, Document, Drawing

SENTENCES = 7
"""Reasons told at most."""

LONGEST = 240
"""What somebody wrote is cut past this [characters]."""

LIMITS = 100
"""The same of the limits of the visit."""

NAME = 60
"""The same of a name or a number."""

JOBS = {WorkList.NEEDED: 3, WorkList.PAYS: 1, WorkList.PLAYER: 1}
"""Jobs of each list that are told at most."""

REMARKS = 2
"""Remarks told at most."""

_QUIET = frozenset({"nothing", "open", "untuned", "poor_work", "age"})
"""Conclusions on the clues to drying that an owner need not hear of."""

DEFECTIVE = 2.5
"""Grade from which a station's state is one of the reasons told."""


def owner_summary(item: Appraisal) -> Document:
    """Arrange a valued case on one page; what somebody wrote at length is cut, and stands in the full report.

    Args:
        item: The valued case.
    """
    say = item.manner.say
    sections = (_worth(item), _why(item), _state(item), _work(item), _mind(item))
    return framed(item, say("Summary for the owner"), sections, close=True)


def _worth(item: Appraisal) -> Section:
    say = item.manner.say
    basis = item.tables.bases[item.valuation.basis]
    asked, shown = item.case.assignment, item.figures.shown
    rows: list[tuple[str, str]] = []
    if item.valuation.value is None:
        rows.append((say("Value"), say("none: {why}", why=missing_cost(item.case, item.manner))))
        rows.append((say("Share of a new one left"), shown("share_of_new")))
    else:
        rows.append(
            (
                say("Value"),
                say(
                    "{low} to {high}; best estimate {best}",
                    low=shown("value.low"),
                    high=shown("value.high"),
                    best=shown("value"),
                ),
            )
        )
        rows += assumed_rows(item)
        if item.valuation.value.mid < 0:
            rows.append((say("Below zero"), say(BELOW_ZERO)))
    level = level_told(item.case, item.tables, item.valuation, item.manner)
    kind = literal(basis.label)
    rows.append((say("Kind of value"), say("{kind}. {level}", kind=kind, level=level) if level else kind))
    rows.append((say("Effective date"), f"{item.manner.day(asked.inspected)}; {_validity(item)}"))
    if item.case.identity.serial.strip():
        rows.append((say("Serial number"), _cut(item.case.identity.serial, NAME)))
    rows += amended(item.standing, item.manner)
    blocks: list[Block] = [Facts(tuple(rows))]
    if item.case.invented.strip():
        blocks.insert(0, Paragraph(_cut(item.case.invented, 2 * NAME)))
    return Section(say("What it is worth"), tuple(blocks), key="worth")


def _cut(text: str, longest: int = LONGEST) -> str:
    """Return what somebody wrote, no longer than a page can take."""
    return cut(literal(text), longest)


def _validity(item: Appraisal) -> str:
    say = item.manner.say
    return say(
        "have it inspected again after {time}, and after any move, damage or work",
        time=item.figures.shown("validity"),
    )


def _why(item: Appraisal) -> Section:
    say = item.manner.say
    # What is amended, and what was noted, take the room of a reason each: the page stays one.
    most = SENTENCES - (item.standing.day is not None) - bool(item.case.remarks) - 2 * bool(assumed(item))
    most -= item.valuation.value is not None and item.valuation.value.mid < 0
    most -= counts_on_choice(item.tables, item.valuation)
    most = max(1, most - len(_job_rows(item)) // 2)
    told = [_cut(text) for text in dict.fromkeys(_telling(item))][:most]
    chart = _range(item)
    return Section(say("Why"), (*(() if chart is None else (chart,)), Bullets(tuple(told))), key="why")


def _range(item: Appraisal) -> Drawing | None:
    """Return the chart of the value alone: the courses beside it stand in the full report."""
    say = item.manner.say
    drawn = value_range(item)
    if drawn is None or not isinstance(drawn.chart, Ranges):
        return None
    shown = item.figures.shown
    setting = item.tables.setting
    chance = item.manner.percentage(setting("high_percentile") - setting("low_percentile"), 0)
    says = say(
        "With a chance of {chance} the value lies between {low} and {high}; the best estimate is {best}.",
        chance=chance,
        low=shown("value.low"),
        high=shown("value.high"),
        best=shown("value"),
    )
    caption = say("The bar is the range, the diamond the best estimate.")
    return replace(drawn, chart=replace(drawn.chart, rows=drawn.chart.rows[:1]), caption=caption, says=says)


def _telling(item: Appraisal) -> Iterator[str]:
    """Yield the sentences of the rationale that say most, picked by the figures they rest on."""
    by_topic: dict[str, list[Sentence]] = {}
    for chapter in item.chapters:
        by_topic.setdefault(chapter.topic, []).extend(chapter.sentences)
    value = by_topic.get("value", [])

    def resting(*figures: str) -> Iterator[str]:
        for figure in figures:
            yield from [sentence.text for sentence in value if figure in sentence.figures][:1]

    if disposed(item.valuation):
        yield from resting("salvage")
    yield from resting("replacement_cost_new", "share_of_new")
    if nothing_inspected(item.valuation):
        yield from [sentence.text for sentence in by_topic.get("not inspected", [])][:2]
    if by_topic.get("drying") and assess_drying(item.case, item.tables).conclusion not in _QUIET:
        yield by_topic["drying"][0].text
    yield from resting("usability", "market_factor", "left_alone", "salvage")
    yield from _worst(item)
    yield from [s.text for s in by_topic.get("work", []) if "next_intervention" in s.figures]
    yield from [s.text for s in by_topic.get("range", [])][:1]


def _worst(item: Appraisal) -> Iterator[str]:
    """Yield what was found at the two worst stations that were inspected: the grade, and the check that governs."""
    seen = [station for station in item.valuation.stations if station.inspected > 0]
    bad = sorted((s for s in seen if s.grade.mid >= DEFECTIVE), key=lambda s: -s.grade.mid)[:2]
    openings = {
        sentence.figures[0]: chapter.sentences[place : place + 2]
        for chapter in item.chapters
        if chapter.topic == "station"
        for place, sentence in enumerate(chapter.sentences)
        if sentence.figures[:1] and sentence.figures[0].startswith("station.")
    }
    for station in bad:
        opening = openings.get(f"station.{station.station}.grade", ())
        yield " ".join(sentence.text for sentence in opening)


def _state(item: Appraisal) -> Section:
    say = item.manner.say
    shown = item.figures.shown
    rows = tuple(
        (
            literal(say(station.label)),
            shown(f"station.{station.station}.grade"),
            inspected_told(item, station),
            until_first(item, station),
        )
        for station in item.valuation.stations
    )
    columns = (
        Column(say("Station")),
        Column(say("Grade: 1 as new, 5 worn out"), numeric=True),
        Column(say("Inspected"), numeric=True),
        Column(say("First part due in about"), numeric=True),
    )
    blocks: list[Block] = [Table(columns, rows)]
    if any(station.inspected <= 0 for station in item.valuation.stations):
        blocks.append(Paragraph(say("Where nothing was inspected, the grade is the one expected for its age.")))
    if means := look_first_told(item):
        blocks.append(Paragraph(means))
    return Section(say("Condition"), tuple(blocks), key="state")


def _work(item: Appraisal) -> Section:
    say = item.manner.say
    title, key = say("What it needs"), "work"
    if not item.case.costs.reckoned:
        why = missing_rate(item.case, item.manner)
        return Section(title, (Paragraph(say("No work was costed: {why}.", why=why)),), key=key)
    rows = _job_rows(item)
    if not rows:
        return Section(title, (Paragraph(none_needed(item.valuation, item.manner)),), key=key)
    over = disposed(item.valuation)
    columns = (
        Column(say("List")),
        Column(say("Job")),
        Column(say("Costs"), numeric=True),
        Column(say("If it is left")),
    )
    held = [group for group, jobs in lists_told(item.valuation).items() if jobs and group is not WorkList.PLAYER]
    if len(held) > 1:
        both = say("what is needed now and what pays for itself")
        rows.append((say("Together"), both, item.figures.shown("work_listed"), ""))
    table = lean(columns, tuple(rows))
    if over:
        return Section(title, (Paragraph(say(DISPOSAL_FIRST)), table), key=key)
    if WorkList.NEEDED in held:
        return Section(title, (table,), key=key)
    return Section(title, (Paragraph(none_needed(item.valuation, item.manner)), table), key=key)


def _job_rows(item: Appraisal) -> list[tuple[str, ...]]:
    """Return the first jobs of each list; where more are left of it, how many and what the whole list costs."""
    say, shown = item.manner.say, item.figures.shown
    rows: list[tuple[str, ...]] = []
    for group, listed in lists_told(item.valuation).items():
        told = [job for job in listed if not job.step][: JOBS[group]]
        rest = len(listed) - len(told)
        title, whole = say(list_title(item.valuation, group)), shown(f"work_list.{group}")
        if rest and len(told) == 1:
            more = item.manner.several(
                "{job}, and {count} more job in the full report; the whole list",
                "{job}, and {count} more jobs in the full report; the whole list",
                rest,
                job=job_told(told[0], item.manner),
                count=rest,
            )
            rows.append((title, more, whole, ""))
            continue
        rows += [_job(item, group, job) for job in told]
        if rest:
            more = item.manner.several(
                "and {count} more job in the full report; the whole list",
                "and {count} more jobs in the full report; the whole list",
                rest,
                count=rest,
            )
            rows.append((title, more, whole, ""))
    return rows


def _job(item: Appraisal, group: WorkList, job: WorkItem) -> tuple[str, ...]:
    left = literal(job.if_left) if group is WorkList.NEEDED else ""
    title = item.manner.say(list_title(item.valuation, group))
    return title, job_told(job, item.manner), item.figures.shown(f"work.{job.remedy}.cost"), left


def _mind(item: Appraisal) -> Section:
    say = item.manner.say
    cautions = [literal(row.short or row.text) for row in applicable(item.case, item.tables, item.valuation)]
    rows = [(say("Not inspected"), not_inspected(item))]
    left_out = [item.tables.checks[left.check] for left in item.case.left_out if left.check in item.tables.checks]
    if left_out:
        named = "; ".join(item.manner.small(literal(check.label)) for check in left_out)
        rows.append((say("Could not be checked"), cut(named, LIMITS)))
    if item.case.assignment.limits.strip():
        rows.append((say("Limits of the visit"), _cut(item.case.assignment.limits, LIMITS)))
    noted = [_cut(remark.text, NAME) for remark in item.case.remarks if remark.text.strip()]
    if noted:
        more = say("; and more in the full report") if len(noted) > REMARKS else ""
        rows.insert(0, (say("Noted"), "; ".join(noted[:REMARKS]) + more))
    if cautions:
        rows.append((say("Cautions"), " ".join(cautions)))
    assessor = _cut(item.case.assignment.assessor, NAME)
    word = say(
        "The full report, with the definition of the value, the assumptions and the derivation, is what counts. The "
        "program informs and signs nothing; this page is no legal or tax advice. Appraiser responsible: {assessor}.",
        assessor=assessor or say("the assessor"),
    )
    blocks = (Facts(tuple(rows)), Paragraph(word), Blanks((say("Date and signature"),)))
    return Section(say("Points to note"), blocks, key="mind")
