"""What the commands that list something print with `--json`."""

from __future__ import annotations

from operator import itemgetter
from typing import TYPE_CHECKING, Any

from appraise.report.outputs.fields import (
    ANY,
    DAY,
    NUMBER,
    SHA256,
    TEXT,
    VERSION,
    WHOLE,
    YES_NO,
    Either,
    Field,
    Object,
    Output,
    Type,
    leaf,
    list_of,
    map_of,
    nullable,
    stated,
)
from appraise.store.characters import sanitize_line
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
    from appraise.services.photo_use import Standing as PhotoStanding
    from appraise.services.quick_look import LookRow
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
_FILE: Object[CheckedFile] = Object(file=TEXT, readable=YES_NO, problems=list_of(_PROBLEM), trail=nullable(_TRAIL))
CHECK: Output[Sequence[CheckedFile]] = Output(
    "check", 1, "check CASE… --json", files=list_of(_FILE).of(lambda files: files)
)

_LACK: Object[Missing] = Object(lack=TEXT, what=TEXT, where=TEXT, row=TEXT)
_CASE: Object[tuple[str, Sequence[Missing]]] = Object(
    case=TEXT.of(lambda case: case[0]), missing=list_of(_LACK).of(lambda case: case[1])
)
MISSING: Output[Sequence[tuple[str, Sequence[Missing]]]] = Output(
    "missing", 1, "missing CASE… --json", cases=list_of(_CASE).of(lambda cases: cases)
)

_PART: Object[LookRow] = Object(
    component=TEXT.of(lambda row: row.key),
    label=TEXT,
    station=TEXT,
    preliminary_grade=nullable(NUMBER).of(lambda row: row.grade),
    closed=YES_NO.of(lambda row: bool(row.closed)),
)
LOOK: Output[tuple[str, Sequence[LookRow]]] = Output(
    "look",
    1,
    "look CASE [PART=GRADE …] --json",
    case=_LINE.of(lambda look: look[0]),
    parts=list_of(_PART).of(lambda look: look[1]),
)

SETTINGS: Output[tuple[Path, Mapping[str, Any]]] = Output(
    "settings",
    1,
    "settings --json",
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
PHOTOS: Output[tuple[Sequence[PhotoStanding], Sequence[Lying]]] = Output(
    "photos",
    1,
    "photos CASE --json",
    photos=list_of(_PHOTO).of(lambda found: found[0]),
    unused=list_of(_LYING).of(lambda found: found[1]),
)

SET_BEFORE: Output[EarlierState] = Output(
    "set_before", 1, "loss --set-before PURPOSE CASE --json", file=TEXT, sha256=SHA256, day=DAY
)
"""The frozen copy of the state kept."""

_BY_STANDING: dict[str, Field[Any]] = {each.value: Field(WHOLE, itemgetter(each)) for each in Standing}
_COUNTS: Object[Counter[Standing]] = Object(**_BY_STANDING)
TableCount = tuple[str, int, "Counter[Standing]", int]
"""Name of a table, number of rows, how many are of which standing, how many are the user's."""
_TABLE: Object[TableCount] = Object(
    table=TEXT.of(lambda table: table[0]),
    rows=WHOLE.of(lambda table: table[1]),
    standing=_COUNTS.of(lambda table: table[2]),
    yours=WHOLE.of(lambda table: table[3]),
)
_SOURCES = "sources", 1, "sources [TABLE] --json"
TABLES: Output[tuple[str, Sequence[TableCount]]] = Output(
    *_SOURCES, tables_version=VERSION.of(lambda all_: all_[0]), tables=list_of(_TABLE).of(lambda all_: all_[1])
)
_ROW: Type[Mapping[str, Any]] = map_of(leaf({}))
ROWS: Output[tuple[str, str, Sequence[Mapping[str, Any]]]] = Output(
    *_SOURCES,
    table=TEXT.of(lambda one: one[0]),
    tables_version=VERSION.of(lambda one: one[1]),
    rows=list_of(_ROW).of(lambda one: one[2]),
)
SOURCES = Either(TABLES, ROWS)

_END: Type[float | None] = leaf({"type": ["number", "null"]})
_SPAN: Object[tuple[str, float, float]] = Object(
    label=TEXT.of(lambda span: span[0]), from_=_END.of(lambda span: span[1]), to=_END.of(lambda span: span[2])
)
_PLOT: Object[Plot] = Object(x=TEXT, y=TEXT, points=list_of(list_of(_END)), spans=list_of(_SPAN))


def _records(grid: Grid) -> list[dict[str, Value]]:
    """Return the rows of a table, each with the keys of its columns."""
    keys = [key for key, _, _ in grid.columns]
    return [dict(zip(keys, row, strict=True)) for row in grid.rows]


_GRID: Type[Grid] = Type(list_of(map_of(ANY)).schema, _records)
_BASIS: Object[Basis] = Object(what=TEXT, standing=TEXT, source=TEXT, where=TEXT)
MEASURE: Output[Measurement] = Output(
    "measure",
    1,
    "measure MEASUREMENT … --json",
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
