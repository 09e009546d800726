"""A document as one self-contained HTML page: no script, nothing fetched, every text literal."""

from __future__ import annotations

from importlib.resources import files
from typing import TYPE_CHECKING

from appraise.report.html.blocks import Writer
from appraise.report.html.text import attribute, text
from appraise.report.report_labels import Furniture
from appraise.report.written import Written

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.report.document import Document, Section

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
