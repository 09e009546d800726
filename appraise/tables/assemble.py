"""Reads every reference table from its text: the program's own, with the user's laid over them."""

from __future__ import annotations

import hashlib
import json
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from appraise.model.problem import Problem, Unreadable
from appraise.tables import rows
from appraise.tables.columns import WrongCellError, shown
from appraise.tables.files import RawRow, nearest, read_rows
from appraise.tables.layout import FILES, LAYOUTS, Layout
from appraise.tables.rows import Row, Source
from appraise.tables.sheet import Sheet
from appraise.tables.validate import validate
from appraise.tables.validate_settings import keep_bounds

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


_AnyRow = Row | Source


def assembled(folder: Path, overlay: Path | None = None) -> rows.Tables:
    """Read the tables of a folder from their text, lay another over them, and hold every rule.

    Args:
        folder: A folder with every table.
        overlay: As for `load.load_tables`.

    Returns:
        All tables.

    Raises:
        Unreadable: As for `load.load_tables`.
    """
    own, own_problems = _own(folder)
    sheets = {name: sheet.copy() for name, sheet in own.items()}
    problems = list(own_problems)
    if overlay is not None:
        for name, path in overlay_files(overlay, problems).items():
            layout = FILES[name]
            raw = read_rows(path, layout, problems, header=False)
            _add(sheets[layout.name], layout, name, raw, problems, yours=True)
    if not problems:
        keep_bounds(own["settings"], sheets["settings"])
        validate(sheets, problems, own)
    if problems:
        raise Unreadable(*problems)
    contents: dict[str, Any] = {name: sheet.rows for name, sheet in sheets.items()}
    return rows.Tables(**contents, version=_version(sheets))


@lru_cache(maxsize=2)
def _own(folder: Path) -> tuple[dict[str, Sheet], tuple[Problem, ...]]:
    """Read the program's own tables once; callers work on copies of the sheets."""
    problems: list[Problem] = []
    sheets = {layout.name: Sheet(layout.name) for layout in LAYOUTS}
    for name, layout in FILES.items():
        path = folder / name
        if path.is_file():
            _add(sheets[layout.name], layout, name, read_rows(path, layout, problems, header=True), problems)
        else:
            problems.append(Problem(str(path), None, "", "no such file", "a table"))
    return sheets, tuple(problems)


def _add(
    sheet: Sheet,
    layout: Layout,
    file: str,
    raw_rows: list[RawRow],
    problems: list[Problem],
    *,
    yours: bool = False,
) -> None:
    """Read the rows of one file into a sheet; only the user's rows may take a key of ours, in the same file."""
    for raw in raw_rows:
        row = _row(layout, file, raw, problems, yours=yours)
        if row is None:
            continue
        earlier = sheet.raw.get(row.key)
        if earlier is not None and (not yours or row.key in sheet.yours or sheet.files[row.key] != file):
            place = f"it is taken at {earlier.file.path}:{earlier.file.line('row', earlier.number, 'key')}"
            problems.append(raw.problem("key", shown(row.key), "a key of its own", place))
            continue
        sheet.rows[row.key] = row
        sheet.raw[row.key] = raw
        sheet.files[row.key] = file
        if yours:
            sheet.yours.add(row.key)


def _row(
    layout: Layout,
    file: str,
    raw: RawRow,
    problems: list[Problem],
    *,
    yours: bool,
) -> _AnyRow | None:
    """Turn the cells of one row into the table's dataclass; none when something is wrong with them."""
    before = len(problems)
    fields: dict[str, object] = {}
    columns = layout.columns
    for name, cell in raw.cells.items():
        column = columns.get(name)
        if column is None:
            mend = nearest(name, columns) or "known are " + ", ".join(columns)
            problems.append(raw.problem(name, "an unknown column", f"a column of {layout.name}", mend))
            continue
        try:
            fields[column.field] = column.read(cell)
        except WrongCellError as wrong:
            problems.append(raw.problem(name, wrong.found, wrong.expected, wrong.mend))
    for name, column in columns.items():
        if column.required and name not in raw.cells:
            problems.append(raw.problem("", f"no {name}", f"every row of {layout.name} to have one"))
    if len(problems) > before:
        return None
    if layout.name != "sources":
        fields["table"] = layout.name
        fields["yours"] = yours
    if layout.name == "checks":
        fields["station"] = file.removeprefix("checks/").removesuffix(".toml")
    return layout.row(**fields)


def _version(sheets: dict[str, Sheet]) -> str:
    content = {name: {key: raw.cells for key, raw in sheet.raw.items()} for name, sheet in sheets.items()}
    text = json.dumps(content, sort_keys=True, default=str, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()[:12]


_FOLDERS = {file.partition("/")[0] for file in FILES if "/" in file}
_SYSTEM = {"Thumbs.db", "desktop.ini"}


def overlay_files(folder: Path, problems: list[Problem]) -> dict[str, Path]:
    """List the table files in a user's folder.

    Args:
        folder: The folder.
        problems: Files that are no table are added here.

    Returns:
        Name as the program's own folder has it, `checks/action.toml` for one → path.
    """
    if not folder.is_dir():
        found = "a file" if folder.exists() else "nothing"
        problems.append(Problem(str(folder), None, "", found, "a folder of tables"))
        return {}
    result: dict[str, Path] = {}
    for path in sorted(_entries(folder)):
        name = path.relative_to(folder).as_posix()
        if name in FILES:
            result[name] = path
            continue
        mend = nearest(name, FILES) or "take it out of this folder"
        problems.append(Problem(str(path), None, "", f"a file named {shown(name)}", "the name of a table", mend))
    return result


def _entries(folder: Path) -> Iterator[Path]:
    for path in folder.iterdir():
        if path.name.startswith(".") or path.name.endswith("~") or path.name in _SYSTEM:
            continue
        if path.name in _FOLDERS and path.is_dir():
            yield from (inner for inner in path.iterdir() if not inner.name.startswith("."))
        else:
            yield path
