"""Words that writers add around a document: none of them comes from a case."""

from __future__ import annotations

CONTENTS = "Contents"

PAGE_OF = ("page ", " of ")
"""Before the number of the page, and between it and the number of pages."""

TABLE = "Table"
"""Before the number of a table that shares its section with others."""

ABOUT = "About this file"
"""Heading of what a writer could not show."""

SCALED = "Pictures are scaled down; the digests are those of the photos as they were taken."


REPLACEMENT = "\N{REPLACEMENT CHARACTER}"
"""Stands for what cannot be shown."""


def digest(sha256: str) -> str:
    """Return a photo's digest as it stands below it; empty where none was recorded."""
    return f"SHA-256 {sha256}" if sha256 else ""


def not_shown(problem: str) -> str:
    """Return what stands in the place of a picture."""
    return f"Not shown: {problem}"


def characters_left_out(codes: list[str], more: int) -> str:
    """Tell which characters stand as a replacement.

    Args:
        codes: Some of them, as U+XXXX.
        more: How many others there are.
    """
    named = ", ".join(codes) + (f" and {more} more" if more else "")
    return (
        f"The fonts of this PDF lack {named}; {REPLACEMENT} stands in their place. "
        "The report as HTML or Markdown holds the text as it was written."
    )
