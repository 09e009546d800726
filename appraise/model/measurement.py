"""The answers of measuring tools: figures and their sources, the clues to drying, and the judgement of a pitch log."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.model.sentence import Sentence

if TYPE_CHECKING:
    from collections.abc import Iterable

    from appraise.model.case import PitchReading
    from appraise.model.locale_format import Formatter


Value = float | int | bool | str | None


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure with its unit."""

    key: str
    """Stable name, its unit at the end: `moisture_content_pct`, `tension_n`, `width_change_mm`."""
    label: str
    value: Value
    """Absent where it cannot be told."""
    unit: str = ""
    """As people read it: "%", "N", "mm"; empty for counts, shares of one and words."""
    note: str = ""
    """Note beside the figure: "upper bound: the board is restrained"."""

    def localized(self, manner: Formatter) -> Figure:
        """Return the figure in the reader's unit, its words with the reader's figures and days."""
        unit = manner.reading(0.0, self.unit)[1]
        return Figure(self.key, self.label, _value(self.value, self.unit, manner), unit, _words(self.note, manner))


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

    def localized(self, manner: Formatter) -> Grid:
        """Return the table in the reader's units."""
        units = [unit for _, _, unit in self.columns]
        columns = tuple((key, heading, manner.reading(0.0, unit)[1]) for key, heading, unit in self.columns)
        rows = (tuple(_value(value, unit, manner) for value, unit in zip(row, units, strict=True)) for row in self.rows)
        return replace(self, columns=columns, rows=tuple(rows))


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

    def localized(self, manner: Formatter) -> Plot:
        """Return the plot in the reader's units."""
        points = tuple((manner.reading(x, self.x)[0], manner.reading(y, self.y)[0]) for x, y in self.points)
        return replace(self, x=manner.reading(0.0, self.x)[1], y=manner.reading(0.0, self.y)[1], points=points)


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

    def localized(self, manner: Formatter) -> Measurement:
        """Return the answer with its figures, tables, plots and sentences in the reader's units, decimals and days."""
        return replace(
            self,
            inputs=tuple(figure.localized(manner) for figure in self.inputs),
            outputs=tuple(figure.localized(manner) for figure in self.outputs),
            grids=tuple(grid.localized(manner) for grid in self.grids),
            plots=tuple(plot.localized(manner) for plot in self.plots),
            says=tuple(_words(text, manner) for text in self.says),
        )


def _words(text: str, manner: Formatter) -> str:
    return text.localized(manner) if isinstance(text, Sentence) else text


def _value(value: Value, unit: str, manner: Formatter) -> Value:
    if isinstance(value, str):
        return _words(value, manner)
    if value is None or isinstance(value, bool) or manner.reading(0.0, unit)[1] == unit:
        return value
    shown, _, worth = manner.reading(float(value), unit)
    return round(shown, worth)


@dataclass(frozen=True, slots=True)
class ClueEvidence:
    """A clue that was looked for."""

    clue: str
    seen: bool
    origin: str
    """assessor | check | climate | pitch log: whose word it is."""
    check: str = ""
    """The check it follows from."""
    moved: float = 0.0
    """By how much it moves the log odds of "dried out" [–]."""


@dataclass(frozen=True, slots=True)
class Explanation:
    """One story's probability."""

    key: str
    before: float
    """Before any clue [–]."""
    after: float
    """[–], the stories sum to 1."""


@dataclass(frozen=True, slots=True)
class DryingAssessment:
    """Conclusion from the clues together."""

    stories: tuple[Explanation, ...]
    """In table order."""
    witnesses: tuple[ClueEvidence, ...]
    """In table order."""
    most: str
    """Clue that moved "dried out" most, either way; empty without clues."""
    next_clues: tuple[tuple[str, float], ...]
    """Clues not yet looked for, and what looking can be expected to tell [bit], most first."""
    strong: tuple[str, ...]
    """Strong clues of damage seen, at most one a section."""
    dry_history: bool
    """The air is known to have been dry for long."""
    damp: bool
    """Signs of damp were seen."""
    conclusion: str
    """dried_out | suspected | one of the other stories | open | nothing (no sign of damage or damp seen)."""

    def after(self, story: str) -> float:
        """Return one story's probability after the clues [–]."""
        return next(one.after for one in self.stories if one.key == story)


@dataclass(frozen=True, slots=True)
class Slope:
    """A slope with its confidence interval, in units of y over units of x."""

    value: float
    low: float
    high: float

    def excludes_zero(self) -> bool:
        """True when the interval lies on one side of zero."""
        return self.low > 0.0 or self.high < 0.0


@dataclass(frozen=True, slots=True)
class Season:
    """The part of a log that humidity explains."""

    slope: Slope | None
    """[cents per % of relative humidity]; none where it cannot be told."""
    explained: float
    """Share of the scatter about the drift that humidity explains [–]."""
    readings: int
    """Readings with humidity, of notes read twice or more."""
    why_not: str = ""
    """few | narrow | with time | no effect; empty where the season is taken out."""


@dataclass(frozen=True, slots=True)
class LogReading:
    """One reading of the log, and how it stands to the rest."""

    reading: PitchReading
    expected: float | None
    """[cents]; none for a note read once, or without humidity where the season counts."""
    outside: bool


@dataclass(frozen=True, slots=True)
class PitchLog:
    """The judgement of a log."""

    verdict: str
    """steady | seasonal | drifting_flat | drifting_sharp | not_enough."""
    readings: int
    used: int
    """Of notes read twice or more."""
    years: float
    """From the first to the last of those [years]."""
    drift: Slope | None
    """[cents a year]."""
    season: Season
    scatter: float
    """Robust standard deviation about drift and season [cents]."""
    lines: tuple[LogReading, ...]
    """By day."""
    last: float
    """Median of the readings of the last day [cents]."""
