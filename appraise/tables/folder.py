"""Where the data that travels with the program is found, and where results are kept."""

from __future__ import annotations

import os
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent


def data_folder(name: str) -> Path:
    """Return a folder of data that ships with the program.

    Args:
        name: "reference_tables" or "sample_cases".

    Returns:
        The folder inside an installed wheel, else the one at the top of the checkout.

    Raises:
        FileNotFoundError: Neither place has it.
    """
    for folder in (_PACKAGE / "_data" / name, _PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"the program's own folder {name!r} is missing: install it again")


def cache_folder() -> Path:
    """Return where results are kept between runs: below XDG_CACHE_HOME, else below ~/.cache.

    Raises:
        RuntimeError: There is no home.
    """
    stated = os.environ.get("XDG_CACHE_HOME", "")
    # The XDG Base Directory Specification has relative paths passed over.
    base = Path(stated) if stated and Path(stated).is_absolute() else Path.home() / ".cache"
    return base / "appraise"
