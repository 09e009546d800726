"""The user's own folder of tables: the same file names, rows replaced by key or added."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.problem import Problem
from appraise.tables.columns import shown
from appraise.tables.files import nearest
from appraise.tables.layout import FILES

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

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
