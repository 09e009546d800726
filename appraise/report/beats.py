"""Why one trade-in candidate beats another, in two sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from appraise.report.ranking import amount, called
from appraise.report.words import listed, literal, number, small

if TYPE_CHECKING:
    Row = dict[str, Any]


def why(first: Row, second: Row) -> tuple[str, str]:
    """Say in two sentences why the first beats the second, or that it does not.

    Args:
        first: A row as from `flat`.
        second: Another, in the same currency.

    Returns:
        What the offers come to and where the difference comes from; and what speaks the other way, or that nothing
        does, with risk and time to the next major work.

    Raises:
        ValueError: The currencies differ, so that no amount can be set against another.
    """
    if first["currency"] != second["currency"]:
        raise ValueError(f"{first['currency']} and {second['currency']} cannot be compared")
    one, two = _names(first, second)
    coin, gap = first["currency"], first["offer"] - second["offer"]
    if gap == 0.0:
        opening = f"{one} does not beat {two} by its offer: both go up to {coin} {amount(first['offer'])}"
    elif gap > 0.0:
        opening = (
            f"{one} bears an offer of {coin} {amount(first['offer'])}, {coin} {amount(gap)} more than {two} at the "
            f"same {number(first['probability_pct'])}% sureness of the margin"
        )
    else:
        opening = (
            f"{one} does not beat {two}: it bears an offer of {coin} {amount(first['offer'])}, {coin} "
            f"{amount(-gap)} less at the same {number(first['probability_pct'])}% sureness of the margin"
        )
    steps = [(text, size) for text, size in _steps(first, second) if size != 0.0]
    ahead = [text for text, size in sorted(steps, key=lambda step: -abs(step[1])) if (size > 0.0) == (gap >= 0.0)]
    behind = [text for text, size in sorted(steps, key=lambda step: -abs(step[1])) if (size > 0.0) != (gap >= 0.0)]
    opening += f", for {listed(ahead[:2])}" if ahead and gap else ""
    other = f"Against that, {listed(behind[:2])}" if behind else "Nothing in the money speaks the other way"
    return f"{opening}.", f"{other}; {_risks(first, second)}."


def _names(first: Row, second: Row) -> tuple[str, str]:
    one, two = called(first), called(second)
    if one == two:
        one, two = f"{one} ({first['file']})", f"{two} ({second['file']})"
    return literal(one), literal(two)


def _steps(first: Row, second: Row) -> list[tuple[str, float]]:
    """Return each step of the residual with what it does for the first [money], the first named as "it"."""
    coin = first["currency"]
    found = []
    for key, more, less, sign in (
        ("resale", "it resells for {} more", "it resells for {} less", 1.0),
        ("work", "its work costs {} more", "its work costs {} less", -1.0),
        ("carriage_and_holding", "carriage and holding take {} more", "carriage and holding take {} less", -1.0),
        ("margin", "its margin takes {} more", "its margin takes {} less", -1.0),
    ):
        change = round(first[key] - second[key])
        found.append(((more if change > 0 else less).format(f"{coin} {amount(abs(change))}"), sign * change))
    return found


def _risks(first: Row, second: Row) -> str:
    risk = f"it loses money in {number(first['loss_risk_pct'])}% of the draws, the other in "
    risk += f"{number(second['loss_risk_pct'])}%"
    ends = [row["next_intervention_months"] for row in (first, second)]
    if None in ends:
        return risk
    part = small(str(first["next_intervention_part"]))
    return f"{risk}, and major work ({part}) is due in about {number(ends[0], 0)} months against {number(ends[1], 0)}"
