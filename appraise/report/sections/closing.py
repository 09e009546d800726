"""The reasons in words, assumptions, cautions, the statement to sign, the sources and the derivation."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from appraise.report.cautions import applicable
from appraise.report.document import Blanks, Bullets, Facts, Outline, Paragraph, Section
from appraise.report.figures import below, spread
from appraise.report.sections.identity import source_of
from appraise.report.words import listed, literal

UNSOURCED = "no source"
"""What a reference says where its row has no source."""

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.reason import Reason
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block


def reasons(item: Appraisal) -> tuple[Section, ...]:
    """The rationale, a paragraph a chapter, the stations gathered under one heading."""
    sections = [Section("The reasons in words", ())]
    for topic, group in groupby(item.chapters, key=lambda chapter: chapter.topic):
        if topic == "caution":
            continue
        told = list(group)
        blocks: tuple[Block, ...]
        if topic == "station":
            blocks = tuple(Paragraph(" ".join(s.text for s in chapter.sentences)) for chapter in told)
            sections.append(Section("What was seen, station by station", blocks, level=2))
            continue
        for chapter in told:
            blocks = (Paragraph(" ".join(s.text for s in chapter.sentences)),)
            sections.append(Section(chapter.heading, blocks, level=2))
    return tuple(sections)


def assumptions(item: Appraisal) -> Section:
    """Assumptions and limiting conditions that hold for every report of this program."""
    statements = [
        "The identity, the dates and the statements of others are taken as given where no evidence is named.",
        "Parts that could not be seen are assumed to be in the condition usual at their age, with a "
        "wide margin; "
        "a hidden fault would change the value.",
        "The value holds for the effective date and the kind of value named, and for no other.",
        "The figures rest on the reference tables named at the end; rows that rest on common "
        "practice, on memory or "
        "on an assumption are marked so.",
        "Nothing here is legal or tax advice, and no statement is made on title or on authorship.",
    ]
    if item.valuation.market_factor_from != "comparables":
        statements.append(
            "No comparable sales were used for the market factor; it comes from a table, with a wide range."
        )
    return Section("Assumptions and limiting conditions", (Bullets(tuple(statements)),))


def cautions(item: Appraisal) -> Section:
    """The warnings that apply to this instrument."""
    rows = applicable(item.case, item.tables, item.valuation)
    title = "Cautions"
    local = Paragraph("Local codes and licensed practice come first wherever work can hurt someone or break a law.")
    if not rows:
        return Section(title, (Paragraph("None of the cautions in the tables applies."), local))
    return Section(title, (Bullets(tuple(f"{literal(row.text)} ({source_of(item, row)})" for row in rows)), local))


def statement() -> Section:
    """A statement for the appraiser to complete and sign; the program never signs it."""
    return Section(
        "Statement of the appraiser",
        (
            Paragraph(
                "To be read, completed, changed where it is not true, and signed by the person who "
                "is responsible "
                "for this report. The program that wrote the report informs; it certifies nobody and "
                "signs nothing."
            ),
            Bullets(
                (
                    "To the best of my knowledge what is stated here as fact is true.",
                    "The conclusions are my own, and limited only by the assumptions and conditions stated.",
                    "I have no interest in the instrument and no bias towards the parties, except as written below.",
                    "My fee does not depend on the value found.",
                    "I inspected the instrument myself, as far as stated under scope and limits.",
                )
            ),
            Paragraph("To be filled in by hand:"),
            Blanks(
                (
                    "Interest, earlier services on this instrument, and other disclosures",
                    "Others who gave significant help",
                    "Qualifications",
                    "Name",
                    "Place and date",
                    "Signature",
                )
            ),
        ),
    )


def sources(item: Appraisal) -> Section:
    """Every source a figure of this report rests on, with how far the rows can be relied on."""
    seen: dict[str, set[str]] = {}
    own = False
    for node in item.tree.walk():
        for reference in node.references:
            seen.setdefault(literal(reference.source), set()).add(reference.standing)
            own = own or reference.yours
    title = "Sources used"
    if not seen:
        return Section(title, (Paragraph("No table row was used."),))
    without = seen.pop(UNSOURCED, set())
    items = [f"{source} ({', '.join(sorted(seen[source]))})" for source in sorted(seen)]
    if without:
        items.append(f"Rows without a source: {listed(sorted(without))}")
    blocks: list[Block] = [Bullets(tuple(items))]
    if own:
        blocks.append(
            Paragraph("Rows of the user's own tables were laid over the program's; they are marked in the derivation.")
        )
    return Section(title, tuple(blocks))


def derivation(item: Appraisal) -> tuple[Section, ...]:
    """The whole reason tree, and what it takes to compute the same figures again."""
    v = item.valuation
    facts = [("Case file", literal(item.file) or "not saved")]
    if item.sha256:
        facts.append(("SHA-256 of the case file", item.sha256))
    if item.trail:
        facts.append(("Trail of the case up to this report", literal(item.trail)))
    facts += [("Version of the tables", v.tables_version), ("Seed", str(v.seed)), ("Draws", str(v.draws))]
    photos = [(literal(r.photo), literal(r.sha256)) for r in item.case.remarks if r.photo and r.sha256]
    facts += [(f"SHA-256 of {photo}", digest) for photo, digest in photos]
    return (
        Section("Appendix: derivation", (Outline(tuple(_outline(item.tree))),)),
        Section("Appendix: to compute it again", (Facts(tuple(facts)),)),
    )


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
