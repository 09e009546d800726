"""Characters that must not reach a terminal from somebody's file: replaced, and the place told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.unsafe import CONTROL, CONTROL_OR_HIDDEN, REPLACEMENT

if TYPE_CHECKING:
    from collections.abc import Iterator


def clean(text: str) -> str:
    """Return the text with every unsafe character replaced by U+FFFD, and CR LF by LF."""
    return CONTROL.sub(REPLACEMENT, text.replace("\r\n", "\n"))


def visible(text: str) -> str:
    """Return the text cleaned as `clean` does, what would not be seen replaced as well: for showing, not keeping."""
    return CONTROL_OR_HIDDEN.sub(REPLACEMENT, text.replace("\r\n", "\n"))


def sanitize_line(text: str) -> str:
    """Return the text cleaned and on one line, for messages."""
    return " ".join(clean(text).split())


def error_text(error: Exception) -> str:
    """Return why the system, or Python, refused something: in its own words, on one line."""
    return sanitize_line((error.strerror if isinstance(error, OSError) else None) or str(error))


def unsafe_in(text: str) -> Iterator[str]:
    """Yield the name, as U+XXXX, of every unsafe character in turn."""
    for match in CONTROL.finditer(text):
        yield f"U+{ord(match[0]):04X}"
