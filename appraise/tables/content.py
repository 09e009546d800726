"""The content of a file that somebody named: never waited for, never more than asked, and the file that was seen.

Every file that the program did not write itself is opened here. A pipe or a device would keep a reader waiting, or
feed it without end; looking at a name before opening it says nothing, for the name may lead elsewhere by then.
"""

from __future__ import annotations

import errno
import os
import re
import stat
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from io import BufferedReader


_FLAGS = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0) | getattr(os, "O_BINARY", 0)


class NoFile(OSError):
    """A folder, a pipe or a device where a file was expected; `strerror` says which."""


class TooLarge(OSError):
    """A file larger than may be; `size` is its size [bytes]."""

    def __init__(self, size: int) -> None:
        super().__init__(0, f"a file of {size / 1024**2:.1f} MB")
        self.size = size


def open_file(path: Path, *, follow: bool = True) -> BufferedReader:
    """Open an ordinary file for reading, without waiting for anything.

    Args:
        path: The file.
        follow: Whether the last part of the path may be a link.

    Raises:
        NoFile: It is none.
        OSError: It cannot be opened.
        ValueError: The path cannot be that of a file.
    """
    handle = os.open(path, _FLAGS if follow else _FLAGS | getattr(os, "O_NOFOLLOW", 0))
    try:
        mode = os.fstat(handle).st_mode
        if stat.S_ISDIR(mode):
            raise NoFile(0, "a folder", str(path))
        if not stat.S_ISREG(mode):
            raise NoFile(0, "something that is not a file", str(path))
        return os.fdopen(handle, "rb")
    except BaseException:
        os.close(handle)
        raise


def resolved(path: Path) -> Path:
    """Return where a path leads, all links followed as far as they lead.

    Raises:
        OSError: They go round in a circle, where `Path.resolve` raises a RuntimeError.
    """
    place = Path(os.path.realpath(path))
    if place.is_symlink():
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), str(path))
    return place


def content_of(path: Path, most: int) -> bytes:
    """Return all that an ordinary file holds.

    Args:
        path: The file; a link is followed.
        most: Size that is still read [bytes].

    Raises:
        NoFile: It is none.
        TooLarge: It holds more.
        OSError: It cannot be read.
        ValueError: The path cannot be that of a file.
    """
    with open_file(path) as stream:
        size = os.fstat(stream.fileno()).st_size
        content = stream.read(min(size, most) + 1)  # room is made for as much as is asked for
        if size < len(content) <= most:
            content += stream.read(most + 1 - len(content))
        if len(content) > most:
            raise TooLarge(max(os.fstat(stream.fileno()).st_size, len(content)))
    return content


DEEPEST = 16
"""Nesting of brackets, or parts of a dotted key, that a file may have; an honest one has four. The index of lines has
an entry for every part of every key, so that depth times size bounds the memory."""

_MARK = re.compile(
    r'"""(?:[^"\\]|\\.|"(?!""))*+"{3,5}'
    r"|'''(?:[^']|'(?!''))*+'{3,5}"
    r'|"(?:[^"\\\n]|\\.)*+"'
    r"|'[^'\n]*+'"
    r"|\#[^\n]*+"
    r"|[\[\]{}.=,\n]",
    re.DOTALL,
)


def too_deep_at(text: str) -> int | None:
    """Find where a text nests deeper than `DEEPEST`.

    Args:
        text: Any text; past the first syntax error the answer means nothing, nor is it needed.

    Returns:
        The line, counted from 1; none where nothing is too deep.
    """
    depth = dots = 0
    for match in _MARK.finditer(text):
        mark = match[0]
        if mark == ".":
            dots += 1
        elif mark in "[{":
            depth += 1
            dots = 0
        elif mark in "]}":
            depth = max(0, depth - 1)
        elif mark in "=,\n":
            dots = 0
        if depth > DEEPEST or dots > DEEPEST:
            return text.count("\n", 0, match.start()) + 1
    return None
