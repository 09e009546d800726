"""Files put in place whole, or grown a line at a time: the one place where the store's bytes meet the system."""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import secrets
import time
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

_NOT_OFFERED = frozenset(
    {errno.EINVAL, errno.ENOTSUP, errno.ENOSYS, errno.EACCES, errno.EPERM, errno.EBADF, errno.EISDIR}
)
"""Errors of a system that cannot synchronise a folder, or does not let us."""

_LONGEST_NAME = 255
"""Of one name in a path [bytes], on every usual file system."""

_PIECE = 1 << 20


class System:
    """The calls that writing makes, one attribute each, so that a test can make every one of them fail in turn."""

    open = staticmethod(os.open)
    read = staticmethod(os.read)
    write = staticmethod(os.write)
    fsync = staticmethod(os.fsync)
    ftruncate = staticmethod(os.ftruncate)
    fchmod = staticmethod(os.fchmod)
    fstat = staticmethod(os.fstat)
    stat = staticmethod(os.stat)
    close = staticmethod(os.close)
    replace = staticmethod(os.replace)
    link = staticmethod(os.link)
    unlink = staticmethod(os.unlink)
    mkdir = staticmethod(os.mkdir)


system = System()
"""The system in use."""


@contextlib.contextmanager
def named(name: str) -> Iterator[None]:
    """Have a failure of the system name what was being written: a full disk says no name, a part that of itself.

    Args:
        name: As the person gave it.

    Raises:
        OSError: The failure, by that name; a reader that has gone is passed on as it is.
    """
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        if error.filename is not None and not str(error.filename).endswith(".part"):
            raise
        raise OSError(error.errno, error.strerror or str(error), name) from error


@contextlib.contextmanager
def opened(path: Path, flags: int, mode: int = 0o600) -> Iterator[int]:
    """Open a file descriptor, closed at the end whatever happens.

    Raises:
        OSError: It cannot be opened, or closing says that something was not written.
    """
    handle = system.open(path, flags | getattr(os, "O_CLOEXEC", 0), mode)
    try:
        yield handle
    except BaseException:
        # The first failure is the one to tell.
        with contextlib.suppress(OSError):
            system.close(handle)
        raise
    system.close(handle)


def write_all(handle: int, content: bytes) -> None:
    """Write every byte, however few the system takes at a time.

    Raises:
        OSError: Not all could be written.
    """
    rest = memoryview(content)
    while rest:
        written = system.write(handle, rest)
        if written <= 0:
            raise OSError(errno.EIO, "nothing more is taken")
        rest = rest[written:]


def read_all(path: Path, largest: int) -> bytes:
    """Return a file's content.

    Args:
        path: The file.
        largest: Bytes read at most; one more where the file is larger.

    Raises:
        OSError: It cannot be read.
    """
    # Without waiting: a pipe that nobody writes to would keep a save waiting for ever.
    with opened(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0)) as handle:
        return read_from(handle, largest + 1)


def read_from(handle: int, most: int) -> bytes:
    """Return what stands from here on, at most so many bytes."""
    pieces: list[bytes] = []
    left = most
    while left > 0:
        piece = system.read(handle, min(left, _PIECE))
        if not piece:
            break
        pieces.append(piece)
        left -= len(piece)
    return b"".join(pieces)


def put(target: Path, content: bytes, mode: int | None, *, fsync: bool = True) -> None:
    """Put content in place in one step: a temporary file in the same folder, synchronised, then renamed.

    Args:
        target: The file itself, no link to it.
        content: All of it.
        mode: Permissions; none: those of a new file here.
        fsync: Wait until it would outlast a power cut; not for what can be made again.

    Raises:
        OSError: What was there is as it was, unless only the folder could not be synchronised; then the new
            content is in place and may not last through a power cut.
    """
    part = target.parent / f".{secrets.token_hex(8)}.part"
    try:
        with opened(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL) as handle:
            write_all(handle, content)
            system.fchmod(handle, mode if mode is not None else 0o666 & ~umask())
            if fsync:
                sync(handle)
        system.replace(part, target)
    except BaseException:
        with contextlib.suppress(OSError):
            system.unlink(part)
        raise
    if fsync:
        sync_folder(target.parent)


def sync(handle: int) -> None:
    """Make what was written last through a power cut.

    Raises:
        OSError: That cannot be promised.
    """
    full = getattr(_fcntl(), "F_FULLFSYNC", None)
    if full is not None:
        # Where fsync stops at the drive's cache, the system has a stronger call.
        with contextlib.suppress(OSError):
            _fcntl().fcntl(handle, full)
            return
    system.fsync(handle)


def sync_folder(folder: Path) -> None:
    """Make a new name last through a power cut, where the system offers that.

    Raises:
        OSError: The system offers it and it failed.
    """
    try:
        with opened(folder, os.O_RDONLY) as handle:
            system.fsync(handle)
    except OSError as error:
        if error.errno not in _NOT_OFFERED:
            raise


def make_folders(folder: Path) -> None:
    """Make a folder, and those above it that are missing, so that their names last through a power cut.

    Raises:
        OSError: One cannot be made, or its name cannot be made to last.
    """
    if folder.is_dir():
        return
    make_folders(folder.parent)
    with contextlib.suppress(FileExistsError):
        system.mkdir(folder, 0o777)
    sync_folder(folder.parent)


def umask() -> int:
    """Return the mask new files are made with; it can only be read by setting it."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


def digest_of(content: bytes) -> str:
    """Return the SHA-256 of some bytes, in hexadecimal."""
    return hashlib.sha256(content).hexdigest()


def identity(path: Path) -> tuple[int, int] | None:
    """Return what tells a file or folder from another that has taken its name; none where there is none."""
    try:
        found = system.stat(path)
    except OSError:
        return None
    return found.st_dev, found.st_ino


def beside(target: Path, suffix: str, *, stem: str | None = None) -> Path:
    """Return the name of a file that belongs to another, cut with a mark of its own where it would be too long.

    Args:
        target: The file it belongs to.
        suffix: What is added.
        stem: What it is added to; none: the whole name.
    """
    name = target.name if stem is None else stem
    raw = os.fsencode(name)
    room = _LONGEST_NAME - len(os.fsencode(suffix))
    if len(raw) > room:
        mark = f"~{digest_of(raw)[:8]}"
        name = raw[: room - len(mark)].decode("utf-8", errors="ignore") + mark
    return target.parent / f"{name}{suffix}"


@contextlib.contextmanager
def alone(handle: int) -> Iterator[None]:
    """Keep other processes that ask in the same way out for as long as this lasts.

    Raises:
        TimeoutError: Another has held it for half a second.
    """
    fcntl = _fcntl()
    if fcntl is None:
        yield
        return
    for turn in range(51):
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            break
        except BlockingIOError:
            if turn == 50:
                raise TimeoutError(errno.ETIMEDOUT, "another program keeps it busy") from None
            time.sleep(0.01)
        except OSError:
            # A file system without such locks; what follows is still done by steps that exclude each other.
            break
    try:
        yield
    finally:
        with contextlib.suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_UN)


def _fcntl() -> Any:  # noqa: ANN401 - a module that not every system has
    try:
        import fcntl
    except ImportError:
        return None
    return fcntl
