"""The photos of a case as a document holds them: found and compared, or the reason why one is not shown."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.model.message import message
from appraise.model.unsafe import sanitize_line
from appraise.report.document import Photo
from appraise.report.sections.photos import Shot, shots
from appraise.store.photos import is_picture, look_for
from appraise.tables.content import resolved

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.case import Case, PhotoFile, Remark
    from appraise.tables.rows import Tables


def photos_of(path: Path, case: Case, tables: Tables) -> tuple[Photo, ...]:
    """Look for every photo that a case names, beside its file.

    Args:
        path: The case file; photos are found relative to it, and none outside its folder is opened.
        case: What it holds.
        tables: The rows that name the places in the captions.

    Returns:
        One photo for every place at which one is used: of the whole, of checks, of remarks.
    """
    folder = resolved(path).parent
    return tuple(_looked_for(folder, shot, tables) for shot in shots(case, tables))


def photos_beside(folder: Path | None, case: Case, remark: Remark | None, tables: Tables) -> tuple[Photo, ...]:
    """Look for the photos of one remark.

    Args:
        folder: Of the case file, links resolved; none: it is not known.
        case: What it holds.
        remark: With photos or without; none: there is no remark.
        tables: The rows that name its place.
    """
    files = () if remark is None else remark.photos
    return tuple(_looked_for(folder, Shot(case.photo(file), case.identity.kind, remark), tables) for file in files)


def no_photo() -> Photo:
    """Return what stands in the place of a photo that the file does not have."""
    return Photo("", "", "", problem=message("none in the file"))


def _looked_for(folder: Path | None, shot: Shot, tables: Tables) -> Photo:
    plate = shot.plate(tables)
    if folder is None:
        return plate
    found = look_for(folder, shot.photo.file, shot.photo.sha256)
    if found.path is None:
        return replace(plate, problem=sanitize_line(f"found {found.fault}, expected {found.expected}"))
    if not is_picture(found.path):
        return replace(plate, problem=message("found no picture, expected a PNG, JPEG, GIF or WebP file"))
    return replace(plate, path=found.path, problem="")


def size_words(size: int | None) -> str:
    """Return the size of a file as people read it."""
    if size is None:
        return "no file"
    return f"{size / 1e6:,.1f} MB" if size >= 1_000_000 else f"{max(size, 1) / 1e3:,.1f} kB"


def taken_words(taken: str) -> str:
    """Return when a photo was taken, as the camera says."""
    return f"taken {taken.replace('T', ' ')}" if taken else "capture time not recorded"


def photo_lines(photo: PhotoFile, size: int | None) -> tuple[str, ...]:
    """Return size, capture time, digest and caption of a photo, a line each."""
    digest = f"SHA-256 {photo.sha256}" if photo.sha256 else "no SHA-256 recorded"
    caption = (f"caption: {photo.caption}",) if photo.caption else ()
    marked = (f"marked: {photo.mark} (per cent from the left and the top)",) if photo.mark else ()
    return (f"size {size_words(size)}", taken_words(photo.taken), digest, *caption, *marked)
