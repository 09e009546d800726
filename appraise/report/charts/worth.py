"""Charts of the value: the range with its percentiles, what makes it wide, and the value before and after a move."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.chart import Bar, Bars, Ranges, Span
from appraise.report.document import Drawing
from appraise.report.words import listed, literal, small

if TYPE_CHECKING:
    from appraise.model.result import Range
    from appraise.report.appraisal import Appraisal
    from appraise.report.loss.compared import Compared

DRIVERS = 10
"""Inputs that the chart of the drivers shows at most."""

NOTICEABLE = 0.005
"""An input that brings less of the variance is not drawn [–]."""

_INSIDE = (5, 25, 75, 95)
"""Percentiles marked on the range beside its ends."""

_COURSES = (
    ("left_alone", "Left as it is"),
    ("after_work", "After the best work"),
    ("salvage", "Salvage less removal"),
)


def value_range(item: Appraisal) -> Drawing | None:
    """Draw the value with its percentiles, and below it what each course and each approach comes to.

    Returns:
        None without a value in money.
    """
    v = item.valuation
    if v.value is None:
        return None
    shown = item.figures.shown
    ticks = tuple((str(p), amount) for p, amount in v.percentiles if p in _INSIDE)
    rows = [_span(item, "value", "Value", v.value, ticks=ticks, emphasis=True)]
    for address, label in _COURSES:
        course: Range | None = getattr(v, address)
        # Salvage that decides nothing would only press the others together.
        if course is not None and (address != "salvage" or v.best == "salvage" or course.high > v.value.low):
            rows.append(_span(item, address, label, course))
    used = [approach for approach in v.approaches if approach.used]
    if len(used) > 1:
        rows += [_span(item, f"approach.{each.approach}", f"{literal(each.label)} alone", each.value) for each in used]
    says = f"The value lies from {shown('value.low')} to {shown('value.high')}, with {shown('value')} in the middle"
    if v.value.low == v.value.high:
        says = f"The value is {shown('value')}"
    if ticks:
        says += f"; half of the draws lie from {shown('value.p25')} to {shown('value.p75')}"
    others = "; ".join(f"{small(row.label)} {item.figures.spread(row.figure)}" for row in rows[1:])
    says = f"{says}. In comparison: {others}." if others else f"{says}."
    caption = (
        "The value as a range, and what each course comes to: from the 10th percentile to the 90th, the middle marked"
    )
    if ticks:
        caption += "; on the value the 5th, 25th, 75th and 95th percentile as well"
    return Drawing(Ranges("The value and how wide it is", v.currency, tuple(rows)), f"{caption}.", says)


def _span(
    item: Appraisal,
    address: str,
    label: str,
    range_: Range,
    *,
    ticks: tuple[tuple[str, float], ...] = (),
    emphasis: bool = False,
) -> Span:
    shown = item.figures.shown
    texts = (shown(f"{address}.low"), shown(address), shown(f"{address}.high"))
    return Span(label, range_.low, range_.mid, range_.high, texts, ticks, emphasis, address)


def what_drives(item: Appraisal) -> Drawing | None:
    """Draw the share of the variance of the value that each uncertain input brings, the largest first.

    Returns:
        None where nothing drives it: every figure is certain, or none was drawn.
    """
    noticed = [driver for driver in item.valuation.drivers if driver.share >= NOTICEABLE]
    if not noticed:
        return None
    rows = []
    for driver in noticed[:DRIVERS]:
        address = f"range.{driver.input.replace(' ', '_')}"
        rows.append(Bar(literal(driver.label), 100.0 * driver.share, item.figures.shown(address), figure=address))
    what = "value" if item.valuation.value is not None else "share of new that is left"
    told = listed(f"{small(row.label)} ({row.shown})" for row in rows[:3])
    says = f"The range of the {what} owes its width above all to {told}."
    left = len(noticed) - len(rows)
    more = " Smaller ones are left out." if left else ""
    caption = (
        "First-order shares of the variance, each input taken alone; what inputs do together is not in them, so they "
        f"need not add up to the whole.{more}"
    )
    return Drawing(Bars("What makes the range wide", "share of the variance, %", tuple(rows)), caption, says)


def before_after(compared: Compared) -> Drawing | None:
    """Draw the value before the move and after it, all of unknown origin counted as well where there is any.

    Returns:
        None where either state has no value in money.
    """
    loss = compared.loss
    states = [("Before", loss.value_before), ("After", compared.proposed.value_after)]
    states += [("After, all of unknown origin counted", other.value_after) for other in loss.scenarios[1:]]
    known = [(label, value) for label, value in states if value is not None]
    if loss.value_before is None or len(known) < 2:
        return None
    rows = tuple(
        Span(
            label,
            value.low,
            value.mid,
            value.high,
            (compared.amount(value.low), compared.amount(value.mid), compared.amount(value.high)),
            emphasis=label == "After",
        )
        for label, value in known
    )
    says = "; ".join(f"{small(label)} {compared.spread(value)}" for label, value in known)
    fall = compared.proposed.diminution
    caption = "Both states valued on the later day with the same draws: 10th percentile, middle, 90th percentile."
    if fall is not None:
        caption += f" Diminution in value, established: {compared.spread(fall)}."
    return Drawing(Ranges("The value before and after", loss.currency, rows), caption, f"The value: {says}.")
