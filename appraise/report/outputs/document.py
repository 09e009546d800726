"""Parts of a JSON report beside its figures: the page as data, its trail, the rows used."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from appraise.report.document import Bullets, Drawing, Facts, FillInLines, Outline, Paragraph, PhotoGrid, Table, Ticks
from appraise.report.outputs.fields import (
    DAY,
    LITERAL,
    SHA256,
    TEXT,
    WHOLE,
    YES_NO,
    Object,
    Type,
    in_order,
    list_of,
    map_of,
    nullable,
    number,
    one_of,
    optional,
    stated,
)
from appraise.tables.digests import row_digests

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.model.chart import Chart
    from appraise.report.document import Block, Column, Document, Letterhead, Photo, Section
    from appraise.report.outputs.fields import Json, Schema
    from appraise.report.provenance import Standing
    from appraise.tables.rows import Tables

_FIGURE = number(6)
"""A figure in a chart: more decimals than any page can show."""


def _plain(value: Any) -> Any:  # noqa: ANN401 - any field of a chart
    """Return a chart's fields with its figures rounded and its tuples as lists."""
    if isinstance(value, float):
        return _FIGURE.dump(value)
    if isinstance(value, dict):
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(inner) for inner in value]
    return value


def _chart(chart: Chart) -> Json:
    return {"kind": type(chart).__name__.lower(), **_plain(asdict(chart))}


_CHART: Type[Chart] = Type(lambda defs: {**Object(kind=TEXT).schema(defs), "additionalProperties": True}, _chart)
_PHOTO: Object[Photo] = Object(file=TEXT, sha256=stated(SHA256), taken=stated(TEXT), caption=TEXT, problem=stated(TEXT))
_COLUMN: Object[Column] = Object(heading=TEXT, numeric=YES_NO)
_ENTRY: Object[tuple[int, str]] = Object(**in_order(depth=WHOLE, text=TEXT))
_CELLS = list_of(list_of(TEXT))

BLOCKS: Mapping[type[Block], tuple[str, Object[Any]]] = {
    Paragraph: ("paragraph", Object(text=TEXT)),
    Bullets: ("bullets", Object(items=list_of(TEXT))),
    Ticks: ("ticks", Object(items=list_of(TEXT))),
    Facts: ("facts", Object(rows=_CELLS)),
    Table: ("table", Object(columns=list_of(_COLUMN), rows=_CELLS)),
    Outline: ("outline", Object(entries=list_of(_ENTRY))),
    FillInLines: ("blanks", Object(labels=list_of(TEXT))),
    Drawing: ("drawing", Object(caption=TEXT, says=TEXT, chart=_CHART)),
    PhotoGrid: ("plates", Object(rows=list_of(list_of(_PHOTO)))),
}
"""Every block: its `kind`, and its fields. Where a picture lies on this machine stays out."""


def _block_schema(defs: Schema) -> Schema:
    kinds = (Object(kind=one_of(kind), **fields.fields) for kind, fields in BLOCKS.values())
    return {"anyOf": [kind.schema(defs) for kind in kinds]}


def _block(block: Block) -> Json:
    kind, fields = BLOCKS[type(block)]
    return {"kind": kind, **fields.dump(block)}


_SECTION: Object[Section] = Object(
    key=stated(TEXT), title=TEXT, level=WHOLE, blocks=list_of(Type(_block_schema, _block))
)

_HEAD: Object[Letterhead] = Object(name=TEXT, lines=list_of(TEXT), file=TEXT, sha256=stated(SHA256))

DOCUMENT: Object[Document] = Object(
    title=TEXT,
    subtitle=TEXT,
    author=TEXT,
    footer=TEXT,
    made_from=TEXT,
    letterhead=optional(_HEAD, lambda document: document.letterhead),
    sections=list_of(_SECTION),
)
"""The same sections and cells that every format shows."""

_AMENDS: Object[Standing] = Object(day=DAY, sha256=LITERAL)
_TRAIL: Object[Standing] = Object(line=WHOLE, hash=LITERAL)

STANDING: Object[Standing] = Object(
    amends=nullable(_AMENDS).of(lambda standing: None if standing.day is None else standing),
    trail=nullable(_TRAIL).of(lambda standing: standing if standing.line else None),
)
"""Provenance of a report: the report it amends and its line in the trail."""

_DIGESTS = map_of(TEXT.doc("a digest of the row"))
ROWS: Type[Tables] = Type(_DIGESTS.schema, row_digests)
