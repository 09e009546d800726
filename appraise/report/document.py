"""What a report is made of: sections of paragraphs, tables and lists, all of literal text.

No text here is markup: every writer escapes it in its own way.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text."""

    text: str


@dataclass(frozen=True, slots=True)
class Bullets:
    """A list without order."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Facts:
    """Names and what they stand for, one a line."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table."""

    heading: str
    numeric: bool = False
    """Figures, set to the right."""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells under headings."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    """As many cells a row as there are columns."""


@dataclass(frozen=True, slots=True)
class Outline:
    """A tree, written as indented lines."""

    entries: tuple[tuple[int, str], ...]
    """(depth from 0, text), top down."""


@dataclass(frozen=True, slots=True)
class Blanks:
    """Lines to be filled in by hand."""

    labels: tuple[str, ...]


Block = Paragraph | Bullets | Facts | Table | Outline | Blanks
"""One piece of a section."""


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and what stands under it."""

    title: str
    blocks: tuple[Block, ...]
    level: int = 1
    """1 for a section, 2 for a part of one."""


@dataclass(frozen=True, slots=True)
class Document:
    """A whole report."""

    title: str
    subtitle: str
    sections: tuple[Section, ...]
