"""Tuning pins: torque by section, loose pins in a line or scattered, and whether a pin holds."""

from __future__ import annotations

from enum import StrEnum
from itertools import groupby, pairwise
from math import comb, sqrt
from statistics import NormalDist
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence


@dataclass(frozen=True, slots=True)
class Pin:
    """One pin as read."""

    section: str
    row: str
    """Row of the section, as the person calls it; empty where rows were not told apart."""
    number: int
    """Place along the row, counted from the bass end."""
    torque: float
    """[N·m]."""


@dataclass(frozen=True, slots=True)
class RowOfPins:
    """The loose pins of one row."""

    section: str
    row: str
    read: int
    loose: int
    line: tuple[int, ...]
    """Numbers of the longest line of loose neighbours."""
    unread: bool
    """Pins between those of the line were not read."""
    runs: Runs


class Pattern(StrEnum):
    """Pattern of the loose pins."""

    NONE = "no loose pins"
    SCATTERED = "scattered"
    LINE = "a line of neighbours"
    DOUBTFUL_LINE = "neighbours, as chance may have it"
    THROUGHOUT = "throughout"


@dataclass(frozen=True, slots=True)
class Loose:
    """The loose pins of all rows together."""

    pattern: Pattern
    rows: tuple[RowOfPins, ...]
    chance: float
    """Chance of a row so clustered somewhere, if loose pins were scattered [–]; over all rows tested."""
    tested: int
    """Rows with both loose and firm pins."""


def by_section(pins: Iterable[Pin]) -> dict[str, list[float]]:
    """Return the torques [N·m] of each section, in the order the sections come."""
    found: dict[str, list[float]] = {}
    for pin in pins:
        found.setdefault(pin.section, []).append(pin.torque)
    return found


