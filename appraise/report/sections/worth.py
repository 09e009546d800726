"""The approaches to value and how they were reconciled, and the range with what drives it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.explain.terms import APPROACHES, FEATURES, weighting
from appraise.model.message import message
from appraise.report.charts.worth import what_drives
from appraise.report.document import Column, Facts, Paragraph, Section, Table
from appraise.report.figures import NOTHING
from appraise.report.rationale.closing import NOTICEABLE_PCT
from appraise.report.sections.cells import lean
from appraise.report.value_texts import level_told
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
    (message("Share of new left, usability included"), "share_of_new"),
    (message("Usability"), "usability"),
    (message("Market factor"), "market_factor"),
    (message("Renewals, on the market factor"), "renewal"),
    (message("Cosmetic condition"), "appearance"),
    (message("Share of the retail price"), "basis_factor"),
    (message("Price of a new one on this market, never exceeded"), "price_new"),
    (message("Kept of the resale price"), "kept"),
    (message("Deducted whatever the condition"), "taking"),
    (message("As is"), "left_alone"),
    (message("After work, its cost taken off"), "after_work"),
    (message("Disposal: parts less removal"), "salvage"),
    (message("Option value in the best estimate"), "option"),
)
"""What leads from a new instrument to the value: what a person reads, and the figure."""


def approaches(item: Appraisal) -> tuple[Section, ...]:
    """Each approach with its weight or the reason it was left out, the comparables, and the reconciliation."""
    say = item.manner.say
    shown = item.figures.shown
    alone = sum(approach.used for approach in item.valuation.approaches) == 1
    rows = tuple(
        (
            literal(say(APPROACHES[approach.approach])),
            item.figures.spread(f"approach.{approach.approach}") if approach.used else NOTHING,
            shown(f"approach.{approach.approach}.weight") if approach.used else say("left out"),
            say("the only one used") if approach.used and alone else literal(item.manner.render(weighting(approach))),
        )
        for approach in item.valuation.approaches
    )
    columns = (
        Column(say("Approach")),
        Column(say("Value"), numeric=True),
        Column(say("Weight"), numeric=True),
        Column(say("Reason")),
    )
    blocks: list[Block] = [Table(columns, rows)] if rows else [Paragraph(say("No approach could be carried out."))]
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
        how = say("weighed by how precisely each is known, the inverse of its variance")
        if item.case.market.weight_cost_pct is not None:
            how = say("as the assessor weighed them")
        blocks.append(
            Paragraph(
                say("The approaches were reconciled, {how}; the value is not simply the mean of the two.", how=how)
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
            Paragraph(say("One approach was used, the {approach}; there is none to weigh it against.", approach=only))
        )
    level = level_told(item.case, item.tables, item.valuation, item.manner)
    told = [near, *([level] if level else [])]
    said = tuple(map(Paragraph, told)) if item.valuation.value is not None and rows else ()
    return Section(say("Reconciliation"), (*blocks, Facts(tuple(rows)), *said), level=2, key="reconciliation")


def _adjustments(item: Appraisal) -> list[Section]:
    say = item.manner.say
    if not item.case.market.adjustments:
        return []
    rows = tuple(
        (literal(row.name), item.figures.shown(f"adjustment.{n}"), literal(row.reason))
        for n, row in enumerate(item.case.market.adjustments, 1)
    )
    columns = (Column(say("Adjustment")), Column(say("Size"), numeric=True), Column(say("Reason")))
    return [Section(say("Adjustments of the assessor"), (Table(columns, rows),), level=2, key="adjustments")]


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
        columns = (
            Column(say("Check not yet made")),
            Column(say("Station")),
            Column(say("Would narrow the range by"), numeric=True),
            Column(say("Takes"), numeric=True),
        )
        labels = {station.station: literal(say(station.label)) for station in v.stations}
        rows = tuple(
            (
                literal(check.label),
                labels.get(check.station, check.station),
                item.figures.shown(f"narrows.{check.check}"),
                item.figures.shown(f"narrows.{check.check}.minutes"),
            )
            for check in checks
        )
        blocks.append(Table(columns, rows))
    elif v.next_checks:
        blocks.append(Paragraph(say("None of the checks left to make would narrow the range noticeably.")))
    return Section(say("The range and what drives it"), tuple(blocks), key="range")


def comparables(item: Appraisal) -> tuple[Section, ...]:
    """What is known of each sale, and the grid of adjustments; nothing where there are none."""
    say = item.manner.say
    if not item.valuation.grid:
        return ()
    sold = tuple(_sold(item, n, sale) for n, sale in enumerate(item.case.market.comparables, 1))
    columns = (
        Column(say("No."), numeric=True),
        Column(say("Comparable")),
        Column(say("Price"), numeric=True),
        Column(say("Day")),
        Column(say("Kind of sale")),
        Column(say("Counts as made")),
        Column(say("Size"), numeric=True),
        Column(say("Grade"), numeric=True),
        Column(say("Distance"), numeric=True),
    )
    return (
        Section(say("Comparables as sold"), (lean(columns, sold), *_sources(item)), level=2, key="comparables"),
        _grid(item),
    )


def _sold(item: Appraisal, n: int, sale: Comparable) -> tuple[str, ...]:
    basis = item.tables.bases.get(sale.sale)
    return (
        str(n),
        literal(sale.label),
        item.figures.shown(f"comparable.{n}.price"),
        item.manner.day(sale.date),
        item.manner.small(literal(basis.label)) if basis else sale.sale,
        item.manner.dated(sale.made),
        "" if sale.size_cm is None else item.manner.quantity(sale.size_cm, "cm"),
        item.manner.number(sale.grade),
        item.manner.quantity(round(sale.distance_km), "km") if sale.distance_km else "",
    )


def _sources(item: Appraisal) -> Iterator[Paragraph]:
    """Yield where the sales come from, each source once with the numbers of its sales."""
    say = item.manner.say
    numbers: dict[str, list[str]] = {}
    for n, sale in enumerate(item.case.market.comparables, 1):
        source = "; ".join(literal(text).rstrip(".") for text in (sale.source, sale.note) if text.strip())
        numbers.setdefault(source or say("not stated"), []).append(say("No. {number}", number=n))
    told = "; ".join(
        say("{sales}: {source}", sales=item.manner.listed(sales), source=source) for source, sales in numbers.items()
    )
    if told:
        yield Paragraph(say("Sources: {sources}.", sources=told))


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
        "signs, net the sum with them, both as a share of the price; past {limit} gross a comparable is marked. "
        "Weight falls with the gross adjustment for the market and with distance.",
        limit=limit,
    )
    return Section(say("Adjustments, gross and net"), (lean(columns, rows), Paragraph(note)), level=2, key="grid")


def _adjusted(item: Appraisal, n: int, line: GridLine) -> str:
    adjusted = item.figures.shown(f"comparable.{n}")
    return adjusted if line.outlying is None else item.manner.say("{adjusted} (stands out)", adjusted=adjusted)


def _gross(item: Appraisal, n: int, line: GridLine) -> str:
    gross = item.figures.shown(f"comparable.{n}.gross")
    return item.manner.say("{gross} (past the limit)", gross=gross) if line.flagged else gross


def _step(item: Appraisal, n: int, line: GridLine, feature: str) -> str:
    added = dict(line.steps).get(feature, 0.0)
    return item.figures.shown(f"comparable.{n}.{feature}") if round(added) else ""
