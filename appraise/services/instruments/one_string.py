"""One string: tension, stress, share of its strength under every table, inharmonicity, and a change of pitch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from appraise.engine.instruments import wire
from appraise.model.measurement import Figure, Grid, Measurement
from appraise.services.instruments.citations import ground
from appraise.services.instruments.pitch_raise import over_grid, plan_grid, plan_says
from appraise.services.instruments.typed_readings import checked, remark
from appraise.services.refused import InputError, quoted

if TYPE_CHECKING:
    from appraise.model.measurement import Basis
    from appraise.tables.rows import Tables
    from appraise.tables.rows_wood import WireStrength

STRENGTH = "a228_low"
"""Strength that a percentage is taken of where none is named: the least of the standard."""
CAUTIONS = ("string_tension", "broken_strings")
RAISE_CAUTIONS = (*CAUTIONS, "plate_failure")


@dataclass(frozen=True, slots=True)
class StringReadings:
    """One string as measured, and the pitch it is meant to have."""

    hz: float
    """Wanted fundamental [Hz]."""
    length: float
    """Speaking length [mm]."""
    core: float
    """Diameter of the plain wire, or of the core of a wound one [mm]."""
    windings: tuple[tuple[float, str], ...] = ()
    """From the inside out: diameter of the winding wire [mm], key of `wire_materials`."""
    strings: int = 1
    """Strings of the note."""
    flat: float | None = None
    """How far below the wanted pitch it stands [cents], negative where sharp; none: not asked."""
    strength: str = STRENGTH
    """Key of `wire_strengths`."""


@dataclass(frozen=True, slots=True)
class StringFigures:
    """What follows from the readings of one string."""

    mass: float
    """[kg/m]."""
    tension: float
    """At the wanted pitch [N]."""
    stress: float
    """Of the wire that bears it [MPa]."""
    strength: float | None
    """[MPa]; none where the strength chosen does not reach the diameter."""
    inharmonicity: float
    """B [–]."""

    @property
    def percent(self) -> float | None:
        """Share of the strength [%]."""
        return None if self.strength is None else 100.0 * self.stress / self.strength


def chosen(key: str, tables: Tables) -> WireStrength:
    """Return a strength by its key.

    Raises:
        InputError: No such row.
    """
    row = tables.wire_strengths.get(key)
    if row is None:
        raise InputError(f"found {quoted(key)}, expected a strength of the table: {', '.join(tables.wire_strengths)}")
    return row


def compute(readings: StringReadings, tables: Tables) -> StringFigures:
    """Reckon one string; nothing is checked but the names.

    Raises:
        InputError: No such strength or winding.
    """
    steel = tables.wire_materials["steel"]
    layers = []
    for size, key in readings.windings:
        material = tables.wire_materials.get(key)
        if material is None:
            raise InputError(
                f"found {quoted(key)}, expected a material of the table: {', '.join(tables.wire_materials)}"
            )
        layers.append((size, material.density))
    mass = wire.linear_mass(readings.core, steel.density, layers)
    pull = wire.tension(mass, readings.length, readings.hz)
    grid = tuple(tables.wire_grid.values())
    return StringFigures(
        mass,
        pull,
        wire.stress(pull, readings.core),
        wire.strength(chosen(readings.strength, tables), grid, readings.core),
        wire.inharmonicity(readings.core, readings.length, pull, steel.modulus or 0.0),
    )


def measure_string(readings: StringReadings, tables: Tables) -> Measurement:
    """Answer what one string bears.

    Args:
        readings: The string.
        tables: The tables.

    Returns:
        Tension, stress, share of every strength of the table, inharmonicity; with `flat` the change of tension and
        what a raise takes.

    Raises:
        InputError: A reading that cannot be, or a name that is not in the tables.
    """
    says = [text for text in _unusual(readings, tables) if text]
    found = compute(readings, tables)
    row = chosen(readings.strength, tables)
    wound = bool(readings.windings)
    note = f"of {row.label}" if found.strength is not None else f"{row.label} does not reach this diameter"
    outputs = [
        Figure("mass_g_per_m", "Mass per length", found.mass * 1e3, "g/m"),
        Figure("tension_n", "Tension of one string", found.tension, "N"),
        Figure("tension_kgf", "Tension of one string", found.tension / wire.NEWTON_PER_KGF, "kgf"),
        Figure("note_tension_n", "Tension of the note", found.tension * readings.strings, "N"),
        Figure("stress_mpa", "Stress of the wire", found.stress, "MPa", "the core bears it all" if wound else ""),
        Figure("strength_mpa", "Tensile strength", found.strength, "MPa", row.label),
        Figure("strength_pct", "Share of tensile strength", found.percent, "%", note),
        Figure(
            "inharmonicity",
            "Inharmonicity B",
            found.inharmonicity,
            "",
            "lower bound: the winding adds stiffness" if wound else "",
        ),
        Figure("partial_8_cents", "Eighth partial sharp by", wire.partial_cents(found.inharmonicity, 8), "cents"),
    ]
    grids = [_strengths(readings.core, found, tables)]
    cautions: tuple[str, ...] = CAUTIONS
    if readings.flat is not None:
        now = wire.at_cents(found.tension, -readings.flat)
        outputs += [
            Figure("tension_now_n", "Present tension", now, "N"),
            Figure("tension_change_n", "Change to reach the pitch", found.tension - now, "N"),
            Figure("tension_change_pct", "Change to reach the pitch", 100.0 * (found.tension / now - 1.0), "%"),
        ]
        grids += [plan_grid(readings.flat, tables), over_grid(found.tension, found.percent, tables)]
        says += plan_says(readings.flat, tables)
        cautions = RAISE_CAUTIONS
    if found.percent is not None and found.percent > 100.0:
        says.insert(0, "No wire bears this: it would have broken. Check note, length and diameter.")
    says.append("Percentages differ with the strength table: state the one used. Old, rusty or bent wire is weaker.")
    return Measurement(
        "string",
        "One string",
        _inputs(readings),
        tuple(outputs),
        tuple(grids),
        tuple(says),
        warnings(cautions, tables),
        tuple(_rests_on(row, wound, readings, tables)),
    )


def warnings(keys: tuple[str, ...], tables: Tables) -> tuple[str, ...]:
    """Return the warnings of these keys."""
    return tuple(tables.cautions[key].text for key in keys if key in tables.cautions)


def ceiling_words(percent: float | None, ceiling: float) -> str:
    """Say on which side of a ceiling [%] a percentage lies."""
    return "–" if percent is None else "past it" if percent > ceiling else "below"


def _unusual(readings: StringReadings, tables: Tables) -> list[str]:
    given = [
        (readings.hz, "frequency"),
        (readings.length, "speaking_length"),
        (readings.core, "wire_diameter"),
        *((size, "winding_diameter") for size, _ in readings.windings),
        (float(readings.strings), "string_count"),
    ]
    if readings.flat is not None:
        given.append((readings.flat, "pitch_change"))
    return [remark(checked(value, key, tables), key, tables) for value, key in given]


def _inputs(readings: StringReadings) -> tuple[Figure, ...]:
    inputs = [
        Figure("frequency_hz", "Wanted frequency", readings.hz, "Hz"),
        Figure("length_mm", "Speaking length", readings.length, "mm"),
        Figure("core_mm", "Core" if readings.windings else "Diameter", readings.core, "mm"),
    ]
    for n, (size, material) in enumerate(readings.windings, 1):
        inputs.append(Figure(f"winding_{n}_mm", f"Winding {n}", size, "mm", material))
    inputs.append(Figure("strings", "Strings of the note", readings.strings))
    if readings.flat is not None:
        inputs.append(Figure("flat_cents", "Stands below pitch by", readings.flat, "cents"))
    return tuple(inputs)


def _strengths(core: float, found: StringFigures, tables: Tables) -> Grid:
    grid = tuple(tables.wire_grid.values())
    ceilings = tuple(tables.tension_ceilings.values())
    columns = (
        ("key", "strength", ""),
        ("label", "what", ""),
        ("strength_mpa", "", "MPa"),
        ("percent", "share", "%"),
        *((f"ceiling_{row.key}", f"{row.ceiling_pct:g} %", "") for row in ceilings),
    )
    rows = []
    for row in tables.wire_strengths.values():
        strength = wire.strength(row, grid, core)
        percent = None if strength is None else 100.0 * found.stress / strength
        sides = (ceiling_words(percent, ceiling.ceiling_pct) for ceiling in ceilings)
        rows.append((row.key, row.label, strength, percent, *sides))
    views = "; ".join(row.label for row in ceilings)
    return Grid("strengths", f"Share of every strength of the table ({views})", columns, tuple(rows))


def _rests_on(row: WireStrength, wound: bool, readings: StringReadings, tables: Tables) -> list[Basis]:
    rests_on = [
        ground("density and modulus of the wire", tables.wire_materials["steel"], tables),
        ground(f"tensile strength, {row.label}", row, tables),
        *(ground(f"ceiling, {ceiling.label}", ceiling, tables) for ceiling in tables.tension_ceilings.values()),
    ]
    if wound:
        keys = dict.fromkeys(material for _, material in readings.windings)
        rests_on += [ground(f"density of the winding, {key}", tables.wire_materials[key], tables) for key in keys]
    if readings.flat is not None:
        rests_on += [ground("plan of a raise", plan, tables) for plan in list(tables.pitch_raises.values())[:1]]
        rests_on += [ground("over-pull", pull, tables) for pull in list(tables.overpulls.values())[:1]]
    return rests_on
