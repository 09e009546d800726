"""What frames every document of one case: the line at the foot of each page and who answers for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.document import Document
from appraise.report.sections.identity import instrument
from appraise.report.words import KINDS, literal

if TYPE_CHECKING:
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Section


def framed(
    item: Appraisal, title: str, sections: tuple[Section, ...], *, contents: bool = False, close: bool = False
) -> Document:
    """Return a document about one case, under a title of its own.

    Args:
        item: The valued case.
        title: What the document is.
        sections: What it holds.
        contents: It is long enough for a page of contents.
        close: It is meant for one page.
    """
    asked = item.case.assignment
    return Document(
        title,
        instrument(item),
        sections,
        footer=footer(item),
        author=literal(asked.assessor),
        dated=asked.reported or asked.inspected,
        manner=item.manner,
        contents=contents,
        close=close,
    )


def footer(item: Appraisal) -> str:
    """Return one line that says what a loose page belongs to: the instrument, its day, the file and the tables."""
    say = item.manner.say
    identity = item.case.identity
    named = " ".join(word for word in (literal(identity.maker), literal(identity.model)) if word)
    words = [named or say("{instrument}, maker unknown", instrument=say(KINDS[identity.kind]))]
    if identity.serial.strip():
        words.append(say("No. {serial}", serial=literal(identity.serial)))
    words.append(say("as on {day}", day=item.manner.day(item.case.assignment.inspected)))
    if item.file:
        words.append(f"{literal(item.file)} {item.sha256[:12]}".rstrip())
    words.append(say("tables {version}", version=item.valuation.tables_version))
    return " · ".join(words)
