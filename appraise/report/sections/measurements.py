"""The pitch log with every reading, and whether it has dried out: the clues, and what they make of each story."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message
from appraise.model.notes import note_name
from appraise.report.charts.readings import pitch_log
from appraise.report.document import Column, Facts, Paragraph, Section, Table
from appraise.report.figures import NOTHING
from appraise.report.sections.cells import lean, topic_paragraphs
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
    columns = (
        Column(say("Day")),
        Column(say("Note")),
        Column(say("Found, cents"), numeric=True),
        Column(say("Expected, cents"), numeric=True),
        Column(say("Air, {unit}", unit=item.manner.unit("°C")), numeric=True),
        Column(say("Humidity, %"), numeric=True),
        Column(say("Remark")),
    )
    rows = tuple(_row(item, line) for line in log.lines)
    chart = pitch_log(item)
    drawn = () if chart is None else (chart,)
    return (Section(say("Pitch"), (*topic_paragraphs(item, "pitch"), facts, *drawn, lean(columns, rows)), key="pitch"),)


def _row(item: Appraisal, line: LogReading) -> tuple[str, ...]:
    reading = line.reading
    remark = literal(reading.remark)
    if line.outside:
        outside = item.manner.say("outside what is explained")
        remark = f"{outside}; {remark}" if remark else outside
    return (
        item.manner.day(reading.date),
        note_name(reading.note, item.case.identity.compass),
        item.manner.number(reading.cents),
        _optional(item, line.expected, "cents"),
        _optional(item, reading.temperature, "°C"),
        _optional(item, reading.humidity, "%"),
        remark,
    )


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
    clues = Table(
        (
            Column(say("Clue")),
            Column(say("Found")),
            Column(say("Whose word")),
            Column(say("Strength"), numeric=True),
            Column(say("Moves the log odds by"), numeric=True),
            Column(say("Other explanations")),
        ),
        tuple(_clue(item, one) for one in result.witnesses),
    )
    stories = Table(
        (
            Column(say("Explanation")),
            Column(say("Before any clue"), numeric=True),
            Column(say("After all clues"), numeric=True),
        ),
        tuple(
            (
                literal(item.tables.drying_stories[story.key].label),
                shown(f"drying.story.{story.key}.before"),
                shown(f"drying.story.{story.key}"),
            )
            for story in result.stories
        ),
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


def _clue(item: Appraisal, one: ClueEvidence) -> tuple[str, ...]:
    row = item.tables.drying_clues[one.clue]
    whose = item.manner.say(_WHOSE[one.origin])
    if one.check:
        label = item.manner.small(literal(item.tables.checks[one.check].label))
        whose = item.manner.say("check: {check}", check=label)
    remark = next((literal(clue.remark) for clue in item.case.drying_clues if clue.clue == one.clue), "")
    base = f"drying.clue.{one.clue}"
    return (
        literal(row.label),
        f"{item.figures.shown(base)}; {remark}".removesuffix("; "),
        whose,
        item.figures.shown(f"{base}.strength"),
        item.figures.shown(f"{base}.moved"),
        literal(row.other),
    )
