"""Golden files a reviewer can read: JSON in short rows with digests, and of like texts one whole."""

from __future__ import annotations

import hashlib
import json

WIDTH = 118
"""Longest line that a nested object or list may take whole [characters]."""
SHOWN = 1
"""Items of a list of objects that are written out."""


def golden(text: str) -> str:
    """Return JSON in a short form that differs whenever a byte of it does.

    A list of several objects keeps its first items; a digest stands for the others, so that no figure in them can
    change unseen, and one for the whole text.
    """
    return "\n".join([f"SHA-256 of the text {digest(text)}", *_lines(_abridged(json.loads(text)))]) + "\n"


def whole_or_digest(text: str, *, whole: bool) -> str:
    """Return a text itself where it is the golden sample of its kind, else one line that changes with it."""
    return text if whole else f"SHA-256 of {len(text.splitlines())} lines {digest(text)}\n"


def digest(text: str) -> str:
    """Return the first 16 hexadecimal digits of a text's SHA-256."""
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _abridged(value: object) -> object:
    if isinstance(value, dict):
        return {key: _abridged(inner) for key, inner in value.items()}
    if isinstance(value, list):
        first = [_abridged(inner) for inner in value[:SHOWN]]
        rest = value[SHOWN:]
        if not rest or not any(isinstance(inner, dict | list) for inner in value):
            return [_abridged(inner) for inner in value]
        return [*first, f"and {len(rest)} more, SHA-256 {digest(json.dumps(rest, ensure_ascii=False))}"]
    return value


def _lines(value: object, indent: int = 0, prefix: str = "") -> list[str]:
    whole = json.dumps(value, ensure_ascii=False)
    margin = " " * indent
    if not isinstance(value, dict | list) or not value or len(margin) + len(prefix) + len(whole) <= WIDTH:
        return [f"{margin}{prefix}{whole}"]
    if isinstance(value, dict):
        opening, closing, pairs = "{", "}", [(f"{json.dumps(key)}: ", inner) for key, inner in value.items()]
    else:
        opening, closing, pairs = "[", "]", [("", inner) for inner in value]
    inside = [line for head, inner in pairs for line in _lines(inner, indent + 1, head)]
    return [f"{margin}{prefix}{opening}", *inside, f"{margin}{closing}"]
