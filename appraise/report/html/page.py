"""A document as one self-contained HTML page: no script, nothing fetched, every text literal."""

from __future__ import annotations

import re
from base64 import b64encode
from html import escape
from importlib.resources import files
from typing import TYPE_CHECKING, assert_never

from appraise.model.locale_format import PLAIN, Formatter
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
    Written,
    branches,
)
from appraise.report.pictures import LONGEST, picture
from appraise.report.report_labels import Furniture
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from appraise.report.document import Block, Branch, Document, Letterhead, Photo, Section


POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"
"""Content Security Policy (W3C, level 3): style and pictures of the page itself, and nothing else."""

ENOUGH = 4
"""A page with more sections than this gets a list of them."""


def page(document: Document) -> Written:
    """Write a document as HTML.

    Args:
        document: Sections of literal text.

    Returns:
        The page in UTF-8, and a line for each photo that could not be shown.
    """
    writer = Writer(document.manner)
    lines = [*_head(document), "<body>", *_top(document, writer), "<main>"]
    for name, group in _parts(document):
        lines += _part(name, group, writer)
    lines += ["</main>", *_foot(document, writer), "</body>", "</html>", ""]
    return Written("\n".join(lines).encode("utf-8"), tuple(writer.notes))


def _head(document: Document) -> Iterator[str]:
    title = f"{document.title}: {document.subtitle}" if document.subtitle else document.title
    yield "<!DOCTYPE html>"
    yield f'<html lang="{attribute(document.manner.tongue)}">'
    yield "<head>"
    yield '<meta charset="utf-8">'
    yield f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield '<meta name="color-scheme" content="light dark">'
    yield '<meta name="referrer" content="no-referrer">'
    yield f"<title>{text(title)}</title>"
    named = {
        "author": document.author,
        "description": title,
        "dcterms.date": document.dated.isoformat() if document.dated else "",
    }
    yield from (f'<meta name="{name}" content="{attribute(value)}">' for name, value in named.items() if value)
    yield f"<style>\n{_style()}</style>"
    yield "</head>"


def _style() -> str:
    return (files("appraise.report.html") / "report.css").read_text(encoding="utf-8")


def _top(document: Document, writer: Writer) -> Iterator[str]:
    yield "<header>"
    if document.letterhead is not None:
        yield from writer.letterhead(document.letterhead)
    yield f"<h1>{text(document.title)}</h1>"
    if document.subtitle:
        yield f'<p class="subtitle">{text(document.subtitle)}</p>'
    yield "</header>"
    parts = list(_parts(document))
    if len(parts) <= ENOUGH:
        return
    contents = Furniture(document.manner).contents
    yield f'<nav aria-label="{attribute(contents)}">'
    yield f"<details><summary>{text(contents)}</summary>"
    yield "<ol>"
    yield from (f'<li><a href="#{name}">{text(group[0].title)}</a></li>' for name, group in parts)
    yield "</ol>"
    yield "</details>"
    yield "</nav>"


def _parts(document: Document) -> Iterator[tuple[str, list[Section]]]:
    """Yield each section with the parts below it, under the name by which a link finds it."""
    return ((f"s{number}", group) for number, group in enumerate(_grouped(document), 1))


def _grouped(document: Document) -> Iterator[list[Section]]:
    group: list[Section] = []
    for section in document.sections:
        if section.level == 1 and group:
            yield group
            group = []
        group.append(section)
    if group:
        yield group


def _part(name: str, group: list[Section], writer: Writer) -> Iterator[str]:
    yield f'<section id="{name}" aria-labelledby="{name}-t">'
    yield f'<h2 id="{name}-t">{text(group[0].title)}</h2>'
    yield from writer.blocks(group[0])
    for section in group[1:]:
        yield f"<h3>{text(section.title)}</h3>"
        yield from writer.blocks(section)
    yield "</section>"


def _foot(document: Document, writer: Writer) -> Iterator[str]:
    lines = [line for line in (document.footer, document.made_from) if line]
    if writer.scaled:
        lines.append(Furniture(document.manner).scaled)
    if lines:
        yield "<footer>"
        yield from (f"<p>{text(line)}</p>" for line in lines)
        yield "</footer>"


def text(words: str) -> str:
    """Return text as it stands between two tags."""
    return escape(literal(words), quote=False)


def attribute(words: str) -> str:
    """Return text as it stands between the double quotes of an attribute."""
    return escape(literal(words), quote=True)


MOST = 48_000_000
"""Pictures of one page [bytes], as they stand in it; what comes after is named and left out."""

WIDTHS = {"desk": 170.0, "phone": 95.0}
"""Every chart is laid out twice [mm]; the style sheet shows the one that fits."""

FONTS = "system-ui, Helvetica, Arial, sans-serif"
"""Families of the letters in charts."""

_BRACKET = re.compile(r"\([^\s()<>]{1,24}\)")
"""A range in brackets, which stays on one line."""

NARROW = 3
"""A table of more columns is set as one card a row on a phone."""


