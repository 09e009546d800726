"""How a reader gets figures, dates, lists and words: the house's manner, and what every other one must say.

A manner is passed along, never looked up: the same case, tables, seed and manner give the same bytes on every machine.
"""

from __future__ import annotations

import re
from math import ceil, floor, log10
from typing import TYPE_CHECKING

from appraise.model.currency import minor_digits
from appraise.model.lazy_dataclass import dataclass
from appraise.model.message import Message, fill, message
from appraise.model.quantities import Units, converted

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

    from appraise.model.span import Span

MINUS = "−"

WHOLE_HOURS = 9.95
"""Work of so many hours is told in whole hours [h]."""

MONTHS = (
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


SPOKEN = frozenset(
    (
        message("h"),
        message("min"),
        message("months"),
        message("bit"),
        message("cents"),
        message("cents a year"),
        message("cents for each percent of humidity"),
        message("swings"),
    )
)
"""Units of the figures that are words of a language."""


@dataclass(frozen=True, slots=True)
class Formatter:
    """The house's manner: plain English, ISO 4217 codes, metric; the parent of all others."""

    locale: str = ""
    """A CLDR locale such as de_CH; empty: the house's own."""
    units: Units = Units.METRIC

    @property
    def tongue(self) -> str:
        """The language of the words, as BCP 47 writes it."""
        return "en"

    # Words

    def translated(self, text: str, many: str = "", number: int = 1) -> str:
        """Return a message of the catalogue in the reader's language, itself where it has none.

        Args:
            text: The English message; for one, where there is a form for many.
            many: The English message for many; empty: there is one form only.
            number: How many.
        """
        return many if many and number != 1 else text

    def say(self, text: str, /, **values: object) -> str:
        """Return a message with its named places filled.

        Args:
            text: A message of the catalogue, places in braces: "made {when}". What a user may have written goes
                through `render`.
            **values: What to put there.
        """
        return fill(self.translated(text), values)

    def render(self, text: str) -> str:
        """Return a text that may be a message or a user's words: a message translated, any other text untouched."""
        return self.say(text) if isinstance(text, Message) else text

    def several(self, one: str, many: str, number: int, /, **values: object) -> str:
        """Return a message in the form that a number asks for; the arguments are as for `say`."""
        return fill(self.translated(one, many, number), values)

    def small(self, label: str) -> str:
        """Return a label as it stands in the middle of a sentence: "Pin block" → "pin block", "RH" unchanged."""
        return label if label[1:2].isupper() or label[1:2] in ("-", "/") else label[:1].lower() + label[1:]

    # Lists

    def joints(self, words: Sequence[str]) -> list[str]:
        """Return what stands before each item of a list, nothing before the first.

        Items that hold a comma are set apart by semicolons, and where one holds an "and" or an "or" the last gets a
        comma before it, so that a reader can tell the items from their insides.

        Args:
            words: The items as they will be read.
        """
        mark = "; " if any(", " in word for word in words) else ", "
        closing = " and "
        if mark == "; ":
            closing = "; and "
        elif any(" and " in word or " or " in word for word in words):
            closing = ", and "
        return ["" if i == 0 else closing if i == len(words) - 1 else mark for i in range(len(words))]

    def listed(self, items: Iterable[str]) -> str:
        """Join items: "a", "a and b", "a, b and c"."""
        words = list(items)
        return "".join(f"{mark}{word}" for mark, word in zip(self.joints(words), words, strict=True))

    # Numbers

    def decimal(self, value: float, most: int, least: int = 0, *, grouped: bool = True) -> str:
        """Return a number rounded half to even.

        Args:
            value: Finite.
            most: Decimals to round to.
            least: Decimals to show even where they are noughts.
            grouped: Set thousands apart.
        """
        text = f"{abs(value):,.{most}f}" if grouped else f"{abs(value):.{most}f}"
        for _ in range(most - least):
            text = text.removesuffix("0")
        text = text.removesuffix(".")
        return f"{MINUS}{text}" if value < 0 and text.strip("0.,") else text

    def number(self, value: float, decimals: int = 1) -> str:
        """Return a number without needless noughts, thousands apart."""
        return self.decimal(value, decimals)

    def whole(self, amount: float) -> str:
        """Return a number to the unit, thousands apart: "12,350", "−680"."""
        return self.decimal(amount, 0)

    def about(self, amount: float) -> str:
        """Return an amount of money to three significant digits, without its currency: "12,400", "−800"."""
        return self.whole(_significant(amount, 3))

    def grade(self, value: float) -> str:
        """Return a grade with one decimal: "2.5"."""
        return self.decimal(value, 1, 1)

    def factor(self, value: float) -> str:
        """Return a factor with two decimals: "0.85"."""
        return self.decimal(value, 2, 2)

    def percentage(self, value: float, most: int) -> str:
        """Return a percentage [%] without needless noughts: "46%"."""
        return f"{self.decimal(value, most, grouped=False)}%"

    def percent(self, share: float) -> str:
        """Return a share [–] as a percentage: "46%", below ten with one decimal."""
        value = 100.0 * share
        return self.percentage(value, 1 if abs(value) < 9.95 else 0)

    def years(self, value: float) -> str:
        """Return years: "4.5 years", from ten on whole."""
        decimals = 1 if value < 9.95 else 0
        text, rounded = self.decimal(value, decimals, grouped=False), round(value, decimals)
        if rounded == int(rounded):
            return self.several("{count} year", "{count} years", int(rounded), count=text)
        # Whole numbers have their own forms in many languages; what is broken takes that of the next above one.
        return self.several("{count} year", "{count} years", max(2, ceil(rounded)), count=text)

    def span(self, low: str, high: str) -> str:
        """Join the ends of a range as they stand in brackets behind its middle, which has the unit already.

        Args:
            low: As shown: "EUR 900", "5 years", "7%".
            high: In the same unit.

        Returns:
            "900–1,200", "5–22", "7%" with "9%" as "7–9%"; "−800 to 1,200", for a minus would run into the dash.
        """
        first, second = _NUMBER.fullmatch(low), _NUMBER.fullmatch(high)
        if first is not None and second is not None and first[1] == second[1]:
            percent = second[3] if "%" in second[3] else ""
            low, high = first[2], f"{second[2]}{percent}"
        if any(sign in low + high for sign in (MINUS, "-")):
            return self.say("{low} to {high}", low=low, high=high)
        return f"{low}–{high}"

    # Money

    def coin(self, amount: float, currency: str, decimals: int) -> str:
        """Return an amount with its currency and just so many decimals: "EUR 12,400"."""
        return f"{currency} {self.decimal(amount, decimals, decimals)}".lstrip()

    def money(self, amount: float, currency: str) -> str:
        """Return an amount with its currency: "EUR 12,400", "EUR −800"; 3 significant digits.

        Args:
            amount: In whole currency units; never shown finer than one unit.
            currency: ISO 4217 code; empty: none is shown.
        """
        rounded = _significant(amount, 3)
        return self.coin(rounded, currency, 0) if currency else self.whole(rounded)

    def exact_money(self, amount: float, currency: str) -> str:
        """Return an amount as it was given: to the unit, with the currency's decimals where it has any."""
        digits = minor_digits(currency)
        broken = round(abs(amount) % 1, digits) not in (0.0, 1.0)
        return self.coin(amount, currency, digits if broken else 0)

    # Quantities

    def reading(self, value: float, unit: str) -> tuple[float, str, int]:
        """Return a quantity in the reader's unit.

        Args:
            value: In `unit`; a temperature is a point of its scale, never the difference of two.
            unit: A base unit of the tables, or cm.

        Returns:
            The value, its unit, and the decimals worth showing.
        """
        return converted(value, unit, self.units)

    def unit(self, unit: str) -> str:
        """Return the reader's unit for one of the tables."""
        return self._named(self.reading(0.0, unit)[1])

    def _named(self, unit: str) -> str:
        """Return a unit in the reader's language where it is a word; symbols are the same in every one."""
        return self.translated(unit) if unit in SPOKEN else unit

    def amount(self, value: float, unit: str, decimals: int | None = None) -> str:
        """Return a quantity in the reader's unit, the unit left out.

        Args:
            value: In `unit`.
            unit: A base unit of the tables, or cm.
            decimals: To show at most where the unit is not changed; none: two.
        """
        shown, other, worth = self.reading(value, unit)
        return self.decimal(shown, worth if decimals is None or other != unit else decimals)

    def quantity(self, value: float, unit: str) -> str:
        """Return a measured quantity with its unit, without needless noughts: "7.4 N·m", "12"."""
        if unit == "%":
            return self.percentage(value, 2)
        shown, other, decimals = self.reading(value, unit)
        text = self.decimal(shown, decimals, grouped=False)
        return f"{text} {self._named(other)}" if other else text

    def hours(self, value: float) -> str:
        """Return hours of work as finely as anybody can plan them: whole from 10 h on, to the tenth from 1 h on."""
        size = abs(value)
        return self.quantity(round(value, 0 if size >= WHOLE_HOURS else 1 if size >= 1.0 else 2), "h")

    def figure(self, value: float, unit: str, currency: str) -> str:
        """Return a figure of the reason tree by its unit: money, %, years, grade, factor, or a unit of measure."""
        if unit == "money":
            return self.money(value, currency)
        if unit == "%":
            return self.percent(value)
        if unit == "years":
            return self.years(value)
        if unit == "grade":
            return self.grade(value)
        if unit == "factor":
            return self.factor(value)
        if unit == "h":
            return self.hours(value)
        return self.quantity(value, unit)

    # Dates

    def day(self, when: date) -> str:
        """Return a date as "20 November 2026"."""
        return f"{when.day} {MONTHS[when.month - 1]} {when.year:04d}"

    def month(self, when: date) -> str:
        """Return a month as "November 2026"."""
        return f"{MONTHS[when.month - 1]} {when.year:04d}"

    def short_day(self, when: date) -> str:
        """Return a date as "20 Nov 2026", where an axis has little room."""
        return f"{when.day} {MONTHS[when.month - 1][:3]} {when.year:04d}"

    def short_month(self, when: date) -> str:
        """Return a month as "Nov 2026"."""
        return f"{MONTHS[when.month - 1][:3]} {when.year:04d}"

    def year(self, when: date) -> str:
        """Return a year as "1931"."""
        return f"{when.year:04d}"

    def when(self, span: Span) -> str:
        """Return a date known to the day, the month, the year or less, as it stands in a sentence.

        Returns:
            "on 12 May 1931", "in May 1931", "in 1931", "between 1925 and 1931".
        """
        first, last = span.earliest, span.latest
        if span.exact:
            return self.say("on {day}", day=self.day(first))
        text = str(span)
        if "/" not in text:
            if "-" in text:
                return self.say("in {month}", month=self.month(first))
            return self.say("in {year}", year=self.year(first))
        show = self.year if len(text) == len("1925/1931") else self.day
        return self.say("between {first} and {last}", first=show(first), last=show(last))

    def dated(self, span: Span) -> str:
        """Return the same as it stands alone: "12 May 1931", "May 1931", "1931", "between 1925 and 1931"."""
        first, text = span.earliest, str(span)
        if span.exact:
            return self.day(first)
        if "/" in text:
            return self.when(span)
        return self.month(first) if "-" in text else self.year(first)

    def brief(self, span: Span) -> str:
        """Return a date where room is short; the house's own are those of ISO 8601: "1998-05-12", "1925/1931"."""
        return str(span)


PLAIN = Formatter()
"""The house's own manner."""

_NUMBER = re.compile(r"([^\d−-]*)([−-]?\d(?:.*\d)?)(\D*)")
"""Text before a number, the number, and the text behind it."""


def _significant(amount: float, digits: int) -> float:
    if abs(amount) < 10 ** (digits - 1):
        return float(round(amount))
    unit = 10.0 ** (floor(log10(abs(amount))) - digits + 1)
    return round(amount / unit) * unit
