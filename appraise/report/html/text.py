"""Text from anywhere, as HTML shows it literally."""

from __future__ import annotations

from html import escape

from appraise.report.words import literal


def text(words: str) -> str:
    """Return text as it stands between two tags."""
    return escape(literal(words), quote=False)


def attribute(words: str) -> str:
    """Return text as it stands between the double quotes of an attribute."""
    return escape(literal(words), quote=True)
