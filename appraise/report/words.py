"""Text made harmless, labels, and the words for what is named by a key."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from appraise.model.case import Kind
from appraise.model.claim import Origin
from appraise.model.locale_format import PLAIN
from appraise.model.message import message
from appraise.model.unsafe import CONTROL_OR_HIDDEN_OR_BREAK, REPLACEMENT

if TYPE_CHECKING:
    from collections.abc import Iterable

    from appraise.model.locale_format import Formatter


_SPACES = re.compile(r"[^\S\u00a0\u202f]+")
"""White space but the spaces that do not break, which stand within figures."""

KINDS = {Kind.GRAND: message("grand piano"), Kind.UPRIGHT: message("upright piano")}
"""Name of each kind of instrument."""

ORIGINS = {
    Origin.BEFORE: message("pre-existing"),
    Origin.TRANSIT: message("transit"),
    Origin.CLIMATE: message("climate"),
    Origin.WEAR: message("wear"),
    Origin.UNKNOWN: message("unknown"),
}
"""Label of each origin of a defect."""

STANDINGS = (
    message("published"),
    message("common practice"),
    message("from memory"),
    message("our assumption"),
)
"""Label of each standing of a table row."""

TOPICS = {
    "limit": message("limit"),
    "measure": message("measure"),
    "notice": message("notice"),
    "scope": message("scope"),
    "suit": message("time limit to sue"),
}
"""Label of each subject of a carriage rule."""


def literal(text: str) -> str:
    """Return text that may have come from anywhere as one line that cannot control what shows it."""
    return CONTROL_OR_HIDDEN_OR_BREAK.sub(REPLACEMENT, _SPACES.sub(" ", text)).strip()


def said(manner: Formatter, text: str) -> str:
    """Return a text of the tables in the reader's language where the catalogue has it; never a template."""
    return literal(manner.translated(text))


def job_label(label: str) -> str:
    """Return the label of a job without the kind of instrument, which the reader knows."""
    return label.removesuffix(", grand").removesuffix(", upright")


def make_of(maker: str, model: str) -> str:
    """Return maker and model as one name, made harmless; empty where neither is known."""
    return " ".join(filter(None, (literal(maker), literal(model))))


def cut(text: str, most: int) -> str:
    """Return a text of at most `most` letters, with … at its end where some are left out."""
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"


def capital(text: str) -> str:
    """Return the text with a capital first letter, the rest untouched."""
    return text[:1].upper() + text[1:]


def either(words: Iterable[str]) -> str:
    """Return what is to be chosen from, for a refusal: "a", "a or b", "a, b or c"."""
    *first, last = words
    return f"{', '.join(first)} or {last}" if first else last


def many(label: str) -> bool:
    """Tell whether an English label takes a plural verb: "hammers", "rim and posts"; not "brass"."""
    word = label.strip().lower()
    return " and " in word or (word.endswith("s") and not word.endswith("ss"))


def counted(number: int, one: str, several: str = "") -> str:
    """Return a number with its noun in the right form: "1 comparable", "3 comparables"."""
    return f"{number} {one if number == 1 else several or one + 's'}"


small, listed, day, number = PLAIN.small, PLAIN.listed, PLAIN.day, PLAIN.number
"""In the house's own manner, for what is not written for one reader."""
