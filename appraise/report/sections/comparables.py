"""The comparables: as they were sold, and adjusted to the instrument one feature at a time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.document import Column, Paragraph, Section
from appraise.report.sections.tables import lean
from appraise.report.words import day, literal, number, period, small

if TYPE_CHECKING:
    from appraise.model.case import Comparable
    from appraise.model.result import GridLine
    from appraise.report.appraisal import Appraisal


def comparables(item: Appraisal) -> tuple[Section, ...]:
    """What is known of each sale, and the grid of adjustments; nothing where there are none."""
    if not item.valuation.grid:
        return ()
    sold = tuple(_sold(item, n, sale) for n, sale in enumerate(item.case.market.comparables, 1))
    headings = ("No.", "Comparable", "Price", "Day", "Kind of sale", "Made", "Size", "Grade", "Distance", "Source")
    numeric = {"No.", "Price", "Size", "Grade", "Distance"}
    columns = tuple(Column(heading, numeric=heading in numeric) for heading in headings)
    return (
        Section("Comparables as sold", (lean(columns, sold),), level=2, key="comparables"),
        _grid(item),
    )


def _sold(item: Appraisal, n: int, sale: Comparable) -> tuple[str, ...]:
    basis = item.tables.bases.get(sale.sale)
    source = "; ".join(literal(text).rstrip(".") for text in (sale.source, sale.note) if text.strip())
    return (
        str(n),
        literal(sale.label),
        item.figures.shown(f"comparable.{n}.price"),
        day(sale.date),
        small(literal(basis.label)) if basis else sale.sale,
        period(sale.made)[1],
        "" if sale.size_cm is None else f"{number(sale.size_cm)} cm",
        number(sale.grade),
        f"{number(sale.distance_km, 0)} km" if sale.distance_km else "",
        source,
    )


def _grid(item: Appraisal) -> Section:
    shown = item.figures.shown
    features = list(dict.fromkeys(feature for line in item.valuation.grid for feature, _ in line.steps))
    rows = tuple(
        (
            str(n),
            shown(f"comparable.{n}.price"),
            *(_step(item, n, line, feature) for feature in features),
            shown(f"comparable.{n}"),
            shown(f"comparable.{n}.gross") + (" (past the limit)" if line.flagged else ""),
            shown(f"comparable.{n}.net"),
            shown(f"comparable.{n}.weight"),
        )
        for n, line in enumerate(item.valuation.grid, 1)
    )
    headings = ("No.", "Price", *(literal(f).capitalize() for f in features), "Adjusted", "Gross", "Net", "Weight")
    columns = tuple(Column(heading, numeric=True) for heading in headings)
    limit = number(item.tables.setting("gross_limit_pct"))
    note = (
        "Each adjustment is made to the price as adjusted so far. Gross is the sum of the adjustments without their "
        f"signs, net the sum with them, both over the price; past {limit}% gross a comparable is marked. Weight falls "
        "with the gross adjustment for the market and with distance."
    )
    return Section("Adjustments, gross and net", (lean(columns, rows), Paragraph(note)), level=2, key="grid")


def _step(item: Appraisal, n: int, line: GridLine, feature: str) -> str:
    added = dict(line.steps).get(feature, 0.0)
    return item.figures.shown(f"comparable.{n}.{feature.replace(' ', '_')}") if round(added) else ""
