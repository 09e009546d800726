"""The data of a chart, frozen: every writer draws the same figures in its own way.

A chart never holds a figure that stands nowhere else: what is written beside a mark is the `shown` text of a node of
the reason tree, so that a picture and a table cannot disagree. Only the ticks of the axes are the writer's own.
"""

from __future__ import annotations

from enum import StrEnum

from appraise.model.lazy_dataclass import dataclass

Point = tuple[float, float]
"""(along, up)."""


@dataclass(frozen=True, slots=True)
class Span:
    """One named range on a common axis: a bar from low to high with a mark at the middle."""

    label: str
    low: float
    mid: float
    high: float
    shown: tuple[str, str, str]
    """Low, middle and high as people read them."""
    ticks: tuple[tuple[str, float], ...] = ()
    """Further marks, as percentiles: (label, place)."""
    emphasis: bool = False
    """The one a reader looks for first."""
    figure: str = ""
    """Address of the node of the middle figure; empty where there is no tree."""


@dataclass(frozen=True, slots=True)
class Ranges:
    """Ranges one below the other on one axis: the value, or before and after."""

    title: str
    axis: str
    """The quantity along the axis, with its unit."""
    rows: tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class Bar:
    """One named share or amount."""

    label: str
    value: float
    shown: str
    whole: float | None = None
    """The whole that the value is a part of, drawn as an outline behind it."""
    figure: str = ""
    """Address of its node."""


@dataclass(frozen=True, slots=True)
class Bars:
    """Bars one below the other from zero: what makes the range wide, what each component has lost."""

    title: str
    axis: str
    rows: tuple[Bar, ...]
    legend: tuple[str, str] = ("", "")
    """Meanings of bar and outline; the latter empty where there is no outline."""


@dataclass(frozen=True, slots=True)
class Curve:
    """A named line through points, x rising."""

    label: str
    points: tuple[Point, ...]
    mark: Point | None = None
    """The place that `shown` speaks of."""
    shown: str = ""
    emphasis: bool = False
    """The one a reader looks for first."""
    figure: str = ""
    """Address of the node of the marked figure."""


@dataclass(frozen=True, slots=True)
class Curves:
    """Lines over one pair of axes: survival of the critical components."""

    title: str
    x: str
    y: str
    curves: tuple[Curve, ...]
    y_ends: tuple[float, float] | None = None
    """Ends of the upward axis where they are fixed, as (0, 100) for a percentage."""
    level: float | None = None
    """A height drawn across, where the marks lie."""
    marked: str = ""
    """Meaning of the marks: "chances are even after"."""


class Along(StrEnum):
    """The quantity on the axis of a scatter."""

    NUMBER = "number"
    DAY = "day"
    """As `date.toordinal()` does."""
    NOTE = "note"
    """Keys of the compass, 1 the lowest, A0 on 88 notes."""


@dataclass(frozen=True, slots=True)
class Series:
    """Readings of one kind, one mark each."""

    label: str
    points: tuple[Point, ...]
    shown: str = ""
    """A figure that sums the readings up, as people read it."""
    odd: tuple[Point, ...] = ()
    """Those of the points that stand out."""
    figure: str = ""


@dataclass(frozen=True, slots=True)
class Band:
    """The band wanted, between two lines; an edge is none where it is open."""

    label: str
    edges: tuple[tuple[float, float | None, float | None], ...]
    """(along, low, high), two or more, along rising; either edge is none at all of them or at none."""


@dataclass(frozen=True, slots=True)
class Trend:
    """A line through the readings."""

    label: str
    points: tuple[Point, ...]
    shown: str = ""
    figure: str = ""


@dataclass(frozen=True, slots=True)
class Scatter:
    """Readings over one pair of axes, with what is wanted and a line through them where there is one."""

    title: str
    x: str
    y: str
    series: tuple[Series, ...]
    bands: tuple[Band, ...] = ()
    trend: Trend | None = None
    along: Along = Along.NUMBER
    notes: int = 88
    """Keys of the compass, where the axis counts them."""


Chart = Ranges | Bars | Curves | Scatter
"""Every kind of chart."""
