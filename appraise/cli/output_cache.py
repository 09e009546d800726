"""Content-addressed cache of what a command printed: the same words on the same files print the same again."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from appraise.cli.diagnostics import repeat
from appraise.cli.output import say_script
from appraise.tables.content import content_of
from appraise.tables.folder import (
    cache_folder,
    data_folder,
    digest_of_folder,
    keep_in_cache,
    settings_file,
    settings_there,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

KEPT = 200
"""Results that are kept; the oldest go."""
_LARGEST = 4 * 1024 * 1024
"""Size of a file that is looked at [bytes]: of a case that is larger nothing is kept."""
_VARIABLES = ("APPRAISE_", "CLICOLOR", "COL", "FORCE_", "LANG", "LC_", "LINES", "NO_COLOR", "PYTHON", "TERM", "TTY_")
"""How the names begin of the variables that change what is printed."""


def through_cache(words: Sequence[str], run: Callable[[], int]) -> int:
    """Print again what the same command printed on the same content, or run it and keep what it prints.

    Args:
        words: The command line: its files are read, and what they hold is part of the address.
        run: Runs it.

    Returns:
        The exit code; only a run that ended in peace is kept.
    """
    place = _place(words)
    if place is None:
        return run()
    kept = _kept(place)
    if kept is not None:
        repeat(kept[1])
        say_script(kept[0])
        return 0
    out, err = _Copied(sys.stdout), _Copied(sys.stderr)
    sys.stdout, sys.stderr = out, err
    try:
        code = run()
    finally:
        sys.stdout, sys.stderr = out.stream, err.stream
    if code == 0 and _place(words) == place:
        _keep(place, "".join(out.written), "".join(err.written))
    return code


class _Copied:
    """A stream of text that keeps what is written to it."""

    def __init__(self, stream: TextIO) -> None:
        self.stream = stream
        self.written: list[str] = []

    def write(self, text: str) -> int:
        """Write a text, and keep it."""
        self.written.append(text)
        return self.stream.write(text)

    def __getattr__(self, name: str) -> object:
        return getattr(self.stream, name)


def _place(words: Sequence[str]) -> Path | None:
    """Return where the result of a command lies; none where something in it cannot be told apart by its content."""
    if "--no-cache" in words:
        return None
    found = hashlib.sha256()

    def add(*parts: object) -> None:
        found.update("\0".join(map(str, parts)).encode("utf-8", "surrogatepass") + b"\0\0")

    try:
        add(digest_of_folder(data_folder("reference_tables")), _today(), Path.cwd(), *words)
        for word in words:
            path = Path(word)
            if word.startswith("--tables") or (path.exists() and not path.is_file()):
                return None  # a folder, or what can be read but once
            if path.is_file():
                content = content_of(path, _LARGEST)
                add(path.resolve(), len(content))
                found.update(content)
        for stream in (sys.stdout, sys.stderr):
            add(stream.isatty(), stream.encoding)
        add(*shutil.get_terminal_size((0, 0)))
        settings = content_of(settings_file(), _LARGEST) if settings_there() else b""
        if b"tables" in settings:
            return None  # they may name a folder
        add(len(settings))
        found.update(settings)
        add(*sorted(item for item in os.environ.items() if item[0].startswith(_VARIABLES)))
        return cache_folder() / "printed" / f"{found.hexdigest()}.json"
    except (OSError, RuntimeError, ValueError, AttributeError):
        return None


def _today() -> object:
    from appraise.cli import inputs

    return inputs.today()


def _kept(place: Path) -> tuple[str, str] | None:
    try:
        document = json.loads(content_of(place, _LARGEST))
        out, err = document["out"], document["err"]
    except (OSError, ValueError, TypeError, KeyError, RecursionError):
        return None
    return (out, err) if isinstance(out, str) and isinstance(err, str) else None


def _keep(place: Path, out: str, err: str) -> None:
    """Write a result in place of the oldest where there are enough; where that fails nothing is kept."""
    with suppress(OSError):
        earlier = sorted(place.parent.glob("*.json"), key=lambda path: path.stat().st_mtime_ns)
        for path in earlier[: max(0, len(earlier) - KEPT + 1)]:
            path.unlink(missing_ok=True)
    keep_in_cache(place, json.dumps({"out": out, "err": err}).encode())
