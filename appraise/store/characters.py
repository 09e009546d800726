"""Characters that must not reach a terminal from somebody's file: replaced, and the place told."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

_UNSAFE = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")
"""C0 and C1 controls but tab and newline; the bidirectional embeddings, overrides and isolates, which show
text in another order than it is kept; lone surrogates, which no terminal can be sent."""

REPLACEMENT = "\ufffd"
"""What stands in their place."""


def clean(text: str) -> str:
    """Return the text with every unsafe character replaced by U+FFFD, and CR LF by LF."""
    return _UNSAFE.sub(REPLACEMENT, text.replace("\r\n", "\n"))


def one_line(text: str) -> str:
    """Return the text cleaned and on one line, for messages."""
    return " ".join(clean(text).split())


def unsafe_in(text: str) -> Iterator[str]:
    """Yield the name, as U+XXXX, of every unsafe character in turn."""
    for match in _UNSAFE.finditer(text):
        yield f"U+{ord(match[0]):04X}"
