"""Cells of a foreign file of sales: money, days, sizes and words as people write them, or a line why not."""

from __future__ import annotations

import re
import unicodedata
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from appraise.model.currency import DIGITS
from appraise.model.plausible import YEARS, is_likely
from appraise.model.span import Span
from appraise.model.unsafe import shown

if TYPE_CHECKING:
    from collections.abc import Mapping

DOLLAR = "$"
DOLLARS = frozenset(
    "AUD BBD BMD BND BSD BZD CAD FJD GYD HKD JMD KYD LRD NAD NZD SBD SGD SRD TTD TWD USD XCD".split()  # noqa: SIM905
)
"""Currencies of ISO 4217 that a dollar sign may mean."""
_SIGNS = {"€": "EUR", "£": "GBP", "$": DOLLAR}
_SPACES = re.compile(r"[\s'’]")
_DAY = re.compile(r"(\d{1,4})([./-])(\d{1,2})\2(\d{1,4})")
_ORDERS = {"dmy": (2, 1, 0), "mdy": (2, 0, 1), "ymd": (0, 1, 2)}
ORDERS = tuple(_ORDERS)
"""Orders of day, month and year that may be said of a file."""
LARGEST = Decimal(10) ** 12


class Refused(ValueError):
    """A cell that cannot be taken: what was found and what was expected."""

    def __init__(self, found: str, expected: str, mend: str = "") -> None:
        super().__init__(f"found {found}, expected {expected}")
        self.found, self.expected, self.mend = found, expected, mend


def quoted(cell: str) -> str:
    """Return a cell as a refusal names it, short and on one line."""
    return f'"{shown(cell)}"'


def folded(word: str) -> str:
    """Return a heading or word without case, accents, spaces and punctuation."""
    parts = unicodedata.normalize("NFKD", word.replace("ß", "ss")).casefold()
    return "".join(mark for mark in parts if mark.isalnum())


def number(cell: str, mark: str = "") -> Decimal:
    """Read a number with a decimal point or comma, its thousands parted or not.

    Args:
        cell: As written.
        mark: The decimal mark of the file; empty: told from the cell, where three digits after a lone mark are
            thousands.

    Raises:
        Refused: It is no number.
    """
    text = _SPACES.sub("", cell).replace("−", "-")
    marks = [each for each in text if each in ".,"]
    decimal = mark
    if not mark and marks:
        tail = len(text) - 1 - max(text.rfind("."), text.rfind(","))
        decimal = marks[-1] if len(set(marks)) == 2 or (len(marks) == 1 and tail != 3) else ""
    whole, point, part = text.partition(decimal) if decimal else (text, "", "")
    grouped = re.fullmatch(r"-?\d{1,3}(?:([.,])\d{3}(?:\1\d{3})*)?|-?\d+", whole)
    if grouped is None or (point and not re.fullmatch(r"\d{1,9}", part)) or (decimal and grouped[1] == decimal):
        raise Refused(quoted(cell), "a number such as 12500 or 12.500,00")
    return Decimal(re.sub(r"[.,]", "", whole) + (f".{part}" if part else ""))


def money(cell: str, mark: str = "") -> tuple[Decimal, str]:
    """Read an amount above 0, with its currency where it names one.

    Returns:
        Amount; code of ISO 4217, empty where none stands there, `DOLLAR` where the sign alone does.

    Raises:
        Refused: It is no amount of money above 0.
    """
    text, code = cell.strip(), ""
    for sign, meant in _SIGNS.items():
        if sign in text:
            text, code = text.replace(sign, ""), meant
    named = re.match(r"([A-Za-z]{3})\b\s*|", text)
    tail = re.search(r"\s*([A-Za-z]{3})$", text)
    if named and named[1]:
        text, code = text[named.end() :], named[1].upper()
    elif tail:
        text, code = text[: tail.start()], tail[1].upper()
    if code and code not in DIGITS and code != DOLLAR:
        raise Refused(quoted(cell), "a currency of ISO 4217")
    amount = number(text, mark)
    if amount <= 0:
        raise Refused(quoted(cell), "an amount above 0")
    if amount >= LARGEST:
        raise Refused(quoted(cell), "an amount below a million million")
    return amount, code


def day(cell: str, order: str = "") -> date:
    """Read a day: year first, or with points day first, or in the order said.

    Raises:
        Refused: It is no day, or one of two and nobody said which.
    """
    text = cell.strip().partition("T")[0].partition(" 00:00")[0]
    match = _DAY.fullmatch(text)
    if match is None:
        raise Refused(quoted(cell), "a day such as 2026-11-20")
    parts = (match[1], match[3], match[4])
    if len(match[1]) == 4:
        orders = ["ymd"]
    elif len(match[4]) != 4:
        raise Refused(quoted(cell), "a day with a year of four digits")
    else:
        orders = [order] if order in ("dmy", "mdy") else ["dmy"] if match[2] == "." else ["dmy", "mdy"]
    found = set()
    for each in orders:
        try:
            found.add(date(*(int(parts[place]) for place in _ORDERS[each])))
        except ValueError:
            continue
    if len(found) > 1:
        raise Refused(
            f"{quoted(cell)}, which is one of two days", "a day that is one alone", "--dates dmy or --dates mdy"
        )
    if not found or not is_likely(min(found)):
        raise Refused(quoted(cell), f"a day such as 2026-11-20, {YEARS}")
    return found.pop()


def made(cell: str, sold: date) -> str:
    """Read when an instrument was made, as ISO 8601 writes it: a year, a day, an interval.

    Raises:
        Refused: It is none, or after the sale.
    """
    text = re.sub(r"\s*[–—]\s*", "/", cell.strip())
    try:
        span = Span.parse(text)
    except ValueError:
        raise Refused(quoted(cell), "a year such as 1985, or 1925/1931") from None
    if span.earliest > sold:
        raise Refused(quoted(cell), f"a year not after the sale in {sold.year}")
    return text


def between(cell: str, low: float, high: float, unit: str, mark: str = "") -> float:
    """Read a number between two bounds, its unit written behind it or not.

    Raises:
        Refused: It is none.
    """
    found = float(
        number(re.sub(rf"\s*{unit}\.?$", "", cell.strip(), flags=re.IGNORECASE) if unit else cell, mark or _point(cell))
    )
    if not low <= found <= high:
        raise Refused(quoted(cell), f"{low:g} to {high:g}{unit and f' {unit}'}")
    return found


def _point(cell: str) -> str:
    """Return the mark of a quantity, of which no thousands are parted."""
    return "," if "," in cell and "." not in cell else "." if "." in cell and "," not in cell else ""


def word(cell: str, words: Mapping[str, str], expected: str) -> str:
    """Return what a word means.

    Args:
        cell: As written.
        words: Spelling, folded → meaning.
        expected: What may stand there.

    Raises:
        Refused: It means nothing.
    """
    found = words.get(folded(cell))
    if found is None:
        raise Refused(quoted(cell), expected)
    return found
