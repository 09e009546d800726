"""A document as the plain data that the template of the PDF reads."""

from __future__ import annotations

from itertools import zip_longest
from typing import TYPE_CHECKING, assert_never

from appraise.model.locale_format import PLAIN, Formatter
from appraise.report.branches import branches
from appraise.report.charts.alt import alt
from appraise.report.charts.svg import svg
from appraise.report.document import Bullets, Drawing, Facts, FillInLines, Outline, Paragraph, PhotoGrid, Table, Ticks
from appraise.report.pdf.columns import LINE, laid_out, width_of
from appraise.report.pictures import picture
from appraise.report.report_labels import Furniture
from appraise.report.words import cut, literal

if TYPE_CHECKING:
    from appraise.report.branches import Branch
    from appraise.report.document import Block, Document, Letterhead, Photo, Section
    from appraise.report.pictures import Picture
    from appraise.report.written import Sheet

Data = str | int | float | bool | None | list["Data"] | dict[str, "Data"]
"""What JSON holds."""

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
        """What turned out here that it could not be shown, a line each."""
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
        found = "" if head.picture is None else picture(head.picture)
        file = None
        if not isinstance(found, str):
            file = f"letterhead.{found.kind}"
            self.pictures[file] = found
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
        found = picture(photo)
        name, ratio = None, 1.0
        if isinstance(found, str):
            if not photo.problem:
                self.notes.append(f"{photo.file}: {found}")
        else:
            name = f"{len(self.pictures) + 1}.{found.kind}"
            self.pictures[name] = found
            ratio = round(found.width / found.height, 4)
        named = self._words.beside(photo)
        return {
            "file": name,
            "ratio": ratio,
            "alt": literal(photo.caption or photo.file),
            "missing": literal(self._words.not_shown(found)) if isinstance(found, str) else "",
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


def _branches(found: list[Branch]) -> list[Data]:
    return [{"t": literal(branch.text), "below": _branches(branch.below)} for branch in found]
