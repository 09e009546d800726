"""A chart as one SVG picture that stands by itself: no script, no style sheet, nothing from elsewhere, text as text."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, assert_never

from appraise.model.chart import Bars, Curves, Ranges, Scatter
from appraise.report.charts.alt import alt
from appraise.report.charts.svg_canvas import FONTS, INK, PAPER, PX_PER_MM, Pen, folded, plain, px
from appraise.report.charts.svg_marks import draw_bars, draw_curves, draw_ranges, draw_scatter
from appraise.report.charts.words import cleaned

if TYPE_CHECKING:
    from appraise.model.chart import Chart
    from appraise.report.document import Drawing

NARROWEST_MM = 70.0
"""No picture is laid out for less."""

_ID = re.compile(r"[A-Za-z][A-Za-z0-9_-]*\Z")
_FAMILY = re.compile(r"[\w ,'-]+\Z")
_TITLE = 13.0


def svg(drawing: Drawing, *, width_mm: float = 170.0, prefix: str = "chart", fonts: str = FONTS) -> str:
    """Draw a chart.

    Args:
        drawing: The chart with its words.
        width_mm: Width that it is laid out for [mm], at least `NARROWEST_MM`; the height follows. A narrow chart puts
            its legend below and keeps its type at the same size, so a telephone is better served by 95 than by 170.
        prefix: Of the ids in it, to be unique on a page: letters, digits, - and _, a letter first.
        fonts: Font families, as in CSS.

    Returns:
        An `svg` element with `title` and `desc`; the same bytes for the same drawing.

    Raises:
        ValueError: The prefix is no id, or the fonts hold anything but names.
    """
    if not _ID.match(prefix):
        raise ValueError(f"found {prefix!r}, expected letters, digits, - and _, a letter first")
    if not _FAMILY.match(fonts):
        raise ValueError(f"found {fonts!r}, expected names of font families")
    width = max(width_mm, NARROWEST_MM) * PX_PER_MM
    pen = Pen(drawing.manner)
    top = 0.0
    chart = cleaned(drawing.chart)
    for line in folded(chart.title, width, _TITLE * 1.05, 3):
        top += _TITLE * 1.3
        pen.text(0, top - 3, line, _TITLE, bold=True)
    height = _draw(pen, chart, top + 6, width)
    title, desc = f"{prefix}-title", f"{prefix}-desc"
    size = (
        f'width="{px(width / PX_PER_MM)}mm" height="{px(height / PX_PER_MM)}mm" viewBox="0 0 {px(width)} {px(height)}"'
    )
    return "\n".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img" aria-labelledby="{title} {desc}" '
            f'font-family="{fonts}" fill="{INK}">',
            f'<title id="{title}">{plain(chart.title)}</title>',
            f'<desc id="{desc}">{plain(alt(drawing))}</desc>',
            f'<rect width="{px(width)}" height="{px(height)}" fill="{PAPER}"/>',
            pen.drawn(),
            "</svg>",
            "",
        )
    )


def _draw(pen: Pen, chart: Chart, top: float, width: float) -> float:
    """Draw the chart below `top`; return where it ends."""
    if isinstance(chart, Ranges):
        return draw_ranges(pen, chart, top, width)
    if isinstance(chart, Bars):
        return draw_bars(pen, chart, top, width)
    if isinstance(chart, Curves):
        return draw_curves(pen, chart, top, width)
    if isinstance(chart, Scatter):
        return draw_scatter(pen, chart, top, width)
    assert_never(chart)
