"""What a person typed or asked for and cannot have, in one line for them."""

from __future__ import annotations

from appraise.store.findings import shorten


class Refused(ValueError):
    """An entry that cannot be taken; its text is one line for the person who typed it."""


def quoted(text: str) -> str:
    """Return text as a refusal may quote it: one harmless line, not too long."""
    return f"“{shorten(text.strip())}”"
