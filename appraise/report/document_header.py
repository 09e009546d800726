"""Frame of every document: footer, provenance and person responsible."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.report.document import Document, FillInLines, Letterhead, Paragraph
from appraise.report.preliminary import marked, paragraphs, quick_look_notes, unseen_notes, with_mark
from appraise.report.sections.identity import instrument
from appraise.report.sections.sources import AGAIN
from appraise.report.value_texts import LOCAL_CODES
from appraise.report.words import KINDS, cut, literal, make_of

if TYPE_CHECKING:
    from datetime import date

    from appraise.model.case import Case, Identity
    from appraise.model.locale_format import Formatter
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Photo, Section


NAME = 40
"""A name is cut past this in a line at the foot [characters]."""


def framed(
    item: Appraisal, title: str, sections: tuple[Section, ...], *, contents: bool = False, close: bool = False
) -> Document:
    """Return a document about one case, under a title of its own.

    Args:
        item: The valued case.
        title: What the document is.
        sections: What it holds.
        contents: It is long enough for a list of its sections.
        close: It is meant for one page.
    """
    asked = item.case.assignment
    result = quick_look_notes(item.case, item.tables, item.manner)
    if close:  # for whoever reads nothing else
        result += unseen_notes(item.case, item.valuation, item.tables, item.manner)
    first, *others = closed(sections, item.manner)
    line = footer(item.case.identity, asked.inspected, item.manner)
    return Document(
        marked(title, result, item.manner),
        instrument(item),
        (replace(first, blocks=(*paragraphs(result), *first.blocks)), *others),
        footer=with_mark(line, result, item.manner),
        made_from="" if any(section.key == AGAIN for section in sections) else made_from(item),
        author=literal(asked.assessor),
        dated=asked.reported or asked.inspected,
        manner=item.manner,
        contents=contents,
        close=close,
    )


def closed(sections: tuple[Section, ...], manner: Formatter) -> tuple[Section, ...]:
    """Return the sections of a document with the words that every document ends with."""
    *first, last = sections
    return (*first, replace(last, blocks=(*last.blocks, Paragraph(manner.say(LOCAL_CODES)))))


def footer(identity: Identity, when: date, manner: Formatter) -> str:
    """Return one line that says what a loose page belongs to: the instrument, its number and its day."""
    say = manner.say
    named = cut(make_of(identity.maker, identity.model), NAME)
    number = say("No. {serial}", serial=cut(literal(identity.serial), NAME)) if identity.serial.strip() else ""
    named = named or say("{instrument}, maker unknown", instrument=say(KINDS[identity.kind]))
    return " · ".join(word for word in (named, number, say("as on {day}", day=manner.day(when))) if word)


def made_from(item: Appraisal) -> str:
    """Return one line for the end of a document: the case file and the tables by the heads of their hashes."""
    file = f"{cut(literal(item.file), NAME)} {item.sha256[:12]}".rstrip() if item.file else ""
    tables = item.manner.say("tables {version}", version=item.valuation.tables_version)
    return " · ".join(word for word in (file, tables) if word)


def headed(document: Document, case: Case, picture: Photo | None, *, signs: bool) -> Document:
    """Return a document under the letterhead that its case holds; as it is where the case names no practice.

    Args:
        document: Any.
        case: Whose practice and day of issue are told.
        picture: Of the letterhead, found and compared; none: the case names none, or nobody looked.
        signs: The practice signs it: the signature block stands below the last line to sign on.
    """
    practice, manner = case.practice, document.manner
    lines = _lines(practice.address)
    if case.assignment.reported is not None:
        lines = (*lines, manner.say("Issued on {day}", day=manner.day(case.assignment.reported)))
    if practice.name or practice.address or practice.letterhead:
        head = Letterhead(literal(practice.name), lines, picture, practice.letterhead, practice.sha256)
        document = replace(document, letterhead=head)
    block = tuple(Paragraph(line) for line in _lines(practice.signature))
    return replace(document, sections=_signed(document.sections, block)) if signs and block else document


def _lines(text: str) -> tuple[str, ...]:
    return tuple(filter(None, (literal(line).strip() for line in text.splitlines())))


def _signed(sections: tuple[Section, ...], block: tuple[Paragraph, ...]) -> tuple[Section, ...]:
    """Put the block behind the last lines to fill in."""
    places = [
        (at, below)
        for at, section in enumerate(sections)
        for below, result in enumerate(section.blocks)
        if isinstance(result, FillInLines)
    ]
    if not places:
        return sections
    at, below = places[-1]
    blocks = sections[at].blocks
    signed = replace(sections[at], blocks=(*blocks[: below + 1], *block, *blocks[below + 1 :]))
    return (*sections[:at], signed, *sections[at + 1 :])
