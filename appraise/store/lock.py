"""Who is at work on a case: a small file in the hidden folder beside it, removed at the end, recognised when stale."""

from __future__ import annotations

import atexit
import contextlib
import getpass
import json
import os
import secrets
import socket
import time
from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from appraise.model.lazy_dataclass import dataclass
from appraise.model.unsafe import sanitize_line
from appraise.store.files import alone, beside, identity, opened, read_all, system, write_all

HIDDEN = ".appraise"
"""The folder beside the cases that holds locks while they last, and older versions."""

OLD = 12 * 3600.0
"""Age from which a lock of another machine is doubted [s]; our assumption: longer than a day's inspection."""

_LARGEST = 4096


@dataclass(frozen=True, slots=True)
class Holder:
    """Who has a case open."""

    user: str
    host: str
    pid: int
    since: str
    """UTC, ISO 8601."""
    session: str
    boot: str = ""
    """Which run of the machine; empty where the system does not say."""
    started: str = ""
    """When the process began, in ticks of that run: a process id is used again."""

    def __str__(self) -> str:
        when = f"{self.since[:10]} {self.since[11:16]} UTC"
        return f"{self.user} on {self.host}, process {self.pid}, since {when}"


@dataclass(frozen=True, slots=True)
class Held:
    """The lock belongs to somebody else."""

    by: Holder
    doubtful: bool
    """True for a lock of another machine that nobody has touched for long: a person may decide to take it over."""


def me(session: str = "") -> Holder:
    """Return this process as a holder, in a session of its own unless one is named."""
    now = datetime.now(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
    return Holder(
        user_name(), host_name(), os.getpid(), now, session or secrets.token_hex(6), _boot(), _started(os.getpid())
    )


def user_name() -> str:
    """Return the name of the system's user."""
    try:
        return sanitize_line(getpass.getuser())[:64]
    except (OSError, KeyError, ImportError):
        return f"uid {os.getuid()}" if hasattr(os, "getuid") else "somebody"


def host_name() -> str:
    """Return the name of this machine."""
    return sanitize_line(socket.gethostname())[:64] or "this machine"


class Lock:
    """The lock of one case."""

    def __init__(self, case_file: Path, holder: Holder) -> None:
        target = case_file.resolve()
        self.path = beside(target.parent / HIDDEN / target.name, ".lock")
        """Path of the lock."""
        self.holder = holder
        """Whose it is once taken."""
        self._taken = False
        self._home = identity(target.parent)

    @property
    def displaced(self) -> bool:
        """True when another folder has taken the place of the case's own, as when a mount went."""
        return identity(self.path.parent.parent) != self._home

    def take(self, *, doubtful: bool = False) -> Held | None:
        """Take the lock.

        Args:
            doubtful: Also where another machine left it long ago.

        Returns:
            None when it is ours, or who has it.

        Raises:
            OSError: There can be no lock here: a read-only folder, a full disk.
        """
        folder = self.path.parent
        with contextlib.suppress(FileExistsError):
            system.mkdir(folder, 0o755)
        with opened(folder, os.O_RDONLY) as handle, alone(handle):
            there = self.seen()
            if there is not None and there.by.session != self.holder.session:
                if not (self._stale() or (doubtful and there.doubtful)):
                    return there
                system.unlink(self.path)
            if there is None:
                # What cannot be read as a lock is the torso of one.
                with contextlib.suppress(FileNotFoundError):
                    system.unlink(self.path)
            self._write()
        self._taken = True
        _HELD.add(self)
        return None

    def seen(self) -> Held | None:
        """Return who has the lock, be it stale or not; none where nobody has."""
        try:
            plain = json.loads(read_all(self.path, _LARGEST)[:_LARGEST])
            age = time.time() - system.stat(self.path).st_mtime
            holder = _holder(plain)
        except (OSError, ValueError, TypeError, AttributeError, RecursionError):
            return None
        return Held(holder, holder.host != self.holder.host and age > OLD)

    def held_by(self) -> Held | None:
        """Return who else has the lock and is alive, as far as can be told."""
        there = self.seen()
        return None if there is None or there.by.session == self.holder.session or self._stale() else there

    def touch(self) -> None:
        """Show other machines that somebody is still at work."""
        if self._taken:
            with contextlib.suppress(OSError):
                os.utime(self.path)

    def still_ours(self) -> bool:
        """Say whether the lock is there and ours."""
        there = self.seen()
        return there is not None and there.by.session == self.holder.session

    def release(self) -> None:
        """Give the lock back, if it is ours, and take the hidden folder away where nothing is in it."""
        _HELD.discard(self)
        with contextlib.suppress(OSError):
            if self.still_ours():
                system.unlink(self.path)
            self.path.parent.rmdir()
        self._taken = False

    def _write(self) -> None:
        content = json.dumps(asdict(self.holder), ensure_ascii=False).encode()
        part = self.path.parent / f".{secrets.token_hex(8)}.part"
        try:
            with opened(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o644) as handle:
                write_all(handle, content)
            # In place whole: a reader never finds half a lock.
            system.replace(part, self.path)
        finally:
            with contextlib.suppress(OSError):
                system.unlink(part)

    def _stale(self) -> bool:
        """Say whether the process that took the lock is certainly gone."""
        there = self.seen()
        if there is None or there.by.host != self.holder.host:
            return False
        by = there.by
        if by.boot and self.holder.boot and by.boot != self.holder.boot:
            return True
        try:
            os.kill(by.pid, 0)
        except ProcessLookupError:
            return True
        except (OSError, OverflowError):
            return False
        started = _started(by.pid)
        return bool(by.started and started and by.started != started)


_HELD: set[Lock] = set()


@atexit.register
def _release_all() -> None:
    for lock in tuple(_HELD):
        if lock.holder.pid == os.getpid():
            lock.release()


def _holder(plain: Any) -> Holder:  # noqa: ANN401 - whatever JSON holds
    """Return the holder that a lock names.

    Raises:
        ValueError: It is no lock.
        TypeError, AttributeError: The same.
    """
    pid = plain.get("pid")
    if isinstance(pid, bool) or not isinstance(pid, int) or pid <= 0:
        raise ValueError("not a process id")
    words = {key: sanitize_line(str(plain.get(key, "")))[:200] for key in ("user", "host", "since", "session")}
    return Holder(pid=pid, boot=str(plain.get("boot", "")), started=str(plain.get("started", "")), **words)


def _boot() -> str:
    try:
        return Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
    except OSError:
        return ""


def _started(pid: int) -> str:
    try:
        # The name of the program stands in brackets and may hold anything; behind it the fields are plain.
        fields = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8", errors="replace").rpartition(")")[2].split()
    except OSError:
        return ""
    return fields[19] if len(fields) > 19 else ""
