"""A trail on disk: lines added behind what is known to be there, each on the disk before the call returns."""

from __future__ import annotations

import errno
import os
import stat
from typing import TYPE_CHECKING, Any

from appraise.store.files import alone, identity, opened, put, read_from, sync, sync_folder, system, write_all
from appraise.store.trail import LARGEST, Record, Trail, line_of, parse_trail, trail_path

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from pathlib import Path

_READING = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
_FLAGS = os.O_RDWR | os.O_APPEND | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)

_FIRST_LOOK = 4096
"""Bytes at the end of a trail that are looked at first: a few lines, the last save mostly among them."""


def read_trail(case_file: Path) -> Trail | None:
    """Read the trail beside a case file; none where there is none.

    Raises:
        OSError: It is there and cannot be read, or is larger than any trail.
    """
    return TrailFile(case_file).read()


def read_tail(case_file: Path, enough: Callable[[Sequence[Record]], bool]) -> tuple[Record, ...]:
    """Read the last records of a trail, without the rest of a long one.

    Args:
        case_file: The case that the trail is of.
        enough: Says whether these last records are enough; else more are read.

    Returns:
        The last records in order, their lines counted from the first of them; every record where no fewer are
        enough, and none where there is no trail. Whether the chain holds is not asked.

    Raises:
        OSError: The trail is there and cannot be read, or is larger than any trail.
    """
    try:
        with opened(trail_path(case_file), _READING) as handle:
            _ordinary(handle)
            size = system.fstat(handle).st_size
            if size > LARGEST:
                raise OSError(errno.EFBIG, f"larger than any trail: {size >> 20} MB")
            look = _FIRST_LOOK
            while True:
                start = max(0, size - look)
                os.lseek(handle, start, os.SEEK_SET)
                data = read_from(handle, size - start)
                # The first piece of a line is no line; a block within one line has none at all.
                records = parse_trail(data.partition(b"\n")[2] if start else data).records
                if not start or enough(records):
                    return records
                look *= 8
    except FileNotFoundError:
        return ()


