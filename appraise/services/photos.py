"""The photos of a case as a document holds them: found and compared, or the reason why one is not shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message
from appraise.report.document import Photo
from appraise.report.sections.photos import NOT_LOOKED_FOR, captioned
from appraise.store.characters import one_line
from appraise.store.photos import is_picture, look_for
from appraise.tables.content import resolved

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.case import Case, Remark
    from appraise.tables.rows import Tables


def photos_of(path: Path, case: Case, tables: Tables) -> tuple[Photo, ...]:
    """Look for every photo that a case names, beside its file.

    Args:
        path: The case file; photos are found relative to it, and none outside its folder is opened.
        case: What it holds.
        tables: The rows that name the places in the captions.

    Returns:
        One photo for every remark that has one, in the order of the case.
    """
    folder = resolved(path).parent
    return tuple(photo_beside(folder, remark, tables) for remark in case.remarks if remark.photo)


def photo_beside(folder: Path | None, remark: Remark | None, tables: Tables) -> Photo:
    """Look for the photo of one remark.

    Args:
        folder: Of the case file, links resolved; none: it is not known.
        remark: With a photo or without; none: there is no remark.
        tables: The rows that name its place.
    """
    if remark is None or not remark.photo:
        return Photo("", "", "", None, message("none was taken"))
    if folder is None:
        return captioned(remark, tables, problem=NOT_LOOKED_FOR)
    found = look_for(folder, remark.photo, remark.sha256)
    if found.path is None:
        problem = one_line(f"found {found.fault}, expected {found.expected}")
        return captioned(remark, tables, problem=problem)
    if not is_picture(found.path):
        return captioned(remark, tables, problem=message("found no picture, expected a PNG, JPEG, GIF or WebP file"))
    return captioned(remark, tables, path=found.path)