def low_anchors(anchors: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Return the anchors on the loose side: those before the grade stops getting better."""
    found = [anchors[0]]
    for before, after in pairwise(anchors):
        if after[1] >= before[1]:
            break
        found.append(after)
    return tuple(found)


def value_at(anchors: Sequence[tuple[float, float]], grade: float) -> float:
    """Return the value on the loose side where the grade is reached [unit of the anchors]; else the nearest end."""
    low = low_anchors(anchors)
    if grade >= low[0][1]:
        return low[0][0]
    for (v0, g0), (v1, g1) in pairwise(low):
        if grade >= g1:
            return v0 + (grade - g0) * (v1 - v0) / (g1 - g0)
    return low[-1][0]


def loose_pins(pins: Sequence[Pin], below: float, least: int, significance: float) -> Loose:
    """Tell a line of at least so many loose neighbours from scattered loose pins; loose is less than `below` [N·m].

    Each row is tested for few runs (see `runs_test`); the smallest chance counts as many times as rows were tested, so
    that many rows do not make a line out of luck (Bonferroni).
    """
    rows: dict[tuple[str, str], list[Pin]] = {}
    for pin in pins:
        rows.setdefault((pin.section, pin.row), []).append(pin)
    found = []
    for (section, row), members in rows.items():
        members.sort(key=lambda pin: pin.number)
        kinds = [pin.torque < below for pin in members]
        start, length = longest(kinds)
        line = tuple(pin.number for pin in members[start : start + length])
        gaps = any(b - a > 1 for a, b in pairwise(line))
        found.append(RowOfPins(section, row, len(kinds), sum(kinds), line, gaps, runs_test(kinds)))
    mixed = [row for row in found if 0 < row.loose < row.read]
    chance = min(1.0, len(mixed) * min((row.runs.chance for row in mixed), default=1.0))
    total = sum(row.loose for row in found)
    if total == 0:
        pattern = Pattern.NONE
    elif 2 * total > len(pins):
        pattern = Pattern.THROUGHOUT
    elif not any(len(row.line) >= least for row in found):
        pattern = Pattern.SCATTERED
    elif all(row.unread for row in found if len(row.line) >= least):
        # What was not read between them may hold: no more than a doubt.
        pattern = Pattern.DOUBTFUL_LINE
    else:
        sure = any(
            row.loose == row.read or row.runs.chance * len(mixed) <= significance
            for row in found
            if len(row.line) >= least and not row.unread
        )
        pattern = Pattern.LINE if sure else Pattern.DOUBTFUL_LINE
    return Loose(pattern, tuple(found), chance, len(mixed))


def drifts(set_to: Mapping[str, float], found: Mapping[str, float]) -> dict[str, float]:
    """Return how far each pin moved from its pitch when set [cents], flat negative; pins not found again left out."""
    return {pin: found[pin] - value for pin, value in set_to.items() if pin in found}


EXACT_UP_TO = 200
"""Longer sequences use the normal approximation; the exact count is a sum of whole numbers up to here."""


@dataclass(frozen=True, slots=True)
class Runs:
    """The runs of one sequence of two kinds."""

    n_true: int
    n_false: int
    runs: int
    expected: float
    """Mean number of runs of all arrangements."""
    sd: float
    """Their standard deviation."""
    chance: float
    """Share of all arrangements with as few runs or fewer [–]; 1 where there is only one kind."""
    exact: bool


def runs_test(kinds: Sequence[bool]) -> Runs:
    """Count the runs of a sequence and tell how rarely chance gives so few.

    Args:
        kinds: In the order in which they stand, at least one.

    Returns:
        The test against clustering (one-sided: few runs). Exact up to `EXACT_UP_TO`, else the normal approximation with
        a correction of one half for continuity.

    Raises:
        ValueError: Nothing to test.

    References:
        A. Wald and J. Wolfowitz, "On a test whether two samples are from the same population", Annals of Mathematical
        Statistics 11, 1940; exact probabilities as tabulated by F. S. Swed and C. Eisenhart, Annals of Mathematical
        Statistics 14, 1943.
    """
    if not kinds:
        raise ValueError("the runs test needs at least one reading")
    first = sum(kinds)
    second = len(kinds) - first
    runs = sum(1 for _ in groupby(kinds))
    mean, sd = moments(first, second)
    if first == 0 or second == 0:
        return Runs(first, second, runs, mean, sd, 1.0, exact=True)
    if len(kinds) <= EXACT_UP_TO:
        return Runs(first, second, runs, mean, sd, few_runs_exact(runs, first, second), exact=True)
    chance = NormalDist().cdf((runs + 0.5 - mean) / sd)
    return Runs(first, second, runs, mean, sd, chance, exact=False)


def moments(first: int, second: int) -> tuple[float, float]:
    """Return mean and standard deviation of the number of runs of all arrangements of so many things of two kinds."""
    n = first + second
    twice = 2 * first * second
    mean = twice / n + 1.0
    return mean, sqrt(twice * (twice - n) / (n * n * (n - 1))) if n > 1 and twice > n else 0.0


def few_runs_exact(runs: int, first: int, second: int) -> float:
    """Return the share of all arrangements of things of two kinds, one or more each, with `runs` runs or fewer [–]."""
    ways = sum(_arrangements(count, first, second) for count in range(2, runs + 1))
    return ways / comb(first + second, first)


def _arrangements(runs: int, first: int, second: int) -> int:
    """Count the arrangements with exactly so many runs."""
    half, odd = divmod(runs, 2)
    if not odd:
        return 2 * comb(first - 1, half - 1) * comb(second - 1, half - 1)
    return comb(first - 1, half) * comb(second - 1, half - 1) + comb(first - 1, half - 1) * comb(second - 1, half)


def longest(kinds: Sequence[bool]) -> tuple[int, int]:
    """Return start and length of the first longest run of true; (0, 0) where there is none."""
    best, place = (0, 0), 0
    for kind, group in groupby(kinds):
        length = sum(1 for _ in group)
        if kind and length > best[1]:
            best = (place, length)
        place += length
    return best
