"""Where the data that travels with the program is found."""

from __future__ import annotations

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