class Writer:
    """Writes the blocks of one page and keeps what it must count on the way."""

    def __init__(self, manner: Formatter = PLAIN) -> None:
        self.notes: list[str] = []
        """Pictures that could not be shown, a line each."""
        self.scaled = False
        """True if a photo is shown smaller than it was taken."""
        self._drawings = 0
        self._words = Furniture(manner)
        self._bytes = 0

    def blocks(self, section: Section) -> Iterator[str]:
        """Yield the lines of what stands under one heading."""
        tables = sum(isinstance(block, Table) for block in section.blocks)
        number = 0
        for block in section.blocks:
            number += isinstance(block, Table)
            caption = section.title if tables < 2 else self._words.table(section.title, number)
            yield from self._block(block, caption)

    def _block(self, block: Block, caption: str) -> Iterator[str]:
        match block:
            case Paragraph():
                yield f"<p>{text(block.text)}</p>"
            case Bullets():
                yield from _list(block.items)
            case Facts():
                yield '<dl class="facts">'
                yield from (f"<div><dt>{text(name)}</dt><dd>{text(value)}</dd></div>" for name, value in block.rows)
                yield "</dl>"
            case Table():
                yield from _table(block, caption)
            case Outline():
                yield from _outline(block, caption)
            case FillInLines():
                yield '<ul class="blanks">'
                yield from (f'<li><span>{text(label)}:</span><span class="line"></span></li>' for label in block.labels)
                yield "</ul>"
            case Ticks():
                yield from _list(block.items, "ticks", before="☐ ")
            case Drawing():
                yield from self._drawing(block)
            case PhotoGrid():
                for row in block.rows:
                    yield '<div class="plates">'
                    for photo in row:
                        yield from self._photo(photo)
                    yield "</div>"
            case _:
                assert_never(block)

    def _drawing(self, block: Drawing) -> Iterator[str]:
        self._drawings += 1
        yield '<figure class="drawing">'
        for name, width in WIDTHS.items():
            picture_of = svg(block, width_mm=width, prefix=f"{name}{self._drawings}", fonts=FONTS)
            yield f'<div class="{name}">{picture_of}</div>'
        yield f"<figcaption><strong>{text(block.says)}</strong> {text(block.caption)}</figcaption>"
        yield "</figure>"

    def letterhead(self, head: Letterhead) -> Iterator[str]:
        """Yield the head of the page: picture, name and lines."""
        yield '<div class="letterhead">'
        words = "" if head.picture is None else picture(head.picture)
        if not isinstance(words, str):
            coded = b64encode(words.content).decode("ascii")
            self._bytes += len(coded)
            size = f'width="{words.width}" height="{words.height}"'
            alt = attribute(head.name or head.file)
            yield f'<img src="data:image/{words.kind};base64,{coded}" {size} alt="{alt}">'
        said = [f"<strong>{text(head.name)}</strong>"] if head.name else []
        yield f"<p>{'<br>'.join([*said, *map(text, head.lines)])}</p>"
        yield "</div>"

    def _photo(self, photo: Photo) -> Iterator[str]:
        result = picture(photo)
        if not isinstance(result, str) and self._bytes + len(result.content) * 4 // 3 > MOST:
            result = f"the page already holds {MOST // 1_000_000} MB of pictures"
        yield "<figure>"
        if isinstance(result, str):
            if not photo.problem:
                self.notes.append(f"{photo.file or photo.caption}: {result}")
            yield f'<p class="missing">{text(self._words.not_shown(result))}</p>'
        else:
            coded = b64encode(result.content).decode("ascii")
            self._bytes += len(coded)
            self.scaled |= max(result.width, result.height) >= LONGEST
            size = f'width="{result.width}" height="{result.height}"'
            alt = attribute(photo.caption or photo.file)
            yield f'<img src="data:image/{result.kind};base64,{coded}" {size} alt="{alt}">'
        named = self._words.beside(photo)
        yield f'<figcaption>{text(photo.caption)} <span class="file">{text(named)}</span></figcaption>'
        yield "</figure>"


def _list(items: Sequence[str], name: str = "", before: str = "") -> Iterator[str]:
    yield f'<ul class="{name}">' if name else "<ul>"
    yield from (f"<li>{before}{text(item)}</li>" for item in items)
    yield "</ul>"


def _table(table: Table, caption: str) -> Iterator[str]:
    cards = " cards" if len(table.columns) > NARROW else ""
    yield f'<div class="scroll" role="region" tabindex="0" aria-label="{attribute(caption)}">'
    yield f'<table class="of{len(table.columns)}{cards}">'
    yield f"<caption>{text(caption)}</caption>"
    heads = (f'<th scope="col"{_side(column.numeric)}>{text(column.heading)}</th>' for column in table.columns)
    yield f"<thead><tr>{''.join(heads)}</tr></thead>"
    yield "<tbody>"
    named = len(table.columns) > 1 and not table.columns[0].numeric
    for row in table.rows:
        cells = []
        for place, (column, cell) in enumerate(zip(table.columns, row, strict=True)):
            label = f' data-label="{attribute(column.heading)}"' if cards else ""
            if named and place == 0:
                cells.append(f'<th scope="row"{label}>{text(cell)}</th>')
            else:
                shown = _BRACKET.sub(r'<span class="nb">\g<0></span>', text(cell)) if column.numeric else text(cell)
                if cards and "<" in shown:
                    shown = f"<span>{shown}</span>"  # one piece beside its label on a phone
                cells.append(f"<td{_side(column.numeric)}{label}>{shown}</td>")
        yield f"<tr>{''.join(cells)}</tr>"
    yield "</tbody>"
    yield "</table>"
    yield "</div>"


def _side(numeric: bool) -> str:
    return ' class="n"' if numeric else ""


def _outline(outline: Outline, caption: str) -> Iterator[str]:
    """Yield the tree as lists that fold: closed on a screen, open on paper."""
    yield '<details class="outline">'
    yield f"<summary>{text(caption)}</summary>"
    yield from _branches(branches(outline), " open")
    yield "</details>"


def _branches(reasons: list[Branch], state: str = "") -> Iterator[str]:
    yield "<ul>"
    for branch in reasons:
        if branch.below:
            yield f"<li><details{state}><summary>{text(branch.text)}</summary>"
            yield from _branches(branch.below)
            yield "</details></li>"
        else:
            yield f"<li>{text(branch.text)}</li>"
    yield "</ul>"
