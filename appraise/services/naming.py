"""Names of case files as a person types them."""

from __future__ import annotations

from pathlib import Path

from appraise.services.refused import Refused, quoted
from appraise.store.characters import one_line, told_by

_LONGEST = 240
"""Letters of a path that a message holds; of a longer one it shows the end, which is what was typed."""


def free_path(text: str, folder: Path) -> Path:
    """Return where a new case file goes.

    Args:
        text: A name, or a path; `~` is the home folder, and the ending may be left out.
        folder: Where a bare name goes.

    Raises:
        Refused: It is no name for a case file, its folder is missing, or the file is there already.
    """
    typed = text.strip()
    if not typed or "\x00" in typed:
        raise Refused("write a name for the file")
    try:
        path = folder / Path(typed).expanduser()
    except RuntimeError:
        raise Refused(f"found {quoted(typed)}, expected a home folder that is there") from None
    if path.suffix != ".toml":
        path = path.with_name(f"{path.name}.toml")
    if path.name.startswith("."):
        raise Refused("a name that does not begin with a dot, or the bench would not list it")
    try:
        if not path.parent.is_dir():
            raise Refused(f"there is no folder {_shown(str(path.parent))}")
        if path.exists() or path.is_symlink():
            raise Refused(f"{_shown(path.name)} is there already: choose another name")
    except OSError as error:
        raise Refused(f"{_shown(str(path))}: {told_by(error)}") from None
    return path


def _shown(path: str) -> str:
    whole = one_line(path)
    return whole if len(whole) <= _LONGEST else "…" + whole[1 - _LONGEST :]
