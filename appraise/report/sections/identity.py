"""What is reported on, in short and in full, and how its identity is known."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import Kind
from appraise.report.charts.build import value_range
from appraise.report.document import Facts, Paragraph, Section
from appraise.report.sections.readings import found_at
from appraise.report.words import capital, counted, day, literal, number, period

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.model.span import Span
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block
    from appraise.tables.rows import Climate, Row, Use

NOT_STATED = "not stated"

MARKS = ("plate_serial_record", "key_dates_record")
"""Checks that record what speaks of the identity."""


def summary(item: Appraisal) -> Section:
    """The value, its basis and its day, before anything else."""
    basis = item.tables.bases[item.valuation.basis]
    figures = item.figures
    rows: list[tuple[str, str]] = []
    if item.valuation.value is None:
        rows.append(("Share of a new one left", figures.shown("share_of_new")))
        rows.append(("Value", "none: no replacement cost new was given"))
    else:
        rows.append(("Value range", f"{figures.shown('value.low')} to {figures.shown('value.high')}"))
        rows.append(("Best estimate", figures.shown("value")))
    rows.append(("Kind of value", literal(basis.label)))
    rows.append(("Effective date", day(item.case.assignment.inspected)))
    rows.append(("For", stated(item.case.assignment.client)))
    blocks: list[Block] = []
    if item.case.invented.strip():
        blocks.append(Paragraph(literal(item.case.invented)))
    blocks.append(Facts(tuple(rows)))
    if (chart := value_range(item)) is not None:
        blocks.append(chart)
    return Section("Summary", tuple(blocks), key="summary")


def instrument(item: Appraisal) -> str:
    """Return the instrument in one line: "grand piano, 185 cm, Maker Model, made in 1931"."""
    identity = item.case.identity
    named = " ".join(word for word in (literal(identity.maker), literal(identity.model)) if word)
    words = [f"{identity.kind.value} piano", named or "maker unknown"]
    if identity.size_cm is not None:
        words.append(f"{number(identity.size_cm)} cm")
    if identity.made is not None:
        words.append("made " + " ".join(period(identity.made)))
    return capital(", ".join(words))


def identity(item: Appraisal) -> Section:
    """Maker, model, number, size and year, and how the year is known."""
    it = item.case.identity
    size = NOT_STATED if it.size_cm is None else f"{number(it.size_cm)} cm"
    rows = (
        ("Kind", f"{it.kind.value} piano"),
        ("Maker", stated(it.maker)),
        ("Model", stated(it.model)),
        ("Serial number", stated(it.serial)),
        ("Length" if it.kind == Kind.GRAND else "Height", size),
        ("Compass", counted(it.compass, "note")),
        ("Made", _when(it.made)),
        ("How the date is known", stated(it.made_evidence)),
        *_marks(item),
        ("Standing of the maker", _class(item, "tier", it.tier)),
        ("Surface of the case", stated(it.finish.replace("_", " "))),
        ("Covering of the naturals", stated(it.key_covering.replace("_", " "))),
        ("Climate it stood in", _label(item.tables.climates, item.case.circumstances.climate)),
        ("Use", _label(item.tables.uses, item.case.circumstances.use)),
        ("Service records", _class(item, "records", item.case.circumstances.records)),
    )
    return Section("The instrument", (Facts(rows),), key="identity")


def _marks(item: Appraisal) -> list[tuple[str, str]]:
    """Return the serial numbers and dates that were read in the instrument itself."""
    checks = item.tables.checks
    found = [(key, found_at(item.case, item.tables, key)) for key in MARKS if key in checks]
    return [(literal(checks[key].label), text) for key, text in found if text]


def source_of(item: Appraisal, row: Row) -> str:
    """Return where a row comes from: author, title, year and place, or its standing alone."""
    source = item.tables.sources.get(row.source)
    yours = " (your own table)" if row.yours else ""
    if source is None:
        return f"{row.standing}, no source{yours}"
    words = [source.author, source.title, source.year, row.where]
    return f"{', '.join(literal(word) for word in words if word)} ({row.standing}){yours}"


def stated(text: str) -> str:
    """Return what somebody wrote, or that nobody did."""
    return literal(text) or NOT_STATED


def _when(made: Span | None) -> str:
    if made is None:
        return "not known"
    preposition, words = period(made)
    return f"{preposition} {words}" if preposition == "between" else words


def _label(table: Mapping[str, Climate] | Mapping[str, Use], key: str) -> str:
    row = table.get(key)
    return stated(key) if row is None else literal(row.label)


def _class(item: Appraisal, factor: str, key: str) -> str:
    for row in item.tables.market_factors.values():
        if row.factor == factor and row.key == key:
            return literal(row.label)
    return stated(key.replace("_", " "))
