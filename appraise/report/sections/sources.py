"""What the figures rest on, and how to compute them again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise import __version__
from appraise.model.message import message
from appraise.report.document import Column, Facts, Outline, Paragraph, Section, Table
from appraise.report.figures import below, spread
from appraise.report.standing import amended, trailed
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.reason import Reason, Reference
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block

UNSOURCED = message("no source")
"""What a reference says where its row has no source."""

NAMED = 2
"""Rows of one table that are named as resting on a source; more are counted."""

_Rows = dict[tuple[str, str], dict[str, None]]


def sources(item: Appraisal) -> Section:
    """Every source a figure of this report rests on, how far its rows can be relied on, and what rests on it."""
    say = item.manner.say
    resting: _Rows = {}
    own = False
    for node in item.tree.walk():
        for reference in node.references:
            resting.setdefault((literal(reference.source), reference.standing), {})[reference.ref] = None
            own = own or reference.yours
    title, key = say("Sources used"), "sources"
    if not resting:
        return Section(title, (Paragraph(say("No table row was used.")),), key=key)
    rows = tuple(
        (say(source) if source == UNSOURCED else source, say(standing), _named(item, list(resting[source, standing])))
        for source, standing in sorted(resting, key=lambda pair: (pair[0] == UNSOURCED, pair))
    )
    columns = (Column(say("Source")), Column(say("Standing")), Column(say("Used for")))
    note = say(
        "Standing says how far rows can be relied on: published, common practice, from memory, or our assumption. "
        "“appraise sources” prints every row with its source."
    )
    blocks: list[Block] = [Table(columns, rows), Paragraph(note)]
    if own:
        blocks.append(
            Paragraph(
                say("Rows of the user's own tables were laid over the program's; they are marked in the derivation.")
            )
        )
    return Section(title, tuple(blocks), key=key)


def _named(item: Appraisal, refs: list[str]) -> str:
    """Return rows by their tables: "lives: hammers, plate; settings: draws and 7 more"."""
    tables: dict[str, list[str]] = {}
    for ref in refs:
        table, _, row = ref.partition("/")
        tables.setdefault(table, []).append(row)
    return "; ".join(f"{table.replace('_', ' ')}: {_some(item, rows)}" for table, rows in sorted(tables.items()))


def _some(item: Appraisal, rows: list[str]) -> str:
    named = ", ".join(sorted(rows)[:NAMED])
    return (
        named if len(rows) <= NAMED else item.manner.say("{rows} and {count} more", rows=named, count=len(rows) - NAMED)
    )


def derivation(item: Appraisal) -> Section:
    """The whole reason tree."""
    say = item.manner.say
    note = say(
        "Every figure of this report with how it came about, from the value down. In square brackets the address of a "
        "figure, in round brackets the table rows it rests on, with their standing."
    )
    outline = Outline(tuple(_outline(item, item.tree)))
    return Section(say("Appendix: derivation"), (Paragraph(note), outline), key="derivation")


def again(item: Appraisal) -> Section:
    """What it takes to compute the same figures again."""
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
        "The same file, tables, seed and number of draws give the same figures. A report written as JSON holds all of "
        "this: “appraise check REPORT.json” computes it again and names every figure that is another."
    )
    return Section(say("Appendix: to compute it again"), (Facts(tuple(facts)), Paragraph(note)), key="again")


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
    return item.manner.say("{row}, yours", row=text) if ref.yours else text
