"""Names of case files as a person types them."""

from __future__ import annotations

from pathlib import Path

from appraise.model.problem import InputError, quoted
from appraise.model.unsafe import error_text, sanitize_line

_LONGEST = 240
"""Letters of a path that a message holds; of a longer one it shows the end, which is what was typed."""


def free_path(text: str, folder: Path) -> Path:
    """Return where a new case file goes.

    Args:
        text: A name, or a path; `~` is the home folder, and the ending may be left out.
        folder: Where a bare name goes.

    Raises:
        InputError: It is no name for a case file, its folder is missing, or the file is there already.
    """
    typed = text.strip()
    if not typed or "\x00" in typed:
        raise InputError("write a name for the file")
    try:
        path = folder / Path(typed).expanduser()
    except RuntimeError:
        raise InputError(quoted(typed), "a home folder that is there") from None
    if path.suffix != ".toml":
        path = path.with_name(f"{path.name}.toml")
    if path.name.startswith("."):
        raise InputError("a name that does not begin with a dot, or the list of cases would not show it")
    try:
        if not path.parent.is_dir():
            raise InputError(f"there is no folder {_shown(str(path.parent))}")
        if path.exists() or path.is_symlink():
            raise InputError(f"{_shown(path.name)} is there already: choose another name")
    except OSError as error:
        raise InputError(f"{_shown(str(path))}: {error_text(error)}") from None
    return path


def _shown(path: str) -> str:
    whole = sanitize_line(path)
    return whole if len(whole) <= _LONGEST else "…" + whole[1 - _LONGEST :]
