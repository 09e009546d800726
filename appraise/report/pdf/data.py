"""A document as the plain data that the template of the PDF reads, the widths of its tables' columns estimated."""

from __future__ import annotations

import re
from itertools import zip_longest
from typing import TYPE_CHECKING, assert_never

from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import PLAIN, Formatter
from appraise.report.charts.alt import alt
from appraise.report.charts.svg import svg
from appraise.report.document import (
    Bullets,
    Drawing,
    Facts,
    FillInLines,
    Outline,
    Paragraph,
    PhotoGrid,
    Table,
    Ticks,
    branches,
)
from appraise.report.pictures import picture
from appraise.report.report_labels import Furniture
from appraise.report.words import cut, literal

if TYPE_CHECKING:
    from appraise.report.document import Block, Branch, Column, Document, Letterhead, Photo, Section, Sheet
    from appraise.report.pictures import Picture


Data = str | int | float | bool | None | list["Data"] | dict[str, "Data"]
"""JSON value."""

FONTS = "'Libertinus Serif', 'New Computer Modern Math', 'DejaVu Sans Mono'"
"""Families of the letters in charts: those that come with the typesetter."""

PT_PER_MM = 72.0 / 25.4

RUNNING = 180
"""Letters of a line at the head or the foot of every page; two lines at most, and the whole stands on the first."""

HEADING = 200
"""Letters of the headings of a table that come again on the next page; longer ones stand once."""

PHOTO = (60, 42)
"""Height of a photo at most [mm], and in a document that is meant for one page."""

LEADING = 300
"""Letters of a paragraph that leads from one heading to the next below it, and stays with both."""

LEFT = (7.0, 17.0)
"""Narrowest and widest column of the names of facts [em]."""


class TypstBuilder:
    """Turns blocks into data and keeps the pictures beside it."""

    def __init__(self, sheet: Sheet, manner: Formatter = PLAIN) -> None:
        self.pictures: dict[str, Picture] = {}
        """Name of the file, as the data names it, and what goes into it."""
        self.notes: list[str] = []
        """Pictures that could not be shown, a line each."""
        self._sheet = sheet
        self._words = Furniture(manner)

    def head(self, document: Document) -> dict[str, Data]:
        """Return all of a document but its sections as data."""
        language, _, region = document.manner.tongue.partition("-")
        dated = document.dated
        return {
            "title": literal(document.title),
            "subtitle": literal(document.subtitle),
            "t": literal(document.title),
            "under": literal(document.subtitle),
            "heading": cut(literal(f"{document.title} · {document.subtitle}"), RUNNING),
            "author": literal(document.author),
            "date": None if dated is None else [dated.year, dated.month, dated.day],
            "lang": language,
            "region": region or None,
            "paper": {"a4": "a4", "letter": "us-letter"}[self._sheet.paper],
            "footer": cut(literal(document.footer), RUNNING),
            "photo": PHOTO[document.close],
            "made-from": literal(document.made_from),
            "page": list(self._words.page_of),
            "contents": _first_end(document) if document.contents else 0,
            "half": _half(document) if document.contents else -1,
            "contents-title": self._words.contents,
            "letterhead": None if document.letterhead is None else self._letterhead(document.letterhead),
        }

    def _letterhead(self, head: Letterhead) -> dict[str, Data]:
        text = "" if head.picture is None else picture(head.picture)
        file = None
        if not isinstance(text, str):
            file = f"letterhead.{text.kind}"
            self.pictures[file] = text
        alt = literal(head.name or head.file)
        return {"file": file, "alt": alt, "name": literal(head.name), "lines": _texts(head.lines)}

    def sections(self, sections: tuple[Section, ...]) -> list[Data]:
        """Return sections as data."""
        return [self._section(section, below) for section, below in zip_longest(sections, sections[1:]) if section]

    def _section(self, section: Section, below: Section | None) -> dict[str, Data]:
        leads = below is not None and below.level > section.level
        blocks = [self._block(block) for block in section.blocks]
        return {
            "t": literal(section.title),
            "level": section.level,
            "flipped": any(bool(block.get("flipped")) for block in blocks),
            # A line or two between two headings never stands at the foot of a page with the upper one alone.
            "whole": section.whole,
            "sticky": leads and all(block["k"] == "p" and len(str(block["t"])) <= LEADING for block in blocks),
            "blocks": list(blocks),
        }

    def _block(self, block: Block) -> dict[str, Data]:
        match block:
            case Paragraph():
                return {"k": "p", "t": literal(block.text), "leads": block.text.endswith(":")}
            case Bullets():
                return {"k": "list", "items": _texts(block.items)}
            case Facts():
                left = max((width_of(literal(name)) for name, _ in block.rows), default=0.0) + 1.5
                return {
                    "k": "facts",
                    "left": round(min(max(left, LEFT[0]), LEFT[1]), 2),
                    "rows": [_texts(row) for row in block.rows],
                }
            case Table():
                return self._table(block)
            case Outline():
                return {"k": "outline", "found": _branches(branches(block))}
            case FillInLines():
                return {"k": "blanks", "labels": _texts(block.labels)}
            case Ticks():
                return {"k": "ticks", "items": _texts(block.items)}
            case Drawing():
                says = literal(block.says)
                drawn = svg(block, width_mm=LINE[self._sheet.paper][0] / PT_PER_MM, fonts=FONTS)
                return {
                    "k": "drawing",
                    "svg": drawn,
                    "caption": literal(block.caption),
                    "says": says,
                    "alt": literal(alt(block)),
                }
            case PhotoGrid():
                return {"k": "plates", "rows": [[self._photo(photo) for photo in row] for row in block.rows]}
            case _:
                assert_never(block)

    def _table(self, table: Table) -> dict[str, Data]:
        layout = laid_out(table, self._sheet.paper)
        return {
            "k": "table",
            "size": layout.size,
            "flipped": layout.flipped,
            "breakable": layout.breakable,
            "together": layout.together,
            "repeat": all(len(column.heading) <= HEADING for column in table.columns),
            "cols": [
                {"h": literal(column.heading), "n": column.numeric, "w": width}
                for column, width in zip(table.columns, layout.widths, strict=True)
            ],
            "rows": [_texts(row) for row in table.rows],
        }

    def _photo(self, photo: Photo) -> dict[str, Data]:
        result = picture(photo)
        name, ratio = None, 1.0
        if isinstance(result, str):
            if not photo.problem:
                self.notes.append(f"{photo.file}: {result}")
        else:
            name = f"{len(self.pictures) + 1}.{result.kind}"
            self.pictures[name] = result
            ratio = round(result.width / result.height, 4)
        named = self._words.beside(photo)
        return {
            "file": name,
            "ratio": ratio,
            "alt": literal(photo.caption or photo.file),
            "missing": literal(self._words.not_shown(result)) if isinstance(result, str) else "",
            "caption": literal(photo.caption),
            "named": literal(named),
        }


