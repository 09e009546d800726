"""A disk that loses what was not synchronised: every state that a power cut can leave of a piece of work.

The work is done on a real folder while each call is written down. From the calls up to any moment follow the states
that a cut then can leave: of a file everything up to its last fsync, and of what was written since nothing, a part,
all, or zeros of its length; of a folder every entry up to its last fsync, and of what was made, renamed or removed
since any choice. No order is assumed between files or folders: that is less than any usual file system promises.
"""

from __future__ import annotations

import itertools
import os
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.store import files

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator


@dataclass
class _Inode:
    """A file: what it held at its last fsync, and after each call since."""

    synced: bytes = b""
    since: list[bytes] = field(default_factory=list)

    @property
    def now(self) -> bytes:
        return self.since[-1] if self.since else self.synced

    def left(self) -> list[bytes]:
        """Return every content that a cut can leave."""
        found = [self.synced]
        for before, after in itertools.pairwise([self.synced, *self.since]):
            found.append(after)
            if len(after) > len(before) and after.startswith(before):
                more = len(after) - len(before)
                found += [after[: len(before) + more // 2], before + b"\0" * more]
        return list(dict.fromkeys(found))


@dataclass
class _Folder:
    """A folder: its entries at its last fsync, and what was done to them since, each a name and an inode or none."""

    synced: dict[str, int] = field(default_factory=dict)
    since: list[tuple[tuple[str, int | None], ...]] = field(default_factory=list)

    def left(self) -> list[dict[str, int]]:
        """Return every set of entries that a cut can leave."""
        found = []
        for chosen in itertools.product((False, True), repeat=len(self.since)):
            entries: dict[str, int | None] = {**self.synced}
            for done in itertools.compress(self.since, chosen):
                entries |= dict(done)
            found.append({name: inode for name, inode in entries.items() if inode is not None})
        return found


class Recording(files.System):
    """The system of a real folder, each call that changes something kept in a list."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.calls: list[tuple[object, ...]] = []
        """What was done, in order; `mark` puts words between."""
        self.handles: dict[int, tuple[str, bool]] = {}
        for name in ("open", "write", "fsync", "ftruncate", "close", "replace", "link", "unlink", "mkdir"):
            setattr(self, name, getattr(self, f"_{name}"))

    def mark(self, *words: object) -> None:
        self.calls.append(("mark", *words))

    def _name(self, path: object) -> str:
        return os.path.relpath(Path(str(path)).parent.resolve() / Path(str(path)).name, self.root)

    def _open(self, path, flags, mode=0o777):
        new = not os.path.lexists(path)
        handle = os.open(path, flags, mode)
        name = self._name(path)
        if name.startswith(".."):
            return handle
        self.handles[handle] = (name, bool(flags & os.O_APPEND))
        if flags & os.O_CREAT and new:
            self.calls.append(("create", name))
        return handle

    def _write(self, handle, content):
        written = os.write(handle, content)
        if handle in self.handles:
            self.calls.append(("write", self.handles[handle][0], bytes(content[:written])))
        return written

    def _fsync(self, handle):
        if handle in self.handles:
            self.calls.append(("fsync", self.handles[handle][0]))

    def _ftruncate(self, handle, size):
        os.ftruncate(handle, size)
        self.calls.append(("truncate", self.handles[handle][0], size))

    def _close(self, handle):
        self.handles.pop(handle, None)
        os.close(handle)

    def _replace(self, old, new):
        os.replace(old, new)  # noqa: PTH105 - the very call
        self.calls.append(("rename", self._name(old), self._name(new)))

    def _link(self, old, new):
        os.link(old, new)
        self.calls.append(("link", self._name(old), self._name(new)))

    def _unlink(self, path):
        os.unlink(path)  # noqa: PTH108
        self.calls.append(("unlink", self._name(path)))

    def _mkdir(self, path, mode=0o777):
        os.mkdir(path, mode)  # noqa: PTH102
        self.calls.append(("mkdir", self._name(path)))


def _parted(path: str) -> tuple[str, str]:
    """Return the folder that a path names, and the name in it."""
    folder, _, name = path.rpartition("/")
    return folder or ".", name


class Disk:
    """What the calls so far have made certain, and what is still on its way."""

    def __init__(self, start: dict[str, bytes | None]) -> None:
        self.inodes: list[_Inode] = []
        self.folders: dict[str, _Folder] = {".": _Folder()}
        self.names: dict[str, int] = {}
        """The live tree: path to inode; a folder is -1."""
        for path, content in sorted(start.items()):
            folder, name = _parted(path)
            if content is None:
                self.folders[path] = _Folder()
                self.folders[folder].synced[name] = -1
            else:
                self.inodes.append(_Inode(content))
                self.names[path] = self.folders[folder].synced[name] = len(self.inodes) - 1

    def do(self, kind: str, name: str, *more: object) -> None:
        """Take one call."""
        if kind == "create":
            self.inodes.append(_Inode())
            self._entries(name, (name, len(self.inodes) - 1))
        elif kind == "mkdir":
            self.folders.setdefault(name, _Folder())
            self._entries(name, (name, -1))
        elif kind == "write":
            inode = self.inodes[self.names[name]]
            inode.since.append(inode.now + more[0])
        elif kind == "truncate":
            inode = self.inodes[self.names[name]]
            inode.since.append(inode.now[: more[0]])
        elif kind == "fsync" and name in self.folders:
            for each in (folder := self.folders[name]).since:
                folder.synced = {key: to for key, to in {**folder.synced, **dict(each)}.items() if to is not None}
            folder.since.clear()
        elif kind == "fsync":
            inode = self.inodes[self.names[name]]
            inode.synced, inode.since = inode.now, []
        elif kind == "rename":
            self._entries(name, (name, None), (more[0], self.names[name]))
        elif kind == "link":
            self._entries(more[0], (more[0], self.names[name]))
        elif kind == "unlink":
            self._entries(name, (name, None))

    def _entries(self, within: str, *entries: tuple[str, int | None]) -> None:
        self.folders[_parted(within)[0]].since.append(tuple((_parted(name)[1], inode) for name, inode in entries))
        for name, inode in entries:
            if inode is None:
                self.names.pop(name, None)
            else:
                self.names[name] = inode

    def states(self) -> Iterator[dict[str, bytes | None]]:
        """Yield every tree that a cut now can leave: path to content; none for a folder."""
        yield from self._within(".")

    def _within(self, folder: str) -> Iterator[dict[str, bytes | None]]:
        for entries in self.folders[folder].left():
            parts: list[list[dict[str, bytes | None]]] = []
            for name, inode in entries.items():
                path = name if folder == "." else f"{folder}/{name}"
                if inode < 0:
                    parts.append([{path: None, **inner} for inner in self._within(path)])
                else:
                    parts.append([{path: content} for content in self.inodes[inode].left()])
            for chosen in itertools.product(*parts):
                yield {path: content for part in chosen for path, content in part.items()}


def reachable(
    start: dict[str, bytes | None], calls: list[tuple[object, ...]]
) -> Iterator[tuple[tuple[object, ...], dict[str, bytes | None]]]:
    """Yield every state that differs, with the marks passed until then."""
    disk, passed, seen = Disk(start), (), set()
    for call in [("mark",), *calls]:
        if call[0] == "mark":
            passed = call[1:] or passed
        else:
            disk.do(*call)
        for state in disk.states():
            alike = {_parted(path)[0] + "/.part" if path.endswith(".part") else path: it for path, it in state.items()}
            key = (passed, frozenset(alike.items()))
            if key not in seen:
                seen.add(key)
                yield passed, state


def laid_out(state: dict[str, bytes | None], folder: Path) -> None:
    """Write a state into an empty folder."""
    for path, content in sorted(state.items()):
        if content is None:
            (folder / path).mkdir()
        else:
            (folder / path).write_bytes(content)


def recorded(root: Path, work: Callable[[Recording], None]) -> tuple[dict[str, bytes | None], list[tuple[object, ...]]]:
    """Do some work on a folder, and return what it held before and every call; a folder within holds none."""
    start = {
        path.relative_to(root).as_posix(): None if path.is_dir() else path.read_bytes() for path in root.rglob("*")
    }
    system = Recording(root.resolve())
    names = [name for name in vars(files.System) if not name.startswith("_")]
    kept = {name: vars(files.system).get(name) for name in names}
    try:
        for name in names:
            setattr(files.system, name, getattr(system, name))
        work(system)
    finally:
        for name in names:
            if kept[name] is None:
                delattr(files.system, name)
            else:
                setattr(files.system, name, kept[name])
    return start, system.calls
