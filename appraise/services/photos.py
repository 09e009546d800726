"""The photos of a case: put where they show something, hashed on the way in, found and compared, told in words."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from appraise.model.case import PhotoFile
from appraise.model.lazy_dataclass import dataclass
from appraise.model.message import message
from appraise.model.problem import InputError, Unreadable, quoted
from appraise.model.unsafe import sanitize_line
from appraise.report.document import Photo
from appraise.report.sections.photos import Shot, shots
from appraise.services.fields import get, replace_at
from appraise.store.baseline import earlier_case
from appraise.store.photo_entry import Lying, entered, photos_in
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


WHOLE = ("whole",)
"""Use of a photo that shows the instrument as a whole."""

Use = tuple[str | int, ...]
"""Subject of a photo: `WHOLE`, `("checks", KEY)`, or the field of a remark, `("remarks", 0, "photos")`."""


@dataclass(frozen=True, slots=True)
class Standing:
    """One photo of a case, and what has become of its file."""

    photo: PhotoFile
    shows: tuple[str, ...]
    """The subject in words; empty: nothing in the case uses it."""
    fault: str = ""
    """The fault of the file; empty where it is as it was entered."""
    size: int | None = None
    """[bytes]; none: it is not there."""

    @property
    def words(self) -> str:
        """Say whether the file is the one that was entered."""
        if self.fault:
            return self.fault
        return "as it was entered" if self.photo.sha256 else "not hashed when it was entered"


def photos_at(case: Case, use: Use) -> tuple[str, ...]:
    """Return the photos that show something, in the order of the case."""
    if use == WHOLE:
        return tuple(photo.file for photo in case.photos if photo.whole)
    if use[0] == "checks":
        return tuple(photo.file for photo in case.photos if use[1] in photo.checks)
    files: tuple[str, ...] = get(case, use)
    return files


def with_photos(case: Case, use: Use, files: tuple[str, ...], path: Path) -> Case:
    """Return the case in which exactly these photos show something; one that comes in is hashed.

    Args:
        case: The case as it stands.
        use: What they show.
        files: Paths relative to the case file.
        path: The case file.

    Returns:
        The case; a photo that nothing uses any more has left it.

    Raises:
        InputError: A photo is not there or cannot be read; nothing is changed then.
    """
    folder = resolved(path).parent
    files = tuple(dict.fromkeys(files))
    known = {photo.file: photo for photo in case.photos}
    had = photos_at(case, use)
    for file in files:
        if file not in known and file not in had:
            known[file] = _entered(folder, file)
    rows: Any = tuple(known.values())
    if use == WHOLE:
        rows = tuple(replace(photo, whole=photo.file in files) for photo in rows)
    elif use[0] == "checks":
        key = str(use[1])
        rows = tuple(_at_check(photo, key, shown=photo.file in files) for photo in rows)
    else:
        case = replace_at(case, use, files)
    named = {file for remark in case.remarks for file in remark.photos}
    rows = tuple(photo for photo in rows if photo.whole or photo.checks or photo.file in named)
    return replace(case, photos=rows)


def _at_check(photo: PhotoFile, key: str, *, shown: bool) -> PhotoFile:
    if shown == (key in photo.checks):
        return photo
    return replace(photo, checks=(*photo.checks, key) if shown else tuple(each for each in photo.checks if each != key))


def _entered(folder: Path, file: str) -> PhotoFile:
    made = entered(folder, file)
    if isinstance(made, PhotoFile):
        return made
    raise InputError(f"{made.fault} at {quoted(file)}", f"{made.expected or 'a photo'} beside the case file")


def hashed(case: Case, path: Path) -> Case:
    """Return the case with a digest, and the capture time, of every photo that had no digest and is there."""
    folder = resolved(path).parent
    rows = []
    for file in case.photo_files:
        photo = case.photo(file)
        made = photo if photo.sha256 else entered(folder, file)
        if isinstance(made, PhotoFile):
            rows.append(replace(photo, sha256=made.sha256, taken=photo.taken or made.taken))
        else:
            rows.append(photo)
    return replace(case, photos=tuple(rows)) if any(row.sha256 for row in rows) else case


def standings(case: Case, path: Path, tables: Tables) -> list[Standing]:
    """Return every photo of a case with what it shows and what has become of it."""
    return [
        replace(standing_of(case.photo(file), path), shows=shown_by(case, file, tables)) for file in case.photo_files
    ]


def shown_by(case: Case, file: str, tables: Tables) -> tuple[str, ...]:
    """Return in words what a photo shows; nothing where the case does not use it."""
    return tuple(shot.caption(tables) for shot in shots(case, tables) if shot.photo.file == file)


def standing_of(photo: PhotoFile, path: Path) -> Standing:
    """Return what has become of a photo of the case in a file, what it shows left out."""
    folder = resolved(path).parent
    try:
        state = (folder / photo.file).stat()
        return _standing(folder, photo, state.st_mtime_ns, state.st_size)
    except (OSError, ValueError):
        return _standing.__wrapped__(folder, photo, 0, None)


@lru_cache(maxsize=1024)
def _standing(folder: Path, photo: PhotoFile, _changed: int, size: int | None) -> Standing:
    found = look_for(folder, photo.file, photo.sha256)
    fault = sanitize_line(f"{found.fault}, expected {found.expected}") if found.fault else ""
    if found.of_digest:
        fault = f"changed since it was entered: {fault}"
    elif found.missing:
        fault = "missing since it was entered" if photo.sha256 else "missing"
    return Standing(photo, (), fault, size)


def unused(case: Case, path: Path, tables: Tables) -> list[Lying]:
    """Return the photos in the folder of a case and below that neither it nor its earlier state uses, newest first."""
    used = set(case.photo_files)
    if case.earlier_state is not None:
        with suppress(Unreadable):
            used |= set(earlier_case(path, case.earlier_state, tables)[0].photo_files)
    return [photo for photo in photos_in(resolved(path).parent) if photo.file not in used]
