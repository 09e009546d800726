"""A document as data: the same sections and cells that every format shows, for readers that are programs."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any, assert_never

from appraise.report.document import Bullets, Drawing, Facts, FillInLines, Outline, Paragraph, PhotoGrid, Table, Ticks

if TYPE_CHECKING:
    from appraise.report.document import Block, Document
    from appraise.report.json_parts import Json

PLACES = 6
"""Decimals of a figure in a chart: more than any page can show."""


_KINDS: dict[type, str] = {PhotoGrid: "plates", FillInLines: "blanks"}
"""Blocks that the published schema calls by another name than their class."""


def kind_of(block: Block) -> str:
    """Return what the schema calls a block."""
    return _KINDS.get(type(block), type(block).__name__.lower())


def document_object(document: Document) -> Json:
    """Return a document as one JSON object.

    Keys: `title`, `subtitle`, `author`, `footer`, `made_from` and `sections`, each with `key`, `title`, `level` and
    `blocks`. A block has a `kind` (paragraph, bullets, facts, table, outline, blanks, ticks, drawing, plates) and the
    fields of that kind as `report.document` names them; a chart has a `kind` too. Where a picture lies on this machine
    stays out.
    """
    return {
        "title": document.title,
        "subtitle": document.subtitle,
        "author": document.author,
        "footer": document.footer,
        "made_from": document.made_from,
        "sections": [
            {
                "key": section.key or None,
                "title": section.title,
                "level": section.level,
                "blocks": [{"kind": kind_of(block), **_block(block)} for block in section.blocks],
            }
            for section in document.sections
        ],
    }


def _block(block: Block) -> Json:
    match block:
        case Paragraph():
            return {"text": block.text}
        case Bullets() | Ticks():
            return {"items": list(block.items)}
        case Facts():
            return {"rows": [list(row) for row in block.rows]}
        case Table():
            columns = [{"heading": column.heading, "numeric": column.numeric} for column in block.columns]
            return {"columns": columns, "rows": [list(row) for row in block.rows]}
        case Outline():
            return {"entries": [{"depth": depth, "text": text} for depth, text in block.entries]}
        case FillInLines():
            return {"labels": list(block.labels)}
        case Drawing():
            chart = {"kind": type(block.chart).__name__.lower(), **_rounded(asdict(block.chart))}
            return {"caption": block.caption, "says": block.says, "chart": chart}
        case PhotoGrid():
            rows = [
                [
                    {
                        "file": photo.file,
                        "sha256": photo.sha256 or None,
                        "taken": photo.taken or None,
                        "caption": photo.caption,
                        "problem": photo.problem or None,
                    }
                    for photo in row
                ]
                for row in block.rows
            ]
            return {"rows": rows}
        case _:
            assert_never(block)


def _rounded(value: Any) -> Any:  # noqa: ANN401 - any field of a chart
    """Return a chart's fields with its figures rounded and its tuples as lists."""
    if isinstance(value, float):
        return round(value, PLACES) + 0.0
    if isinstance(value, dict):
        return {key: _rounded(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(inner) for inner in value]
    return value
