"""Cells shared by sections: stated values, chapters as paragraphs, tables without empty columns."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from appraise.model.message import message
from appraise.report.document import Column, Paragraph, Section, Table
from appraise.report.figures import NOTHING
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from appraise.model.case import Case
    from appraise.report.appraisal import Appraisal
    from appraise.tables.rows import Row

T = TypeVar("T")

Declared = tuple[Column, Callable[[T], str]]
"""A column of a table: its heading, and the cell of one row."""

NOT_STATED = message("not stated")
"""Cell of a value that was not stated."""


def source_of(item: Appraisal, row: Row) -> str:
    """Return where a row comes from: author, title, year and place, or its standing alone."""
    say = item.manner.say
    source = item.tables.sources.get(row.source)
    standing = say(str(row.standing))
    if source is None:
        return _marked(item, row, say("{standing}, no source", standing=standing))
    words = [source.author, source.title, source.year, row.where]
    return _marked(item, row, f"{', '.join(literal(word) for word in words if word)} ({standing})")


def _marked(item: Appraisal, row: Row, text: str) -> str:
    return item.manner.say("{source} (the appraiser’s own table)", source=text) if row.yours else text


def stated(item: Appraisal, text: str) -> str:
    """Return what somebody wrote, or that nobody did."""
    return literal(text) or item.manner.say(NOT_STATED)


def counts_on_work(item: Appraisal) -> bool:
    """Tell whether the best estimate counts on work, which is an extraordinary assumption."""
    valuation = item.valuation
    return valuation.value is not None and valuation.best == "after_work" and valuation.after_work is not None


def invented(case: Case) -> tuple[Paragraph, ...]:
    """Return what a case says of itself being invented, as the paragraph that heads its documents."""
    return (Paragraph(literal(case.invented)),) if case.invented.strip() else ()


LEADING = ("instrument", "value", "work", "range")
"""Topics told in the reasons at the head of a report; every other is told beside its tables."""


def topic_paragraphs(item: Appraisal, topic: str) -> tuple[Paragraph, ...]:
    """Return a paragraph for every chapter of one topic."""
    return tuple(Paragraph(chapter.text) for chapter in item.chapters if chapter.topic == topic)


def chapter_paragraphs(item: Appraisal, topic: str, heading: str) -> tuple[Paragraph, ...]:
    """Return the paragraph of one chapter of a topic that has several, by the chapter's heading."""
    return tuple(
        Paragraph(chapter.text) for chapter in item.chapters if chapter.topic == topic and chapter.heading == heading
    )


def reasons(item: Appraisal) -> tuple[Section, ...]:
    """The reasons that the whole hangs on, a paragraph a chapter."""
    say = item.manner.say
    head = Section(say("The reasons in words"), (), key="reasons")
    result = (
        Section(chapter.heading, (Paragraph(chapter.text),), level=2, key=f"reasons_{chapter.topic}")
        for chapter in item.chapters
        if chapter.topic in LEADING
    )
    return (head, *result)


_SAYS_NOTHING = frozenset({"", NOTHING})


def text_column(heading: str, cell: Callable[[T], str]) -> Declared[T]:
    """Declare a column of text: its heading and the cell of one row."""
    return Column(heading), cell


def figure_column(heading: str, cell: Callable[[T], str]) -> Declared[T]:
    """Declare a column of figures: its heading and the cell of one row."""
    return Column(heading, numeric=True), cell


def table(things: Iterable[T], *columns: Declared[T]) -> Table:
    """Return a table with a row for each thing."""
    rows = tuple(tuple(cell(thing) for _, cell in columns) for thing in things)
    return Table(tuple(column for column, _ in columns), rows)


def lean_table(things: Iterable[T], *columns: Declared[T]) -> Table:
    """Return a table with a row for each thing, without the columns in which no row has anything."""
    whole = table(things, *columns)
    return lean(whole.columns, whole.rows)


def lean(columns: Sequence[Column], rows: Sequence[tuple[str, ...]]) -> Table:
    """Return a table without the columns in which no row has anything.

    Args:
        columns: Their headings; the first always stays.
        rows: As many cells a row as there are columns.
    """
    kept = [
        place for place in range(len(columns)) if place == 0 or any(row[place] not in _SAYS_NOTHING for row in rows)
    ]
    return Table(
        tuple(columns[place] for place in kept),
        tuple(tuple(row[place] or NOTHING for place in kept) for row in rows),
    )
