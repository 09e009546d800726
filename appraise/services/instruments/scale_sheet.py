"""A whole scale: the tension of every note, the total, and the notes past the usual ceilings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.instruments import wire
from appraise.model.measurement import Figure, Grid, Measurement
from appraise.model.notes import name_of, note_frequency
from appraise.services.instruments.citations import ground
from appraise.services.instruments.one_string import (
    CAUTIONS,
    RAISE_CAUTIONS,
    STRENGTH,
    StringReadings,
    chosen,
    compute,
    warnings,
)
from appraise.services.instruments.pitch_raise import plan_grid, plan_says
from appraise.services.instruments.typed_readings import checked, remark

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.measurement import Value
    from appraise.services.instruments.scale_file import ScaleNote
    from appraise.tables.rows import Tables

COLUMNS = (
    ("note", "note", ""),
    ("name", "name", ""),
    ("frequency_hz", "", "Hz"),
    ("length_mm", "length", "mm"),
    ("core_mm", "wire", "mm"),
    ("winding_mm", "wound", "mm"),
    ("strings", "strings", ""),
    ("tension_n", "tension", "N"),
    ("stress_mpa", "stress", "MPa"),
    ("strength_pct", "share", "%"),
    ("inharmonicity_e6", "B", "·10⁻⁶"),
    ("note_tension_n", "note", "N"),
)
_NAMED = 12
"""Notes named one by one before the rest is counted."""


def measure_scale(
    scale: Sequence[ScaleNote], tables: Tables, *, a4: float, flat: float | None = None, strength: str = STRENGTH
) -> Measurement:
    """Answer what a whole scale bears.

    Args:
        scale: The notes.
        tables: The tables.
        a4: Wanted frequency of A4 [Hz]; the notes lie in equal temperament, without stretch.
        flat: How far the instrument stands below it [cents]; none: not asked.
        strength: Key of `wire_strengths`.

    Returns:
        Total tension in kN and tonnes-force, a grid by note, and the notes past each ceiling.

    Raises:
        InputError: A reading that cannot be, or no such strength.
    """
    row = chosen(strength, tables)
    says = [text for text in (remark(checked(a4, "a4_frequency", tables), "a4_frequency", tables),) if text]
    rows: list[tuple[Value, ...]] = []
    shares: list[tuple[int, float]] = []
    total, strings, beyond = 0.0, 0, 0
    for one in scale:
        hz = note_frequency(one.note, a4)
        found = compute(StringReadings(hz, one.length, one.core, one.windings, one.strings, strength=strength), tables)
        total += found.tension * one.strings
        strings += one.strings
        if found.percent is None:
            beyond += 1
        else:
            shares.append((one.note, found.percent))
        wound = one.core + 2.0 * sum(size for size, _ in one.windings) if one.windings else None
        rows.append(
            (
                one.note, name_of(one.note), hz, one.length, one.core, wound, one.strings, found.tension,
                found.stress, found.percent, found.inharmonicity * 1e6, found.tension * one.strings,
            )
        )  # fmt: skip
    outputs = [
        Figure("total_kn", "Total tension", total / 1e3, "kN"),
        Figure("total_tf", "Total tension", total / wire.NEWTON_PER_KGF / 1e3, "tonnes-force"),
        Figure("strings", "Strings", strings),
        Figure("mean_n", "Mean tension of a string", total / strings, "N"),
        Figure("most_pct", "Greatest share of strength", max((s for _, s in shares), default=None), "%", row.label),
    ]
    for ceiling in tables.tension_ceilings.values():
        past = [note for note, share in shares if share > ceiling.ceiling_pct]
        outputs.append(
            Figure(f"past_{ceiling.key}", f"Notes past {ceiling.ceiling_pct:g} %", len(past), "", ceiling.label)
        )
        if past:
            says.append(f"Past {ceiling.ceiling_pct:g} % of {row.label}: {_named(past)}.")
    broken = [note for note, share in shares if share > 100.0]
    if broken:
        says.insert(
            0, f"No wire bears this, it would have broken: check note, length and diameter of {_named(broken)}."
        )
    if beyond:
        says.append(f"{row.label} does not reach the wire of {beyond} notes: name another strength for them.")
    if len(scale) < wire.KEYS:
        says.append(f"{len(scale)} of {wire.KEYS} notes: the total is that of the sheet, not of the instrument.")
    says.append("Equal temperament without stretch; bass bridges and bare ends of wound strings change a little.")
    grids = [Grid("notes", "Note by note", COLUMNS, tuple(rows))]
    inputs = [
        Figure("notes", "Notes", len(scale)),
        Figure("a4_hz", "A4", a4, "Hz"),
        Figure("strength", "Strength used", row.key, "", row.label),
    ]
    if flat is not None:
        checked(flat, "pitch_change", tables)
        inputs.append(Figure("flat_cents", "Stands below pitch by", flat, "cents"))
        now = wire.at_cents(total, -flat)
        outputs += [
            Figure("total_now_kn", "Present total", now / 1e3, "kN"),
            Figure("total_change_kn", "A raise adds", (total - now) / 1e3, "kN", "to plate and back, beyond over-pull"),
        ]
        grids.append(plan_grid(flat, tables))
        says += plan_says(flat, tables)
    rests_on = [
        ground("density and modulus of the wire", tables.wire_materials["steel"], tables),
        *(
            ground(f"density of the winding, {key}", tables.wire_materials[key], tables)
            for key in dict.fromkeys(material for one in scale for _, material in one.windings)
        ),
        ground(f"tensile strength, {row.label}", row, tables),
        *(ground(f"ceiling, {ceiling.label}", ceiling, tables) for ceiling in tables.tension_ceilings.values()),
    ]
    return Measurement(
        "string",
        "A scale: the tension of every note",
        tuple(inputs),
        tuple(outputs),
        tuple(grids),
        tuple(says),
        warnings(CAUTIONS if flat is None else RAISE_CAUTIONS, tables),
        tuple(rests_on),
    )


def _named(notes: list[int]) -> str:
    names = ", ".join(name_of(note) for note in notes[:_NAMED])
    return names if len(notes) <= _NAMED else f"{names} and {len(notes) - _NAMED} more"
