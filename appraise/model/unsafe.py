"""Characters that no text of somebody else's may bring to a terminal, a page or a message."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

_CONTROL = "\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff"
_HIDDEN = "\u061c\u180e\u200b\u200e\u200f\u2028\u2029\u2060-\u2064\u206a-\u206f\ufeff\ufff9-\ufffb\U000e0000-\U000e007f"

CONTROL = re.compile(f"[{_CONTROL}]")
"""C0 and C1 controls but tab and newline; the bidirectional embeddings, overrides and isolates, which show text in
another order than it is kept; lone surrogates, which no terminal can be sent."""

CONTROL_OR_HIDDEN = re.compile(f"[{_CONTROL}{_HIDDEN}]")
"""These, and what is not seen but changes what is: zero-width spaces and marks of direction, separators of lines and
paragraphs, invisible operators, tag characters. Files keep them, for some scripts need the marks; nothing shows them.
The joiners U+200C and U+200D are letters to some scripts and stay."""

CONTROL_OR_HIDDEN_OR_BREAK = re.compile(f"[\t\n{_CONTROL}{_HIDDEN}]")
"""These, and tab and newline, where a text must stay on its line."""

REPLACEMENT = "\ufffd"
"""The mark in their place."""

_LONGEST = 60


def clean(text: str) -> str:
    """Return the text with every unsafe character replaced by U+FFFD, and CR LF by LF."""
    return CONTROL.sub(REPLACEMENT, text.replace("\r\n", "\n"))


def sanitize_line(text: str) -> str:
    """Return the text cleaned and on one line, for messages."""
    return " ".join(clean(text).split())


def shorten(text: str) -> str:
    """Return the text on one line, cleaned, cut to what a message can hold."""
    # Cut before cleaning too: the text may be megabytes long.
    line = sanitize_line(text[: _LONGEST * 4])
    return line if len(line) <= _LONGEST else line[: _LONGEST - 1] + "…"


def visible(text: str) -> str:
    """Return the text cleaned as `clean` does, what would not be seen replaced as well: for showing, not keeping."""
    return CONTROL_OR_HIDDEN.sub(REPLACEMENT, text.replace("\r\n", "\n"))


def error_text(error: Exception) -> str:
    """Return why the system, or Python, refused something: in its own words, on one line."""
    return sanitize_line((error.strerror if isinstance(error, OSError) else None) or str(error))


def unsafe_in(text: str) -> Iterator[str]:
    """Yield the name, as U+XXXX, of every unsafe character in turn."""
    for match in CONTROL.finditer(text):
        yield f"U+{ord(match[0]):04X}"


def shown(text: str, most: int = 40) -> str:
    """Return text as a message may quote it: on one line, nothing in it that is not seen, cut to `most` characters."""
    line = CONTROL_OR_HIDDEN_OR_BREAK.sub(REPLACEMENT, text[: most + 1])
    return line if len(line) <= most else line[: most - 1] + "…"


def in_json(text: str) -> str:
    """Return JSON text with every such character written as its escape, which says the same to a reader of JSON."""
    return CONTROL_OR_HIDDEN.sub(lambda found: json.dumps(found[0])[1:-1], text)
