"""For whom, for what and on which basis, how far it was looked at, and with what."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.document import Facts, Paragraph, Section
from appraise.report.sections.identity import NOT_STATED, source_of, stated
from appraise.report.sections.prose import told
from appraise.report.sections.readings import found_at
from appraise.report.words import counted, day, literal, number, small
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block

CLIMATE = "humidity_visit"
"""The check that records the air at the visit."""

SUPPOSED = "none developed; the definition says what time on the market it supposes"
"""Of the exposure time."""


def assignment(item: Appraisal) -> Section:
    """Client, users, purpose, basis with its definition and source, dates, currency."""
    asked = item.case.assignment
    basis = item.tables.bases[item.valuation.basis]
    rows = (
        ("Client", stated(asked.client)),
        ("Intended users", stated(asked.intended_users)),
        ("Intended use", stated(asked.purpose)),
        ("Interest valued", "full ownership of the instrument; title was not examined"),
        ("Kind of value", literal(basis.label)),
        ("Definition", literal(basis.definition)),
        ("Source of the definition", source_of(item, basis)),
        ("Effective date", day(asked.inspected)),
        ("Date of the report", NOT_STATED if asked.reported is None else day(asked.reported)),
        *((("Amends", literal(item.amends)),) if item.amends else ()),
        ("Look at it again after", item.figures.shown("validity")),
        ("Exposure time", SUPPOSED),
        ("Assessor", stated(asked.assessor)),
        ("Currency", item.valuation.currency),
    )
    return Section("The assignment", (Facts(rows),), key="assignment")


def scope(item: Appraisal) -> Section:
    """How much was looked at and with what, the air on the day, what was not inspected, and the limits."""
    stations = item.valuation.stations
    done = sum(station.checks_done for station in stations)
    total = sum(station.checks_total for station in stations)
    asked = item.case.assignment
    rows = (
        ("Inspected", day(asked.inspected)),
        ("Where", stated(asked.place)),
        ("Checks made", f"{done} of {counted(total, 'check')} at {counted(len(stations), 'station')}"),
        ("Measured", _measured(item)),
        ("Measured with", stated(asked.equipment)),
        ("Air on the day", _air(item)),
    )
    blocks: list[Block] = [Facts(rows)]
    blocks.append(
        Paragraph(
            "This report rests on the readings, grades and remarks that it shows, and on nothing else seen or tested."
        )
    )
    unseen = told(item, "not inspected")
    every = all(part.inspected > 0 or part.overruled for station in stations for part in station.components)
    if every:
        blocks.append(Paragraph("Every component was looked at, at least in part."))
    blocks += unseen
    if not literal(asked.limits):
        blocks.append(Paragraph("Limits of the visit: none stated."))
    return Section("Scope and limits", tuple(blocks), key="scope")


def _measured(item: Appraisal) -> str:
    """Return what was measured, each check once in walking order."""
    taken = {reading.check for reading in item.case.readings}
    labels = [
        small(literal(row.label))
        for key, row in item.tables.checks.items()
        if key in taken and row.kind is CheckKind.MEASURED
    ]
    return "; ".join(labels) or "nothing; graded and counted by eye and ear"


def _air(item: Appraisal) -> str:
    """Return the climate at the visit: as recorded, else as the pitch log has it for the day."""
    recorded = found_at(item.case, item.tables, CLIMATE)
    if recorded:
        return recorded
    for reading in item.case.pitch_log:
        if reading.date == item.case.assignment.inspected and reading.humidity is not None:
            warmth = "" if reading.temperature is None else f", {number(reading.temperature)} °C"
            return f"{number(reading.humidity)} % RH{warmth}, from the pitch log"
    return "not recorded"
