"""Write a case file so that nothing can be lost: whole or not at all, the previous version kept beside it."""

from __future__ import annotations

import contextlib
import os
import re
import stat
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from appraise.model.problem import Problem, Unreadable
from appraise.model.unsafe import error_text, sanitize_line
from appraise.store.document import case_text, to_document, with_comments
from appraise.store.files import beside, digest_of, named, put, read_all, sync_folder, system, umask
from appraise.store.lock import HIDDEN
from appraise.store.read import LARGEST, parse_case
from appraise.tables.content import resolved

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator

    from appraise.model.case import Case
    from appraise.tables.rows import Tables


_FIRST_KEY = re.compile(r"^(?!\ufeff?\s*(?:#|$))", re.MULTILINE)


class WriteConflict(Unreadable):
    """The file holds what somebody else has written meanwhile; it is as they left it."""


def write_case(
    path: Path,
    case: Case,
    tables: Tables,
    *,
    known: Collection[str] | None = None,
    attempt: Callable[[str], None] | None = None,
    keep: int | None = None,
    comments_of: Path | None = None,
) -> str:
    """Write a case to its file.

    The comments of an existing file are kept, and so is its mode; its previous content stays
    beside it under the same name with `~` after it, and those before in the hidden folder. Where nothing has
    changed nothing is written.

    Args:
        path: The file, new or not; a link is followed.
        case: What to write.
        tables: What the case was made with; a case that could not be read again is not written.
        known: SHA-256 of every content that may be replaced; none: whatever is there.
        attempt: Told the SHA-256 of the new content before anything is touched: after a failure at the very end
            the file may hold it.
        keep: Earlier versions kept; none: as `kept` says.
        comments_of: Another file of the case, whose comments a new one takes along.

    Returns:
        SHA-256 of what the file holds now.

    Raises:
        WriteConflict: Something else stands there than may be replaced.
        Unreadable: The case could not be written; the file is as it was, or, where only the folder could not be
            synchronised, holds the new content already.
    """
    file = sanitize_line(str(path))
    try:
        target = resolved(path)
        previous = _previous(target)
        if known is not None and previous is not None and digest_of(previous) not in known:
            raise WriteConflict(
                Problem(file, None, "", "what another program has written", "the file as it was opened")
            )
        content = _content(file, case, tables, _like(comments_of) if previous is None else previous)
        if attempt is not None:
            attempt(digest_of(content))
        if content != previous:
            mode = stat.S_IMODE(target.stat().st_mode) if previous is not None else None
            if previous is not None:
                keep_version(target, previous, mode, most=kept() if keep is None else keep)
            put(target, content, mode)
    except OSError as error:
        found = f"that it cannot be written ({error_text(error)})"
        mend = "nothing was changed; save under another name or free the folder"
        raise Unreadable(Problem(file, None, "", found, "a file and folder that can be written", mend)) from error
    return digest_of(content)


def write_file(path: Path, content: bytes, *, fsync: bool = True) -> None:
    """Write any other file whole or not at all; one of the same name is replaced and keeps its mode.

    Args:
        path: The file; a link is followed. A device or a pipe is written to and never replaced.
        content: All of it.
        fsync: Wait until it would outlast a power cut; not for what can be made again.

    Raises:
        OSError: It could not be written; what was there is as it was.
    """
    target = resolved(path)
    with named(str(path)):
        if target.exists() and not target.is_file():
            # Renaming over it would put an ordinary file where the whole machine expects a device.
            with target.open("wb") as stream:
                stream.write(content)
            return
        put(target, content, stat.S_IMODE(target.stat().st_mode) if target.exists() else None, fsync=fsync)


@contextlib.contextmanager
def writing(path: Path) -> Iterator[TextIO]:
    """Open a file to be written bit by bit in UTF-8, that appears whole or, after an error, not at all.

    Args:
        path: The file; a link is followed, and one of the same name is replaced and keeps its mode. A device or a
            pipe is written to and never replaced.

    Raises:
        OSError: It could not be written; what was there is as it was.
    """
    target = resolved(path)
    with named(str(path)):
        if target.exists() and not target.is_file():
            # Renaming over it would put an ordinary file where the whole machine expects a device.
            with target.open("w", encoding="utf-8", newline="") as stream:
                yield stream
            return
        mode = stat.S_IMODE(target.stat().st_mode) if target.exists() else 0o666 & ~umask()
        handle, name = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent)
        part = Path(name)
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="") as stream:
                yield stream
            part.chmod(mode)
            part.replace(target)
        except BaseException:
            with contextlib.suppress(OSError):
                part.unlink()
            raise


