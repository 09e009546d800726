"""Charts of the value: the range with its percentiles, what makes it wide, and the value before and after a move."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.explain.terms import APPROACHES, driver_label
from appraise.model.chart import Bar, Bars, Ranges, Span
from appraise.model.message import message
from appraise.report.document import Drawing
from appraise.report.words import literal

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
    ("left_alone", message("As is")),
    ("after_work", message("After work")),
    ("salvage", message("Disposal")),
)


def value_range(item: Appraisal) -> Drawing | None:
    """Draw the value with its percentiles, and below it what each course and each approach comes to.

    Returns:
        None without a value in money.
    """
    v = item.valuation
    if v.value is None:
        return None
    shown, say = item.figures.shown, item.manner.say
    ticks = tuple((str(p), amount) for p, amount in v.percentiles if p in _INSIDE)
    rows = [_span(item, "value", say("Value"), v.value, ticks=ticks, emphasis=True)]
    for address, label in _COURSES:
        course: Range | None = getattr(v, address)
        # Salvage that decides nothing would only press the others together.
        if course is not None and (address != "salvage" or v.best == "salvage" or course.high > v.value.low):
            rows.append(_span(item, address, say(label), course))
    used = [approach for approach in v.approaches if approach.used]
    if len(used) > 1:
        for each in used:
            alone = say("{approach} alone", approach=literal(say(APPROACHES[each.approach])))
            rows.append(_span(item, f"approach.{each.approach}", alone, each.value))
    says = say(
        "The value lies between {low} and {high}; the best estimate is {best}",
        low=shown("value.low"),
        high=shown("value.high"),
        best=shown("value"),
    )
    if v.value.low == v.value.high:
        says = say("The value is {best}", best=shown("value"))
    if ticks:
        says = say(
            "{range}; chances are even that it lies between {low} and {high}",
            range=says,
            low=shown("value.p25"),
            high=shown("value.p75"),
        )
    others = "; ".join(f"{item.manner.small(row.label)} {item.figures.spread(row.figure)}" for row in rows[1:])
    says = say("{range}. For comparison: {others}.", range=says, others=others) if others else f"{says}."
    if ticks:
        caption = say(
            "Bars reach from the 10th percentile to the 90th, and a diamond marks the best estimate; on the value the "
            "5th, 25th, 75th and 95th percentile are marked as well."
        )
    else:
        caption = say("Bars reach from the 10th percentile to the 90th, and a diamond marks the best estimate.")
    return Drawing(Ranges(say("The value and its range"), v.currency, tuple(rows)), caption, says, item.manner)


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
        node = item.figures.get(driver.address)
        label, shown = (driver_label(driver.input, item.case, item.tables, item.manner), "")
        if node is not None:
            label, shown = node.label, node.shown
        rows.append(Bar(literal(label), 100.0 * driver.share, shown, figure=driver.address))
    say = item.manner.say
    text = item.manner.listed(f"{item.manner.small(row.label)} ({row.shown})" for row in rows[:3])
    if item.valuation.value is not None:
        says = say(
            "The width of the range of the value comes mainly from {causes}, as shares of the variance.",
            causes=text,
        )
    else:
        says = say(
            "The width of the range of the share of new comes mainly from {causes}, as shares of the variance.",
            causes=text,
        )
    left = len(noticed) - len(rows)
    caption = say(
        "The part of the spread that each uncertain input makes by itself, as its first-order share of the variance; "
        "joint effects are not in it, so the shares need not add up to the whole."
    )
    if left:
        more = say("Smaller ones are left out.")
        caption = f"{caption} {more}"
    return Drawing(
        Bars(say("Causes of the width of the range"), say("share of the variance, %"), tuple(rows)),
        caption,
        says,
        item.manner,
    )


def before_after(compared: Compared) -> Drawing | None:
    """Draw the value before the move and after it, all of unknown origin counted as well where there is any.

    Returns:
        None where either state has no value in money.
    """
    loss, say = compared.loss, compared.manner.say
    after = say("After")
    states = [(say("Before"), loss.value_before), (after, compared.proposed.value_after)]
    states += [(say("After, all of unknown origin counted"), other.value_after) for other in loss.scenarios[1:]]
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
            emphasis=label == after,
        )
        for label, value in known
    )
    states_told = "; ".join(f"{compared.manner.small(label)} {compared.spread(value)}" for label, value in known)
    fall = compared.proposed.diminution
    caption = say(
        "Both conditions valued on the later day. Bars reach from the 10th percentile to the 90th, and a diamond "
        "marks the best estimate."
    )
    says = say("The value: {states}.", states=states_told)
    if fall is not None:
        more = say("Diminution in value, established: {amount}.", amount=compared.spread(fall))
        says = f"{says} {more}"
    return Drawing(Ranges(say("The value before and after"), loss.currency, rows), caption, says, compared.manner)
