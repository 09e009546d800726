"""JSON of the commands that list something."""

from __future__ import annotations

from operator import itemgetter
from typing import TYPE_CHECKING, Any

from appraise.model.unsafe import sanitize_line
from appraise.report.outputs.fields import (
    ANY,
    DAY,
    NUMBER,
    SHA256,
    TEXT,
    VERSION,
    WHOLE,
    YES_NO,
    Field,
    Object,
    Output,
    Type,
    added,
    either,
    in_order,
    leaf,
    list_of,
    map_of,
    nullable,
    stated,
)
from appraise.tables.rows import Standing

if TYPE_CHECKING:
    from collections import Counter
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from appraise.cli.check import CheckedFile
    from appraise.model.case import EarlierState
    from appraise.model.measurement import Basis, Grid, Measurement, Plot, Value
    from appraise.model.problem import Problem
    from appraise.services.hand_over import Missing
    from appraise.services.papers import Paper
    from appraise.services.photos import Standing as PhotoStanding
    from appraise.services.quick_look import LookRow
    from appraise.services.seals import Seal
    from appraise.services.trail_check import Checked
    from appraise.store.photo_entry import Lying

_LINE: Type[str] = leaf(TEXT.schema({}), sanitize_line)

_PROBLEM: Object[Problem] = Object(
    file=TEXT, line=nullable(WHOLE), key=TEXT, found=TEXT, expected=TEXT, mend=TEXT, grave=YES_NO
)
_TRAIL: Object[Checked] = Object(
    lines=WHOLE,
    head=TEXT,
    matches_file=nullable(YES_NO).of(lambda trail: trail.matches),
    unsaved_steps=WHOLE.of(lambda trail: trail.unsaved),
)
_SEAL: Object[Seal] = Object(file=TEXT, words=stated(TEXT), problem=nullable(_PROBLEM))
_FILE: Object[CheckedFile] = Object(
    file=TEXT,
    readable=YES_NO,
    problems=list_of(_PROBLEM),
    trail=nullable(_TRAIL),
    signatures=added(list_of(_SEAL), lambda found: found.seals),
)
CHECK: Output[Sequence[CheckedFile]] = Output("check", files=list_of(_FILE).of(lambda files: files))

_LACK: Object[Missing] = Object(lack=TEXT, what=TEXT, where=TEXT, row=TEXT)
_CASE: Object[tuple[str, Sequence[Missing]]] = Object(**in_order(case=TEXT, missing=list_of(_LACK)))
MISSING: Output[Sequence[tuple[str, Sequence[Missing]]]] = Output(
    "missing", cases=list_of(_CASE).of(lambda cases: cases)
)

_PART: Object[LookRow] = Object(
    component=TEXT.of(lambda row: row.key),
    label=TEXT,
    station=TEXT,
    preliminary_grade=nullable(NUMBER).of(lambda row: row.grade),
    closed=YES_NO.of(lambda row: bool(row.closed)),
)
LOOK: Output[tuple[str, Sequence[LookRow]]] = Output("look", **in_order(case=_LINE, parts=list_of(_PART)))

SETTINGS: Output[tuple[Path, Mapping[str, Any]]] = Output(
    "settings",
    file=_LINE.of(lambda held: str(held[0])),
    there=YES_NO.of(lambda held: held[0].is_file()),
    settings=map_of(map_of(ANY)).of(lambda held: held[1]),
)

_PHOTO: Object[PhotoStanding] = Object(
    file=_LINE.of(lambda one: one.photo.file),
    size_bytes=nullable(WHOLE).of(lambda one: one.size),
    taken=stated(TEXT).of(lambda one: one.photo.taken),
    sha256=stated(SHA256).of(lambda one: one.photo.sha256),
    shows=list_of(TEXT),
    problem=stated(TEXT).of(lambda one: one.fault),
)
_LYING: Object[Lying] = Object(file=_LINE, size_bytes=WHOLE.of(lambda one: one.size))
_PAPER: Object[Paper] = Object(
    file=_LINE,
    list=TEXT.of(lambda one: one.name),
    number=WHOLE.of(lambda one: one.at + 1),
    sha256=stated(SHA256),
    problem=stated(TEXT).of(lambda one: one.fault),
)
PHOTOS: Output[tuple[Sequence[PhotoStanding], Sequence[Lying], Sequence[Paper]]] = Output(
    "photos",
    **in_order(photos=list_of(_PHOTO), unused=list_of(_LYING)),
    papers=added(list_of(_PAPER).doc("files of quotations and bids"), itemgetter(2)),
)

SET_BEFORE: Output[EarlierState] = Output("set_before", file=TEXT, sha256=SHA256, day=DAY)
"""The frozen copy of the state kept."""

_BY_STANDING: dict[str, Field[Any]] = {each.value: Field(WHOLE, itemgetter(each)) for each in Standing}
_COUNTS: Object[Counter[Standing]] = Object(**_BY_STANDING)
TableCount = tuple[str, int, "Counter[Standing]", int]
"""Name of a table, number of rows, how many are of which standing, how many are the user's."""
_TABLE: Object[TableCount] = Object(**in_order(table=TEXT, rows=WHOLE, standing=_COUNTS, yours=WHOLE))
TABLES: Output[tuple[str, Sequence[TableCount]]] = Output(
    "sources", **in_order(tables_version=VERSION, tables=list_of(_TABLE))
)
ROWS: Output[tuple[str, str, Sequence[Mapping[str, Any]]]] = Output(
    "sources",
    **in_order(table=TEXT, tables_version=VERSION, rows=list_of(map_of(leaf({})))),
)
SOURCES = either(TABLES, ROWS)

_END: Type[float | None] = leaf({"type": ["number", "null"]})
_SPAN: Object[tuple[str, float, float]] = Object(**in_order(label=TEXT, from_=_END, to=_END))
_PLOT: Object[Plot] = Object(x=TEXT, y=TEXT, points=list_of(list_of(_END)), spans=list_of(_SPAN))


def _records(grid: Grid) -> list[dict[str, Value]]:
    """Return the rows of a table, each with the keys of its columns."""
    keys = [key for key, _, _ in grid.columns]
    return [dict(zip(keys, row, strict=True)) for row in grid.rows]


_GRID: Type[Grid] = Type(list_of(map_of(ANY)).schema, _records)
_BASIS: Object[Basis] = Object(what=TEXT, standing=TEXT, source=TEXT, where=TEXT)
MEASURE: Output[Measurement] = Output(
    "measure",
    instrument=TEXT,
    inputs=map_of(ANY).of(lambda m: {figure.key: figure.value for figure in m.inputs}),
    outputs=map_of(ANY).of(lambda m: {figure.key: figure.value for figure in m.outputs}),
    tables=map_of(_GRID).of(lambda m: {grid.key: grid for grid in m.grids}),
    plots=map_of(_PLOT).of(lambda m: {plot.key: plot for plot in m.plots}),
    notes=map_of(TEXT).of(lambda m: {figure.key: figure.note for figure in (*m.inputs, *m.outputs) if figure.note}),
    says=list_of(TEXT),
    cautions=list_of(TEXT),
    sources=list_of(_BASIS).of(lambda m: m.rests_on),
)
"""Every number has its unit in its key."""
