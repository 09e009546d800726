"""Under whose name a document goes out: its head, the day of issue, and the block below the line to sign on."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.report.document import FillInLines, Letterhead, Paragraph
from appraise.report.words import literal

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.report.document import Document, Photo, Section


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
        for below, found in enumerate(section.blocks)
        if isinstance(found, FillInLines)
    ]
    if not places:
        return sections
    at, below = places[-1]
    blocks = sections[at].blocks
    signed = replace(sections[at], blocks=(*blocks[: below + 1], *block, *blocks[below + 1 :]))
    return (*sections[:at], signed, *sections[at + 1 :])
