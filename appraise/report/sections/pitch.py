"""The pitch log: its verdict and every reading."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.notes import note_name
from appraise.report.charts.readings import pitch_log
from appraise.report.document import Column, Facts, Section
from appraise.report.figures import NOTHING
from appraise.report.sections.prose import told
from appraise.report.sections.tables import lean
from appraise.report.words import capital, literal

if TYPE_CHECKING:
    from appraise.model.pitch import LogReading
    from appraise.report.appraisal import Appraisal


def section(item: Appraisal) -> tuple[Section, ...]:
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
    return (Section(say("Pitch"), (*told(item, "pitch"), facts, *drawn, lean(columns, rows)), key="pitch"),)


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
