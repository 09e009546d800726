"""The work, the approaches to value with their grid, and the range with what drives it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.document import Column, Facts, Paragraph, Section, Table
from appraise.report.figures import NOTHING
from appraise.report.words import listed, literal, small

if TYPE_CHECKING:
    from appraise.model.result import GridLine
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block

AT_MOST = 10
"""Drivers and next checks that a report lists."""


def work(item: Appraisal) -> Section:
    """Every remedy that was weighed: cost, value added, whether it pays, whether it is in the plan."""
    title = "Work weighed"
    if item.case.costs.labour_rate is None:
        return Section(title, (Paragraph("No labour rate was given, so no work was costed."),))
    if not item.valuation.work:
        return Section(title, (Paragraph("No remedy in the tables applies."),))
    shown = item.figures.shown
    rows = tuple(
        (
            literal(job.label),
            shown(f"work.{job.remedy}.hours"),
            item.figures.spread(f"work.{job.remedy}.cost"),
            "a step" if job.step else shown(f"work.{job.remedy}.value_added"),
            "with others" if job.step else "yes" if job.curable else "no",
            "yes" if job.chosen else "no",
        )
        for job in sorted(item.valuation.work, key=lambda job: (not job.chosen, not job.curable))
    )
    columns = (
        Column("Work"),
        Column("Hours", numeric=True),
        Column("Cost", numeric=True),
        Column("Adds to the value", numeric=True),
        Column("Pays for itself"),
        Column("In the plan"),
    )
    blocks: list[Block] = [Table(columns, rows)]
    blocks.append(
        Paragraph(
            "A job of the plan is costed by itself, so that the costs add up to those of the plan; "
            "any other job on top of the plan, with the steps it needs."
        )
    )
    return Section(title, tuple(blocks))


def approaches(item: Appraisal) -> tuple[Section, ...]:
    """Each approach with its weight or the reason it was left out, the grid, and the reconciliation."""
    shown = item.figures.shown
    rows = tuple(
        (
            literal(approach.label),
            item.figures.spread(f"approach.{approach.approach}") if approach.used else NOTHING,
            shown(f"approach.{approach.approach}.weight") if approach.used else "left out",
            literal(approach.reason),
        )
        for approach in item.valuation.approaches
    )
    columns = (
        Column("Approach"),
        Column("Value", numeric=True),
        Column("Weight", numeric=True),
        Column("Reason"),
    )
    blocks: list[Block] = [Table(columns, rows)] if rows else [Paragraph("No approach could be carried out.")]
    steps = [
        (label, item.figures.spread(figure))
        for label, figure in (
            ("Replacement cost new", "replacement_cost_new"),
            ("Share of new left", "share_of_new"),
            ("Usability", "usability"),
            ("Market factor", "market_factor"),
            ("Factor of the kind of value", "basis_factor"),
            ("Left alone", "left_alone"),
            ("After the best plan, its cost taken off", "after_work"),
            ("Salvage less removal", "salvage"),
        )
        if item.figures.get(figure) is not None
    ]
    blocks.append(Facts(tuple(steps)))
    sections = [Section("Approaches and reconciliation", tuple(blocks))]
    if item.valuation.grid:
        sections.append(_grid(item))
    sections.extend(_adjustments(item))
    return tuple(sections)


def _grid(item: Appraisal) -> Section:
    shown = item.figures.shown
    rows = tuple(
        (
            literal(line.label),
            shown(f"comparable.{n}.price"),
            _steps(item, n, line),
            shown(f"comparable.{n}"),
            shown(f"comparable.{n}.gross"),
            shown(f"comparable.{n}.net"),
            shown(f"comparable.{n}.weight"),
            "past the limit of gross adjustment" if line.flagged else "",
        )
        for n, line in enumerate(item.valuation.grid, 1)
    )
    columns = (
        Column("Comparable"),
        Column("Price", numeric=True),
        Column("Adjusted for"),
        Column("Adjusted price", numeric=True),
        Column("Gross", numeric=True),
        Column("Net", numeric=True),
        Column("Weight", numeric=True),
        Column("Flag"),
    )
    blocks: list[Block] = [Table(columns, rows)]
    sources = [
        f"{literal(row.label)}: {literal(row.source)}" for row in item.case.market.comparables if row.source.strip()
    ]
    if sources:
        blocks.append(Paragraph("Sources of the comparables: " + "; ".join(sources) + "."))
    return Section("Comparables", tuple(blocks), level=2)


def _steps(item: Appraisal, n: int, line: GridLine) -> str:
    addresses = ((feature, f"comparable.{n}.{feature.replace(' ', '_')}") for feature, _ in line.steps)
    return "; ".join(f"{small(literal(feature))} {item.figures.shown(address)}" for feature, address in addresses)


def _adjustments(item: Appraisal) -> list[Section]:
    if not item.case.market.adjustments:
        return []
    rows = tuple(
        (literal(row.name), item.figures.shown(f"adjustment.{n}"), literal(row.reason))
        for n, row in enumerate(item.case.market.adjustments, 1)
    )
    columns = (Column("Adjustment"), Column("Size", numeric=True), Column("Reason"))
    return [Section("Adjustments of the assessor", (Table(columns, rows),), level=2)]


def spread(item: Appraisal) -> Section:
    """The percentiles, the inputs that make the range wide, and the checks that would narrow it."""
    v = item.valuation
    blocks: list[Block] = []
    if v.percentiles:
        columns = tuple(Column(f"P{percent}", numeric=True) for percent, _ in v.percentiles)
        blocks.append(
            Table(columns, (tuple(item.figures.shown(f"value.p{percent:02d}") for percent, _ in v.percentiles),))
        )
        blocks.append(
            Paragraph(
                f"P10 means that one draw in ten came out lower. {v.draws:,} draws with seed "
                f"{v.seed}; low and high are P10 and P90 rounded outward."
            )
        )
    drivers = [driver for driver in v.drivers[:AT_MOST] if driver.share > 0]
    if drivers:
        columns = (Column("What makes the range wide"), Column("Share of the variance", numeric=True))
        rows = tuple(
            (literal(driver.label), item.figures.shown(f"range.{driver.input.replace(' ', '_')}")) for driver in drivers
        )
        blocks.append(Table(columns, rows))
    checks = [check for check in v.next_checks[:AT_MOST] if check.narrows_pct > 0]
    if checks:
        columns = (
            Column("Check not yet made"),
            Column("Station"),
            Column("Would narrow the range by", numeric=True),
            Column("Takes", numeric=True),
        )
        labels = {station.station: literal(station.label) for station in v.stations}
        blocks.append(
            Table(
                columns,
                tuple(
                    (
                        literal(check.label),
                        labels.get(check.station, check.station),
                        item.figures.shown(f"narrows.{check.check}"),
                        item.figures.shown(f"narrows.{check.check}.minutes"),
                    )
                    for check in checks
                ),
            )
        )
    if v.laws:
        labels = {key: literal(row.label) for key, row in item.tables.laws.items()}
        text = listed(f"{labels.get(law, law)} {item.figures.shown(f'law.{law}')}" for law, _ in v.laws)
        blocks.append(Paragraph(f"Share of new left under each law of depreciation, for comparison: {text}."))
    return Section("The range and what drives it", tuple(blocks))
