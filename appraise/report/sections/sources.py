"""What the figures rest on, and how to compute them again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise import __version__
from appraise.report.document import Column, Facts, Outline, Paragraph, Section, Table
from appraise.report.figures import below, spread
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.reason import Reason
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block

UNSOURCED = "no source"
"""What a reference says where its row has no source."""

NAMED = 6
"""Rows of one table that are named as resting on a source; more are counted."""

_Rows = dict[tuple[str, str], dict[str, None]]


def sources(item: Appraisal) -> Section:
    """Every source a figure of this report rests on, how far its rows can be relied on, and what rests on it."""
    resting: _Rows = {}
    own = False
    for node in item.tree.walk():
        for reference in node.references:
            resting.setdefault((literal(reference.source), reference.standing), {})[reference.ref] = None
            own = own or reference.yours
    title, key = "Sources used", "sources"
    if not resting:
        return Section(title, (Paragraph("No table row was used."),), key=key)
    rows = tuple(
        (source, standing, _named(list(resting[source, standing])))
        for source, standing in sorted(resting, key=lambda pair: (pair[0] == UNSOURCED, pair))
    )
    columns = (Column("Source"), Column("Standing"), Column("What rests on it"))
    note = (
        "Standing says how far rows can be relied on: published, common practice, from memory, or our assumption. "
        "“appraise sources” prints every row with its source."
    )
    blocks: list[Block] = [Table(columns, rows), Paragraph(note)]
    if own:
        blocks.append(
            Paragraph("Rows of the user's own tables were laid over the program's; they are marked in the derivation.")
        )
    return Section(title, tuple(blocks), key=key)


def _named(refs: list[str]) -> str:
    """Return rows by their tables: "lives: hammers, plate; settings: draws and 7 more"."""
    tables: dict[str, list[str]] = {}
    for ref in refs:
        table, _, row = ref.partition("/")
        tables.setdefault(table, []).append(row)
    return "; ".join(f"{table.replace('_', ' ')}: {_some(rows)}" for table, rows in sorted(tables.items()))


def _some(rows: list[str]) -> str:
    named = ", ".join(sorted(rows)[:NAMED])
    return named if len(rows) <= NAMED else f"{named} and {len(rows) - NAMED} more"


def derivation(item: Appraisal) -> Section:
    """The whole reason tree."""
    note = (
        "Every figure of this report with how it came about, from the value down. In square brackets the address of a "
        "figure, in round brackets the table rows it rests on, with their standing."
    )
    outline = Outline(tuple(_outline(item.tree)))
    return Section("Appendix: derivation", (Paragraph(note), outline), key="derivation")


def again(item: Appraisal) -> Section:
    """What it takes to compute the same figures again."""
    v = item.valuation
    facts = [("Case file", literal(item.file) or "not saved")]
    if item.sha256:
        facts.append(("SHA-256 of the case file", item.sha256))
    if item.trail:
        facts.append(("Trail of the case up to this report", literal(item.trail)))
    facts += [
        ("Version of the tables", v.tables_version),
        ("Version of the program", __version__),
        ("Seed", str(v.seed)),
        ("Draws", str(v.draws)),
    ]
    note = (
        "The same file, tables, seed and number of draws give the same figures. A report written as JSON holds all of "
        "this: “appraise check REPORT.json” computes it again and names every figure that is another."
    )
    return Section("Appendix: to compute it again", (Facts(tuple(facts)), Paragraph(note)), key="again")


def _outline(node: Reason, depth: int = 0) -> Iterator[tuple[int, str]]:
    yield depth, reason_line(node)
    for part in below(node):
        yield from _outline(part, depth + 1)


def reason_line(node: Reason) -> str:
    """Return a figure in one line: label, value, how it came about, and the rows it rests on."""
    text = f"{literal(node.label)}: {literal(spread(node))} [{node.figure}]"
    if node.how:
        text += f"; {literal(node.how)}"
    refs = [f"{ref.ref}, {ref.standing}{', yours' if ref.yours else ''}" for ref in node.references]
    return f"{text} ({'; '.join(refs)})" if refs else text
