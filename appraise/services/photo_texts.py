"""A photo in words: what a person is told who does not see it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from appraise.model.case import PhotoFile


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
