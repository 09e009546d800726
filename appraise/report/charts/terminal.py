"""The charts of a valued case for the terminal: what `value --charts` prints below the figures, all text literal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from appraise.report.charts import build
from appraise.report.charts.text import NARROWEST, WIDEST, body
from appraise.report.charts.text_canvas import folded

if TYPE_CHECKING:
    from rich.console import RenderableType

    from appraise.report.appraisal import Appraisal


def charts_page(item: Appraisal, width: int) -> list[RenderableType]:
    """Return every chart that the case gives, with its caption.

    Args:
        item: A valued case.
        width: Columns of the terminal; a chart takes `WIDEST` at most, and never fewer than `NARROWEST`.
    """
    width = min(WIDEST, max(NARROWEST, width))
    page: list[RenderableType] = []
    for drawing in build.drawings(item):
        page += [Text(""), *(Text(line, style="bold") for line in folded(drawing.chart.title, width))]
        page += [Text(line, no_wrap=True, overflow="crop") for line, _ in body(drawing, width)]
        page += [Text(line, style="dim") for line in folded(drawing.caption, width)]
    return page
