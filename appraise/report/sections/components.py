"""Every component in full, for the annex: where its age comes from, its service life, and how long it may last."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.charts.condition import component_contribution
from appraise.report.document import Column, Paragraph, Section, Table
from appraise.report.sections.depreciation import ageing, left
from appraise.report.sections.history import EVIDENCE
from appraise.report.words import literal

if TYPE_CHECKING:
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block


def depreciation(item: Appraisal) -> Section:
    """One line a component: share of the cost, age and how it is known, life, grade, what is lost; and the chart."""
    say = item.manner.say
    shown, spread = item.figures.shown, item.figures.spread
    rows = tuple(
        (
            literal(part.label),
            shown(f"{part.component}.share"),
            spread(f"{part.component}.age"),
            say(EVIDENCE.get(part.age_evidence, part.age_evidence)),
            spread(f"{part.component}.life"),
            spread(f"{part.component}.grade"),
            spread(f"{part.component}.depreciation"),
        )
        for part in ageing(item)
    )
    columns = (
        Column(say("Component")),
        Column(say("Share of cost"), numeric=True),
        Column(say("Age"), numeric=True),
        Column(say("Age from")),
        Column(say("Service life here"), numeric=True),
        Column(say("Grade"), numeric=True),
        Column(say("Depreciation"), numeric=True),
    )
    blocks: list[Block] = [Table(columns, rows)]
    if (chart := component_contribution(item)) is not None:
        blocks.append(chart)
    return Section(say("Age and depreciation of each component"), tuple(blocks), key="components")


def remaining(item: Appraisal) -> Section:
    """One line a component, the shortest life first: effective age and remaining life with its interval."""
    say = item.manner.say
    parts = sorted(ageing(item), key=lambda part: part.remaining_years.mid)
    rows = tuple(
        (literal(part.label), item.figures.shown(f"{part.component}.effective_age"), left(item, part)) for part in parts
    )
    columns = (
        Column(say("Component")),
        Column(say("Effective age"), numeric=True),
        Column(say("Remaining life"), numeric=True),
    )
    note = say(
        "Shortest first. Effective age is the age at which age alone would explain the depreciation. Remaining life "
        "is a median with its 80% interval, if no work is done before."
    )
    return Section(
        say("Remaining life of each component"), (Table(columns, rows), Paragraph(note)), key="components_remaining"
    )
