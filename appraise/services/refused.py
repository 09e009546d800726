"""What a person typed or asked for and cannot have, in one line for them."""

from __future__ import annotations

import re

from appraise.store.characters import sanitize_line
from appraise.store.findings import shorten


class InputError(ValueError):
    """An entry that cannot be taken; its text is one line for the person who typed it."""


def quoted(text: str) -> str:
    """Return text as a refusal may quote it: one harmless line, not too long."""
    return f"“{shorten(text.strip())}”"


def parted(refused: Exception | str) -> tuple[str, str]:
    """Return what was found and what was expected, from the one line of a refusal; what it does not say is empty."""
    found, *expected = re.split(r"[,;] expected ", sanitize_line(str(refused)).removeprefix("found "), maxsplit=1)
    return found, "".join(expected)
