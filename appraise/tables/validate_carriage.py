"""The rules of the table of carriage: topics, and amounts with their currency."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.tables import rows_carriage
from appraise.tables.columns import shown

if TYPE_CHECKING:
    from appraise.tables.sheet import Book

TOPICS = ("scope", "limit", "notice", "suit", "measure")


def carriage_rules(book: Book) -> None:
    """Check that every rule has a known topic, and that an amount has a currency and belongs to a limit.

    Args:
        book: All tables; what is wrong is noted in it.
    """
    for rule in book.rows("carriage_rules", rows_carriage.CarriageRule):
        book.known(rule, "topic", (rule.topic,), TOPICS, "one of " + ", ".join(TOPICS))
        amounts = (rule.per_kg, rule.per_lb, rule.per_m3, rule.per_package)
        stated = any(amount is not None for amount in amounts)
        if stated and not rule.unit:
            book.wrong(rule, "unit", "nothing", "the currency of the amounts, or SDR")
        if stated != (rule.topic == "limit"):
            book.wrong(rule, "topic", shown(rule.topic), "a limit where there is an amount, and only there")
