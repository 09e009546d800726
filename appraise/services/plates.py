"""Photos for a document: found, held to their recorded hash, or the reason why they cannot be shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.document import Photo
from appraise.store.characters import one_line
from appraise.store.crosscheck import photo_problem
from appraise.store.photos import sha256_of

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.case import Remark

_KINDS = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"GIF87a", b"GIF89a", b"RIFF")
"""How the kinds of picture that can be shown begin: PNG, JPEG, GIF, WebP."""

LARGEST = 64 * 1024 * 1024
"""Size of a photo that is still taken into a document [bytes]."""


def photo(folder: Path | None, remark: Remark | None, caption: str) -> Photo:
    """Return the photo of a remark for a document.

    Args:
        folder: Where the case file lies; none: it is not known, so nothing is looked up.
        remark: With its photo, or without; none: there is no remark.
        caption: What stands below it.
    """
    if remark is None or not remark.photo:
        return Photo("", "", caption, None, "none was taken")
    file, sha256 = one_line(remark.photo), one_line(remark.sha256)
    if folder is None:
        return Photo(file, sha256, caption, None, "not looked up")
    path, problem = _found(folder, remark)
    return Photo(file, sha256, caption, path, problem)


def _found(folder: Path, remark: Remark) -> tuple[Path | None, str]:
    if photo_problem(remark.photo):
        return None, "a path out of the folder of the case file"
    try:
        home = folder.resolve()
        path = (home / remark.photo).resolve()
        if not path.is_relative_to(home):
            return None, "a link out of the folder of the case file"
        if not path.is_file():
            return None, "missing: no such file"
        if path.stat().st_size > LARGEST:
            return None, f"larger than {LARGEST // 1024**2} MB"
        with path.open("rb") as stream:
            head = stream.read(12)
        if not head.startswith(_KINDS) or (head.startswith(b"RIFF") and head[8:12] != b"WEBP"):
            return None, "no kind of picture that can be shown"
        if remark.sha256 and (found := sha256_of(path)) != remark.sha256:
            return None, f"another picture than recorded: its SHA-256 begins {found[:12]}"
    except (OSError, ValueError) as error:
        reason = (error.strerror if isinstance(error, OSError) else None) or str(error)
        return None, f"cannot be read: {one_line(reason)}"
    return path, "" if remark.sha256 else "no SHA-256 was recorded"
