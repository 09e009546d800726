"""The comparables: as they were sold, and adjusted to the instrument one feature at a time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.explain.terms import FEATURES
from appraise.report.document import Column, Paragraph, Section
from appraise.report.sections.tables import lean
from appraise.report.words import capital, literal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.case import Comparable
    from appraise.model.result import GridLine
    from appraise.report.appraisal import Appraisal


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
            shown(f"comparable.{n}"),
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


def _gross(item: Appraisal, n: int, line: GridLine) -> str:
    gross = item.figures.shown(f"comparable.{n}.gross")
    return item.manner.say("{gross} (past the limit)", gross=gross) if line.flagged else gross


def _step(item: Appraisal, n: int, line: GridLine, feature: str) -> str:
    added = dict(line.steps).get(feature, 0.0)
    return item.figures.shown(f"comparable.{n}.{feature}") if round(added) else ""
