"""What was seen: the stations, the components, the readings, the remarks and the history."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import Extent
from appraise.report.document import Column, Paragraph, Section, Table
from appraise.report.figures import NOTHING
from appraise.report.words import listed, literal, number, period, small
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from appraise.model.case import Reading, Renewal
    from appraise.model.result import ComponentResult
    from appraise.report.appraisal import Appraisal

_EVIDENCE = {
    "renewal": "dated renewal",
    "clues": "clues",
    "undated": "renewal without a date",
    "repaired": "date made, less what repairs give back",
    "made": "date made",
    "stated": "assessor",
    "unknown": "not known",
}


def stations(item: Appraisal) -> Section:
    """One line a station: grade, how much was seen, what is lost, what is left."""
    shown, spread = item.figures.shown, item.figures.spread
    rows = tuple(
        (
            literal(station.label),
            spread(f"station.{station.station}.grade"),
            shown(f"station.{station.station}.inspected"),
            spread(f"station.{station.station}.depreciation"),
            spread(f"station.{station.station}.remaining"),
        )
        for station in item.valuation.stations
    )
    columns = (
        Column("Station"),
        Column("Grade", numeric=True),
        Column("Looked at", numeric=True),
        Column("Depreciation", numeric=True),
        Column("Until the first part needs renewing", numeric=True),
    )
    classes = "; ".join(
        f"{number(row.grade)} {small(literal(row.label))}"
        for row in item.tables.condition_classes.values()
        if row.grade == int(row.grade)
    )
    return Section("Condition by station", (Table(columns, rows), Paragraph(f"Grades: {classes}.")))


def components(item: Appraisal) -> Section:
    """One line a component: share, grade and how it is known, age, life, depreciation, what is left."""
    shown, spread = item.figures.shown, item.figures.spread
    rows = tuple(
        (
            literal(part.label),
            shown(f"{part.component}.share"),
            spread(f"{part.component}.grade"),
            _known(item, part),
            spread(f"{part.component}.age"),
            _EVIDENCE.get(part.age_evidence, part.age_evidence),
            spread(f"{part.component}.life"),
            spread(f"{part.component}.depreciation"),
            spread(f"{part.component}.remaining"),
        )
        for station in item.valuation.stations
        for part in station.components
    )
    columns = (
        Column("Component"),
        Column("Share of cost", numeric=True),
        Column("Grade", numeric=True),
        Column("Grade from"),
        Column("Age", numeric=True),
        Column("Age from"),
        Column("Life", numeric=True),
        Column("Depreciation", numeric=True),
        Column("Remaining", numeric=True),
    )
    return Section("Depreciation by component", (Table(columns, rows),))


def _known(item: Appraisal, part: ComponentResult) -> str:
    if part.overruled:
        return "assessor, overruling"
    if part.governing and part.governing in item.tables.checks:
        return small(literal(item.tables.checks[part.governing].label))
    return "not inspected: its age"


def readings(item: Appraisal) -> Section:
    """Every reading and grade as it was taken."""
    rows = [
        (
            literal(check.label) if (check := item.tables.checks.get(reading.check)) else reading.check,
            _where(reading),
            _value(reading, check.kind if check else None),
            item.figures.shown(f"check.{reading.check}"),
            literal(reading.remark),
        )
        for reading in item.case.readings
    ]
    for grade in item.case.grades:
        if grade.check:
            row = item.tables.checks.get(grade.check)
            label = literal(row.label) if row else grade.check
            rows.append(
                (
                    label,
                    "",
                    f"grade {number(grade.grade)}",
                    item.figures.shown(f"check.{grade.check}"),
                    literal(grade.reason),
                )
            )
        else:
            part = item.tables.components.get(grade.component)
            label = literal(part.label) if part else grade.component
            rows.append(
                (
                    label,
                    "",
                    f"grade {number(grade.grade)}, overruling",
                    item.figures.shown(f"{grade.component}.grade"),
                    literal(grade.reason),
                )
            )
    if not rows:
        return Section("Readings and grades", (Paragraph("No reading was taken and no grade given."),))
    columns = (
        Column("Check"),
        Column("Where"),
        Column("Found", numeric=True),
        Column("Grade it leads to", numeric=True),
        Column("Remark"),
    )
    return Section("Readings and grades", (Table(columns, tuple(rows)),))


def _where(reading: Reading) -> str:
    note = "" if reading.note is None else f"note {reading.note}"
    return ", ".join(word for word in (note, literal(reading.place)) if word)


def _value(reading: Reading, kind: CheckKind | None) -> str:
    if isinstance(reading.value, bool):
        return "yes" if reading.value else "no"
    if isinstance(reading.value, str):
        return literal(reading.value)
    decimals = 0 if kind == CheckKind.COUNT else 3
    return f"{number(reading.value, decimals)} {literal(reading.unit)}".rstrip()


def remarks(item: Appraisal) -> Section:
    """Every defect noted, with cause, origin and picture."""
    title = "Defects noted"
    if not item.case.remarks:
        return Section(title, (Paragraph("No defect was noted in words."),))
    labels = {row.key: literal(row.label) for row in item.tables.components.values()}
    labels.update({station.station: literal(station.label) for station in item.valuation.stations})
    rows = tuple(
        (
            labels.get(remark.place, literal(remark.place)),
            literal(remark.text),
            listed(str(note) for note in remark.notes) or NOTHING,
            literal(remark.cause) or NOTHING,
            remark.origin.value,
            literal(remark.photo) or NOTHING,
        )
        for remark in item.case.remarks
    )
    columns = tuple(Column(heading) for heading in ("Place", "Defect", "Notes", "Cause", "Origin", "Picture"))
    return Section(title, (Table(columns, rows),))


def history(item: Appraisal) -> Section:
    """Every renewal with its date, its evidence and the workshop."""
    title = "History"
    if not item.case.renewals:
        return Section(title, (Paragraph("No renewal is on record."),))
    columns = tuple(Column(heading) for heading in ("Components", "What was done", "When", "By", "Evidence", "Note"))
    return Section(title, (Table(columns, tuple(_renewal(item, renewal) for renewal in item.case.renewals)),))


def _renewal(item: Appraisal, renewal: Renewal) -> tuple[str, ...]:
    labels = [
        small(literal(item.tables.components[key].label)) if key in item.tables.components else key
        for key in renewal.components
    ]
    if renewal.date is not None:
        when = " ".join(period(renewal.date))
    else:
        clues = [
            small(literal(item.tables.dating_clues[key].label))
            for key in renewal.clues
            if key in item.tables.dating_clues
        ]
        when = f"not documented; clues: {listed(clues)}" if clues else "not documented"
    return (
        listed(labels),
        "renewed" if renewal.extent == Extent.RENEWED else "repaired",
        when,
        literal(renewal.by) or NOTHING,
        literal(renewal.evidence) or NOTHING,
        literal(renewal.note) or NOTHING,
    )
