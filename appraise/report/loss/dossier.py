"""The claim dossier: everything an insurer, a carrier and an owner need to talk about one loss, as a document."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.model.loss import RemarkClass
from appraise.report.document import (
    Blanks,
    Bullets,
    Column,
    Document,
    Facts,
    Paragraph,
    Plates,
    Section,
    Table,
    Ticks,
)
from appraise.report.loss import parts
from appraise.report.loss.compared import COUNTED, DEFER, MEASURES, NO_LOSS
from appraise.report.words import capital, day, literal, number

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.report.document import Block, Photo
    from appraise.report.loss.compared import Compared, PhotoPair

CLASSES = {
    RemarkClass.NEW: "New: after only",
    RemarkClass.WORSE: "Worse: in both, and more after",
    RemarkClass.KEPT: "Kept: in both, and the same",
    RemarkClass.MENDED: "Mended, or not noted again: before only",
}
"""Headings of the remarks, in the order told."""

STAGES = {"before": "Before a move", "arrival": "On arrival", "later": "Later"}
"""Headings of what is done, in order."""


def dossier(item: Compared) -> Document:
    """Arrange a loss as a document: no text in it is markup."""
    sections = (
        _summary(item),
        _instrument(item),
        Section("Timeline", (_table(("When", "What", "In the file"), _timeline(item)),)),
        *_remarks(item),
        _changes(item),
        Section("Parts that got worse", (_rows(parts.COMPONENTS, parts.component_rows(item)),)),
        *_repairs(item),
        _alternatives(item),
        Section(
            "From the loss to what is payable",
            (Facts(parts.claim_rows(item)), _rows(parts.CLAIM, parts.measure_rows(item))),
        ),
        _photos(item),
        _carriage(item),
        _periods(item),
        _bullets("Cautions", (*item.loss.cautions, *(row.text for row in item.cautions))),
        _bullets("Assumptions", item.loss.assumptions),
        Section("Statement", (Paragraph(_statement()), Blanks(("Place and date", "Name", "Signature")))),
        _again(item),
        *_practice(item),
    )
    return Document(
        f"Loss: {describe(item)}",
        f"Effective {day(item.loss.day)}",
        sections,
        author=literal(item.after.case.assignment.assessor),
        dated=item.loss.day,
    )


def describe(item: Compared) -> str:
    """Return the instrument in one line."""
    identity = item.after.case.identity
    words = [f"{identity.kind.value} piano"]
    words += [" ".join(filter(None, (literal(identity.maker), literal(identity.model)))) or "maker unknown"]
    if identity.serial.strip():
        words.append(f"serial {literal(identity.serial)}")
    return ", ".join(words)


def _summary(item: Compared) -> Section:
    found, basis = item.proposed, item.tables.bases[item.loss.basis]
    kept = item.remembered
    frozen = "" if kept is None else f"; frozen copy {literal(kept.file)}"
    frozen += f", set for: {literal(kept.purpose)}" if kept is not None and kept.purpose.strip() else ""
    rows = (
        ("Instrument", capital(describe(item))),
        ("State before", f"inspected {day(item.before.case.assignment.inspected)}{frozen}"),
        ("Delivered", "not stated" if item.delivered is None else day(item.delivered)),
        ("State after", f"inspected {day(item.after.case.assignment.inspected)}"),
        ("Both valued on", day(item.loss.day)),
        ("Kind of value", f"{literal(basis.label)}: {literal(basis.definition)}"),
        ("Value before", item.spread(item.loss.value_before)),
        ("Repair less betterment", item.spread(found.net_repair)),
        ("What repair leaves of the fall in value", item.spread(found.residual)),
        ("Diminution in value", item.spread(found.diminution)),
        ("Measure proposed", MEASURES[found.measure] if found.components else NO_LOSS),
        ("Loss, established", item.spread(found.loss)),
        *(("Loss, all of unknown origin counted", item.spread(other.loss)) for other in item.loss.scenarios[1:]),
        ("Payable, established", item.spread(found.payable)),
    )
    blocks: list[Block] = [Paragraph(literal(item.after.case.invented))] if item.after.case.invented.strip() else []
    note = "Each amount is the middle of its range, with the 10th and the 90th percentile behind it."
    return Section("Summary", (*blocks, Facts(rows), Paragraph(note)))


def _instrument(item: Compared) -> Section:
    it, asked = item.after.case.identity, item.after.case.assignment
    rows = [
        ("Kind", f"{it.kind.value} piano"),
        ("Maker", literal(it.maker)),
        ("Model", literal(it.model)),
        ("Serial", literal(it.serial)),
        ("Size", "" if it.size_cm is None else f"{number(it.size_cm)} cm"),
        ("Made", "" if it.made is None else str(it.made)),
        ("How the year is known", literal(it.made_evidence)),
        ("Purpose", literal(asked.purpose)),
        ("Client", literal(asked.client)),
        ("Intended users", literal(asked.intended_users)),
        ("Assessor", literal(asked.assessor)),
        ("Limits of the visit before", literal(item.before.case.assignment.limits)),
        ("Limits of the visit after", literal(asked.limits)),
    ]
    return Section("The instrument and the assignment", (Facts(tuple((k, v or "not stated") for k, v in rows)),))


def _timeline(item: Compared) -> tuple[tuple[str, ...], ...]:
    return tuple((line.when, literal(line.what), line.file) for line in item.loss.timeline)


def _remarks(item: Compared) -> Iterator[Section]:
    yield Section("Remarks", (Paragraph("What was noted before and after, paired by place, notes and words."),))
    for outcome, title in CLASSES.items():
        yield Section(title, (_rows(parts.REMARKS, parts.remark_rows(item, outcome)),), level=2)


def _repairs(item: Compared) -> Iterator[Section]:
    yield Section("Repair", (Paragraph("Jobs at the rates of the later file, contingency included."),))
    for scenario in item.loss.scenarios:
        blocks: list[Block] = [_rows(parts.JOBS, parts.job_rows(item, scenario))]
        if scenario.unrestored:
            labels = "; ".join(item.place(key) for key in scenario.unrestored)
            blocks.append(Paragraph(f"Not brought back by any job of the table: {labels}."))
        yield Section(COUNTED[scenario.counting], tuple(blocks), level=2)


def _alternatives(item: Compared) -> Section:
    from appraise.report.charts.build import before_after

    chart = before_after(item)
    drawn = () if chart is None else (chart,)
    table = _table(parts.alternative_columns(item), parts.alternative_rows(item))
    return Section("Measures and alternatives", (*drawn, table))


def _changes(item: Compared) -> Section:
    told = Paragraph(parts.checks_told(item))
    return Section("Grades and readings that changed", (_rows(parts.CHECKS, parts.check_rows(item)), told))


def _photos(item: Compared) -> Section:
    if not item.photos:
        return Section("Photos", (Paragraph("None."),))
    rows = [(_plate(pair.before, "Before", pair), _plate(pair.after, "After", pair)) for pair in item.photos]
    return Section("Photos", (Plates(tuple(rows)),))


def _plate(photo: Photo, when: str, pair: PhotoPair) -> Photo:
    words = (when, pair.outcome.value, photo.caption) if photo.file else (when,)
    return replace(photo, caption=": ".join(words))


def _periods(item: Compared) -> Section:
    title = "Periods from the delivery"
    if item.delivered is None or item.asked_on is None:
        return Section(title, (Paragraph("The day of the delivery is not stated, so no period is counted from it."),))
    note = (
        f"Counted from the delivery on {day(item.delivered)}, open or passed on {day(item.asked_on)}. Which of these "
        f"rules applies, and whether it does, is for the contract and the law to say: {DEFER}."
    )
    return Section(title, (Paragraph(note), _rows(parts.DEADLINES, parts.deadline_rows(item))))


def _practice(item: Compared) -> Iterator[Section]:
    note = (
        "Common practice, no source, unless it says otherwise. One sign alone can mislead; an indicator proves nothing."
    )
    yield Section("Appendix: the practice of a claim", (Paragraph(note),))
    yield Section("Fresh damage and old", (_rows(parts.SIGNS, parts.sign_rows(item)),), level=2)
    for stage, title in STAGES.items():
        steps = [row for row in item.tables.move_steps.values() if row.when == stage]
        told = tuple(
            literal(row.text) + ("" if row.standing.value == "common practice" else f" ({row.standing.value})")
            for row in steps
        )
        if told:
            yield Section(title, (Ticks(told),), level=2)


def _carriage(item: Compared) -> Section:
    stated = []
    if item.weight_kg is not None:
        stated.append(f"{item.weight_kg:,.6g} kg")
    if item.volume_m3 is not None:
        stated.append(f"{item.volume_m3:,.6g} m³")
    reckoned = (
        f"Reckoned for {' and '.join(stated)}, one package." if stated else "No weight and no volume were stated."
    )
    note = f"Information as read, to be compared with the contract of carriage: {DEFER}. {reckoned}"
    return Section("Rules of carriage", (Paragraph(note), _table(parts.RULES, parts.rule_rows(item))))


def _statement() -> str:
    return (
        "The figures follow from the two inspections and the tables named below. They inform an appraiser and certify "
        "nothing until one has checked and signed them; the policy, the contract of carriage and the law come first."
    )


def _again(item: Compared) -> Section:
    loss = item.loss
    rows = [(f"File {name}", f"{literal(state.file)}, SHA-256 {state.sha256}")
            for name, state in (("before", item.before), ("after", item.after))]  # fmt: skip
    rows += [("Tables", loss.tables_version), ("Seed", str(loss.seed)), ("Draws", str(loss.draws))]
    return Section("To compute it again", (Facts(tuple(rows)),))


def _bullets(title: str, items: tuple[str, ...]) -> Section:
    return Section(title, (Bullets(items) if items else Paragraph("None."),))


def _rows(columns: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> Block:
    return _table(columns, rows) if rows else Paragraph("None.")


def _table(columns: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> Table:
    return Table(tuple(Column(heading) for heading in columns), rows)
