"""A document as Markdown (CommonMark with pipe tables); every text in it is shown literally."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, assert_never

from appraise.report.document import Bullets, Drawing, Facts, FillInLines, Outline, Paragraph, PhotoGrid, Table, Ticks
from appraise.report.report_labels import Furniture
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.report.document import Block, Document, Photo

_SPECIAL = re.compile(r"[\\`*_\[\]<>|~$]")
_ENTITY = re.compile(r"&(?=#?\w+;)")
_MARKER = re.compile(r"[#=]|[+-](?!\d)")
_ADDRESS = re.compile(
    r"(?<=/)/|(?<=[Ww]{3})\.|@|(?<=\w)\.(?=(?i:"
    r"[a-z]{2}|com|edu|gov|net|org|pro|web|xxx|biz|aero|asia|coop|info|museum|name|shop|рф|xn--[a-z0-9-]+)(?![^\W_]))"
)
"""Text that Markdown readers turn into links: addresses of the web, of mail, and names that end like those of hosts."""
_NUMBERED = re.compile(r"\d{1,9}(?=[.)](?: |$))")

DOTS = "." * 40
"""A line to write on."""

NESTED = "  "
"""Indent of one level of a nested list."""


def escape(text: str) -> str:
    """Return text that Markdown shows exactly as it is written, on one line.

    Args:
        text: Anything, also what a person typed.

    Returns:
        The text with every character that could start markup escaped (CommonMark 0.31, section 2.4), addresses among
        it (GitHub Flavored Markdown 0.29, section 6.9, and readers that go further), line breaks as spaces and control
        characters replaced.
    """
    safe = _ADDRESS.sub(r"\\\g<0>", _ENTITY.sub(r"\\&", _SPECIAL.sub(r"\\\g<0>", literal(text))))
    if _MARKER.match(safe):
        return "\\" + safe
    numbered = _NUMBERED.match(safe)
    if numbered is not None:
        return f"{numbered.group()}\\{safe[numbered.end() :]}"
    return safe


def render(document: Document) -> str:
    """Write a document as Markdown.

    Args:
        document: Sections of literal text.

    Returns:
        The whole text, ending in one line feed.
    """
    head = document.letterhead
    said = () if head is None else (head.name, *head.lines)
    lines = [escape(" · ".join(filter(None, said))), ""] if any(said) else []
    lines += [f"# {escape(document.title)}", "", escape(document.subtitle), ""]
    words = Furniture(document.manner)
    for section in document.sections:
        lines += [f"{'#' * (section.level + 1)} {escape(section.title)}", ""]
        for block in section.blocks:
            lines += [*_block(block, words), ""]
    if document.made_from:
        lines += [escape(document.made_from), ""]
    return "\n".join(lines).rstrip("\n") + "\n"


def _block(block: Block, words: Furniture) -> Iterator[str]:
    match block:
        case Paragraph():
            yield escape(block.text)
        case Bullets():
            yield from (f"- {escape(item)}" for item in block.items)
        case Facts():
            yield from _table((("", False), ("", False)), block.rows)
        case Table():
            yield from _table(tuple((column.heading, column.numeric) for column in block.columns), block.rows)
        case Outline():
            yield from (f"{NESTED * depth}- {escape(text)}" for depth, text in block.entries)
        case FillInLines():
            yield from (f"- {escape(label)}: {DOTS}" for label in block.labels)
        case Ticks():
            yield from (f"- ☐ {escape(item)}" for item in block.items)
        case Drawing():
            yield escape(block.says)  # the caption is about what is drawn, and nothing is drawn here
        case PhotoGrid():
            yield from (_photo(photo, words) for row in block.rows for photo in row)
        case _:
            assert_never(block)


def _photo(photo: Photo, words: Furniture) -> str:
    problem = f" ({photo.problem})" if photo.problem else ""
    after = "" if photo.caption.endswith((".", "!", "?")) else ":"
    return f"- {escape(photo.caption)}{after} {escape(f'{words.beside(photo)}{problem}')}"


def _table(columns: tuple[tuple[str, bool], ...], rows: tuple[tuple[str, ...], ...]) -> Iterator[str]:
    yield _row(heading for heading, _ in columns)
    yield "|" + "|".join("---:" if numeric else "---" for _, numeric in columns) + "|"
    for row in rows:
        yield _row(row)


def _row(cells: Iterator[str] | tuple[str, ...]) -> str:
    return "| " + " | ".join(escape(cell) for cell in cells) + " |"
