"""Rules of the tables of moves: topics, amounts with their currency, places that there are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.tables import rows_carriage
from appraise.tables.columns import shown

if TYPE_CHECKING:
    from appraise.tables.sheet import Book


def carriage_rules(book: Book) -> None:
    """Check that every rule has a known topic, and that an amount has a currency and belongs to a limit.

    Args:
        book: All tables; what is wrong is noted in it.
    """
    for rule in book.rows("carriage_rules", rows_carriage.CarriageRule):
        amounts = (rule.per_kg, rule.per_lb, rule.per_m3, rule.per_package)
        stated = any(amount is not None for amount in amounts)
        if stated and not rule.unit:
            book.wrong(rule, "unit", "nothing", "the currency of the amounts, or SDR")
        if stated != (rule.topic == "limit"):
            book.wrong(rule, "topic", shown(rule.topic), "a limit where there is an amount, and only there")
        if (
            any(each is not None for each in (rule.days, rule.days_apparent, rule.days_delay))
            and rule.topic != "notice"
        ):
            book.wrong(rule, "topic", shown(rule.topic), "a notice where there are days")
        if rule.months is not None and rule.topic not in ("notice", "suit"):
            book.wrong(rule, "topic", shown(rule.topic), "a notice or a suit where there are months")
        for column in ("days_apparent", "days", "days_delay", "months"):
            number = getattr(rule, column)
            if number is not None and not number.is_integer():
                book.wrong(rule, column, f"{number:g}", "a whole number")
