"""Write a case file so that nothing can be lost: whole or not at all, the previous version kept beside it."""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from appraise.model.problem import Problem, Unreadable
from appraise.store.characters import one_line
from appraise.store.document import case_text, to_document
from appraise.store.read import LARGEST, parse_case

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.case import Case
    from appraise.tables.rows import Tables


def write_case(path: Path, case: Case, tables: Tables) -> None:
    """Write a case to its file.

    The leading comment of an existing file is kept, and so is its mode; its previous content stays
    beside it under the same name with `~` after it. Where nothing has changed nothing is written.

    Args:
        path: The file, new or not; a link is followed.
        case: What to write.
        tables: What the case was made with; a case that could not be read again is not written.

    Raises:
        Unreadable: The case could not be written; the file is as it was.
    """
    file = one_line(str(path))
    try:
        target = path.resolve(strict=False)
        previous = _previous(target)
        content = _content(file, case, tables, previous)
        if content != previous:
            _replace(target, content, previous)
    except OSError as error:
        reason = one_line(error.strerror or str(error))
        found = f"that it cannot be written ({reason})"
        mend = "nothing was changed; save under another name or free the folder"
        raise Unreadable(Problem(file, None, "", found, "a file and folder that can be written", mend)) from error


def write_file(path: Path, content: bytes, *, lasting: bool = True) -> None:
    """Write any other file whole or not at all; one of the same name is replaced and keeps its mode.

    Args:
        path: The file; a link is followed. A device or a pipe is written to and never replaced.
        content: All of it.
        lasting: Wait until it would outlast a power cut; not for what can be made again.

    Raises:
        OSError: It could not be written; what was there is as it was.
    """
    target = path.resolve(strict=False)
    if target.exists() and not target.is_file():
        # Renaming over it would put an ordinary file where the whole machine expects a device.
        with target.open("wb") as stream:
            stream.write(content)
        return
    _put(target, content, stat.S_IMODE(target.stat().st_mode) if target.exists() else None, lasting=lasting)


@contextlib.contextmanager
def writing(path: Path) -> Iterator[TextIO]:
    """Open a file to be written bit by bit in UTF-8, that appears whole or, after an error, not at all.

    Args:
        path: The file; a link is followed, and one of the same name is replaced and keeps its mode. A device or a
            pipe is written to and never replaced.

    Raises:
        OSError: It could not be written; what was there is as it was.
    """
    target = path.resolve(strict=False)
    if target.exists() and not target.is_file():
        # Renaming over it would put an ordinary file where the whole machine expects a device.
        with target.open("w", encoding="utf-8", newline="") as stream:
            yield stream
        return
    mode = stat.S_IMODE(target.stat().st_mode) if target.exists() else 0o666 & ~_umask()
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
        with target.open("rb") as stream:
            content = stream.read(LARGEST + 1)
    except FileNotFoundError:
        return None
    if not os.access(target, os.W_OK):
        raise PermissionError(0, "the file is read-only")
    return content


def _content(file: str, case: Case, tables: Tables, previous: bytes | None) -> bytes:
    text = leading_comment((previous or b"").decode("utf-8", errors="ignore")) + case_text(case)
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


def leading_comment(text: str) -> str:
    """Return the comment block at the head of a file and one empty line; empty where there is none."""
    kept: list[str] = []
    for line in text.removeprefix("\ufeff").splitlines():
        if line.strip() and not line.lstrip().startswith("#"):
            break
        kept.append(line.rstrip())
    block = "\n".join(kept).strip("\n")
    return block + "\n\n" if block else ""


def _replace(target: Path, content: bytes, previous: bytes | None) -> None:
    mode = stat.S_IMODE(target.stat().st_mode) if previous is not None else None
    if previous is not None:
        _put(target.with_name(target.name + "~"), previous, mode)
    _put(target, content, mode)


def _put(target: Path, content: bytes, mode: int | None, *, lasting: bool = True) -> None:
    """Put the content in place in one step, by way of a temporary file in the same folder."""
    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            if lasting:
                stream.flush()
                os.fsync(stream.fileno())
        part.chmod(mode if mode is not None else 0o666 & ~_umask())
        part.replace(target)
    finally:
        with contextlib.suppress(FileNotFoundError):
            part.unlink()
    if lasting:
        _sync_folder(target.parent)


def _umask() -> int:
    """Return the mask new files are made with; it can only be read by setting it."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


def _sync_folder(folder: Path) -> None:
    """Make the new name last through a power cut, where the system lets a folder be synchronised."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
