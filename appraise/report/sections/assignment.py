"""For whom, for what and on which basis, how far it was looked at, and with what."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message
from appraise.report.document import Facts, Paragraph, Section
from appraise.report.provenance import amended
from appraise.report.sections.cells import NOT_STATED, source_of, stated, topic_paragraphs
from appraise.report.sections.readings import found_at
from appraise.report.value_texts import exposure_text
from appraise.report.words import literal
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block

CLIMATE = "humidity_visit"
"""The check that records the air at the visit."""

SUPPOSED = message("none developed; the definition states the time on the market that it supposes")
"""Of the exposure time."""


def assignment(item: Appraisal) -> Section:
    """Client, users, purpose, basis with its definition and source, dates, currency."""
    say = item.manner.say
    asked = item.case.assignment
    basis = item.tables.bases[item.valuation.basis]
    rows = (
        (say("Client"), stated(item, asked.client)),
        (say("Intended users"), stated(item, asked.intended_users)),
        (say("Intended use"), stated(item, asked.purpose)),
        (say("Interest valued"), say("full ownership of the instrument; title was not examined")),
        (say("Kind of value"), literal(basis.label)),
        (say("Definition"), literal(basis.definition)),
        (say("Source of the definition"), source_of(item, basis)),
        (say("Effective date"), item.manner.day(asked.inspected)),
        (say("Date of the report"), say(NOT_STATED) if asked.reported is None else item.manner.day(asked.reported)),
        *amended(item.standing, item.manner),
        (say("Inspect again after"), item.figures.shown("validity")),
        (say("Market"), stated(item, basis.market_level)),
        (say("Exposure time"), exposure_text(item.tables, item.valuation, item.manner) or say(SUPPOSED)),
        (say("Assessor"), stated(item, asked.assessor)),
        (say("Currency"), item.valuation.currency),
    )
    return Section(say("The assignment"), (Facts(rows),), key="assignment")


def scope(item: Appraisal) -> Section:
    """Return the extent of the inspection: checks, tools, climate, parts not inspected, limits."""
    say = item.manner.say
    stations = item.valuation.stations
    done = sum(station.checks_done for station in stations)
    total = sum(station.checks_total for station in stations)
    asked = item.case.assignment
    rows = (
        (say("Inspected"), item.manner.day(asked.inspected)),
        (say("Place"), stated(item, asked.place)),
        (
            say("Checks made"),
            item.manner.several(
                "{done} of the {count} check that carries a grade, at {stations} stations",
                "{done} of the {count} checks that carry a grade, at {stations} stations",
                total,
                done=done,
                count=total,
                stations=len(stations),
            ),
        ),
        (say("Measured"), _measured(item)),
        (say("Measured with"), stated(item, asked.equipment)),
        (say("Air on the day"), _air(item)),
    )
    blocks: list[Block] = [Facts(rows)]
    blocks.append(
        Paragraph(
            say(
                "This report rests on the readings, grades and defects that it shows, and on nothing else seen or "
                "tested."
            )
        )
    )
    unseen = topic_paragraphs(item, "not inspected")
    every = not item.case.preliminary and all(part.inspected > 0 for station in stations for part in station.components)
    if every:
        blocks.append(Paragraph(say("Every component was inspected, at least in part, within the limits below.")))
    blocks += unseen
    if not literal(asked.limits):
        blocks.append(Paragraph(say("Limits of the visit: none stated.")))
    return Section(say("Scope and limits"), tuple(blocks), key="scope")


def _measured(item: Appraisal) -> str:
    """Return how many checks were measured; what they gave stands station by station."""
    say = item.manner.say
    taken = {reading.check for reading in item.case.readings}
    count = sum(row.kind is CheckKind.MEASURED for key, row in item.tables.checks.items() if key in taken)
    if not count:
        return say("nothing; graded and counted by eye and ear")
    return item.manner.several(
        "{count} check; the readings are under “Condition by station”",
        "{count} checks; the readings are under “Condition by station”",
        count,
        count=count,
    )


def _air(item: Appraisal) -> str:
    """Return the climate at the visit: as recorded, else as the pitch log has it for the day."""
    say = item.manner.say
    recorded = found_at(item, CLIMATE)
    if recorded:
        return recorded
    for reading in item.case.pitch_log:
        if reading.date == item.case.assignment.inspected and reading.humidity is not None:
            air = f"{item.manner.number(reading.humidity)} % RH"
            if reading.temperature is not None:
                air += f", {item.manner.quantity(reading.temperature, '°C')}"
            return say("{air}, from the pitch log", air=air)
    return say("not recorded")
