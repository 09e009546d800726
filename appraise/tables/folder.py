"""Folders of the data that travels with the program, and of kept results."""

from __future__ import annotations

import hashlib
import os
import tempfile
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from appraise import __version__
from appraise.tables.content import content_of

if TYPE_CHECKING:
    from collections.abc import Iterator

_PACKAGE = Path(__file__).resolve().parent.parent
_LARGEST = 8 * 1024 * 1024
"""Size of a file of tables that is still read [bytes]."""


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
    return _base("XDG_CACHE_HOME", ".cache") / "appraise"


def settings_file() -> Path:
    """Return where the settings are looked for: where APPRAISE_SETTINGS says, else below XDG_CONFIG_HOME or ~/.config.

    Raises:
        RuntimeError: There is no home.
    """
    told = os.environ.get("APPRAISE_SETTINGS", "")
    return Path(told) if told else _base("XDG_CONFIG_HOME", ".config") / "appraise" / "settings.toml"


def settings_there() -> bool:
    """Say whether something lies where the settings are looked for, were it no file that can be read."""
    try:
        settings_file().lstat()
    except (RuntimeError, FileNotFoundError, NotADirectoryError):
        return False
    except (OSError, ValueError):
        return True
    return True


def _base(variable: str, usual: str) -> Path:
    """Return a base folder; the XDG Base Directory Specification has relative paths passed over."""
    stated = os.environ.get(variable, "")
    return Path(stated) if stated and Path(stated).is_absolute() else Path.home() / usual


def keep_in_cache(place: Path, content: bytes) -> None:
    """Write what can be made again, whole or not at all and for its owner alone; where that fails nothing is kept."""
    with suppress(OSError):
        place.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=place.parent, prefix=".", suffix=".tmp")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
            Path(name).replace(place)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise


def digest_of_folder(folder: Path, *packages: str) -> str:
    """Return a SHA-256 over the tables in a folder, name by name and byte by byte, and over the code that reads them.

    Args:
        folder: The folder.
        packages: What of the program has to do with it; none: all of it.

    Raises:
        OSError: A file cannot be read.
    """
    found = hashlib.sha256(f"{__version__}\0".encode())
    places = [_PACKAGE / name for name in packages] or [_PACKAGE]
    for entry in sorted((each for place in places for each in _files(place)), key=lambda entry: entry.path):
        state = entry.stat()
        found.update(f"{entry.path}\0{state.st_mtime_ns}\0{state.st_size}\0".encode())
    for path in sorted(entry.path for entry in _files(folder) if entry.name.endswith((".toml", ".csv"))):
        content = content_of(Path(path), _LARGEST)
        found.update(f"{path[len(str(folder)) :]}\0{len(content)}\0".encode())
        found.update(content)
    return found.hexdigest()


def _files(folder: Path | str) -> Iterator[os.DirEntry[str]]:
    """Yield every file of a folder and of those below it; of the program modules, styles, schemas and words."""
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir():
                if entry.name not in {"__pycache__", "_data"}:
                    yield from _files(entry.path)
            else:
                yield entry