def _previous(target: Path) -> bytes | None:
    """Return the file's content, or none where there is no file."""
    try:
        content = read_all(target, LARGEST)
    except FileNotFoundError:
        return None
    if not os.access(target, os.W_OK):
        raise PermissionError(0, "the file is read-only")
    return content


def _content(file: str, case: Case, tables: Tables, previous: bytes | None) -> bytes:
    before = (previous or b"").decode("utf-8", errors="ignore").removeprefix("\ufeff").replace("\r\n", "\n")
    head = leading_comment(before)
    text = head + case_text(case)
    behind = before[_head_ends(before) :]
    if "#" in behind:
        old, _ = parse_case(before, tables, file=file)
        text = head + with_comments(case_text(case), behind, case, old)
    again, problems = parse_case(text, tables, file=file)
    if again is None:
        # The lines are those of a text that nobody will see.
        raise Unreadable(*(_unplaced(problem) for problem in problems if problem.grave))
    if to_document(again) != to_document(case):
        found, expected = "a case that would change by being saved", "one that stays as it is"
        raise Unreadable(Problem(file, None, "", found, expected))
    return text.encode("utf-8")


def _unplaced(problem: Problem) -> Problem:
    return Problem(problem.file, None, problem.key, problem.found, problem.expected, problem.mend)


def _like(path: Path | None) -> bytes | None:
    """Return the content of another file of the case, or none where it cannot be had."""
    try:
        return None if path is None else read_all(path, LARGEST)
    except OSError:
        return None


def leading_comment(text: str) -> str:
    """Return the comment block at the head of a file and one empty line; empty where there is none."""
    kept = text[: _head_ends(text)].removeprefix("\ufeff").split("\n")
    block = "\n".join(line.rstrip() for line in kept).strip("\n")
    return block + "\n\n" if block else ""


def _head_ends(text: str) -> int:
    """Return where the first line begins that is neither a comment nor empty."""
    found = _FIRST_KEY.search(text)
    return len(text) if found is None else found.start()


USUAL = 8
"""Versions kept unless the environment says otherwise; our assumption."""

_STAMP = re.compile(r"\.\d{8}T\d{12}Z~")


def kept() -> int:
    """Return how many earlier versions are kept: APPRAISE_VERSIONS of the environment, 1 to 99, else the usual."""
    stated = os.environ.get("APPRAISE_VERSIONS", "")
    return min(99, max(1, int(stated))) if stated.isascii() and stated.isdigit() and len(stated) < 6 else USUAL


def keep_version(target: Path, content: bytes, mode: int | None, *, most: int) -> None:
    """Keep the content that a save is about to replace.

    Args:
        target: The case file itself.
        content: What it holds.
        mode: Permissions for the copy.
        most: Versions kept, this one among them.

    Raises:
        OSError: It could not be kept; nothing was taken away.
    """
    last = beside(target, "~")
    if most > 1 and last.exists():
        # A hard link first and the new version then: at no moment is one of them nowhere.
        older = _older_name(target, last)
        with contextlib.suppress(FileExistsError):
            system.mkdir(older.parent, 0o755)
        try:
            system.link(last, older)
        except FileExistsError:
            pass  # kept already
        except OSError:  # a file system without hard links
            put(older, last.read_bytes(), mode)
        # The new version takes the name of this one: until the older name lasts, a power cut could take both.
        sync_folder(older.parent)
        sync_folder(target.parent)
    put(last, content, mode)
    for old in versions(target)[most - 1 :]:
        with contextlib.suppress(OSError):
            system.unlink(old)


def versions(target: Path) -> list[Path]:
    """Return the versions before `NAME.toml~`, the youngest first."""
    start = _older_stem(target).name
    try:
        names = [path for path in _older_stem(target).parent.iterdir() if path.name.startswith(start)]
    except OSError:
        return []
    return sorted((path for path in names if _STAMP.fullmatch(path.name[len(start) :])), reverse=True)


def _older_stem(target: Path) -> Path:
    """Return the name that every older version begins with, short enough for what follows it."""
    room = "." + "0" * 22 + "~"
    made = beside(target.parent / HIDDEN / target.name, room)
    return made.with_name(made.name.removesuffix(room))


def _older_name(target: Path, last: Path) -> Path:
    when = datetime.fromtimestamp(system.stat(last).st_mtime_ns / 1e9, UTC)
    stem = _older_stem(target)
    return stem.with_name(f"{stem.name}.{when:%Y%m%dT%H%M%S%f}Z~")
