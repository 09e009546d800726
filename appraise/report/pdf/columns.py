"""How wide the columns of a table are, how large its type, and whether its page lies on its side.

Widths are estimates from the letters, in em of the type; the shares they give are what the typesetter divides the
line by, so that an estimate that is a little out costs a line break and never a letter.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.report.words import literal

if TYPE_CHECKING:
    from appraise.report.document import Column, Table

LINE = {"a4": (476.0, 723.0), "letter": (493.0, 673.0)}
"""Width between the margins [pt], the page upright and on its side."""

_ATTEMPTS = (
    (False, True, (9.5, 9.0, 8.5, 8.0)),
    (False, False, (8.5, 8.0, 7.5)),
    (True, True, (9.0, 8.5, 8.0)),
    (True, False, (8.5, 8.0, 7.5, 7.0)),
)
"""What is tried in turn: a page on its side or not, figures on one line or not, sizes of type [pt]."""

GAP = 1.0
"""Between two columns [em]."""

STEP = 0.5
"""By which room that is left is given away [em]."""

READABLE = 8.0
"""A column of running text gets at least this [em], where it has so much to say."""

WHOLE = 14.0
"""A figure longer than this [em] is broken in any case."""

MOST = 0.9
"""Share of a column's cells that are given room on one line, where there is room."""

HEAVY = 1.12
"""How much wider than the cells' type that of the headings is, rather more than less [–]."""

MANY = 6
"""A table of more rows than this is set small, so that fewer pages hold it."""

SMALL = 8.5
"""Its largest type [pt]."""

TOGETHER = (8, 900)
"""A table of no more rows and letters than these stays on one page."""

LONG = 600
"""A row with a cell of more letters than this may run over the end of a page."""

_WORD = re.compile(r"[^\s/–-]+[/–-]*")
_BRACKET = re.compile(r" (?=\()")
_LETTERS = {
    **dict.fromkeys(" .,:;'|!ijlI()[]·", 0.29),
    **dict.fromkeys('frts-–−/"', 0.39),
    **dict.fromkeys("mwMW%@—…", 0.86),
    **dict.fromkeys("0123456789", 0.47),
}


@dataclass(frozen=True, slots=True)
class Layout:
    """How one table is set."""

    widths: tuple[float, ...]
    """Of each column, as shares."""
    size: float
    """Of the type [pt]."""
    flipped: bool
    """Whether it needs a page on its side."""
    breakable: bool
    """Whether its rows may run over the end of a page."""
    together: bool = False
    """Whether the whole table stays on one page."""


@dataclass(frozen=True, slots=True)
class _Need:
    """What one column asks for [em]."""

    least: float
    """Its longest word."""
    wanted: float
    """What reads well."""
    whole: float
    """All its cells on one line."""


def width_of(text: str) -> float:
    """Return about how wide a text is [em]."""
    return sum(_LETTERS.get(letter, 0.66 if letter.isupper() or letter > "\u0250" else 0.49) for letter in text)


def laid_out(table: Table, paper: str) -> Layout:
    """Find the largest type in which a table reads well, on a page on its side only where it must be.

    Args:
        table: Its cells.
        paper: A key of `LINE`.
    """
    columns = [[row[place] for row in table.rows] for place in range(len(table.columns))]
    breakable = any(len(cell) > LONG for row in table.rows for cell in row)
    letters = sum(len(cell) for row in table.rows for cell in row)
    together = len(table.rows) <= TOGETHER[0] and letters <= TOGETHER[1]
    rows = [[width_of(literal(cell)) for cell in row] for row in table.rows]
    for flipped, unbroken, sizes in _ATTEMPTS:
        needs = [_need(column, cells, unbroken) for column, cells in zip(table.columns, columns, strict=True)]
        for size in sizes if len(table.rows) <= MANY else [size for size in sizes if size <= SMALL]:
            line = LINE[paper][flipped] / size - GAP * (len(needs) - 1)
            if sum(need.wanted for need in needs) <= line:
                return Layout(_shared(needs, line, rows), size, flipped, breakable, together)
    return Layout(tuple(need.wanted for need in needs), sizes[-1], True, breakable, together)


def _need(column: Column, cells: list[str], unbroken: bool) -> _Need:
    texts = [literal(cell) for cell in cells]
    words = [word for text in texts for word in (_BRACKET.split(text) if column.numeric else _WORD.findall(text))]
    heads = _WORD.findall(literal(column.heading))
    widths = [width_of(word) for word in words] + [HEAVY * width_of(word) for word in heads]
    least = min(max(widths, default=1.0), READABLE) + 0.6
    lines = sorted(width_of(text) for text in texts) or [1.0]
    head = HEAVY * width_of(_widest_half(column.heading))
    most = max(lines[int(MOST * (len(lines) - 1))], min(lines[-1], WHOLE if column.numeric else READABLE), head) + 0.6
    wanted = min(most, WHOLE if unbroken else least) if column.numeric else min(most, READABLE)
    return _Need(least, max(least, wanted), max(lines[-1], head, least) + 0.6)


def _widest_half(heading: str) -> str:
    """Return the part of a heading that must stand on one line where it is broken once."""
    words = literal(heading).split()
    return max((" ".join(half) for half in (words[: (len(words) + 1) // 2], words[(len(words) + 1) // 2 :])), key=len)


def _shared(needs: list[_Need], line: float, rows: list[list[float]]) -> tuple[float, ...]:
    """Divide a line: what each column wants, then step by step to the column by which the rows come out lowest.

    Args:
        needs: Of each column.
        line: To divide [em].
        rows: Width of every cell set on one line [em].
    """
    given = [need.wanted for need in needs]
    while (left := line - sum(given)) > STEP:
        short = [place for place, need in enumerate(needs) if need.whole > given[place]]
        if not short:
            break
        # What a little more room takes off the height of each row, by the column that makes it as high as it is.
        saved = dict.fromkeys(short, 0.0)
        for row in rows:
            tallest = max(range(len(row)), key=lambda place: row[place] / given[place])
            if tallest in saved and row[tallest] > given[tallest]:
                saved[tallest] += row[tallest] / given[tallest] ** 2
        best = max(short, key=lambda place: saved[place])
        given[best] += min(STEP, left, needs[best].whole - given[best])
    return tuple(round(width * line / sum(given), 3) for width in given)
