"""Condition by station: every check, reading and defect."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.notes import note_name
from appraise.report.charts.readings import touch
from appraise.report.document import Column, Paragraph, Section
from appraise.report.lives import inspect_first_note, until_first
from appraise.report.preliminary import inspected_text
from appraise.report.rationale.stations import NO_SIGN, is_fault
from appraise.report.sections.cells import chapter_paragraphs, figure_column, lean, lean_table, table, text_column
from appraise.report.sections.readings import BY_NOTE, found_at, per_note, remarked_at
from appraise.report.words import ORIGINS, literal
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.result import CheckResult, ComponentResult, StationResult
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block

TOUCH = "action"
"""Station at which the chart of the touch is shown."""


def condition(item: Appraisal) -> tuple[Section, ...]:
    """One line a station, then each station that was looked at with its checks, and which were not."""
    seen, unseen = [], []
    for station in item.valuation.stations:
        rows = [row for part in station.components for row in _part(item, part)]
        if rows:
            seen.append(_station(item, station, rows))
        else:
            unseen.append(station)
    return (_overview(item), *seen, *_unseen(item, unseen))


def _unseen(item: Appraisal, stations: list[StationResult]) -> tuple[Section, ...]:
    say = item.manner.say
    if not stations:
        return ()
    labels = "; ".join(literal(say(station.label)) for station in stations)
    text = say(
        "{labels}. Nothing was inspected there: every part counts with the condition expected for its age.",
        labels=labels,
    )
    return (Section(say("Stations not inspected"), (Paragraph(text),), level=2, key="stations_unseen"),)


def _overview(item: Appraisal) -> Section:
    say = item.manner.say
    spread = item.figures.spread
    stations = table(
        item.valuation.stations,
        text_column(say("Station"), lambda each: literal(say(each.label))),
        figure_column(say("Grade"), lambda each: spread(f"station.{each.station}.grade")),
        figure_column(say("Inspected"), lambda each: inspected_text(item, each)),
        figure_column(say("Depreciation"), lambda each: spread(f"station.{each.station}.depreciation")),
        figure_column(say("First part due in about"), lambda each: until_first(item, each, spread=True)),
    )
    classes = "; ".join(
        f"{item.manner.number(row.grade)} {item.manner.small(literal(row.label))}"
        for row in item.tables.condition_classes.values()
        if row.grade == int(row.grade)
    )
    note = say(
        "Grades: {classes}. For each part the worst check governs; where not all of its checks were made, the grade "
        "leans towards the one expected for its age.",
        classes=classes,
    )
    alone = say(
        "The first part due is given for each station by itself; the first of them all comes sooner, and is stated "
        "under “Remaining life”."
    )
    note = f"{note} {alone}"
    if means := inspect_first_note(item):
        note = f"{note} {means}"
    if per_note(item.case, item.tables.checks):
        note = f"{note} {say(BY_NOTE)}"
    blocks: list[Block] = [stations, Paragraph(note)]
    if faults := tuple(_faults(item)):
        blocks.append(
            lean((Column(say("Of the whole instrument")), Column(say("Found")), Column(say("Grade"))), faults)
        )
    return Section(say("Condition by station"), tuple(blocks), key="condition")


def _faults(item: Appraisal) -> Iterator[tuple[str, str, str]]:
    """Yield a line for every fault that concerns the whole: whether it was looked for, found, and its grade."""
    say = item.manner.say
    for station in item.valuation.stations:
        for part in station.components:
            if not item.tables.components[part.component].hazard:
                continue
            grade = item.figures.shown(f"{part.component}.grade")
            if part.component in item.case.preliminary:
                yield literal(part.label), say("quick look"), grade
            elif part.inspected <= 0:
                yield literal(part.label), say("not inspected"), ""
            elif part.grade.mid <= NO_SIGN and is_fault(part, item.tables):
                yield literal(part.label), say("looked for and not found"), grade
            else:
                yield literal(part.label), say("inspected"), grade


def _station(item: Appraisal, station: StationResult, rows: list[tuple[str, ...]]) -> Section:
    say = item.manner.say
    columns = (
        Column(say("Part")),
        Column(say("Check")),
        Column(say("Found")),
        Column(say("Grade"), numeric=True),
        Column(say("Note")),
    )
    blocks: list[Block] = [*chapter_paragraphs(item, "station", say(station.label)), lean(columns, rows)]
    if station.station == TOUCH and (chart := touch(item)) is not None:
        blocks.append(chart)
    clear = [check for part in station.components for check in part.checks if _nothing_found(item, part, check)]
    if clear:
        labels = (item.manner.small(literal(item.tables.checks[check.check].label)) for check in clear)
        grade = item.figures.shown(f"check.{clear[0].check}")
        blocks.append(
            Paragraph(
                say("Looked for and not found, grade {grade} each: {checks}.", grade=grade, checks="; ".join(labels))
            )
        )
    open_checks = [
        item.manner.small(literal(c.label)) for c in item.valuation.next_checks if c.station == station.station
    ]
    if open_checks:
        blocks.append(Paragraph(say("Not checked: {checks}.", checks="; ".join(sorted(open_checks)))))
    return Section(literal(say(station.label)), tuple(blocks), level=2, key=f"station_{station.station}")


def _part(item: Appraisal, part: ComponentResult) -> Iterator[tuple[str, ...]]:
    """Yield a line for every check made of a part, for a grade that overrules them, and for what was only noted."""
    say = item.manner.say
    label, tables = literal(part.label), item.tables
    for grade in item.case.grades:
        if grade.component == part.component:
            shown = item.figures.shown(f"{part.component}.grade")
            number = item.manner.number(grade.grade)
            result = say("grade {grade}, overruling the checks", grade=number)
            if grade.preliminary:
                result = say("grade {grade}, preliminary", grade=number)
            yield (
                label,
                say("Quick look") if grade.preliminary else say("The assessor’s own grade"),
                result,
                say("{grade}, governs", grade=shown),
                "" if grade.preliminary else literal(grade.reason),
            )
    made = {check.check: check for check in part.checks}
    noted = [key for key in _noted(item) if tables.checks[key].component == part.component and key not in made]
    for check in sorted(part.checks, key=lambda check: (check.check != part.governing, -check.grade)):
        if not _nothing_found(item, part, check):
            yield label, literal(tables.checks[check.check].label), *_found(item, part, check)
    for key in noted:
        result = found_at(item, key)
        yield label, literal(tables.checks[key].label), result, "", remarked_at(item.case, key)


def _nothing_found(item: Appraisal, part: ComponentResult, check: CheckResult) -> bool:
    """Tell whether a check needs no line: a fault that was looked for, is not there, and left no remark."""
    if check.grade > 1.0 or check.capped or (check.check == part.governing and not part.overruled):
        return False
    readings = [reading for reading in item.case.readings if reading.check == check.check]
    absent = all(not isinstance(reading.value, str) and not reading.value for reading in readings)
    counted = item.tables.checks[check.check].kind is not CheckKind.MEASURED
    graded = any(grade.check == check.check for grade in item.case.grades)
    return bool(readings) and absent and counted and not graded and not remarked_at(item.case, check.check)


def _found(item: Appraisal, part: ComponentResult, check: CheckResult) -> tuple[str, str, str]:
    say = item.manner.say
    shown = item.figures.shown(f"check.{check.check}")
    if check.check == part.governing and not part.overruled:
        shown = say("{grade}, governs", grade=shown)
    elif check.capped:
        shown = say("{grade}, its cap", grade=shown)
    result = found_at(item, check.check)
    if not result:
        result = say("{reading}, from other readings", reading=item.figures.spread(f"reading.{check.check}"))
    return result, shown, remarked_at(item.case, check.check)


def _noted(item: Appraisal) -> list[str]:
    """Return the checks with an entry, each once, in the order of the case."""
    keys = [reading.check for reading in item.case.readings] + [grade.check for grade in item.case.grades]
    return [key for key in dict.fromkeys(keys) if key in item.tables.checks]


def defects(item: Appraisal) -> Section:
    """Every defect noted, with cause, origin and picture."""
    say = item.manner.say
    title, key = say("Defects noted"), "defects"
    if not item.case.remarks:
        return Section(title, (Paragraph(say("No defect was noted in words.")),), key=key)
    kind = item.case.identity.kind
    labels = {row.key: literal(row.named(kind)) for row in item.tables.components.values()}
    labels.update({station.station: literal(say(station.label)) for station in item.valuation.stations})
    compass = item.case.identity.compass
    noted = lean_table(
        item.case.remarks,
        text_column(say("Place"), lambda remark: labels.get(remark.place, literal(remark.place))),
        text_column(say("Defect"), lambda remark: literal(remark.text)),
        text_column(say("Notes"), lambda remark: item.manner.listed(note_name(note, compass) for note in remark.notes)),
        text_column(say("Cause"), lambda remark: literal(remark.cause)),
        text_column(say("Origin"), lambda remark: say(ORIGINS[remark.origin])),
        text_column(say("Photo"), lambda remark: literal(", ".join(remark.photos))),
    )
    note = say("Origin is the assessor’s view of a defect: pre-existing, transit, climate, wear or unknown.")
    return Section(title, (noted, Paragraph(note)), key=key)
