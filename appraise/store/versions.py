"""Earlier versions of a case file: the last beside it as `NAME.toml~`, those before in the hidden folder, a few."""

from __future__ import annotations

import contextlib
import os
import re
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from appraise.store.files import beside, put, sync_folder, system
from appraise.store.lock import HIDDEN

if TYPE_CHECKING:
    from pathlib import Path

USUAL = 8
"""Versions kept unless the environment says otherwise; our assumption."""

_STAMP = re.compile(r"\.\d{8}T\d{12}Z~")


def kept() -> int:
    """Return how many earlier versions are kept: APPRAISE_VERSIONS of the environment, 1 to 99, else the usual."""
    stated = os.environ.get("APPRAISE_VERSIONS", "")
    return min(99, max(1, int(stated))) if stated.isascii() and stated.isdigit() and len(stated) < 6 else USUAL


def keep_version(target: Path, content: bytes, mode: int | None, *, most: int) -> None:
    """Keep the content that a save is about to replace.

    Args:
        target: The case file itself.
        content: What it holds.
        mode: Permissions for the copy.
        most: Versions kept, this one among them.

    Raises:
        OSError: It could not be kept; nothing was taken away.
    """
    last = beside(target, "~")
    if most > 1 and last.exists():
        # A hard link first and the new version then: at no moment is one of them nowhere.
        older = _older_name(target, last)
        with contextlib.suppress(FileExistsError):
            system.mkdir(older.parent, 0o755)
        try:
            system.link(last, older)
        except FileExistsError:
            pass  # kept already
        except OSError:  # a file system without hard links
            put(older, last.read_bytes(), mode)
        # The new version takes the name of this one: until the older name lasts, a power cut could take both.
        sync_folder(older.parent)
        sync_folder(target.parent)
    put(last, content, mode)
    for old in versions(target)[most - 1 :]:
        with contextlib.suppress(OSError):
            system.unlink(old)


def versions(target: Path) -> list[Path]:
    """Return the versions before `NAME.toml~`, the youngest first."""
    start = _older_stem(target).name
    try:
        names = [path for path in _older_stem(target).parent.iterdir() if path.name.startswith(start)]
    except OSError:
        return []
    return sorted((path for path in names if _STAMP.fullmatch(path.name[len(start) :])), reverse=True)


def _older_stem(target: Path) -> Path:
    """Return the name that every older version begins with, short enough for what follows it."""
    room = "." + "0" * 22 + "~"
    made = beside(target.parent / HIDDEN / target.name, room)
    return made.with_name(made.name.removesuffix(room))


def _older_name(target: Path, last: Path) -> Path:
    when = datetime.fromtimestamp(system.stat(last).st_mtime_ns / 1e9, UTC)
    stem = _older_stem(target)
    return stem.with_name(f"{stem.name}.{when:%Y%m%dT%H%M%S%f}Z~")