class TrailFile:
    """The trail beside one case file."""

    def __init__(self, case_file: Path) -> None:
        self.path = trail_path(case_file)
        """Path of the trail."""
        self._case_file = case_file.resolve()
        self._folder = identity(self.path.parent)
        self.records: list[Record] = []
        """Every record known to be in the file."""
        self.torn = b""
        """The part of a line that a crash left, until it is dropped."""
        self._head = parse_trail(b"").head
        self._size = 0
        self._exists = False
        self._lines = 0
        self._kept = bytearray()
        self._missing = b""
        self.put_back = 0
        """Lines that had been cut off while they were known here, and stand there again; until it is told."""
        self.replaced = False
        """True where another content had taken the place of the lines known here; until it is told."""

    def read(self) -> Trail | None:
        """Read the file anew; none where there is none.

        Raises:
            OSError: It is there and cannot be read, or is larger than any trail.
        """
        try:
            with opened(self.path, _READING) as handle:
                _ordinary(handle)
                data = read_from(handle, LARGEST + 1)
        except FileNotFoundError:
            self._take(Trail(), b"")
            self._exists = False
            return None
        if len(data) > LARGEST:
            raise OSError(errno.EFBIG, f"larger than any trail: {len(data) >> 20} MB")
        trail = parse_trail(data)
        self._take(trail, data)
        self._exists = True
        return trail

    def append(self, bodies: Sequence[Mapping[str, Any]]) -> None:
        """Add records; when this returns they last through a power cut.

        Records that somebody else has added meanwhile are taken note of first, ours are chained behind them. Of a
        failed attempt nothing stays; what could not be taken back is recognised by `session` and `k`.

        Args:
            bodies: What the records hold, in order.

        Raises:
            OSError: They could not be added, or not so that they last.
        """
        here = identity(self.path.parent)
        if here is None or here != self._folder:
            raise OSError(errno.ENOENT, "the folder is gone, or another has taken its place")
        with opened(self.path, _FLAGS | os.O_CREAT, self._mode()) as handle:
            _ordinary(handle)
            with alone(handle):
                born = not self._exists or system.fstat(handle).st_size == 0
                self._catch_up(handle)
                # A line that somebody forged can hold anything for its number.
                known = {(record.session, repr(record.more.get("k"))) for record in self.records[-len(bodies) - 8 :]}
                missing = [body for body in bodies if (body.get("session"), repr(body.get("k"))) not in known]
                self._add(handle, missing)
        if born:
            sync_folder(self.path.parent)
            self._exists = True

    def _add(self, handle: int, bodies: Sequence[Mapping[str, Any]]) -> None:
        head, lines = self._head, []
        if self.torn:
            system.ftruncate(handle, self._size)
        for body in bodies:
            line, head = line_of(body, head)
            lines.append(line)
        content = b"".join(lines)
        try:
            write_all(handle, self._missing + content)
            sync(handle)
        except BaseException:
            # A short line left standing would be taken for one that a crash cut off; whole ones carry `k`.
            try:
                system.ftruncate(handle, self._size - len(self._missing))
            except OSError:
                self.torn = b"?"
            raise
        trail = parse_trail(content, previous=self._head, first=self._lines + 1)
        self.records += trail.records
        self.put_back += self._missing.count(b"\n")
        self._head, self._size, self._lines = head, self._size + len(content), self._lines + len(lines)
        self._kept += content
        self.torn = self._missing = b""

    def _catch_up(self, handle: int) -> None:
        """Read what the file holds beyond what is known; everything, where something else stands there now.

        What was cut off at its end is known still, and is put back.
        """
        self._missing = b""
        size = system.fstat(handle).st_size
        if size == self._size and not self.torn:
            return
        if size > LARGEST:
            raise OSError(errno.EFBIG, f"larger than any trail: {size >> 20} MB")
        if size >= self._size and self._lines:
            os.lseek(handle, self._size, os.SEEK_SET)
            data = read_from(handle, size - self._size)
            tail = parse_trail(data, previous=self._head, first=self._lines + 1)
            if not tail.breaks:
                self.records += tail.records
                self._head = tail.records[-1].hash if tail.records else self._head
                self._size += tail.whole
                self._lines += len(tail.records)
                self._kept += data[: tail.whole]
                self.torn = tail.torn
                return
        os.lseek(handle, 0, os.SEEK_SET)
        data = read_from(handle, size)
        if size < self._size and bytes(self._kept[:size]) == data:
            self._missing = bytes(self._kept[size:])
        else:
            self.replaced = bool(self._size)
            self._take(parse_trail(data), data)

    @property
    def cut(self) -> bool:
        """True where fewer bytes stand there than are known here, or none."""
        try:
            return system.stat(self.path).st_size < self._size
        except FileNotFoundError:
            return self._size > 0
        except OSError:
            return False

    def _take(self, trail: Trail, data: bytes) -> None:
        self._kept = bytearray(data[: trail.whole])
        self.records = list(trail.records)
        self._head, self._size, self.torn = trail.head, trail.whole, trail.torn
        self._lines = max([*(record.line for record in trail.records), *(one.line for one in trail.breaks)], default=0)

    def copy(self, content: bytes) -> None:
        """Begin with the lines of another trail, whole or not at all.

        Raises:
            OSError: They could not be written, or a trail is there already.
        """
        if self.path.exists():
            raise OSError(errno.EEXIST, f"{self.path.name} is there already")
        if content:
            put(self.path, content, self._mode())
        self._take(parse_trail(content), content)
        self._exists = bool(content)

    @property
    def content(self) -> bytes:
        """Every byte up to the last whole line that is known."""
        return bytes(self._kept)

    def _mode(self) -> int:
        """Return who may read a new trail: those who may read the case."""
        try:
            return stat.S_IMODE(system.stat(self._case_file).st_mode) & 0o666
        except OSError:
            return 0o600


def _ordinary(handle: int) -> None:
    if not stat.S_ISREG(system.fstat(handle).st_mode):
        raise OSError(errno.EINVAL, "not an ordinary file")
