"""One page for an owner: what it is, what it is worth and why, its state, the work worth doing, and what to mind."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.model.chart import Ranges
from appraise.report.cautions import applicable
from appraise.report.charts.build import value_range
from appraise.report.document import Blanks, Bullets, Column, Facts, Paragraph, Section, Table
from appraise.report.frame import framed
from appraise.report.words import counted, day, literal, small

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.reason import Sentence
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block, Document, Drawing

SENTENCES = 7
"""Reasons told at most."""

LONGEST = 240
"""What somebody wrote is cut past this [characters]."""

NAME = 60
"""The same of a name or a number."""

JOBS = 3
"""Jobs told at most."""

UNSEEN = 8
"""Parts not inspected that are named; more are counted."""

DEFECTIVE = 2.5
"""Grade from which a station's state is one of the reasons told."""


def owner_summary(item: Appraisal) -> Document:
    """Arrange a valued case on one page; what somebody wrote at length is cut, and stands in the full report.

    Args:
        item: The valued case.
    """
    sections = (_worth(item), _why(item), _state(item), _work(item), _mind(item))
    return framed(item, "Summary for the owner", sections, close=True)


def _worth(item: Appraisal) -> Section:
    basis = item.tables.bases[item.valuation.basis]
    asked, shown = item.case.assignment, item.figures.shown
    rows: list[tuple[str, str]] = []
    if item.valuation.value is None:
        rows.append(("Value", "none: no replacement cost new was given"))
        rows.append(("Share of a new one left", shown("share_of_new")))
    else:
        rows.append(("Value", f"{shown('value.low')} to {shown('value.high')}; best estimate {shown('value')}"))
    rows.append(("Kind of value", literal(basis.label)))
    rows.append(("Holds for", f"{day(asked.inspected)}; {_validity(item)}"))
    if item.case.identity.serial.strip():
        rows.append(("Serial number", _cut(item.case.identity.serial, NAME)))
    blocks: list[Block] = [Facts(tuple(rows))]
    if item.case.invented.strip():
        blocks.insert(0, Paragraph(_cut(item.case.invented, 2 * NAME)))
    return Section("What it is worth", tuple(blocks), key="worth")


def _cut(text: str, longest: int = LONGEST) -> str:
    """Return what somebody wrote, no longer than a page can take."""
    whole = literal(text)
    return whole if len(whole) <= longest else f"{whole[: longest - 1].rstrip()}…"


def _validity(item: Appraisal) -> str:
    return f"have it looked at again after {item.figures.shown('validity')}, and after any move, damage or work"


def _why(item: Appraisal) -> Section:
    told = [_cut(text) for text in dict.fromkeys(_telling(item))][:SENTENCES]
    chart = _range(item)
    return Section("Why", (*(() if chart is None else (chart,)), Bullets(tuple(told))), key="why")


def _range(item: Appraisal) -> Drawing | None:
    """Return the chart of the value alone: the courses beside it stand in the full report."""
    drawn = value_range(item)
    if drawn is None or not isinstance(drawn.chart, Ranges):
        return None
    shown = item.figures.shown
    says = f"From {shown('value.low')} to {shown('value.high')}, with {shown('value')} in the middle."
    caption = "Eight chances in ten lie on the bar."
    return replace(drawn, chart=replace(drawn.chart, rows=drawn.chart.rows[:1]), caption=caption, says=says)


def _telling(item: Appraisal) -> Iterator[str]:
    """Yield the sentences of the rationale that say most, picked by the figures they rest on."""
    by_topic: dict[str, list[Sentence]] = {}
    for chapter in item.chapters:
        by_topic.setdefault(chapter.topic, []).extend(chapter.sentences)
    value = by_topic.get("value", [])
    wanted = ("replacement_cost_new", "share_of_new", "market_factor", "after_work", "left_alone", "salvage")
    for figure in wanted:
        yield from [sentence.text for sentence in value if figure in sentence.figures][:1]
    yield from _worst(item)
    yield from [s.text for s in by_topic.get("work", []) if "next_intervention" in s.figures]
    yield from [s.text for s in by_topic.get("range", [])][:1]


def _worst(item: Appraisal) -> Iterator[str]:
    """Yield what was found at the two worst stations that were looked at: the grade, and the check that governs."""
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
    shown = item.figures.shown
    rows = tuple(
        (
            literal(station.label),
            shown(f"station.{station.station}.grade"),
            shown(f"station.{station.station}.inspected"),
            shown(f"station.{station.station}.remaining"),
        )
        for station in item.valuation.stations
    )
    columns = (
        Column("Station"),
        Column("Grade: 1 as new, 5 spent", numeric=True),
        Column("Looked at", numeric=True),
        Column("First renewal in about", numeric=True),
    )
    return Section("Its state", (Table(columns, rows),), key="state")


def _work(item: Appraisal) -> Section:
    title, key = "Work worth doing", "work"
    if item.case.costs.labour_rate is None:
        return Section(title, (Paragraph("No labour rate was given, so no work was costed."),), key=key)
    chosen = [job for job in item.valuation.work if job.chosen and not job.step]
    if not chosen:
        return Section(
            title, (Paragraph("None for the sake of the price: no job brings back what it costs."),), key=key
        )
    told = sorted(chosen, key=lambda job: job.cost.mid - job.value_added)[:JOBS]
    rows = tuple(
        (
            literal(job.label),
            item.figures.shown(f"work.{job.remedy}.cost"),
            item.figures.shown(f"work.{job.remedy}.value_added"),
        )
        for job in told
    )
    blocks: list[Block] = [Table((Column("Job"), Column("Costs", numeric=True), Column("Adds", numeric=True)), rows)]
    rest = len(chosen) - len(told)
    if len(chosen) > 1:
        more = f", {counted(rest, 'job')} more in it" if rest else ""
        blocks.append(Paragraph(f"The whole plan costs {item.figures.shown('plan_cost')}{more}."))
    return Section(title, tuple(blocks), key=key)


def _mind(item: Appraisal) -> Section:
    unseen = [
        small(literal(part.label))
        for station in item.valuation.stations
        for part in station.components
        if part.inspected <= 0 and not part.overruled
    ]
    named = "; ".join(unseen[:UNSEEN]) or "nothing: every part was looked at, at least in part"
    rest = len(unseen) - UNSEEN
    if rest > 0:
        named += f"; and {counted(rest, 'part')} more"
    cautions = [literal(row.short or row.text) for row in applicable(item.case, item.tables, item.valuation)]
    rows = [("Not inspected", named)]
    if item.case.assignment.limits.strip():
        rows.append(("Limits of the visit", _cut(item.case.assignment.limits)))
    if cautions:
        rows.append(("Cautions", " ".join(cautions)))
    rows.append(("Always", "Local codes and licensed practice come first. This page is no legal or tax advice."))
    assessor = _cut(item.case.assignment.assessor, NAME)
    word = (
        "The full report holds the definition of the value, the assumptions and the derivation of every figure, and is "
        f"what counts. The program informs and signs nothing; {assessor or 'the assessor'} answers for it."
    )
    blocks = (Facts(tuple(rows)), Paragraph(word), Blanks(("Date and signature",)))
    return Section("What to mind", blocks, key="mind")
