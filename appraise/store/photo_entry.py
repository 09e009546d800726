"""A photo entered: hashed, its capture time kept; and the photos that lie beside a case."""

from __future__ import annotations

import os
import re
import warnings
from datetime import datetime
from typing import TYPE_CHECKING

from appraise.model.case import PhotoFile
from appraise.model.lazy_dataclass import dataclass
from appraise.store.photos import Found, look_for
from appraise.tables.content import open_file, resolved

if TYPE_CHECKING:
    from pathlib import Path

SHOWN = (".jpg", ".jpeg", ".png", ".gif", ".webp")
"""Endings of the kinds of picture that documents show."""

ENDINGS = (*SHOWN, ".heic", ".heif", ".tif", ".tiff")
"""Endings of files that are taken for photos."""

MOST = 5_000
"""Photos of a folder that are listed at most: the newest of those met first."""

DEEPEST = 6
"""Folders within folders that are looked into."""

_LONGEST = 500
"""Characters of a path that a case file takes."""

_MOST_ENTRIES = 50_000
"""Names looked at before the search is given up: a case file in the root of a disk must not keep anybody waiting."""

_DATE_TIME_ORIGINAL, _OFFSET_ORIGINAL = 0x9003, 0x9011
"""Tags of Exif 2.32 (CIPA DC-008), both in the Exif IFD: when the picture was taken, and its offset from UTC."""

_EXIF_IFD = 0x8769
_READ = ("JPEG", "PNG", "WEBP", "TIFF")
"""Kinds of picture with such tags, as Pillow names them."""

_OFFSET = re.compile(r"[+-]\d\d:\d\d\Z")


@dataclass(frozen=True, slots=True)
class Lying:
    """A photo that lies in the folder of a case."""

    file: str
    """Path relative to the folder."""
    size: int
    """[bytes]"""
    changed: float
    """When the file was last changed [seconds since 1970]."""


def entered(folder: Path, file: str) -> PhotoFile | Found:
    """Return what is kept of a photo: its digest, and when the camera says that it was taken.

    Args:
        folder: The case file's folder, links resolved.
        file: Path relative to it.

    Returns:
        The entry, or what is wrong with the photo.
    """
    found = look_for(folder, file, "")
    return found if found.path is None else PhotoFile(file, found.sha256, capture_time(found.path))


def capture_time(path: Path) -> str:
    """Return when a picture was taken, by the Exif tags DateTimeOriginal and OffsetTimeOriginal.

    Nothing is unpacked: only the picture's head is read.

    Args:
        path: The file, all links resolved.

    Returns:
        As 2026-11-20T10:23:45+01:00, without an offset where the camera wrote none; empty where there is no such tag,
        what it holds is no date, or the file is no picture that can be read.
    """
    from PIL import Image

    try:
        with warnings.catch_warnings(), open_file(path, follow=False) as stream:
            warnings.simplefilter("ignore")
            with Image.open(stream, formats=_READ) as picture:
                if picture.format == "PNG" and "exif" not in picture.info:
                    return ""  # the library would unpack the picture to look behind it
                tags = picture.getexif().get_ifd(_EXIF_IFD)
        when = datetime.strptime(_text(tags.get(_DATE_TIME_ORIGINAL)), "%Y:%m:%d %H:%M:%S")
    except Exception:  # noqa: BLE001 - whatever a broken picture makes the library raise
        return ""
    offset = _text(tags.get(_OFFSET_ORIGINAL))
    return when.isoformat() + (offset if _OFFSET.match(offset) else "")


def _text(tag: object) -> str:
    text = tag.decode("ascii", "replace") if isinstance(tag, bytes) else str(tag or "")
    return text.strip(" \0")


def inside(folder: Path, file: str) -> Path | None:
    """Return where a photo lies, links resolved; none where it is not there or not in the folder.

    Args:
        folder: The case file's folder, links resolved.
        file: Path relative to it.
    """
    try:
        path = resolved(folder / file)
        return path if path.is_relative_to(folder) and path.is_file() else None
    except (OSError, ValueError):
        return None


def photos_in(folder: Path) -> list[Lying]:
    """Return the photos of a folder and of those below it, newest first; hidden ones and links are passed over.

    Args:
        folder: The case file's folder.
    """
    home = str(resolved(folder))
    found: list[Lying] = []
    seen = 0
    for place, below, names in os.walk(home):
        inside = os.path.relpath(place, home)
        depth = 0 if inside == "." else inside.count(os.sep) + 1
        below[:] = [] if depth >= DEEPEST else sorted(name for name in below if not name.startswith("."))
        for name in names:
            seen += 1
            if name.startswith(".") or not name.lower().endswith(ENDINGS):
                continue
            full = os.path.join(place, name)  # noqa: PTH118 - many of them
            try:
                state = os.lstat(full)
            except OSError:
                continue
            if os.path.isfile(full) and not os.path.islink(full):  # noqa: PTH113, PTH114
                file = os.path.relpath(full, home).replace(os.sep, "/")
                if file.isprintable() and len(file) <= _LONGEST:
                    found.append(Lying(file, state.st_size, state.st_mtime))
        if len(found) > MOST or seen > _MOST_ENTRIES:
            break
    return sorted(found, key=lambda photo: (-photo.changed, photo.file))[:MOST]
