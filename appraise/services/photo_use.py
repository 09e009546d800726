"""Which photo of a case shows what: put there, hashed on the way in, and listed with what has become of the file."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from appraise.model.case import PhotoFile
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import InputError, Unreadable, quoted
from appraise.model.unsafe import sanitize_line
from appraise.report.sections.photos import shots
from appraise.services.fields import get, replace_at
from appraise.store.baseline import earlier_case
from appraise.store.photo_entry import Lying, entered, photos_in
from appraise.store.photos import look_for
from appraise.tables.content import resolved

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.tables.rows import Tables

WHOLE = ("whole",)
"""Use of a photo that shows the instrument as a whole."""

Use = tuple[str | int, ...]
"""What photos show: `WHOLE`, `("checks", KEY)`, or the field of a remark, `("remarks", 0, "photos")`."""


@dataclass(frozen=True, slots=True)
class Standing:
    """One photo of a case, and what has become of its file."""

    photo: PhotoFile
    shows: tuple[str, ...]
    """What it shows, in words; empty: nothing in the case uses it."""
    fault: str = ""
    """What is wrong with the file; empty where it is as it was entered."""
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
