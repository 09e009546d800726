"""The pitch log with every reading, and whether it has dried out: the clues, and what they make of each story."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message
from appraise.model.notes import note_name
from appraise.report.charts.readings import pitch_log
from appraise.report.document import Facts, Paragraph, Section
from appraise.report.figures import NOTHING
from appraise.report.sections.cells import figure_column, lean_table, table, text_column, topic_paragraphs
from appraise.report.words import capital, literal

if TYPE_CHECKING:
    from appraise.model.measurement import ClueEvidence, LogReading
    from appraise.report.appraisal import Appraisal


def pitch_section(item: Appraisal) -> tuple[Section, ...]:
    """The log with what it comes to; nothing without one."""
    say = item.manner.say
    log = item.valuation.pitch_log
    if log is None:
        return ()
    shown, spread = item.figures.shown, item.figures.spread
    facts = Facts(
        (
            (say("Verdict"), capital(shown("pitch"))),
            (say("Readings"), shown("pitch.readings")),
            (say("Time covered"), shown("pitch.years")),
            (say("Drift"), spread("pitch.drift")),
            (say("Season"), spread("pitch.season")),
            (say("Scatter left"), shown("pitch.scatter")),
        )
    )
    compass, degrees = item.case.identity.compass, item.manner.unit("°C")
    readings = lean_table(
        log.lines,
        text_column(say("Day"), lambda line: item.manner.day(line.reading.date)),
        text_column(say("Note"), lambda line: note_name(line.reading.note, compass)),
        figure_column(say("Found, cents"), lambda line: item.manner.number(line.reading.cents)),
        figure_column(say("Expected, cents"), lambda line: _optional(item, line.expected, "cents")),
        figure_column(say("Air, {unit}", unit=degrees), lambda line: _optional(item, line.reading.temperature, "°C")),
        figure_column(say("Humidity, %"), lambda line: _optional(item, line.reading.humidity, "%")),
        text_column(say("Remark"), lambda line: _remark(item, line)),
    )
    chart = pitch_log(item)
    drawn = () if chart is None else (chart,)
    return (Section(say("Pitch"), (*topic_paragraphs(item, "pitch"), facts, *drawn, readings), key="pitch"),)


def _remark(item: Appraisal, line: LogReading) -> str:
    outside = item.manner.say("outside what is explained") if line.outside else ""
    return "; ".join(filter(None, (outside, literal(line.reading.remark))))


def _optional(item: Appraisal, value: float | None, unit: str) -> str:
    return NOTHING if value is None else item.manner.amount(value, unit, 1)


_WHOSE = {
    "assessor": message("assessor"),
    "check": message("check"),
    "climate": message("climate"),
    "pitch log": message("pitch log"),
}
"""By whose word a clue is there or not."""


def drying_section(item: Appraisal) -> tuple[Section, ...]:
    """Every clue with its weight, and the probabilities; nothing where no clue was looked for."""
    say = item.manner.say
    result = item.valuation.drying
    if result is None:
        return ()
    shown = item.figures.shown
    rows = item.tables.drying_clues
    clues = table(
        result.witnesses,
        text_column(say("Clue"), lambda one: literal(rows[one.clue].label)),
        text_column(say("Found"), lambda one: _seen(item, one)),
        text_column(say("Whose word"), lambda one: _whose(item, one)),
        figure_column(say("Strength"), lambda one: shown(f"drying.clue.{one.clue}.strength")),
        figure_column(say("Moves the log odds by"), lambda one: shown(f"drying.clue.{one.clue}.moved")),
        text_column(say("Other explanations"), lambda one: literal(rows[one.clue].other)),
    )
    stories = table(
        result.stories,
        text_column(say("Explanation"), lambda each: literal(item.tables.drying_stories[each.key].label)),
        figure_column(say("Before any clue"), lambda each: shown(f"drying.story.{each.key}.before")),
        figure_column(say("After all clues"), lambda each: shown(f"drying.story.{each.key}")),
    )
    weighed = Paragraph(
        say(
            "Strengths are from memory of how practitioners weigh each clue; the likelihood ratios and the odds "
            "before any clue are assumptions of the tables. No piano is called dried out without strong clues of "
            "damage in different sections and a dry history."
        )
    )
    conclusion = Facts(((say("Conclusion"), capital(shown("drying"))),))
    return (
        Section(
            say("Has it dried out?"),
            (*topic_paragraphs(item, "drying"), conclusion, stories, clues, weighed),
            key="drying",
        ),
    )


def _seen(item: Appraisal, one: ClueEvidence) -> str:
    remark = next((literal(clue.remark) for clue in item.case.drying_clues if clue.clue == one.clue), "")
    return f"{item.figures.shown(f'drying.clue.{one.clue}')}; {remark}".removesuffix("; ")


def _whose(item: Appraisal, one: ClueEvidence) -> str:
    if not one.check:
        return item.manner.say(_WHOSE[one.origin])
    return item.manner.say("check: {check}", check=item.manner.small(literal(item.tables.checks[one.check].label)))
