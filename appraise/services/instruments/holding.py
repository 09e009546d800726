"""The holding test: doubtful pins set, and measured again after hours."""

from __future__ import annotations

from statistics import median
from typing import TYPE_CHECKING

from appraise.engine.instruments.torque import drifts
from appraise.model.measurement import Figure, Grid, Measurement
from appraise.report.words import number
from appraise.services.instruments.note_values import Quantity, amount
from appraise.services.instruments.sampling_stats import basis_of, judged_grade
from appraise.services.refused import InputError, quoted

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from appraise.tables.rows import Tables

CENTS = Quantity("cents", "cents", (-600.0, 600.0))
HOURS = Quantity("hours", "", (0.1, 2000.0))
_LIKE = 3


def cents_typed(words: Sequence[str]) -> dict[str, float]:
    """Read `pin=cents` each; a pin is named as the person likes.

    Raises:
        InputError: Not a pin and a value, or a pin twice.
    """
    found: dict[str, float] = {}
    for word in words:
        pin, mark, value = word.partition("=")
        if not mark or not pin.strip():
            raise InputError(f"found {quoted(word)}, expected pin=cents such as 12=-1.5")
        if pin.strip() in found:
            raise InputError(f"found pin {quoted(pin)} twice, expected it once")
        found[pin.strip()] = amount(value, CENTS)
    return found


def holding_measurement(
    set_to: Mapping[str, float], found: Mapping[str, float], hours: float, tables: Tables
) -> Measurement:
    """Return whether pins held.

    Args:
        set_to: Pitch when set, by pin [cents].
        found: Pitch when measured again, by pin [cents].
        hours: Time between the two [h].
        tables: Every table.

    Raises:
        InputError: No pin was measured twice, or a drift that cannot be.
    """
    moved = drifts(set_to, found)
    if not moved:
        raise InputError("found no pin measured twice, expected the same pins set and found")
    check = tables.checks["holding_test"]
    sizes = [abs(value) for value in moved.values()]
    if check.plausible is not None and max(sizes) > check.plausible[1]:
        raise InputError(f"found a drift of {max(sizes):g} cents, expected {check.plausible[1]:g} at most")
    worst = max(moved, key=lambda pin: (abs(moved[pin]), pin))
    shared = median(moved.values())
    least = tables.setting("holding_hours_least")
    says = []
    if hours < least:
        says.append(f"After {hours:g} hours it is too early to tell: a pin that holds should hold {least:g} and more.")
    alike = len(moved) >= _LIKE and all((value > 0) == (shared > 0) and value for value in moved.values())
    if alike:
        says.append(
            f"All pins moved the same way, by {number(abs(shared))} cents in the middle: compare notes whose pins were "
            "not touched; climate moves them together, loose pins do not."
        )
    missing = sorted(set_to.keys() - found.keys())
    if missing:
        says.append(f"Set but not measured again: {', '.join(missing[:8])}.")
    grade = judged_grade(check, sizes, len(sizes), tables)
    rows = tuple((pin, set_to[pin], found[pin], value) for pin, value in moved.items())
    columns = (
        ("pin", "pin", ""),
        ("set_cents", "set", "cents"),
        ("found_cents", "found", "cents"),
        ("drift_cents", "drift", "cents"),
    )
    return Measurement(
        "torque",
        f"Holding test: {len(moved)} pins after {hours:g} hours",
        (Figure("hours", "hours between", hours, "h"),),
        (
            Figure("n", "pins measured twice", len(moved)),
            Figure("worst_drift_cents", "worst drift", moved[worst], "cents", f"pin {worst}"),
            Figure("median_drift_cents", "drift in the middle", shared, "cents"),
            Figure("grade", "grade", grade),
        ),
        (Grid("pins", "Pin by pin", columns, rows),),
        tuple(says),
        tuple(row.text for row in tables.cautions.values() if check.key in row.checks),
        (
            basis_of(f"tolerance: {check.label}", check, tables),
            basis_of("least time", tables.settings["holding_hours_least"], tables),
        ),
    )
