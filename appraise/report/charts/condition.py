"""Charts of the condition: what each component has lost, and how long the critical ones may last."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from appraise.engine.life import Weibull, life_share, surviving, weibull
from appraise.model.chart import Bar, Bars, Curve, Curves
from appraise.report.document import Drawing
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.result import ComponentResult
    from appraise.report.appraisal import Appraisal

COMPONENTS = 16
"""Components that the chart of what was lost shows at most."""

CURVES = 7
"""Components whose survival is drawn at most: more lines cannot be told apart."""

STEPS = 120
"""Steps of a curve of survival."""

EVEN = 50.0
"""As many in service still as given out [%]."""

ROUND_YEARS = 5
"""The axis of a survival ends at a multiple of this [years]."""


def component_contribution(item: Appraisal, *, most: int | None = COMPONENTS) -> Drawing | None:
    """Draw what each component costs of a new instrument, and how much of that it has lost, the largest loss first.

    Args:
        item: A valued case.
        most: Components shown; none: all.

    Returns:
        None where nothing has lost anything.
    """
    parts = [part for station in item.valuation.stations for part in station.components]
    worn = [part for part in parts if part.share * part.depreciation.mid > 0.0]
    worn.sort(key=lambda part: (-part.share * part.depreciation.mid, part.component))
    if not worn:
        return None
    result = worn[:most]
    shown, say = item.figures.shown, item.manner.say
    rows = tuple(
        Bar(
            literal(part.label),
            100.0 * part.share * part.depreciation.mid,
            say(
                "{loss} of {share}",
                loss=shown(f"{part.component}.depreciation"),
                share=shown(f"{part.component}.share"),
            ),
            100.0 * part.share,
            f"{part.component}.depreciation",
        )
        for part in result
    )
    first = item.manner.listed(
        say(
            "{part} (depreciated {loss}, {share} of the cost)",
            part=item.manner.small(row.label),
            loss=shown(row.figure),
            share=shown(f"{part.component}.share"),
        )
        for row, part in zip(rows[:3], result, strict=False)
    )
    says = say(
        "Parts with most of the depreciation: {parts}. Taken together, usability counted, age and condition leave "
        "{share} of the cost of a new one.",
        parts=first,
        share=shown("share_of_new"),
    )
    left = len(parts) - len(result)
    caption = say("Share of each part in the cost of a new instrument (outline), and its depreciation (filled).")
    if left:
        more = say("The other parts have depreciated less; the table of components has them all.")
        caption = f"{caption} {more}"
    axis = say("share of the cost of a new instrument, %")
    legend = (say("depreciation"), say("cost when new"))
    return Drawing(Bars(say("Depreciation of each component"), axis, rows, legend), caption, says, item.manner)


def survival(item: Appraisal) -> Drawing | None:
    """Draw the chance of each critical component to be in service still, and of none to have given out.

    Returns:
        None where no large job is to come.

    Notes:
        Weibull lives given survival to the effective age, and their product for the first to go: the functions that
        the tables' remaining lives come from, so that every curve is at one half at the median told there.
    """
    coming = item.valuation.next_intervention
    parts = [
        part
        for station in item.valuation.stations
        for part in station.components
        if coming is not None and part.component in coming.competing
    ]
    if coming is None or not parts:
        return None
    parts.sort(key=lambda part: (part.remaining_years.mid, part.component))
    lives = [_life(item, part) for part in parts]
    drawn = parts[:CURVES]
    longest = max(coming.years.mid, *(part.remaining_years.mid for part in drawn))
    end = float(ROUND_YEARS * max(1, ceil(1.1 * longest / ROUND_YEARS)))
    say, small = item.manner.say, item.manner.small
    curves = [_curve(say("First of these to go"), lives, end, coming.years.mid, item, "next_intervention")]
    curves += [
        _curve(literal(part.label), [life], end, part.remaining_years.mid, item, f"{part.component}.remaining")
        for part, life in zip(drawn, lives, strict=False)
    ]
    each = item.manner.listed(f"{small(curve.label)} {item.figures.spread(curve.figure)}" for curve in curves[1:])
    says = say(
        "Chances are even that the first of these gives out within {years}; each by itself: {parts}.",
        years=item.figures.spread("next_intervention"),
        parts=each,
    )
    caption = say(
        "The chance that each part whose renewal is a large job is still in service, and that all of them are; parts "
        "due now are left out. Every curve is marked where chances are even."
    )
    if len(drawn) < len(parts):
        more = say("The parts that may last longest are counted in the first to go, but not drawn.")
        caption = f"{caption} {more}"
    chart = Curves(
        say("Remaining life of the costly parts"),
        say("years from the inspection"),
        say("still in service, %"),
        tuple(curves),
        (0.0, 100.0),
        EVEN,
        say("chances are even after"),
    )
    return Drawing(chart, caption, says, item.manner)


Life = tuple[Weibull, float, float]
"""Distribution, effective age [years], share of the remaining life that it can be given [–]."""


def _life(item: Appraisal, part: ComponentResult) -> Life:
    years = part.life_years
    due_from = item.tables.components[part.component].due_from
    share = life_share(part.grade.mid, due_from, item.tables.setting("due_lead"))
    return weibull(years.low, years.mid, years.high), part.effective_age_years, share


def _curve(label: str, lives: Sequence[Life], end: float, median: float, item: Appraisal, figure: str) -> Curve:
    # The median among the points, so that a curve that falls in a moment still goes through its mark.
    times = sorted({end * step / STEPS for step in range(STEPS + 1)} | {median})
    left = [100.0 * surviving(time, *zip(*lives, strict=True)) for time in times]
    points = tuple(zip(times, left, strict=True))
    return Curve(label, points, (median, EVEN), item.figures.shown(figure), figure == "next_intervention", figure)
