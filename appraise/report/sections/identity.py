"""What is reported on, for whom, on what basis, and how far it was looked at."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import Kind
from appraise.report.document import Bullets, Facts, Paragraph, Section
from appraise.report.words import capital, counted, day, listed, literal, number, period, small

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.model.span import Span
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block
    from appraise.tables.rows import Climate, Row, Use

NOT_STATED = "not stated"


def summary(item: Appraisal) -> Section:
    """The value, its basis and its day, before anything else."""
    basis = item.tables.bases[item.valuation.basis]
    figures = item.figures
    rows = [("Instrument", instrument(item))]
    if item.valuation.value is None:
        rows.append(("Share of a new one left", figures.shown("share_of_new")))
        rows.append(("Value", "none: no replacement cost new was given"))
    else:
        rows.append(("Value range", f"{figures.shown('value.low')} to {figures.shown('value.high')}"))
        rows.append(("Best estimate", figures.shown("value")))
    rows.append(("Kind of value", literal(basis.label)))
    rows.append(("Effective date", day(item.case.assignment.inspected)))
    blocks: list[Block] = []
    if item.case.invented.strip():
        blocks.append(Paragraph(literal(item.case.invented)))
    return Section("Summary", (*blocks, Facts(tuple(rows))))


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
        ("Maker", _stated(it.maker)),
        ("Model", _stated(it.model)),
        ("Serial number", _stated(it.serial)),
        ("Length" if it.kind == Kind.GRAND else "Height", size),
        ("Compass", counted(it.compass, "note")),
        ("Made", _when(it.made)),
        ("How the date is known", _stated(it.made_evidence)),
        ("Standing of the maker", _class(item, "tier", it.tier)),
        ("Surface of the case", _stated(it.finish.replace("_", " "))),
        ("Covering of the naturals", _stated(it.key_covering.replace("_", " "))),
        ("Climate it stood in", _label(item.tables.climates, item.case.circumstances.climate)),
        ("Use", _label(item.tables.uses, item.case.circumstances.use)),
        ("Service records", _class(item, "records", item.case.circumstances.records)),
    )
    return Section("The instrument", (Facts(rows),))


def assignment(item: Appraisal) -> Section:
    """Client, users, purpose, basis with its definition and source, dates, currency."""
    asked = item.case.assignment
    basis = item.tables.bases[item.valuation.basis]
    law = item.tables.laws.get(asked.law)
    rows = (
        ("Client", _stated(asked.client)),
        ("Intended users", _stated(asked.intended_users)),
        ("Intended use", _stated(asked.purpose)),
        ("Kind of value", literal(basis.label)),
        ("Definition", literal(basis.definition)),
        ("Source of the definition", source_of(item, basis)),
        ("Effective date", day(asked.inspected)),
        ("Date of the report", NOT_STATED if asked.reported is None else day(asked.reported)),
        *((("Amends", literal(item.amends)),) if item.amends else ()),
        ("Place", _stated(asked.place)),
        ("Assessor", _stated(asked.assessor)),
        ("Currency", item.valuation.currency),
        ("Law of depreciation", literal(law.label) if law is not None else asked.law),
    )
    return Section("The assignment", (Facts(rows),))


def scope(item: Appraisal) -> Section:
    """How much was looked at, what was not, and the limits in the assessor's words."""
    stations = item.valuation.stations
    done = sum(station.checks_done for station in stations)
    total = sum(station.checks_total for station in stations)
    blocks: list[Block] = [
        Paragraph(
            f"Of {counted(total, 'check')} at {counted(len(stations), 'station')}, {done} "
            f"{'was' if done == 1 else 'were'} made. This report rests on the readings, grades and remarks that it "
            "shows, and on nothing else seen or tested."
        )
    ]
    unseen = [
        f"{literal(station.label)}: {listed(small(literal(part.label)) for part in missing)}"
        for station in stations
        if (missing := [part for part in station.components if part.inspected <= 0 and not part.overruled])
    ]
    if unseen:
        blocks += [Paragraph("Not inspected:"), Bullets(tuple(unseen))]
        blocks.append(
            Paragraph(
                "What was not inspected is not taken to be good: it counts with the condition usual "
                "at its age "
                "and a wide margin."
            )
        )
    else:
        blocks.append(Paragraph("Every component was looked at, at least in part."))
    limits = literal(item.case.assignment.limits)
    stated = limits or "none stated"
    blocks.append(Paragraph(f"Limits of the visit, in the assessor's words: {stated.removesuffix('.')}."))
    return Section("Scope and limits", tuple(blocks))


def source_of(item: Appraisal, row: Row) -> str:
    """Return where a row comes from: author, title, year and place, or its standing alone."""
    source = item.tables.sources.get(row.source)
    yours = " (your own table)" if row.yours else ""
    if source is None:
        return f"{row.standing}, no source{yours}"
    words = [source.author, source.title, source.year, row.where]
    return f"{', '.join(literal(word) for word in words if word)} ({row.standing}){yours}"


def _stated(text: str) -> str:
    return literal(text) or NOT_STATED


def _when(made: Span | None) -> str:
    if made is None:
        return "not known"
    preposition, words = period(made)
    return f"{preposition} {words}" if preposition == "between" else words


def _label(table: Mapping[str, Climate] | Mapping[str, Use], key: str) -> str:
    row = table.get(key)
    return _stated(key) if row is None else literal(row.label)


def _class(item: Appraisal, factor: str, key: str) -> str:
    for row in item.tables.market_factors.values():
        if row.factor == factor and row.key == key:
            return literal(row.label)
    return _stated(key.replace("_", " "))
