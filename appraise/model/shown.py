"""Figures as people read them."""

from __future__ import annotations

from math import floor, log10

MINUS = "−"


def money(amount: float, currency: str) -> str:
    """Return an amount with its currency: "EUR 12,400", "EUR −800"; 3 significant digits below a thousand million.

    Args:
        amount: In whole currency units; rounded to three significant digits, and never finer than one unit.
        currency: ISO 4217 code.
    """
    return f"{currency} {about(amount)}"


def about(amount: float) -> str:
    """Return an amount of money to three significant digits, without its currency: "12,400", "−800"."""
    return whole(_significant(amount, 3))


def whole(amount: float) -> str:
    """Return a number to the unit, its thousands apart: "12,350", "−680"."""
    rounded = round(amount)
    return f"{MINUS if rounded < 0 else ''}{abs(rounded):,}"


def exact_money(amount: float, currency: str) -> str:
    """Return an amount to the unit, as for figures that were given and not calculated."""
    sign = MINUS if amount < 0 else ""
    size = abs(amount)
    text = f"{size:,.2f}" if round(size % 1, 2) not in (0.0, 1.0) else f"{size:,.0f}"
    return f"{currency} {sign}{text}"


def percent(share: float) -> str:
    """Return a share [–] as a percentage: "46%", below ten with one decimal."""
    value = 100.0 * share
    return f"{value:.1f}%".replace(".0%", "%") if abs(value) < 9.95 else f"{value:.0f}%"


def years(value: float) -> str:
    """Return years: "4.5 years", from ten on whole."""
    text = f"{value:.1f}" if value < 9.95 else f"{value:.0f}"
    text = text.removesuffix(".0")
    return f"{text} year" if text == "1" else f"{text} years"


def grade(value: float) -> str:
    """Return a grade with one decimal: "2.5"."""
    return f"{value:.1f}"


def factor(value: float) -> str:
    """Return a factor with two decimals: "0.85"."""
    return f"{value:.2f}"


def quantity(value: float, unit: str) -> str:
    """Return a measured quantity with its unit, without needless zeros: "7.4 N·m", "12"."""
    text = f"{value:.2f}".rstrip("0").rstrip(".").replace("-", MINUS)
    if not unit:
        return text
    return f"{text}{unit}" if unit == "%" else f"{text} {unit}"


def _significant(amount: float, digits: int) -> float:
    if abs(amount) < 10 ** (digits - 1):
        return float(round(amount))
    unit = 10.0 ** (floor(log10(abs(amount))) - digits + 1)
    return round(amount / unit) * unit