def _first_end(document: Document) -> int:
    """Return how many sections stand before the contents: the first one with its parts."""
    for place, section in enumerate(document.sections[1:], 1):
        if section.level == 1:
            return place
    return 0


def _half(document: Document) -> int:
    """Return the place of the first section that stands in the right half of the contents."""
    upper = [place for place, section in enumerate(document.sections) if section.level == 1]
    return upper[(len(upper) + 1) // 2] if len(upper) > 1 else -1


def _texts(items: tuple[str, ...]) -> Data:
    return [literal(item) for item in items]


def _branches(reasons: list[Branch]) -> list[Data]:
    return [{"t": literal(branch.text), "below": _branches(branch.below)} for branch in reasons]


LINE = {"a4": (476.0, 723.0), "letter": (493.0, 673.0)}
"""Width between the margins [pt], the page upright and on its side."""

_ATTEMPTS = (
    (False, True, (9.5, 9.0, 8.5, 8.0)),
    (False, False, (8.5, 8.0, 7.5)),
    (True, True, (9.0, 8.5, 8.0)),
    (True, False, (8.5, 8.0, 7.5, 7.0)),
)
"""Layouts tried in turn: landscape or not, figures on one line or not, type sizes [pt]."""

GAP = 1.0
"""Between two columns [em]."""

STEP = 0.5
"""By which room that is left is given away [em]."""

READABLE = 8.0
"""A column of running text gets at least this [em], where it has so much to say."""

WHOLE = 14.0
"""A figure longer than this [em] is broken in any case."""

MOST = 0.9
"""Share of a column's cells that are given room on one line, where there is room."""

HEAVY = 1.12
"""Width of heading type over cell type, rounded up [–]."""

MANY = 6
"""A table of more rows than this is set small, so that fewer pages hold it."""

SMALL = 8.5
"""Its largest type [pt]."""

TOGETHER = (8, 900)
"""A table of no more rows and letters than these stays on one page."""

LONG = 600
"""A row with a cell of more letters than this may run over the end of a page."""

_WORD = re.compile(r"[^\s/–-]+[/–-]*")
_BRACKET = re.compile(r" (?=\()")
_LETTERS = {
    **dict.fromkeys(" .,:;'|!ijlI()[]·", 0.29),
    **dict.fromkeys('frts-–−/"', 0.39),
    **dict.fromkeys("mwMW%@—…", 0.86),
    **dict.fromkeys("0123456789", 0.47),
}


@dataclass(frozen=True, slots=True)
class Layout:
    """Layout of one table."""

    widths: tuple[float, ...]
    """Of each column, as shares."""
    size: float
    """Of the type [pt]."""
    flipped: bool
    """True if it needs a landscape page."""
    breakable: bool
    """True if its rows may break across pages."""
    together: bool = False
    """True if the whole table stays on one page."""


@dataclass(frozen=True, slots=True)
class _Need:
    """Width wanted by one column [em]."""

    least: float
    """Its longest word."""
    wanted: float
    """Comfortable width."""
    whole: float
    """All its cells on one line."""


def width_of(text: str) -> float:
    """Return about how wide a text is [em]."""
    return sum(_LETTERS.get(letter, 0.66 if letter.isupper() or letter > "\u0250" else 0.49) for letter in text)


def laid_out(table: Table, paper: str) -> Layout:
    """Find the largest type in which a table reads well, on a page on its side only where it must be.

    Args:
        table: Its cells.
        paper: A key of `LINE`.
    """
    columns = [[row[place] for row in table.rows] for place in range(len(table.columns))]
    breakable = any(len(cell) > LONG for row in table.rows for cell in row)
    letters = sum(len(cell) for row in table.rows for cell in row)
    together = len(table.rows) <= TOGETHER[0] and letters <= TOGETHER[1]
    rows = [[width_of(literal(cell)) for cell in row] for row in table.rows]
    for flipped, unbroken, sizes in _ATTEMPTS:
        needs = [_need(column, cells, unbroken) for column, cells in zip(table.columns, columns, strict=True)]
        for size in sizes if len(table.rows) <= MANY else [size for size in sizes if size <= SMALL]:
            line = LINE[paper][flipped] / size - GAP * (len(needs) - 1)
            if sum(need.wanted for need in needs) <= line:
                return Layout(_shared(needs, line, rows), size, flipped, breakable, together)
    return Layout(tuple(need.wanted for need in needs), sizes[-1], True, breakable, together)


def _need(column: Column, cells: list[str], unbroken: bool) -> _Need:
    texts = [literal(cell) for cell in cells]
    words = [word for text in texts for word in (_BRACKET.split(text) if column.numeric else _WORD.findall(text))]
    heads = _WORD.findall(literal(column.heading))
    widths = [width_of(word) for word in words] + [HEAVY * width_of(word) for word in heads]
    least = min(max(widths, default=1.0), READABLE) + 0.6
    lines = sorted(width_of(text) for text in texts) or [1.0]
    head = HEAVY * width_of(_widest_half(column.heading))
    most = max(lines[int(MOST * (len(lines) - 1))], min(lines[-1], WHOLE if column.numeric else READABLE), head) + 0.6
    wanted = min(most, WHOLE if unbroken else least) if column.numeric else min(most, READABLE)
    return _Need(least, max(least, wanted), max(lines[-1], head, least) + 0.6)


def _widest_half(heading: str) -> str:
    """Return the part of a heading that must stand on one line where it is broken once."""
    words = literal(heading).split()
    return max((" ".join(half) for half in (words[: (len(words) + 1) // 2], words[(len(words) + 1) // 2 :])), key=len)


def _shared(needs: list[_Need], line: float, rows: list[list[float]]) -> tuple[float, ...]:
    """Divide a line: what each column wants, then step by step to the column by which the rows come out lowest.

    Args:
        needs: Of each column.
        line: To divide [em].
        rows: Width of every cell set on one line [em].
    """
    given = [need.wanted for need in needs]
    while (left := line - sum(given)) > STEP:
        short = [place for place, need in enumerate(needs) if need.whole > given[place]]
        if not short:
            break
        # What a little more room takes off the height of each row, by the column that makes it as high as it is.
        saved = dict.fromkeys(short, 0.0)
        for row in rows:
            tallest = max(range(len(row)), key=lambda place: row[place] / given[place])
            if tallest in saved and row[tallest] > given[tallest]:
                saved[tallest] += row[tallest] / given[tallest] ** 2
        best = max(short, key=lambda place: saved[place])
        given[best] += min(STEP, left, needs[best].whole - given[best])
    return tuple(round(width * line / sum(given), 3) for width in given)
