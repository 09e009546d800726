"""The pitch log: its verdict and every reading."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.instruments.pitch_log import judge_log
from appraise.model.notes import name_of
from appraise.report.charts.build import pitch_log
from appraise.report.document import Column, Facts, Section
from appraise.report.figures import NOTHING
from appraise.report.sections.prose import told
from appraise.report.sections.tables import lean
from appraise.report.words import capital, day, literal, number

if TYPE_CHECKING:
    from appraise.engine.instruments.pitch_log import Line
    from appraise.report.appraisal import Appraisal


def section(item: Appraisal) -> tuple[Section, ...]:
    """The log with what it comes to; nothing without one."""
    if not item.case.pitch_log:
        return ()
    shown, spread = item.figures.shown, item.figures.spread
    facts = Facts(
        (
            ("Verdict", capital(shown("pitch"))),
            ("Readings", shown("pitch.readings")),
            ("Time covered", shown("pitch.years")),
            ("Drift", spread("pitch.drift")),
            ("Season", spread("pitch.season")),
            ("Scatter left", shown("pitch.scatter")),
        )
    )
    columns = (
        Column("Day"),
        Column("Note"),
        Column("Found, cents", numeric=True),
        Column("Expected, cents", numeric=True),
        Column("Air, °C", numeric=True),
        Column("Humidity, %", numeric=True),
        Column("Remark"),
    )
    rows = tuple(_row(line) for line in judge_log(item.case.pitch_log, item.tables).lines)
    chart = pitch_log(item)
    drawn = () if chart is None else (chart,)
    return (Section("Pitch", (*told(item, "pitch"), facts, *drawn, lean(columns, rows)), key="pitch"),)


def _row(line: Line) -> tuple[str, ...]:
    reading = line.reading
    remark = literal(reading.remark)
    if line.outside:
        remark = f"outside what is explained; {remark}".removesuffix("; ")
    return (
        day(reading.date),
        f"{name_of(reading.note)} ({reading.note})",
        number(reading.cents),
        _optional(line.expected),
        _optional(reading.temperature),
        _optional(reading.humidity),
        remark,
    )


def _optional(value: float | None) -> str:
    return NOTHING if value is None else number(value)
