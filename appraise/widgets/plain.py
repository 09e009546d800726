"""Safe text: what users wrote reaches the screen as letters, never as markup or terminal control."""

from __future__ import annotations

from rich.cells import cell_len, set_cell_size
from textual.content import Content

from appraise.model.unsafe import CONTROL_OR_HIDDEN_OR_BREAK, REPLACEMENT

NO_BREAK = "\N{NO-BREAK SPACE}"
"""Keeps words in their columns where a line is broken."""


def plain(text: str) -> str:
    """Return one line of harmless text: line breaks become spaces, control characters a mark."""
    return CONTROL_OR_HIDDEN_OR_BREAK.sub(REPLACEMENT, " ".join(text.split()) if "\n" in text or "\t" in text else text)


def harmless(text: str) -> str:
    """Return text for an editor: its lines as they are, control characters a mark."""
    return "\n".join(CONTROL_OR_HIDDEN_OR_BREAK.sub(REPLACEMENT, line) for line in text.replace("\t", " ").splitlines())


def piece(text: str, style: str = "") -> Content:
    """Return text as content in one style, with nothing in it taken for markup."""
    return Content.styled(plain(text), style) if style else Content(plain(text))


def fit(text: str, width: int, *, right: bool = False) -> str:
    """Return harmless text in exactly `width` cells, cut with … where it is too long."""
    text = plain(text)
    if width <= 0:
        return ""
    if cell_len(text) > width:
        text = set_cell_size(text, width - 1).rstrip() + "…"
    gap = " " * (width - cell_len(text))
    return gap + text if right else text + gap


def ending(text: str, width: int) -> str:
    """Return a text in at most `width` cells, cut with … at its beginning where it is too long."""
    if cell_len(text) <= width:
        return text
    while text and cell_len(text) > width - 1:
        text = text[1:]
    return f"…{text}" if width > 0 else ""


def wrapped(text: str, width: int, style: str = "", *, indent: int = 0) -> list[Content]:
    """Return a paragraph broken into lines of at most `width` cells, the later ones indented; no-break spaces stay."""
    lines: list[str] = []
    line = ""
    for whole in filter(None, plain(text).split(" ")):
        word = whole
        room = width - (indent if lines else 0)
        while cell_len(word) > room > 0:
            if line:
                lines.append(line)
                line, room = "", width - indent
                continue
            head = set_cell_size(word, room).rstrip() or word[:1]
            lines.append(head)
            word, room = word[len(head) :], width - indent
        if not line:
            line = word
        elif cell_len(line) + 1 + cell_len(word) <= room:
            line = f"{line} {word}"
        else:
            lines.append(line)
            line = word
    if line or not lines:
        lines.append(line)
    pad = " " * indent
    shown = [line.replace(NO_BREAK, " ") for line in lines]
    return [Content.styled((pad if at else "") + text, style) for at, text in enumerate(shown)]
