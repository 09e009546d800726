"""The answer of a measuring tool: figures given, figures found, and their sources."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable

Value = float | int | bool | str | None


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure with its unit."""

    key: str
    """Stable name, its unit at the end: `moisture_content_pct`, `tension_n`, `width_change_mm`."""
    label: str
    value: Value
    """None where it cannot be told."""
    unit: str = ""
    """As people read it: "%", "N", "mm"; empty for counts, shares of one and words."""
    note: str = ""
    """Note beside the figure: "upper bound: the board is restrained"."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Figures note by note, or one row a section, a strength, a clue."""

    key: str
    label: str
    columns: tuple[tuple[str, str, str], ...]
    """(key, heading, unit) of each column."""
    rows: tuple[tuple[Value, ...], ...]

    @classmethod
    def of(cls, key: str, label: str, columns: str, rows: Iterable[tuple[Value, ...]]) -> Grid:
        """Make a grid from its columns in words: "note | mean_g mean [g]" has two, keyed `note` and `mean_g`."""
        return cls(key, label, tuple(_column(part) for part in columns.split(" | ")), tuple(rows))


def _column(words: str) -> tuple[str, str, str]:
    key, _, rest = words.partition(" ")
    heading, mark, unit = rest.partition("[")
    return key, heading.strip() if rest else key, unit.removesuffix("]") if mark else ""


@dataclass(frozen=True, slots=True)
class Plot:
    """Points, or spans of years one below the other, drawn with letters."""

    key: str
    label: str
    x: str
    """Quantity that runs to the right, with its unit: "note", "years ago", "time"."""
    y: str = ""
    """Quantity that runs upwards, with its unit; empty where the height is only a density."""
    points: tuple[tuple[float, float], ...] = ()
    line: bool = False
    """The points are a curve: draw it as a filled shape."""
    spans: tuple[tuple[str, float, float], ...] = ()
    """(label, from, to) below the points, on the same scale."""


@dataclass(frozen=True, slots=True)
class Basis:
    """Source and standing of a figure."""

    what: str
    """The formula or the value: "equilibrium moisture content"."""
    standing: str
    """published | common practice | from memory | our assumption."""
    source: str
    """Author, title, edition, as it can be named; empty without one."""
    where: str = ""
    """Chapter, equation, table."""


@dataclass(frozen=True, slots=True)
class Measurement:
    """The answer of one measuring tool."""

    instrument: str
    title: str
    inputs: tuple[Figure, ...]
    outputs: tuple[Figure, ...]
    grids: tuple[Grid, ...] = ()
    says: tuple[str, ...] = ()
    """Plain sentences: what the figures mean."""
    cautions: tuple[str, ...] = ()
    rests_on: tuple[Basis, ...] = ()
    plots: tuple[Plot, ...] = ()
