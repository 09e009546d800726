"""Periods that run from a delivery: the last day of each, and whether it has passed."""

from __future__ import annotations

from calendar import monthrange
from datetime import date, timedelta
from typing import TYPE_CHECKING

from appraise.model.loss import Deadline

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from appraise.tables.rows_carriage import CarriageRule

SUNDAY = 6


def deadlines(rules: Iterable[CarriageRule], delivered: date, today: date) -> tuple[Deadline, ...]:
    """Count every period of the rules from a delivery.

    Args:
        rules: Rows of the table; those without a period are passed over.
        delivered: The day of the delivery; it is not counted itself.
        today: The day on which somebody asks.

    Returns:
        The periods in table order, damage that shows before damage that does not.
    """
    return tuple(found for rule in rules for found in _periods(rule, delivered, today))


def _periods(rule: CarriageRule, delivered: date, today: date) -> Iterator[Deadline]:
    spans = (
        ("notice_apparent", rule.days_apparent),
        ("notice_concealed", rule.days),
    )
    for concerns, days in spans:
        if days is not None:
            last = days_after(delivered, int(days), sundays=not rule.no_sundays)
            roughly = "holidays" if rule.no_sundays and days else ""
            yield Deadline(rule.key, concerns, last, last < today, roughly)
    if rule.months is not None:
        last = months_after(delivered, int(rule.months))
        concerns = "suit" if rule.topic == "suit" else "claim"
        yield Deadline(rule.key, concerns, last, last < today, "least" if rule.least else "")


def days_after(start: date, days: int, *, sundays: bool = True) -> date:
    """Return the last day of a period of days, the first day not counted.

    Args:
        start: The day from which it runs.
        days: How many, ≥ 0.
        sundays: Sundays count; else they are passed over.
    """
    day, left = start, days
    while left > 0 and day < date.max:
        day += timedelta(days=1)
        if sundays or day.weekday() != SUNDAY:
            left -= 1
    return day


def months_after(start: date, months: int) -> date:
    """Return the same day of the month some months on; the month's last where it is shorter."""
    ahead = start.month - 1 + months
    year, month = min(date.max.year, start.year + ahead // 12), ahead % 12 + 1
    return date(year, month, min(start.day, monthrange(year, month)[1]))
