"""What a chart shows, as frozen data: every writer draws the same figures in its own way.

A chart never holds a figure that stands nowhere else: what is written beside a mark is the `shown` text of a node of
the reason tree, so that a picture and a table cannot disagree.
"""

from __future__ import annotations

from dataclasses import dataclass


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


@dataclass(frozen=True, slots=True)
class Ranges:
    """Ranges one below the other on one axis: the value, or before and after."""

    title: str
    axis: str
    """What runs along, with its unit."""
    rows: tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class Bar:
    """One named share or amount."""

    label: str
    value: float
    shown: str


@dataclass(frozen=True, slots=True)
class Bars:
    """Bars one below the other from zero: what makes the range wide, what each component has lost."""

    title: str
    axis: str
    rows: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class Curve:
    """A named line through points, x rising."""

    label: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Curves:
    """Lines over one pair of axes: survival of the critical components."""

    title: str
    x: str
    y: str
    curves: tuple[Curve, ...]
    y_ends: tuple[float, float] | None = None
    """Ends of the upward axis where they are fixed, as (0, 1) for a share."""


@dataclass(frozen=True, slots=True)
class Scatter:
    """Readings over one pair of axes, with a band of what is wanted and a line through them where there is one."""

    title: str
    x: str
    y: str
    points: tuple[tuple[float, float], ...]
    band: tuple[float, float] | None = None
    """What is within tolerance, on the upward axis."""
    band_label: str = ""
    trend: tuple[tuple[float, float], ...] = ()
    trend_label: str = ""
    dates: bool = False
    """The x of a point is a day, counted as `date.toordinal()` does."""


Chart = Ranges | Bars | Curves | Scatter
"""Every kind of chart."""
