"""Settings that are more than a text: as the file has them, as a person types them, as they are kept."""

from __future__ import annotations

import math
import re
from datetime import date, datetime

from appraise.model.currency import DIGITS
from appraise.model.problem import InputError
from appraise.model.quantities import money, number
from appraise.store.findings import did_you_mean

REFERENCE = "What amounts in other currencies are turned into where candidates are ranked, such as EUR."
RATES = "Units of the reference for one of each currency: USD 0.92, GBP 1.16; empty: amounts stay unconverted."

COMPLETE = {
    "reference": "the currency that the rates refer to, such as EUR",
    "date": "the day that the rates hold for, such as 2026-11-27",
    "source": "who publishes the rates",
}
"""Keys of `[currencies]` without which no rate can be told, and what is expected of each."""

_RATE = "a rate above 0: units of the reference for one of the currency, such as 0.92"
_GREATEST = 1e9


class NotTaken(ValueError):
    """A value that a setting does not take: what was expected, what to write instead, and which key in it is wrong."""

    def __init__(self, expected: str, mend: str = "", *, inside: str = "", found: object = None) -> None:
        super().__init__(expected)
        self.expected, self.mend, self.inside, self.found = expected, mend, inside, found


def currency_spelt(name: str) -> str:
    """Return a currency by its code.

    Raises:
        NotTaken: It is none of ISO 4217.
    """
    if name.upper() not in DIGITS:
        raise NotTaken("a currency of ISO 4217 in use, such as EUR", did_you_mean(name.upper(), DIGITS))
    return name.upper()


def day_words(value: object) -> str:
    """Return a TOML date as a text.

    Raises:
        NotTaken: It is none, or a time of a day.
    """
    if isinstance(value, date) and not isinstance(value, datetime):
        return value.isoformat()
    raise NotTaken("a day such as 2026-11-27")


def day_spelt(words: str) -> str:
    """Return a day as it is kept.

    Raises:
        NotTaken: It is none of ISO 8601, with dashes.
    """
    try:
        found = date.fromisoformat(words)
    except ValueError:
        raise NotTaken("a day such as 2026-11-27") from None
    if found.isoformat() != words:
        raise NotTaken("a day such as 2026-11-27")
    return words


def day_typed(words: str) -> date:
    """Return a day that is kept as a date."""
    return date.fromisoformat(words)


def number_words(value: object) -> str:
    """Return a TOML number as a text.

    Raises:
        NotTaken: It is none.
    """
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise NotTaken("a number, or one in quotes")
    return f"{value:.12g}"


def amount_spelt(words: str) -> str:
    """Return an amount as a case has it: "62.00".

    Raises:
        NotTaken: It is none, or below 0.
    """
    expected = "an amount from 0, such as 62.00"
    try:
        found = money(words)
    except InputError:
        raise NotTaken(expected) from None
    if found < 0:
        raise NotTaken(expected)
    return f"{found:f}"


def share_spelt(words: str, most: float) -> str:
    """Return a percentage as it is kept: "12.5".

    Raises:
        NotTaken: It is none from 0 to `most`.
    """
    expected = f"a percentage from 0 to {most:g}, such as 12.5"
    try:
        found = number(words.removesuffix("%").rstrip())
    except InputError:
        raise NotTaken(expected) from None
    if not 0 <= found <= most:
        raise NotTaken(expected)
    return f"{found:g}"


def rates_words(value: object) -> str:
    """Return a TOML table of rates as a text.

    Raises:
        NotTaken: It is no table, a key is no currency, or a rate is no number above 0.
    """
    if not isinstance(value, dict):
        raise NotTaken("a table of rates: { USD = 0.92 }")
    return ", ".join(f"{_code(code, rate)} {_rate(code, rate)!r}" for code, rate in value.items())


def rates_spelt(words: str) -> str:
    """Return rates as they are kept: "USD 0.92, GBP 1.16".

    Raises:
        NotTaken: They cannot be read so.
    """
    found: dict[str, float] = {}
    for each in filter(None, (part.strip() for part in re.split(r"[;,]\s+|;", words))):
        code, _, number = each.replace("=", " ").partition(" ")
        code = _code(code, each)
        try:
            rate = _rate(code, float(number))
        except ValueError:
            expected = "rates such as USD 0.92, GBP 1.16, each above 0 and with a decimal point"
            raise NotTaken(expected, inside=code, found=each) from None
        if code in found:
            raise NotTaken("each currency once", inside=code, found=each)
        found[code] = rate
    return ", ".join(f"{code} {rate!r}" for code, rate in found.items())


def rates_typed(words: str) -> dict[str, float]:
    """Return rates that are kept as units of the reference for one of each currency."""
    return {code: float(rate) for code, _, rate in (each.partition(" ") for each in words.split(", "))}


def _code(code: object, found: object) -> str:
    name = str(code).upper()
    if name not in DIGITS:
        raise NotTaken(
            "a currency of ISO 4217 in use, such as USD", did_you_mean(name, DIGITS), inside=str(code), found=found
        )
    return name


def _rate(code: object, rate: object) -> float:
    if isinstance(rate, bool) or not isinstance(rate, int | float):
        raise NotTaken(_RATE, inside=str(code), found=rate)
    if not 0.0 < rate < _GREATEST or not math.isfinite(rate):
        raise NotTaken(_RATE, inside=str(code), found=rate)
    return float(rate)
