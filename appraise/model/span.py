"""A date that may be known to the day, the month, the year, or only between two bounds."""

from __future__ import annotations

import calendar
import re
from datetime import date

from appraise.model.lazy_dataclass import dataclass

_PART = re.compile(r"(\d{4})(?:-(\d{2})(?:-(\d{2}))?)?\Z")

DAYS_PER_YEAR = 365.2425
"""Mean length of the Gregorian year [days]."""


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """The earliest and the latest day on which something can have happened, both included."""

    earliest: date
    """First possible day."""
    latest: date
    """Last possible day, never before `earliest`."""

    def __post_init__(self) -> None:
        if self.latest < self.earliest:
            raise ValueError(f"interval ends before it starts: {self.earliest}/{self.latest}")

    @classmethod
    def parse(cls, text: str) -> Span:
        """Read a date or an interval as ISO 8601 writes it.

        Args:
            text: "1998", "1998-05", "1998-05-12", or two of them with a slash: "1995/2001".

        Returns:
            The span from the first possible day to the last.

        Raises:
            ValueError: The text is none of these, or the interval runs backwards.
        """
        first, slash, second = text.strip().partition("/")
        low = _bounds(first)
        high = _bounds(second) if slash else low
        return cls(low[0], high[1])

    @classmethod
    def of_year(cls, year: int) -> Span:
        """Return the whole of one calendar year."""
        return cls(date(year, 1, 1), date(year, 12, 31))

    @property
    def exact(self) -> bool:
        """True when the day itself is known."""
        return self.earliest == self.latest

    @property
    def middle(self) -> date:
        """The day halfway between the bounds."""
        return date.fromordinal((self.earliest.toordinal() + self.latest.toordinal()) // 2)

    def __str__(self) -> str:
        if self.exact:
            return self.earliest.isoformat()
        if (self.earliest.month, self.earliest.day, self.latest.month, self.latest.day) == (1, 1, 12, 31):
            first, last = f"{self.earliest:%Y}", f"{self.latest:%Y}"
            return first if first == last else f"{first}/{last}"
        if self.earliest.day == 1 and self.latest == _bounds(f"{self.earliest:%Y-%m}")[1]:
            return f"{self.earliest:%Y-%m}"
        return f"{self.earliest.isoformat()}/{self.latest.isoformat()}"


def years_between(start: date, end: date) -> float:
    """Return the time from `start` to `end` [years], negative when `end` comes first."""
    return (end.toordinal() - start.toordinal()) / DAYS_PER_YEAR


def _bounds(text: str) -> tuple[date, date]:
    match = _PART.match(text.strip())
    if match is None:
        raise ValueError(f"not a date: {text!r}")
    year, month, day = (int(part) if part else None for part in match.groups())
    assert year is not None  # noqa: S101 - the pattern always captures the year
    if year == 0:
        raise ValueError(f"not a date: {text!r}")
    if month is None:
        return date(year, 1, 1), date(year, 12, 31)
    if not 1 <= month <= 12:
        raise ValueError(f"no such month: {text!r}")
    if day is None:
        return date(year, month, 1), date(year, month, calendar.monthrange(year, month)[1])
    return date(year, month, day), date(year, month, day)
