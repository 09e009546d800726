"""What frames every document of one case: the line at the foot of each page and who answers for it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.report.document import Document, Paragraph
from appraise.report.preliminary import looked_told, marked, paragraphs, unseen_told
from appraise.report.sections.identity import instrument
from appraise.report.words import KINDS, cut, literal, make_of
from appraise.report.worth_told import LOCAL_CODES

if TYPE_CHECKING:
    from datetime import date

    from appraise.model.case import Identity
    from appraise.model.manner import Manner
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Section
    from appraise.report.loss.compared import Compared

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
        contents: It is long enough for a page of contents.
        close: It is meant for one page.
    """
    asked = item.case.assignment
    told = looked_told(item.case, item.tables, item.manner)
    if close:  # for whoever reads nothing else
        told += unseen_told(item.case, item.valuation, item.tables, item.manner)
    first, *others = closed(sections, item.manner)
    return Document(
        marked(title, told, item.manner),
        instrument(item),
        (replace(first, blocks=(*paragraphs(told), *first.blocks)), *others),
        footer=f"{item.manner.say('Preliminary')} · {footer(item)}" if told else footer(item),
        author=literal(asked.assessor),
        dated=asked.reported or asked.inspected,
        manner=item.manner,
        contents=contents,
        close=close,
    )


def closed(sections: tuple[Section, ...], manner: Manner) -> tuple[Section, ...]:
    """Return the sections of a document with the words that every document ends with."""
    *first, last = sections
    return (*first, replace(last, blocks=(*last.blocks, Paragraph(manner.say(LOCAL_CODES)))))


def footer(item: Appraisal) -> str:
    """Return one line that says what a loose page belongs to: the instrument, its day, the file and the tables."""
    files = _file(item.file, item.sha256) if item.file else ""
    inspected = item.case.assignment.inspected
    return _line(item.case.identity, inspected, files, item.valuation.tables_version, item.manner)


def loss_footer(item: Compared) -> str:
    """Return the same line for a loss, which has two files."""
    files = " → ".join(_file(state.file, state.sha256) for state in (item.before, item.after))
    return _line(item.after.case.identity, item.loss.day, files, item.loss.tables_version, item.manner)


def _line(identity: Identity, when: date, files: str, tables: str, manner: Manner) -> str:
    say = manner.say
    named = cut(make_of(identity.maker, identity.model), NAME)
    number = say("No. {serial}", serial=cut(literal(identity.serial), NAME)) if identity.serial.strip() else ""
    named = named or say("{instrument}, maker unknown", instrument=say(KINDS[identity.kind]))
    words = (named, number, say("as on {day}", day=manner.day(when)), files, say("tables {version}", version=tables))
    return " · ".join(word for word in words if word)


def _file(name: str, sha256: str) -> str:
    return f"{cut(literal(name), NAME)} {sha256[:12]}".rstrip()
