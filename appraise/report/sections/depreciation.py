"""Depreciation and remaining life of each component, and the next large job."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message
from appraise.report.charts.condition import component_contribution, survival
from appraise.report.document import Facts, Paragraph, Section
from appraise.report.lives import LOOK_FIRST, LOOK_FIRST_MEANS
from appraise.report.sections.cells import figure_column, table, text_column
from appraise.report.sections.history import EVIDENCE
from appraise.report.value_texts import disposed
from appraise.report.words import literal

if TYPE_CHECKING:
    from appraise.model.result import ComponentResult
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block


def ageing(item: Appraisal) -> list[ComponentResult]:
    """Return the parts that age, in walking order: a fault of the whole is no part, and costs nothing of a new one."""
    rows = item.tables.components
    parts = [part for station in item.valuation.stations for part in station.components]
    return [part for part in parts if not rows[part.component].hazard]


def depreciation(item: Appraisal) -> Section:
    """One line a component: share of the cost, age, grade, depreciation and remaining life; and where most of it is."""
    say = item.manner.say
    shown, spread = item.figures.shown, item.figures.spread
    parts = ageing(item)
    components = table(
        parts,
        text_column(say("Component"), lambda part: literal(part.label)),
        figure_column(say("Share of cost"), lambda part: shown(f"{part.component}.share")),
        figure_column(say("Age"), lambda part: spread(f"{part.component}.age")),
        figure_column(say("Grade"), lambda part: spread(f"{part.component}.grade")),
        figure_column(say("Depreciation"), lambda part: spread(f"{part.component}.depreciation")),
        figure_column(say("Remaining life"), lambda part: left(item, part)),
    )
    law = item.tables.laws.get(item.case.assignment.law)
    note = say(
        "Share of cost is the share of a component in the cost of a new instrument. Low and high in brackets: the "
        "10th and 90th percentile. Remaining life is that of each component by itself, if no work is done before. "
        "Together {share} of a new one is left.",
        share=shown("share_of_new"),
    )
    if law is not None:
        how = literal(law.how).rstrip(".")
        note += " " + say("Law of depreciation: {law}. {how}.", law=literal(law.label), how=how)
    if any(part.due and part.inspected <= 0 for part in parts):
        note = f"{note} {say(LOOK_FIRST_MEANS)}"
    blocks: list[Block] = [components, Paragraph(note)]
    if item.valuation.laws:
        labels = {key: literal(row.label) for key, row in item.tables.laws.items()}
        under = "; ".join(f"{labels.get(key, key)} {shown(f'law.{key}')}" for key, _ in item.valuation.laws)
        blocks.append(
            Paragraph(
                say(
                    "For comparison, worked out once with the central figures alone, each law leaves: {shares}. The "
                    "share left over all draws may differ.",
                    shares=under,
                )
            )
        )
    if (chart := component_contribution(item)) is not None:
        blocks.append(Paragraph(chart.says))
    return Section(say("Depreciation by component"), tuple(blocks), key="depreciation")


def left(item: Appraisal, part: ComponentResult) -> str:
    """Return the remaining life of a part: years, or that it is due now or by its age alone."""
    if not part.due:
        return item.figures.spread(f"{part.component}.remaining")
    if disposed(item.valuation) and part.inspected > 0:
        return item.manner.say("none left")
    return item.manner.say(message("due now") if part.inspected > 0 else LOOK_FIRST)


def remaining(item: Appraisal) -> Section:
    """Return the next large job, the remaining economic life and the survival chart."""
    say = item.manner.say
    shown, spread = item.figures.shown, item.figures.spread
    rows: list[tuple[str, str]] = []
    coming = item.valuation.next_intervention
    if coming is not None and not disposed(item.valuation):
        rows += (
            (say("Next large job in about"), spread("next_intervention")),
            (say("Whichever part comes first; most likely"), item.manner.small(literal(coming.label))),
            (say("Chance that it is this part"), shown("next_intervention.probability")),
            (say("This part by itself lasts about"), spread(f"{coming.component}.remaining")),
        )
    if item.figures.get("economic_life") is not None:
        rows.append((say("Remaining economic life"), spread("economic_life")))
    blocks: list[Block] = [Facts(tuple(rows))] if rows else []
    if (chart := survival(item)) is not None:
        blocks.append(chart)
    if not blocks:
        blocks.append(Paragraph(say("No large job and no economic life can be stated for this instrument.")))
    return Section(say("Remaining life"), tuple(blocks), key="remaining")


def depreciation_rows(item: Appraisal) -> Section:
    """One line a component: share of the cost, age and how it is known, life, grade, what is lost; and the chart."""
    say = item.manner.say
    shown, spread = item.figures.shown, item.figures.spread
    components = table(
        ageing(item),
        text_column(say("Component"), lambda part: literal(part.label)),
        figure_column(say("Share of cost"), lambda part: shown(f"{part.component}.share")),
        figure_column(say("Age"), lambda part: spread(f"{part.component}.age")),
        text_column(say("Age from"), lambda part: say(EVIDENCE.get(part.age_evidence, part.age_evidence))),
        figure_column(say("Service life here"), lambda part: spread(f"{part.component}.life")),
        figure_column(say("Grade"), lambda part: spread(f"{part.component}.grade")),
        figure_column(say("Depreciation"), lambda part: spread(f"{part.component}.depreciation")),
    )
    blocks: list[Block] = [components]
    if (chart := component_contribution(item)) is not None:
        blocks.append(chart)
    return Section(say("Age and depreciation of each component"), tuple(blocks), key="components")


def remaining_rows(item: Appraisal) -> Section:
    """One line a component, the shortest life first: effective age and remaining life with its interval."""
    say = item.manner.say
    components = table(
        sorted(ageing(item), key=lambda part: part.remaining_years.mid),
        text_column(say("Component"), lambda part: literal(part.label)),
        figure_column(say("Effective age"), lambda part: item.figures.shown(f"{part.component}.effective_age")),
        figure_column(say("Remaining life"), lambda part: left(item, part)),
    )
    note = say(
        "Shortest first. Effective age is the age at which age alone would explain the depreciation. Remaining life "
        "is a median with its 80% interval, if no work is done before."
    )
    return Section(say("Remaining life of each component"), (components, Paragraph(note)), key="components_remaining")
