"""Invented charts of every kind, small and hostile, that no table and no draw can change."""

from __future__ import annotations

from datetime import date

from appraise.model.chart import (
    Along,
    Band,
    Bar,
    Bars,
    Curve,
    Curves,
    Ranges,
    Scatter,
    Series,
    Span,
    Trend,
)
from appraise.report.document import Drawing

HOSTILE = "<script>alert(1)</script> ]]> & \"q\" 'a' [/x] \x00\x1b[2J\x85\u202eback\u2066\ufffe\uffff 鋼琴の響板 🎹 é"
"""Markup, the end of a character section, controls of terminals and of direction, what XML has no place for, wide
letters."""


def _day(year: int, month: int) -> float:
    return float(date(year, month, 1).toordinal())


def every(label: str = "Oak", title: str = "A chart", shown: str = "EUR 1,200") -> dict[str, Drawing]:
    """Return a drawing of each kind.

    Args:
        label: What marks are called, with a number behind it.
        title: Of the chart and its axes.
        shown: What figures read.
    """
    ranges = Ranges(
        title,
        title,
        (
            Span(f"{label} 1", 10.0, 16.0, 30.0, (shown,) * 3, (("5", 8.0), ("25", 13.0), ("95", 33.0)), emphasis=True),
            Span(f"{label} 2", -2.0, 4.0, 9.0, (shown,) * 3),
            Span(f"{label} 3", 5.0, 5.0, 5.0, (shown,) * 3),
        ),
    )
    bars = Bars(
        title,
        title,
        (Bar(f"{label} 1", 7.0, shown, 9.0), Bar(f"{label} 2", 3.0, shown, 3.0), Bar(f"{label} 3", 0.0, shown, 4.0)),
        (label, label),
    )
    curves = Curves(
        title,
        title,
        title,
        tuple(
            Curve(f"{label} {n}", ((0.0, 100.0), (5.0 * n, 50.0), (40.0, 5.0)), (5.0 * n, 50.0), shown, n == 1)
            for n in range(1, 8)
        ),
        (0.0, 100.0),
        50.0,
        title,
    )
    scatter = Scatter(
        title,
        title,
        title,
        tuple(
            Series(f"{label} {n}", ((4.0 * n, 3.0 * n), (80.0, 2.0 * n)), shown, ((80.0, 2.0 * n),)) for n in range(6)
        ),
        (
            Band(f"{label} between", ((1.0, 2.0, 5.0), (88.0, 1.0, 4.0))),
            Band(f"{label} at least", ((1.0, 9.0, None), (88.0, 8.0, None))),
            Band(f"{label} at most", ((1.0, None, 12.0), (88.0, None, 14.0))),
        ),
        along=Along.NOTE,
    )
    log = Scatter(
        title,
        title,
        title,
        (Series(f"{label} 1", ((_day(2023, 1), -1.0), (_day(2024, 7), -6.0), (_day(2025, 10), -9.0))),),
        trend=Trend(label, ((_day(2023, 1), -1.0), (_day(2025, 10), -9.5)), shown),
        along=Along.DAY,
    )
    charts = {"ranges": ranges, "bars": bars, "curves": curves, "scatter": scatter, "log": log}
    return {name: Drawing(chart, f"{title}.", f"{title}: {label} {shown}.") for name, chart in charts.items()}
