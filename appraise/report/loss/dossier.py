"""The claim dossier: everything an insurer, a carrier and an owner need to talk about one loss, as a document."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.loss import RemarkClass
from appraise.report.document import Blanks, Bullets, Column, Document, Facts, Paragraph, Section, Table
from appraise.report.loss import parts
from appraise.report.loss.compared import COUNTED, DEFER, MEASURES, NOT_KNOWN
from appraise.report.words import capital, day, literal, number

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.case import Remark
    from appraise.report.document import Block
    from appraise.report.loss.compared import Compared

CLASSES = {
    RemarkClass.NEW: "New: after only",
    RemarkClass.WORSE: "Worse: in both, and more after",
    RemarkClass.KEPT: "Kept: in both, and the same",
    RemarkClass.MENDED: "Mended, or not noted again: before only",
}
"""Headings of the remarks, in the order told."""


def dossier(item: Compared) -> Document:
    """Arrange a loss as a document: no text in it is markup."""
    sections = (
        _summary(item),
        _instrument(item),
        Section("Timeline", (_table(("When", "What", "In the file"), _timeline(item)),)),
        *_remarks(item),
        Section("Grades and readings that changed", (_rows(parts.CHECKS, parts.check_rows(item)),)),
        Section("Parts that got worse", (_rows(parts.COMPONENTS, parts.component_rows(item)),)),
        *_repairs(item),
        _alternatives(item),
        Section("From the loss to what is payable", (Facts(parts.claim_rows(item)),)),
        _photos(item),
        _carriage(item),
        _bullets("Cautions", (*item.loss.cautions, *(row.text for row in item.cautions))),
        _bullets("Assumptions", item.loss.assumptions),
        Section("Statement", (Paragraph(_statement()), Blanks(("Place and date", "Name", "Signature")))),
        _again(item),
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
    rows = (
        ("Instrument", capital(describe(item))),
        ("State before", f"inspected {day(item.before.case.assignment.inspected)}"),
        ("State after", f"inspected {day(item.after.case.assignment.inspected)}"),
        ("Both valued on", day(item.loss.day)),
        ("Kind of value", f"{literal(basis.label)}: {literal(basis.definition)}"),
        ("Value before", item.spread(item.loss.value_before)),
        ("Repair less betterment", item.spread(found.net_repair)),
        ("Diminution in value", item.spread(found.diminution)),
        ("Measure proposed", MEASURES[found.measure]),
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
    return Section(
        "Measures and alternatives", (_table(parts.alternative_columns(item), parts.alternative_rows(item)),)
    )


def _photos(item: Compared) -> Section:
    rows = []
    for line in item.loss.remarks:
        shots = [_photo(state) for state in (line.before, line.after)]
        if any(shots):
            rows.append((item.place(line.latest.place), line.outcome.value, *(shot or NOT_KNOWN for shot in shots)))
    return Section("Photos", (_rows(("Place", "Remark", "Before", "After"), tuple(rows)),))


def _photo(remark: Remark | None) -> str:
    if remark is None or not remark.photo:
        return ""
    return f"{literal(remark.photo)}, SHA-256 {literal(remark.sha256) or 'not recorded'}"


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
