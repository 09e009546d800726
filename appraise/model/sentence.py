"""Sentences that keep their figures and days as values, so that the reader's `Formatter` writes each of them once."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import MINUS, PLAIN
from appraise.model.message import fill
from appraise.model.quantities import Units, as_shown, unit_shown

if TYPE_CHECKING:
    from collections.abc import Iterable

    from appraise.model.locale_format import Formatter


@dataclass(frozen=True, slots=True)
class Amount:
    """A figure of a sentence: "7.4 N·m", "12 %", "3"."""

    value: float
    unit: str = ""
    digits: int = 4
    """Significant digits; a greater number is written to the unit."""
    places: int | None = None
    """Decimals to show, noughts as well, in place of significant digits."""
    bare: bool = False
    """The unit is said elsewhere: "6.8" in "6.8 to 15 N·m"."""

    def localized(self, manner: Formatter) -> str:
        """Return the figure, rounded as the house rounds it, in the reader's unit and decimals."""
        places = self.places if abs(self.value) < 10**self.digits else 0
        text = f"{self.value:.{self.digits}g}" if places is None else f"{self.value:.{places}f}"
        shown, unit, worth = manner.reading(float(text), self.unit)
        if unit != self.unit:
            figure = signed(manner, shown, worth)
        elif "e" in text:
            figure = text.replace("-", MINUS)
        else:
            decimals = max(0, -int(Decimal(text).as_tuple().exponent))
            figure = signed(manner, shown, decimals, decimals, grouped=False)
        return f"{figure} {unit}" if unit and not self.bare else figure


class Sentence(str):
    """A sentence in the house's manner, with the message and the values that it was filled from."""

    __slots__ = ("message", "values")
    message: str
    values: dict[str, object]

    def __new__(cls, message: str, values: dict[str, object] | None = None) -> Sentence:
        """Fill a message with values, each an `Amount`, a day, a sentence or words."""
        values = values or {}
        made = super().__new__(cls, fill(message, {name: localized(value, PLAIN) for name, value in values.items()}))
        made.message, made.values = message, values
        return made

    def localized(self, manner: Formatter) -> str:
        """Return the sentence with its figures and days as the reader gets them."""
        return fill(self.message, {name: localized(value, manner) for name, value in self.values.items()})


def sentence(message: str, /, **values: object) -> Sentence:
    """Fill a message, its places in braces: `sentence("from {low} g", low=Amount(48.0))`."""
    return Sentence(message, values)


def joined(mark: str, parts: Iterable[object]) -> Sentence:
    """Join amounts, days, sentences and words by a mark."""
    values = {f"part{n}": part for n, part in enumerate(parts)}
    return Sentence(mark.join(f"{{{name}}}" for name in values), values)


def bounds(low: float | None, high: float | None, unit: str, units: Units = Units.METRIC, digits: int = 4) -> Sentence:
    """Return an interval with its unit: "2 to 30 N·m", "from 22 N·m", "up to 4 N·m"."""
    shown = unit_shown(unit, units)
    first = None if low is None else Amount(as_shown(low, unit, units), shown, digits, bare=high is not None)
    last = None if high is None else Amount(as_shown(high, unit, units), shown, digits)
    if last is None:
        return sentence("at any value") if first is None else sentence("from {low}", low=first)
    return sentence("up to {high}", high=last) if first is None else sentence("{low} to {high}", low=first, high=last)


def signed(manner: Formatter, value: float, most: int, least: int = 0, *, grouped: bool = True) -> str:
    """Return a number as `Formatter.decimal` does, a minus before it that no locale takes for a hyphen."""
    return f"{MINUS if value < 0 else ''}{manner.decimal(abs(value), most, least, grouped=grouped)}"


def localized(value: object, manner: Formatter) -> str:
    """Return one value in a reader's manner; the house's own days are those of ISO 8601, words stay as they are."""
    if isinstance(value, Amount | Sentence):
        return value.localized(manner)
    if isinstance(value, date):
        return value.isoformat() if manner == PLAIN else manner.day(value)
    return str(value)
