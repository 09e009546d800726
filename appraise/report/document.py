"""Document model: sections of paragraphs, tables and lists, all of literal text.

No text here is markup: every writer escapes it in its own way.
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING, Literal

from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import PLAIN, Formatter

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from appraise.model.chart import Chart


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
class FillInLines:
    """Lines to be filled in by hand."""

    labels: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Ticks:
    """Things to do, each with a box to tick by hand."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A chart with its caption; its text alternative, the kind and the axes, follows from the chart."""

    chart: Chart
    caption: str
    """Reading instructions: axes, marks and legend."""
    says: str
    """Finding in one or two sentences: the caption's lead, and the whole text where no chart is drawn."""
    manner: Formatter = PLAIN
    """In which the figures beside its axes are written."""


@dataclass(frozen=True, slots=True)
class Photo:
    """One photo, or the reason why it is missing."""

    file: str
    """Path as written in the case."""
    sha256: str
    """As recorded in the case; empty where none was."""
    caption: str
    path: Path | None = None
    """Path of the picture, found, read and matching its hash; none: not shown."""
    problem: str = ""
    """Why it is not shown: missing, another picture than recorded, no kind of picture that can be shown."""
    taken: str = ""
    """Capture time by the camera, ISO 8601 as in the case; empty: not recorded."""
    mark: str = ""
    """An arrow or a circle that is drawn on the copy shown, as `model.photo_mark` has it."""


@dataclass(frozen=True, slots=True)
class PhotoGrid:
    """Photos in rows; a pair of before and after stands side by side."""

    rows: tuple[tuple[Photo, ...], ...]


Block = Paragraph | Bullets | Facts | Table | Outline | FillInLines | Ticks | Drawing | PhotoGrid
"""One piece of a section."""


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and what stands under it."""

    title: str
    blocks: tuple[Block, ...]
    level: int = 1
    """1 for a section, 2 for a part of one."""
    whole: bool = False
    """Kept on one page, where there are pages: short enough for one."""
    key: str = ""
    """Names it whatever language the title is in; unique among the sections of a document that have one."""


@dataclass(frozen=True, slots=True)
class Letterhead:
    """Under whose name a document goes out."""

    name: str
    """Of the practice."""
    lines: tuple[str, ...] = ()
    """Its address, and the day of issue."""
    picture: Photo | None = None
    """To be drawn; none where the case names none, or nobody looked for it."""
    file: str = ""
    """Path of the picture as the case has it."""
    sha256: str = ""


@dataclass(frozen=True, slots=True)
class Document:
    """A whole report."""

    title: str
    subtitle: str
    sections: tuple[Section, ...]
    footer: str = ""
    """One line for the foot of every page: which instrument, as on which day."""
    made_from: str = ""
    """One line for the end: the files and the tables by their hashes; empty where a section says it."""
    author: str = ""
    """Person responsible; never the program."""
    dated: date | None = None
    """The day of the report, kept in the files that have a place for it; never the clock's."""
    manner: Formatter = PLAIN
    """In which all of it is said; what a writer adds is said so too."""
    contents: bool = False
    """Long enough for a list of its sections, where there are pages."""
    letterhead: Letterhead | None = None
    """Letterhead; none where the case names no practice."""
    close: bool = False
    """Meant for one page, where there are pages: set smaller and closer, within reason, until it fits."""
    most: int | None = None
    """Pages that it ought to have at most: set smaller, within reason, where it has more; none: as many as it takes."""


DEEPEST = 12
"""Lists within lists; what lies deeper stands beside its parent."""


@dataclass(slots=True)
class Branch:
    """One line, with the lines below it."""

    text: str
    below: list[Branch] = field(default_factory=list)


def branches(outline: Outline) -> list[Branch]:
    """Return the lines of an outline that stand at the top, each with those below it.

    A line that jumps deeper than one step below the line before it is taken as one step below.
    """
    top: list[Branch] = []
    open_lists = [top]
    for depth, text in outline.entries:
        del open_lists[min(depth, DEEPEST - 1) + 1 :]
        branch = Branch(text)
        open_lists[-1].append(branch)
        open_lists.append(branch.below)
    return top


PAPERS = ("a4", "letter")
"""Sizes of paper, as ISO 216 and ANSI name them."""

Standard = Literal["ua-1", "a-2b"]

STANDARDS: tuple[Standard, ...] = ("ua-1", "a-2b")
"""Standards for a PDF: PDF/UA-1 (ISO 14289-1) and PDF/A-2b (ISO 19005-2)."""


class Unwritable(Exception):
    """A document cannot be written as it was asked for; the text is one line for the person."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """Page settings, for writers that make pages."""

    paper: str = PAPERS[0]
    standards: tuple[Standard, ...] = ()


@dataclass(frozen=True, slots=True)
class Written:
    """A document in one form."""

    content: bytes
    notes: tuple[str, ...] = ()
    """Contents that could not be shown, a line each; the document says so too."""
