"""The approaches to value and how they were reconciled, and the range with what drives it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.explain.terms import APPROACHES, FEATURES, weighting
from appraise.model.message import message
from appraise.report.charts.worth import what_drives
from appraise.report.document import Column, Facts, Paragraph, Section, Table
from appraise.report.figures import NOTHING
from appraise.report.rationale.closing import NOTICEABLE_PCT
from appraise.report.sections.cells import figure_column, lean, lean_table, table, text_column
from appraise.report.value_texts import market_level_text
from appraise.report.words import capital, literal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.case import Comparable
    from appraise.model.result import GridLine
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block


AT_MOST = 10
"""Next checks that a report lists."""

STEPS = (
    (message("Replacement cost new"), "replacement_cost_new"),
    (message("Share of cost new left, usability included"), "share_of_new"),
    (message("Usability"), "usability"),
    (message("Market factor"), "market_factor"),
    (message("Renewals, on the market factor"), "renewal"),
    (message("Cosmetic condition"), "appearance"),
    (message("Share of the retail price"), "basis_factor"),
    (message("Ceiling: price of a new one on this market"), "price_new"),
    (message("Left of the resale price"), "kept"),
    (message("Deducted whatever the condition"), "taking"),
    (message("As is"), "left_alone"),
    (message("After work, less its cost"), "after_work"),
    (message("Disposal: parts less removal"), "salvage"),
    (message("Option value in the best estimate"), "option"),
)
"""Steps from replacement cost new to the value: label and address of the figure."""


def approaches(item: Appraisal) -> tuple[Section, ...]:
    """Each approach with its weight or the reason it was left out, the comparables, and the reconciliation."""
    say = item.manner.say
    shown = item.figures.shown
    alone = sum(approach.used for approach in item.valuation.approaches) == 1
    approaches = table(
        item.valuation.approaches,
        text_column(say("Approach"), lambda each: literal(say(APPROACHES[each.approach]))),
        figure_column(
            say("Value"), lambda each: item.figures.spread(f"approach.{each.approach}") if each.used else NOTHING
        ),
        figure_column(
            say("Weight"), lambda each: shown(f"approach.{each.approach}.weight") if each.used else say("left out")
        ),
        text_column(
            say("Reason"),
            lambda each: (
                say("the only one used") if each.used and alone else literal(item.manner.render(weighting(each)))
            ),
        ),
    )
    blocks: list[Block] = [approaches] if approaches.rows else [Paragraph(say("No approach could be carried out."))]
    blocks.append(
        Paragraph(say("The income approach was left out: nothing in the case says that the instrument is rented out."))
    )
    return (
        Section(say("Approaches to value"), tuple(blocks), key="approaches"),
        *comparables(item),
        *_adjustments(item),
        _reconciliation(item),
    )


def _reconciliation(item: Appraisal) -> Section:
    say = item.manner.say
    rows = [
        (say(label), item.figures.spread(figure)) for label, figure in STEPS if item.figures.get(figure) is not None
    ]
    source = literal(item.case.market.replacement_source)
    if source and item.case.market.cost_new is not None:
        rows.insert(1, (say("Source of that cost"), source))
    near = say(
        "Each is the median of its own draws: a product of these medians comes near the value, not exactly to it."
    )
    blocks: list[Block] = []
    used = [approach for approach in item.valuation.approaches if approach.used]
    if item.valuation.value is not None:
        low, high = item.figures.shown("value.low"), item.figures.shown("value.high")
        rows.append(
            (
                say("Value, rounded outward"),
                say("{low} to {high}; best estimate {best}", low=low, high=high, best=item.figures.shown("value")),
            )
        )
    if len(used) > 1:
        how = say("by weighting each by its precision, the inverse of its variance")
        if item.case.market.weight_cost_pct is not None:
            how = say("with the weights that the assessor gave")
        blocks.append(
            Paragraph(
                say("The approaches were reconciled {how}; the value is not simply the mean of the two.", how=how)
            )
        )
        if item.valuation.disagreement > 0.0:
            blocks.append(
                Paragraph(
                    say(
                        "They differ by more than their uncertainties. Their mean is given the uncertainty that the "
                        "difference shows (Birge ratio), which adds {more}.",
                        more=item.figures.shown("disagreement"),
                    )
                )
            )
    elif used:
        only = item.manner.small(literal(say(APPROACHES[used[0].approach])))
        blocks.append(
            Paragraph(
                say("One approach was used, the {approach}; there is no other to reconcile it with.", approach=only)
            )
        )
    level = market_level_text(item.case, item.tables, item.valuation, item.manner)
    lines = [near, *([level] if level else [])]
    said = tuple(map(Paragraph, lines)) if item.valuation.value is not None and rows else ()
    return Section(say("Reconciliation"), (*blocks, Facts(tuple(rows)), *said), level=2, key="reconciliation")


def _adjustments(item: Appraisal) -> Iterator[Section]:
    say = item.manner.say
    if not item.case.market.adjustments:
        return
    rows = tuple(
        (literal(row.name), item.figures.shown(f"adjustment.{n}"), literal(row.reason))
        for n, row in enumerate(item.case.market.adjustments, 1)
    )
    columns = (Column(say("Adjustment")), Column(say("Size"), numeric=True), Column(say("Reason")))
    yield Section(say("Adjustments of the assessor"), (Table(columns, rows),), level=2, key="adjustments")


def spread(item: Appraisal) -> Section:
    """The percentiles, the inputs that make the range wide, and the checks that would narrow it."""
    say = item.manner.say
    v = item.valuation
    blocks: list[Block] = []
    if v.percentiles:
        columns = tuple(Column(f"P{percent}", numeric=True) for percent, _ in v.percentiles)
        blocks.append(
            Table(columns, (tuple(item.figures.shown(f"value.p{percent:02d}") for percent, _ in v.percentiles),))
        )
        blocks.append(
            Paragraph(
                say(
                    "The value was worked out {draws} times, each time with different likely figures for every "
                    "uncertain input (draws, with seed {seed}). P10: one draw in ten came out lower. Low and high of "
                    "the value are P10 and P90 rounded outward.",
                    draws=item.manner.whole(v.draws),
                    seed=v.seed,
                )
            )
        )
    if (chart := what_drives(item)) is not None:
        blocks.append(chart)
    checks = [check for check in v.next_checks[:AT_MOST] if check.narrows_pct >= NOTICEABLE_PCT]
    if checks:
        labels = {station.station: literal(say(station.label)) for station in v.stations}
        blocks.append(
            table(
                checks,
                text_column(say("Check not yet made"), lambda check: literal(check.label)),
                text_column(say("Station"), lambda check: labels.get(check.station, check.station)),
                figure_column(
                    say("Would narrow the range by"), lambda check: item.figures.shown(f"narrows.{check.check}")
                ),
                figure_column(say("Takes"), lambda check: item.figures.shown(f"narrows.{check.check}.minutes")),
            )
        )
    elif v.next_checks:
        blocks.append(Paragraph(say("None of the checks left to make would narrow the range noticeably.")))
    return Section(say("The range and what drives it"), tuple(blocks), key="range")


def comparables(item: Appraisal) -> tuple[Section, ...]:
    """Return the comparables as sold and their adjustment grid; nothing without comparables."""
    say = item.manner.say
    if not item.valuation.grid:
        return ()
    manner, small = item.manner, item.manner.small

    def kind(sale: Comparable) -> str:
        basis = item.tables.bases.get(sale.sale)
        return small(literal(basis.label)) if basis else sale.sale

    sold = lean_table(
        list(enumerate(item.case.market.comparables, 1)),
        figure_column(say("No."), lambda each: str(each[0])),
        text_column(say("Comparable"), lambda each: literal(each[1].label)),
        figure_column(say("Price"), lambda each: item.figures.shown(f"comparable.{each[0]}.price")),
        text_column(say("Day"), lambda each: manner.day(each[1].date)),
        text_column(say("Kind of sale"), lambda each: kind(each[1])),
        text_column(say("Effective year"), lambda each: manner.dated(each[1].made)),
        figure_column(
            say("Size"), lambda each: "" if each[1].size_cm is None else manner.quantity(each[1].size_cm, "cm")
        ),
        figure_column(say("Grade"), lambda each: manner.number(each[1].grade)),
        figure_column(
            say("Distance"),
            lambda each: manner.quantity(round(each[1].distance_km), "km") if each[1].distance_km else "",
        ),
    )
    return (
        Section(say("Comparables as sold"), (sold, *_sources(item)), level=2, key="comparables"),
        _grid(item),
    )


def _sources(item: Appraisal) -> Iterator[Paragraph]:
    """Yield where the sales come from, each source once with the numbers of its sales."""
    say = item.manner.say
    numbers: dict[str, list[str]] = {}
    for n, sale in enumerate(item.case.market.comparables, 1):
        source = "; ".join(literal(text).rstrip(".") for text in (sale.source, sale.note) if text.strip())
        numbers.setdefault(source or say("not stated"), []).append(say("No. {number}", number=n))
    words = "; ".join(
        say("{sales}: {source}", sales=item.manner.listed(sales), source=source) for source, sales in numbers.items()
    )
    if words:
        yield Paragraph(say("Sources: {sources}.", sources=words))


def _grid(item: Appraisal) -> Section:
    say = item.manner.say
    shown = item.figures.shown
    features = list(dict.fromkeys(feature for line in item.valuation.grid for feature, _ in line.steps))
    rows = tuple(
        (
            str(n),
            shown(f"comparable.{n}.price"),
            *(_step(item, n, line, feature) for feature in features),
            _adjusted(item, n, line),
            _gross(item, n, line),
            shown(f"comparable.{n}.net"),
            shown(f"comparable.{n}.weight"),
        )
        for n, line in enumerate(item.valuation.grid, 1)
    )
    headings = (
        say("No."),
        say("Price"),
        *(capital(literal(say(FEATURES[feature]))) for feature in features),
        say("Adjusted"),
        say("Gross"),
        say("Net"),
        say("Weight"),
    )
    columns = tuple(Column(heading, numeric=True) for heading in headings)
    limit = item.manner.percentage(item.tables.setting("gross_limit_pct"), 1)
    note = say(
        "Each adjustment is made to the price as adjusted so far. Gross is the sum of the adjustments without their "
        "signs, net the sum with them, both as a share of the price; a comparable above {limit} gross is marked. "
        "Weight falls with the gross adjustment for the market and with distance.",
        limit=limit,
    )
    return Section(say("Adjustments, gross and net"), (lean(columns, rows), Paragraph(note)), level=2, key="grid")


def _adjusted(item: Appraisal, n: int, line: GridLine) -> str:
    adjusted = item.figures.shown(f"comparable.{n}")
    return adjusted if line.outlying is None else item.manner.say("{adjusted} (stands out)", adjusted=adjusted)


def _gross(item: Appraisal, n: int, line: GridLine) -> str:
    gross = item.figures.shown(f"comparable.{n}.gross")
    return item.manner.say("{gross} (over the limit)", gross=gross) if line.flagged else gross


def _step(item: Appraisal, n: int, line: GridLine, feature: str) -> str:
    added = dict(line.steps).get(feature, 0.0)
    return item.figures.shown(f"comparable.{n}.{feature}") if round(added) else ""
