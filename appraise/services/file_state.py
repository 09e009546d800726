"""The digest and stamp by which a worksheet knows its file, and whether they still hold."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from appraise.store.files import digest_of, identity, read_all
from appraise.store.read import LARGEST

if TYPE_CHECKING:
    from pathlib import Path


class FileState:
    """The content of a file as it was last read or written here."""

    def __init__(self, path: Path) -> None:
        """Look at a file."""
        self._path = path
        self._folder = identity(path.resolve().parent)
        self._stamp = self._look()
        found = digest(path)
        self._known = (found,) if found else ()

    @property
    def digest(self) -> str:
        """SHA-256 of the content that was last known; empty where there was no file."""
        return self._known[0] if self._known else ""

    @property
    def changed(self) -> bool:
        """True when the file holds something else now, or is gone."""
        stamp = self._look()
        if stamp == self._stamp:
            return False
        if stamp is None or digest(self._path) not in self._known:
            return True
        self._stamp = stamp
        return False

    @property
    def gone(self) -> bool:
        """True when there was a file and there is none now."""
        return bool(self._known) and self._look() is None

    @property
    def moved(self) -> str:
        """Say when another folder has taken the place of the file's own, as when a mount went; else empty."""
        here = identity(self._path.resolve().parent)
        if here == self._folder:
            return ""
        return "that its folder is gone" if here is None else "another folder in the place of its own"

    def know(self, content_digest: str) -> None:
        """Take a content as known."""
        self._known = (content_digest,)
        self._stamp = self._look()

    @property
    def known(self) -> tuple[str, ...]:
        """SHA-256 of every content that may be replaced."""
        return self._known

    def attempt(self, content_digest: str) -> None:
        """Take note of a content that is about to be written: a write that fails at its very end may leave it there."""
        if content_digest not in self._known:
            self._known = (*self._known[:1], *self._known[1:][-6:], content_digest)

    def _look(self) -> tuple[int, int, int] | None:
        try:
            found = os.stat(self._path)  # noqa: PTH116 - one call, as everywhere where time counts
        except (OSError, ValueError):
            return None
        return found.st_mtime_ns, found.st_size, found.st_ino


def digest(path: Path) -> str:
    """Return the SHA-256 of a file; empty where it cannot be read."""
    try:
        return digest_of(read_all(path, LARGEST))
    except (OSError, ValueError):
        return ""
