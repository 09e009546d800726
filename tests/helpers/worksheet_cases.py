"""Invented cases for the screens: a grand half walked, an upright of which little is known, and hostile words."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from appraise.model.case import (
    Assignment,
    Case,
    Circumstances,
    Comparable,
    Costs,
    Extent,
    Grade,
    Identity,
    Kind,
    Market,
    Origin,
    Reading,
    Remark,
    Renewal,
)
from appraise.model.span import Span
from appraise.services.walk import checks_of
from appraise.tables.rows import CheckKind

DAY = date(2026, 11, 20)
HOSTILE = "a [/ [bold]b[/bold] [@click=app.quit]c[/] \x1b[2J\x1b]0;taken\x07 漢字かな \u202e " + "x" * 200


def grand(tables) -> Case:
    """A grand of 1931: three stations walked, one begun, renewals, remarks, comparables."""
    case = Case(
        identity=Identity(
            kind=Kind.GRAND,
            maker="Ostravell",
            model="Salon II",
            size_cm=185.0,
            serial="48217",
            made=Span.of_year(1931),
            made_evidence="date pencilled on key 1",
            tier="good",
        ),
        assignment=Assignment(
            inspected=DAY,
            purpose="sale between private persons",
            place="Obervelner",
            assessor="invented assessor",
            client="invented client",
        ),
        circumstances=Circumstances(records="partial"),
        renewals=(
            Renewal(("hammers", "knuckles"), Span.parse("1998"), by="invented workshop", evidence="invoice"),
            Renewal(("regulation",), Span.parse("2019-04"), extent=Extent.REPAIRED),
        ),
        remarks=(Remark("soundboard", "Two cracks on the treble side, tight to the ribs.", "drying", Origin.CLIMATE),),
        market=Market(
            replacement_cost_new=Decimal("48000.00"),
            replacement_source="invented price list of 2026",
            comparables=(
                Comparable(
                    "Neighbour's grand",
                    Decimal(9800),
                    date(2026, 3, 14),
                    "private_sale",
                    Span.of_year(1928),
                    3.0,
                    178.0,
                ),
                Comparable(
                    "Hall grand", Decimal(14500), date(2025, 9, 2), "private_sale", Span.of_year(1940), 2.5, 190.0
                ),
            ),
        ),
        costs=Costs(labour_rate=Decimal("62.00"), contingency_pct=10.0, carriage=Decimal(350)),
        invented="Everything in this case is invented.",
    )
    case = _walked(case, tables, ("structure", "soundboard", "keys"))
    return _walked(case, tables, ("action",), most=9)


def upright() -> Case:
    """An upright of which only the identity is known."""
    return Case(
        Identity(Kind.UPRIGHT, "Invented maker", "Cottage", 118.0, made=Span.parse("1905/1912")),
        Assignment(DAY),
        market=Market(replacement_cost_new=Decimal(9000)),
        costs=Costs(labour_rate=Decimal(58)),
        invented="Everything in this case is invented.",
    )


def bare() -> Case:
    """A case without a replacement cost: no money in it."""
    return replace(upright(), market=Market())


def hostile(tables) -> Case:
    """Words that would be markup, terminal control, or too long, wherever a person can write."""
    case = grand(tables)
    word = HOSTILE
    return replace(
        case,
        identity=replace(case.identity, maker=word, model=word, serial=word, made_evidence=word),
        assignment=replace(case.assignment, purpose=word, place=word, assessor=word, client=word, limits=word),
        remarks=(Remark("case", word, word),),
        renewals=(Renewal(("hammers",), Span.of_year(1998), by=word, evidence=word, note=word),),
        grades=tuple(replace(grade, reason=word) for grade in case.grades),
        readings=tuple(
            replace(reading, remark=word, value=word if isinstance(reading.value, str) else reading.value)
            for reading in case.readings
        ),
        market=replace(
            case.market,
            replacement_source=word,
            comparables=tuple(replace(found, label=word, note=word) for found in case.market.comparables),
        ),
    )


def _walked(case, tables, stations, most=10_000):
    """Answer the checks of some stations: middling grades, values in the sound part of each scale."""
    grades, readings = list(case.grades), list(case.readings)
    for station in stations:
        for at, check in enumerate(checks_of(tables, case.identity.kind, station)[:most]):
            if check.kind is CheckKind.GRADED:
                grades.append(Grade((2.0, 2.5, 3.0)[at % 3], check=check.key))
            elif check.kind is CheckKind.YES_NO:
                readings.append(Reading(check.key, check.grade_yes < check.grade_no))
            elif check.kind is CheckKind.RECORD:
                readings.append(Reading(check.key, "as built"))
            else:
                value = min(check.anchors, key=lambda point: abs(point[1] - 2.5))[0]
                notes = (10, 40, 70) if check.per_note else (None,)
                readings += [Reading(check.key, float(value), check.unit, note) for note in notes]
    return replace(case, grades=tuple(grades), readings=tuple(readings))
