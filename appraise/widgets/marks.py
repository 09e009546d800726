"""Small marks drawn with letters: the nine-step grade scale, progress, the range as a string between two pins."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

if TYPE_CHECKING:
    from appraise.model.result import Range

SCALE_WIDTH = 9
"""Cells of a grade scale: 1·2·3·4·5, one for each of the nine grades."""

DUE_YEARS = 0.5
"""Remaining life below which a part is due now [years]."""

_PROGRESS = "○◔◑◕●"


def grade_style(grade: float) -> str:
    """Return the colour of a grade; the figure and the place on the scale say the same without it."""
    return "$text-success" if grade <= 2.25 else "$text-warning" if grade < 3.75 else "$text-error"


def grade_figure(grade: float) -> str:
    """Return a grade in three cells: "2  ", "2.5"."""
    return f"{grade:.1f}".removesuffix(".0").ljust(3)


def grade_scale(grade: float | None, *, given: bool = True, was: float | None = None) -> Content:
    """Return the nine-step scale with a mark at the grade: ● given by hand, ○ derived or expected, □ an earlier one."""
    steps = list("1·2·3·4·5")
    if was is not None:
        steps[_step(was)] = "□"
    if grade is None:
        return Content.styled("".join(steps), "$faint")
    at = _step(grade)
    return Content.assemble(
        ("".join(steps[:at]), "$faint"),
        ("●" if given else "○", grade_style(grade)),
        ("".join(steps[at + 1 :]), "$faint"),
    )


def _step(grade: float) -> int:
    return min(SCALE_WIDTH - 1, max(0, round((grade - 1) * 2)))


def grade_at(cell: int) -> float | None:
    """Return the grade under one cell of the scale."""
    return 1.0 + cell / 2 if 0 <= cell < SCALE_WIDTH else None


def years_left(years: Range) -> str:
    """Return how long something lasts: "8 years (2–19)"; "due now" below half a year."""
    if years.mid < DUE_YEARS:
        return "due now"
    return f"{years.mid:.0f} years ({years.low:.0f}–{years.high:.0f})"


def progress_mark(done: int, total: int) -> str:
    """Return a mark that fills as the work is done; full only when nothing is left."""
    if total == 0 or done >= total:
        return _PROGRESS[4]
    if done == 0:
        return _PROGRESS[0]
    return _PROGRESS[min(3, max(1, int(4 * done / total)))]


def string_bar(
    width: int,
    low: float,
    mid: float,
    high: float,
    scale: tuple[float, float],
    ghost: tuple[float, float] | None = None,
) -> Content:
    """Return a range drawn on a string stretched from one end of a scale to the other.

    Args:
        width: Cells for the whole, pins included.
        low: Lower end of the range.
        mid: Its middle.
        high: Its upper end.
        scale: What the two pins stand for.
        ghost: An earlier range, drawn faintly behind.
    """
    room = max(3, width - 2)
    first, last = scale
    reach = last - first or 1.0

    def cell(value: float) -> int:
        return min(room - 1, max(0, int((value - first) / reach * room)))

    cells = [("─", "$faint")] * room
    if ghost is not None:
        for at in range(cell(ghost[0]), cell(ghost[1]) + 1):
            cells[at] = ("░", "$quiet")
    for at in range(cell(low), cell(high) + 1):
        cells[at] = ("▬", "$primary")
    cells[cell(mid)] = ("◆", "bold $foreground")
    return Content.assemble(("●", "$quiet"), *cells, ("●", "$quiet"))
