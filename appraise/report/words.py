"""Plain English for figures, dates, names and lists; nothing here knows the locale or the clock."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from appraise.model.unsafe import CONTROL_OR_HIDDEN_OR_BREAK, REPLACEMENT

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

    from appraise.model.span import Span

_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)

_SPACES = re.compile(r"\s+")


def literal(text: str) -> str:
    """Return text that may have come from anywhere as one line that cannot control what shows it."""
    return CONTROL_OR_HIDDEN_OR_BREAK.sub(REPLACEMENT, _SPACES.sub(" ", text)).strip()


def capital(text: str) -> str:
    """Return the text with a capital first letter, the rest untouched."""
    return text[:1].upper() + text[1:]


def small(label: str) -> str:
    """Return a label as it stands in the middle of a sentence: "Pin block" → "pin block", "RH" unchanged."""
    return label if label[1:2].isupper() or label[1:2] in ("-", "/") else label[:1].lower() + label[1:]


def many(label: str) -> bool:
    """Tell whether a label takes a plural verb: "hammers", "rim and posts"; not "brass"."""
    word = label.strip().lower()
    return " and " in word or (word.endswith("s") and not word.endswith("ss"))


def between(words: Sequence[str], last: str = "and") -> list[str]:
    """Return what stands before each item of an English list, nothing before the first.

    Items that hold a comma are set apart by semicolons, and where one holds an "and" or an "or" the last gets a
    comma before it, so that a reader can tell the items from their insides.

    Args:
        words: The items as they will be read.
        last: The word before the last item.
    """
    mark = "; " if any(", " in word for word in words) else ", "
    closing = f" {last} "
    if mark == "; ":
        closing = f"; {last} "
    elif any(" and " in word or " or " in word for word in words):
        closing = f", {last} "
    return ["" if i == 0 else closing if i == len(words) - 1 else mark for i in range(len(words))]


def listed(items: Iterable[str], last: str = "and") -> str:
    """Join items the English way: "a", "a and b", "a, b and c"."""
    words = list(items)
    return "".join(f"{mark}{word}" for mark, word in zip(between(words, last), words, strict=True))


def counted(number: int, one: str, several: str = "") -> str:
    """Return a number with its noun in the right form: "1 comparable", "3 comparables"."""
    return f"{number} {one if number == 1 else several or one + 's'}"


def day(when: date) -> str:
    """Return a date as "20 November 2026"."""
    return f"{when.day} {_MONTHS[when.month - 1]} {when.year:04d}"


def period(span: Span) -> tuple[str, str]:
    """Return the preposition and the words for a date known to the day, the month, the year or less.

    Returns:
        ("on", "12 May 1931"), ("in", "May 1931"), ("in", "1931") or ("between", "1925 and 1931").
    """
    first, last = span.earliest, span.latest
    if span.exact:
        return "on", day(first)
    text = str(span)
    if "/" not in text:
        return "in", f"{_MONTHS[first.month - 1]} {first.year:04d}" if "-" in text else text
    if len(text) == len("1925/1931"):
        return "between", text.replace("/", " and ")
    return "between", f"{day(first)} and {day(last)}"


def number(value: float, decimals: int = 1) -> str:
    """Return a number without needless zeros, a true minus sign, and a comma between thousands."""
    text = f"{value:,.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    if text in ("-0", ""):
        text = "0"
    return text.replace("-", "−")
