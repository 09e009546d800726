"""What it takes to bring a pitch back: the plan of the table, and what over-pulling adds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.instruments import wire
from appraise.model.measurement import Grid
from appraise.services.displayed_quantities import with_unit

if TYPE_CHECKING:
    from appraise.tables.rows import Tables
    from appraise.tables.rows_wood import PitchRaise


def raise_row(flat: float, tables: Tables) -> PitchRaise | None:
    """Return the row of the plan for a pitch that lies `flat` [cents] below the wanted one, or above where negative."""
    size = abs(flat)
    for row in tables.pitch_raises.values():
        if row.above_cents < size <= row.up_to_cents or (size == 0.0 and row.above_cents == 0.0):
            return row
    return None


def plan_grid(flat: float, tables: Tables) -> Grid:
    """Return the plan of the table, the row that applies marked."""
    here = raise_row(flat, tables)
    columns = (
        ("here", "", ""),
        ("above_cents", "more than", "cents"),
        ("up_to_cents", "up to", "cents"),
        ("action", "what is done", ""),
        ("follow_up", "afterwards", ""),
    )
    rows = tuple(
        ("▸" if row is here else "", row.above_cents, row.up_to_cents, row.action, row.follow_up)
        for row in tables.pitch_raises.values()
    )
    return Grid("raise_plan", "Plan by how far it is off", columns, rows)


def over_grid(pull: float, percent: float | None, tables: Tables) -> Grid:
    """Return what over-pulling does to a string.

    Args:
        pull: Tension at the wanted pitch [N].
        percent: Its share of the strength chosen [%], or none.
        tables: The tables.
    """
    columns = (
        ("label", "over-pull", ""),
        ("usual_cents", "usual", "cents"),
        ("most_cents", "most", "cents"),
        ("tension_n", "tension at most", "N"),
        ("percent", "share", "%"),
    )
    rows = []
    for row in tables.overpulls.values():
        peak = wire.at_cents(pull, row.most_cents)
        share = None if percent is None else wire.at_cents(percent, row.most_cents)
        rows.append((row.label, row.usual_cents, row.most_cents, peak, share))
    return Grid("overpulls", "Over-pull: the tension while it is drawn above pitch", columns, tuple(rows))


def plan_says(flat: float, tables: Tables) -> list[str]:
    """Return the plan as sentences."""
    row = raise_row(flat, tables)
    if row is None:
        return []
    if flat < 0.0:
        off = with_unit(-flat, "cents")
        return [
            f"{off} above pitch: it is let down, and every string that comes down is tuned again once it has settled."
        ]
    after = f" {row.follow_up}." if row.follow_up else ""
    says = [f"{with_unit(flat, 'cents')} below pitch: {row.action[0].lower()}{row.action[1:]}.{after}"]
    if row.passes_high > 0:
        says.append(
            "Before a raise: look at plate, back and bridges, at rust and at splices; tell the owner that strings may "
            "break, and stop where the plate or the back moves."
        )
    return says
