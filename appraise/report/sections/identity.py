"""Summary and identity of the instrument, with the evidence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.explain.terms import missing_cost
from appraise.model.case import Kind
from appraise.model.message import message
from appraise.report.charts.worth import value_range
from appraise.report.document import Facts, Section
from appraise.report.lives import life_rows
from appraise.report.sections.cells import NOT_STATED, counts_on_work, invented, stated
from appraise.report.sections.readings import found_at
from appraise.report.value_texts import counts_on_choice, disposed, job_count, market_level_text, nothing_inspected
from appraise.report.words import KINDS, capital, literal, make_of, said

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block
    from appraise.tables.rows_ageing import Climate, Use

BELOW_ZERO = message("taking it away costs more than a buyer is likely to pay: a cost, not a price")
"""Meaning of a value below zero."""

UNSEEN = 8
"""Parts not inspected that are named; more are counted."""

WORST = 2
"""Stations named in short."""

MARKS = ("plate_serial_record", "key_dates_record")
"""Checks that record what speaks of the identity."""


def summary(item: Appraisal) -> Section:
    """The value, its basis and its day, before anything else."""
    say = item.manner.say
    basis = item.tables.bases[item.valuation.basis]
    figures = item.figures
    rows: list[tuple[str, str]] = []
    if item.valuation.value is None:
        rows.append((say("Share of a new one left"), figures.shown("share_of_new")))
        rows.append((say("Value"), say("none: {why}", why=missing_cost(item.case, item.manner))))
    else:
        rows.append(
            (
                say("Value range"),
                say("{low} to {high}", low=figures.shown("value.low"), high=figures.shown("value.high")),
            )
        )
        rows.append((say("Best estimate"), figures.shown("value")))
        if level := market_level_text(item.case, item.tables, item.valuation, item.manner):
            rows.append((say("Market"), level))
        rows += assumed_rows(item)
    rows.append((say("Kind of value"), literal(basis.label)))
    rows.append((say("Effective date"), item.manner.day(item.case.assignment.inspected)))
    rows.append((say("For"), stated(item, item.case.assignment.client)))
    rows += _in_short(item)
    blocks: list[Block] = [*invented(item.case), Facts(tuple(rows))]
    if (chart := value_range(item)) is not None:
        blocks.append(chart)
    return Section(say("Summary"), tuple(blocks), key="summary")


def assumed_rows(item: Appraisal) -> Iterator[tuple[str, str]]:
    """Yield that the course is disposal, what the open choice adds, and what the best estimate takes for true."""
    say, shown = item.manner.say, item.figures.shown
    if disposed(item.valuation):
        text = say("disposal: parted out and taken away; sold as is it would come to {left}", left=shown("left_alone"))
        yield say("Course"), text
    if counts_on_choice(item.tables, item.valuation):
        yield (
            say("Option value in the best estimate"),
            say("{option}: the course is chosen once the instrument is opened", option=shown("option")),
        )
    if text := assumed(item):
        yield say("Extraordinary assumption"), text


def assumed(item: Appraisal) -> str:
    """Say which work the best estimate counts on, or which choice, and what it would be without; empty for none."""
    say, shown = item.manner.say, item.figures.shown
    if counts_on_work(item):
        return say(
            "the work counted on can be done for about {cost}; if not, the value as is would be {left}",
            cost=shown("plan_cost"),
            left=shown("left_alone"),
        )
    if counts_on_choice(item.tables, item.valuation):
        return say(
            "the instrument can be opened and the course that pays best chosen then; if not, the best estimate is "
            "lower by {option}",
            option=shown("option"),
        )
    return ""


def _in_short(item: Appraisal) -> Iterator[tuple[str, str]]:
    """Yield what a reader asks next: how it is, what comes, what to do, what nobody inspected."""
    say, v, shown = item.manner.say, item.valuation, item.figures.shown
    if v.value is not None and v.value.mid < 0:
        yield say("Below zero"), say(BELOW_ZERO)
    seen = sorted((s for s in v.stations if s.inspected > 0), key=lambda s: -s.grade.mid)[:WORST]
    worst = "; ".join(
        say(
            "{station} {grade}",
            station=item.manner.small(literal(say(s.label))),
            grade=shown(f"station.{s.station}.grade"),
        )
        for s in seen
    )
    share = say("age and condition leave {share} of the cost of a new one", share=shown("share_of_new"))
    state = say("{share}; worst grades, from 1 as new to 5 worn out: {stations}", share=share, stations=worst)
    yield say("Condition"), state if worst else share
    yield from life_rows(item)
    if item.case.costs.reckoned and v.value is not None:
        jobs = job_count(v)
        yield (
            say("Work, were it kept") if disposed(v) else say("Work needed now or paying for itself"),
            item.manner.several(
                "{count} job, {cost} in all", "{count} jobs, {cost} in all", jobs, count=jobs, cost=shown("work_listed")
            )
            if jobs
            else say("none on the parts inspected"),
        )
    yield say("Not inspected"), not_inspected(item)


def not_inspected(item: Appraisal) -> str:
    """Return the parts that nobody inspected; the last of many are only counted."""
    say = item.manner.say
    unseen = [
        item.manner.small(said(item.manner, part.label))
        for station in item.valuation.stations
        for part in station.components
        if part.inspected <= 0
    ]
    if nothing_inspected(item.valuation):
        return say("all {count} parts: nothing was inspected", count=len(unseen))
    named = "; ".join(unseen[:UNSEEN])
    if not named and item.case.preliminary:
        return say("{count} parts: graded at a quick look only", count=len(item.case.preliminary))
    named = named or say(seen_in_part(item))
    rest = len(unseen) - UNSEEN
    if rest <= 0:
        return named
    return item.manner.several(
        "{parts}; and {count} part more", "{parts}; and {count} parts more", rest, parts=named, count=rest
    )


def seen_in_part(item: Appraisal) -> str:
    """Return, as a message, that no part was left out; the limits of the visit stand beside it where there are any."""
    if literal(item.case.assignment.limits):
        return message("none; for places that could not be reached, see the limits of the visit")
    return message("no part: every one was inspected, at least in part")


def instrument(item: Appraisal) -> str:
    """Return the instrument in one line: "grand piano, 185 cm, Maker Model, made in 1931"."""
    say = item.manner.say
    identity = item.case.identity
    words = [say(KINDS[identity.kind]), make_of(identity.maker, identity.model) or say("maker unknown")]
    if identity.size_cm is not None:
        words.append(item.manner.quantity(identity.size_cm, "cm"))
    if identity.made is not None:
        words.append(say("made {when}", when=item.manner.when(identity.made)))
    return capital(", ".join(words))


def identity(item: Appraisal) -> Section:
    """Maker, model, number, size and year, and how the year is known."""
    say = item.manner.say
    it = item.case.identity
    size = say(NOT_STATED) if it.size_cm is None else item.manner.quantity(it.size_cm, "cm")
    rows = (
        (say("Kind"), say(KINDS[it.kind])),
        (say("Maker"), stated(item, it.maker)),
        (say("Model"), stated(item, it.model)),
        (say("Serial number"), stated(item, it.serial)),
        (say("Length") if it.kind == Kind.GRAND else say("Height"), size),
        (say("Compass"), item.manner.several("{count} note", "{count} notes", it.compass, count=it.compass)),
        (say("Made"), say("not known") if it.made is None else item.manner.dated(it.made)),
        (say("Evidence for the date"), stated(item, it.made_evidence)),
        *_marks(item),
        (say("Standing of the maker"), _class(item, "tier", it.tier)),
        (say("Surface of the case"), stated(item, it.finish.replace("_", " "))),
        (say("Covering of the naturals"), stated(item, it.key_covering.replace("_", " "))),
        *_facts(item),
        (say("Climate of its place"), _label(item, item.tables.climates, item.case.circumstances.climate)),
        (say("Use"), _label(item, item.tables.uses, item.case.circumstances.use)),
        (say("Service records"), _class(item, "records", item.case.circumstances.records)),
    )
    return Section(say("The instrument"), (Facts(rows),), key="identity")


def _facts(item: Appraisal) -> list[tuple[str, str]]:
    """Return what is stated of design, fittings, tuning, stairs and owners; nothing of what is not."""
    say, it = item.manner.say, item.case.identity
    lines = (
        (say("Overdamper"), it.overdamper, say("yes"), say("no")),
        (say("Drop action"), it.drop_action, say("yes"), say("no")),
        (say("Stringing"), it.straight_strung, say("straight-strung"), say("overstrung")),
    )
    rows = [(label, yes if there else no) for label, there, yes, no in lines if there is not None]
    if it.player:
        rows.append((say("Player or silent system"), _class(item, "fitted", it.player)))
    if it.last_tuned is not None:
        rows.append((say("Last tuned"), item.manner.dated(it.last_tuned)))
    if it.stairs is not None:
        flights = item.manner.several("{count} flight", "{count} flights", it.stairs, count=it.stairs)
        rows.append((say("Stairs"), flights if it.stairs else say("none")))
    if it.owners is not None:
        rows.append((say("Owners known"), item.manner.number(float(it.owners))))
    return rows


def _marks(item: Appraisal) -> list[tuple[str, str]]:
    """Return the serial numbers and dates that were read in the instrument itself."""
    checks = item.tables.checks
    results = [(key, found_at(item, key)) for key in MARKS if key in checks]
    return [(literal(checks[key].label), text) for key, text in results if text]


def _label(item: Appraisal, table: Mapping[str, Climate] | Mapping[str, Use], key: str) -> str:
    row = table.get(key)
    return stated(item, key) if row is None else literal(row.label)


def _class(item: Appraisal, factor: str, key: str) -> str:
    for row in item.tables.market_factors.values():
        if row.factor == factor and row.key == key:
            return literal(row.label)
    return stated(item, key.replace("_", " "))
