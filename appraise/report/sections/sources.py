"""Sources of the figures, their derivation, and the inputs to reproduce them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise import __version__
from appraise.model.message import message
from appraise.report.document import Column, Facts, Outline, Paragraph, Section, Table
from appraise.report.figures import below, spread
from appraise.report.provenance import amended, trailed
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from appraise.model.reason import Reason, Reference
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block

AGAIN = "again"
"""Key of the section that says what it takes to compute a document again, hashes in full."""

UNSOURCED = message("no source")
"""Source text of a row without a source."""

NAMED = 2
"""Rows of one table that the body names as resting on a source; more are counted."""

_Rows = dict[tuple[str, str], dict[str, None]]


def sources(item: Appraisal) -> Section:
    """Every source a figure of the report rests on, how far its rows can be relied on, and how many rest on it."""
    say = item.manner.say
    note = say(
        "Standing says how far rows can be relied on: published, own evidence, common practice, from memory, or our "
        "assumption. The annex names the rows and derives every figure from them; “appraise sources” prints each row "
        "with its source."
    )
    return Section(say("Sources used"), _sources(item, _counted, note), key="sources")


def rows_used(item: Appraisal) -> Section:
    """The same with the rows by their names."""
    note = item.manner.say("“appraise sources” prints every row with its source.")
    return Section(item.manner.say("Sources, and the rows that rest on them"), _sources(item, _named, note), key="rows")


def _sources(item: Appraisal, cite: Callable[[Appraisal, list[str]], str], note: str) -> tuple[Block, ...]:
    say = item.manner.say
    resting: _Rows = {}
    own = False
    for node in item.tree.walk():
        for reference in node.references:
            resting.setdefault((literal(reference.source), reference.standing), {})[reference.ref] = None
            own = own or reference.yours
    if not resting:
        return (Paragraph(say("No table row was used.")),)
    rows = tuple(
        (say(source) if source == UNSOURCED else source, say(standing), cite(item, list(resting[source, standing])))
        for source, standing in sorted(resting, key=lambda pair: (pair[0] == UNSOURCED, pair))
    )
    blocks: list[Block] = [Table((Column(say("Source")), Column(say("Standing")), Column(say("Used for"))), rows)]
    blocks.append(Paragraph(note))
    if own:
        blocks.append(
            Paragraph(say("Rows of the user's own tables replaced the program's; they are marked in the derivation."))
        )
    return tuple(blocks)


def _by_table(refs: list[str]) -> Iterator[tuple[str, list[str]]]:
    """Return rows by the names of their tables."""
    tables: dict[str, list[str]] = {}
    for ref in refs:
        table, _, row = ref.partition("/")
        tables.setdefault(table.replace("_", " "), []).append(row)
    yield from sorted(tables.items())


def _counted(item: Appraisal, refs: list[str]) -> str:
    """Return how many rows of which tables: "laws: ross; checks (71); lives (14)"."""
    return "; ".join(
        f"{table}: {', '.join(sorted(rows))}" if len(rows) <= NAMED else f"{table} ({item.manner.whole(len(rows))})"
        for table, rows in _by_table(refs)
    )


def _named(item: Appraisal, refs: list[str]) -> str:
    """Return every row by its table: "lives: hammers, plate; settings: draws"."""
    return "; ".join(f"{table}: {item.manner.listed(sorted(rows))}" for table, rows in _by_table(refs))


def derivation(item: Appraisal) -> Section:
    """The whole reason tree."""
    say = item.manner.say
    note = say(
        "Every figure of the report with its derivation, from the value down. In square brackets the address of a "
        "figure, in round brackets the table rows it rests on, with their standing."
    )
    outline = Outline(tuple(_outline(item, item.tree)))
    return Section(say("Derivation"), (Paragraph(note), outline), key="derivation")


def again(item: Appraisal) -> Section:
    """Return the inputs to reproduce the figures."""
    say = item.manner.say
    v = item.valuation
    facts = [(say("Case file"), literal(item.file) or say("not saved"))]
    if item.sha256:
        facts.append((say("SHA-256 of the case file"), item.sha256))
    facts += [
        *trailed(item.standing, item.manner),
        *amended(item.standing, item.manner),
        (say("Version of the tables"), v.tables_version),
        (say("Version of the program"), __version__),
        (say("Seed"), str(v.seed)),
        (say("Draws"), str(v.draws)),
    ]
    note = say(
        "The same file, tables, seed and number of draws give the same figures. A report written as JSON holds all "
        "of this: “appraise check REPORT.json” computes it again and names every figure that differs."
    )
    return Section(say("To reproduce the figures"), (Facts(tuple(facts)), Paragraph(note)), key=AGAIN)


def _outline(item: Appraisal, node: Reason, depth: int = 0) -> Iterator[tuple[int, str]]:
    yield depth, reason_line(item, node)
    for part in below(node):
        yield from _outline(item, part, depth + 1)


def reason_line(item: Appraisal, node: Reason) -> str:
    """Return a figure in one line: label, value, how it came about, and the rows it rests on."""
    text = f"{literal(node.label)}: {literal(spread(node, item.manner))} [{node.figure}]"
    if node.how:
        text += f"; {literal(node.how)}"
    refs = [_resting(item, ref) for ref in node.references]
    return f"{text} ({'; '.join(refs)})" if refs else text


def _resting(item: Appraisal, ref: Reference) -> str:
    text = f"{ref.ref}, {item.manner.say(ref.standing)}"
    return item.manner.say("{row}, own table", row=text) if ref.yours else text
