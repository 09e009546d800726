"""One string: tension, stress, share of its strength under every table, inharmonicity, and a change of pitch."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.instruments import wire
from appraise.model.lazy_dataclass import dataclass
from appraise.model.measurement import Figure, Grid, Measurement
from appraise.model.problem import InputError, quoted
from appraise.model.sentence import Amount, sentence
from appraise.services.instruments.citations import ground
from appraise.services.quantity_limits import quantity_in_range, unusual

if TYPE_CHECKING:
    from collections.abc import Iterable

    from appraise.model.measurement import Basis
    from appraise.tables.rows import Tables
    from appraise.tables.rows_measurements import PitchRaise, WireStrength

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
    """The figures of one string: mass [kg/m], tension at the wanted pitch [N], stress and strength of its wire [MPa].

    The strength is none where the row chosen does not reach the diameter; the inharmonicity B is [–].
    """

    mass: float
    tension: float
    stress: float
    strength: float | None
    inharmonicity: float

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
        raise InputError(quoted(key), f"a strength of the table: {', '.join(tables.wire_strengths)}")
    return row


def compute(readings: StringReadings, tables: Tables) -> StringFigures:
    """Compute one string; nothing is checked but the names.

    Raises:
        InputError: No such strength or winding.
    """
    steel, materials = tables.wire_materials["steel"], tables.wire_materials
    for _, key in readings.windings:
        if key not in materials:
            raise InputError(quoted(key), f"a material of the table: {', '.join(materials)}")
    layers = [(size, materials[key].density) for size, key in readings.windings]
    mass = wire.linear_mass(readings.core, steel.density, layers)
    pull = wire.tension(mass, readings.length, readings.hz)
    strength = wire.strength(chosen(readings.strength, tables), tuple(tables.wire_grid.values()), readings.core)
    stiffness = wire.inharmonicity(readings.core, readings.length, pull, steel.modulus or 0.0)
    return StringFigures(mass, pull, wire.stress(pull, readings.core), strength, stiffness)


def measure_string(readings: StringReadings, tables: Tables) -> Measurement:
    """Return the tension, stress, share of strength and inharmonicity of one string; with `flat` what a raise takes.

    Raises:
        InputError: A reading that cannot be, or a name that is not in the tables.
    """
    says = _unusual(readings, tables)
    found, row, wound = compute(readings, tables), chosen(readings.strength, tables), bool(readings.windings)
    note = f"of {row.label}" if found.strength is not None else f"{row.label} does not reach this diameter"
    bound = "lower bound: the winding adds stiffness" if wound else ""
    eighth = wire.partial_cents(found.inharmonicity, 8)
    outputs = [
        Figure("mass_g_per_m", "Mass per length", found.mass * 1e3, "g/m"),
        Figure("tension_n", "Tension of one string", found.tension, "N"),
        Figure("tension_kgf", "Tension of one string", found.tension / wire.NEWTON_PER_KGF, "kgf"),
        Figure("note_tension_n", "Tension of the note", found.tension * readings.strings, "N"),
        Figure("stress_mpa", "Stress of the wire", found.stress, "MPa", "the core bears it all" if wound else ""),
        Figure("strength_mpa", "Tensile strength", found.strength, "MPa", row.label),
        Figure("strength_pct", "Share of tensile strength", found.percent, "%", note),
        Figure("inharmonicity", "Inharmonicity B", found.inharmonicity, "", bound),
        Figure("partial_8_cents", "Eighth partial sharp by", eighth, "cents"),
    ]
    grids = [_strengths(readings.core, found, tables)]
    if readings.flat is not None:
        now = wire.at_cents(found.tension, -readings.flat)
        outputs += [
            Figure("tension_now_n", "Present tension", now, "N"),
            Figure("tension_change_n", "Change to reach the pitch", found.tension - now, "N"),
            Figure("tension_change_pct", "Change to reach the pitch", 100.0 * (found.tension / now - 1.0), "%"),
        ]
        grids += [plan_grid(readings.flat, tables), _over_grid(found.tension, found.percent, tables)]
        says += plan_says(readings.flat, tables)
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
        warnings(CAUTIONS if readings.flat is None else RAISE_CAUTIONS, tables),
        tuple(_rests_on(row, readings, tables)),
    )


def warnings(keys: tuple[str, ...], tables: Tables) -> tuple[str, ...]:
    """Return the warnings of these keys."""
    return tuple(tables.cautions[key].text for key in keys if key in tables.cautions)


def _unusual(readings: StringReadings, tables: Tables) -> list[str]:
    given = [
        (readings.hz, "frequency"),
        (readings.length, "speaking_length"),
        (readings.core, "wire_diameter"),
        *((size, "winding_diameter") for size, _ in readings.windings),
        (float(readings.strings), "string_count"),
        *(((readings.flat, "pitch_change"),) if readings.flat is not None else ()),
    ]
    seldom = (unusual(quantity_in_range(key, tables).checked(value), key, tables) for value, key in given)
    return [text for text in seldom if text]


def _inputs(readings: StringReadings) -> tuple[Figure, ...]:
    windings = enumerate(readings.windings, 1)
    flat = readings.flat
    return (
        Figure("frequency_hz", "Wanted frequency", readings.hz, "Hz"),
        Figure("length_mm", "Speaking length", readings.length, "mm"),
        Figure("core_mm", "Core" if readings.windings else "Diameter", readings.core, "mm"),
        *(Figure(f"winding_{n}_mm", f"Winding {n}", size, "mm", material) for n, (size, material) in windings),
        Figure("strings", "Strings of the note", readings.strings),
        *((Figure("flat_cents", "Stands below pitch by", flat, "cents"),) if flat is not None else ()),
    )


def _strengths(core: float, found: StringFigures, tables: Tables) -> Grid:
    grid, ceilings = tuple(tables.wire_grid.values()), tuple(tables.tension_ceilings.values())
    rows = []
    for row in tables.wire_strengths.values():
        strength = wire.strength(row, grid, core)
        percent = None if strength is None else 100.0 * found.stress / strength
        sides = (_ceiling_words(percent, ceiling.ceiling_pct) for ceiling in ceilings)
        rows.append((row.key, row.label, strength, percent, *sides))
    label = f"Share of every strength of the table ({'; '.join(row.label for row in ceilings)})"
    sides = (f"ceiling_{row.key} {row.ceiling_pct:g} %" for row in ceilings)
    columns = " | ".join(("key strength", "label what", "strength_mpa [MPa]", "percent share [%]", *sides))
    return Grid.of("strengths", label, columns, rows)


def _ceiling_words(percent: float | None, ceiling: float) -> str:
    return "–" if percent is None else "past it" if percent > ceiling else "below"


def _rests_on(row: WireStrength, readings: StringReadings, tables: Tables) -> list[Basis]:
    raising = readings.flat is not None
    return [
        ground("density and modulus of the wire", tables.wire_materials["steel"], tables),
        ground(f"tensile strength, {row.label}", row, tables),
        *(ground(f"ceiling, {ceiling.label}", ceiling, tables) for ceiling in tables.tension_ceilings.values()),
        *winding_grounds((material for _, material in readings.windings), tables),
        *(ground("plan of a raise", plan, tables) for plan in list(tables.pitch_raises.values())[:raising]),
        *(ground("over-pull", pull, tables) for pull in list(tables.overpulls.values())[:raising]),
    ]


def winding_grounds(materials: Iterable[str], tables: Tables) -> list[Basis]:
    """Return what the densities of the windings rest on, each once."""
    return [
        ground(f"density of the winding, {key}", tables.wire_materials[key], tables) for key in dict.fromkeys(materials)
    ]


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
    rows = (
        ("▸" if row is here else "", row.above_cents, row.up_to_cents, row.action, row.follow_up)
        for row in tables.pitch_raises.values()
    )
    columns = "here [] | above_cents more than [cents] | up_to_cents up to [cents]"
    columns += " | action what is done | follow_up afterwards"
    return Grid.of("raise_plan", "Plan by how far it is off", columns, rows)


def _over_grid(pull: float, percent: float | None, tables: Tables) -> Grid:
    """Return the tension [N] and its share of the strength [%] while a string is drawn above pitch."""
    rows = []
    for row in tables.overpulls.values():
        share = None if percent is None else wire.at_cents(percent, row.most_cents)
        rows.append((row.label, row.usual_cents, row.most_cents, wire.at_cents(pull, row.most_cents), share))
    columns = "label over-pull | usual_cents usual [cents] | most_cents most [cents]"
    columns += " | tension_n tension at most [N] | percent share [%]"
    return Grid.of("overpulls", "Over-pull: the tension while it is drawn above pitch", columns, rows)


def plan_says(flat: float, tables: Tables) -> list[str]:
    """Return the plan as sentences."""
    row = raise_row(flat, tables)
    if row is None:
        return []
    if flat < 0.0:
        after = "it is let down, and every string that comes down is tuned again once it has settled."
        return [sentence("{cents} above pitch: {after}", cents=Amount(-flat, "cents"), after=after)]
    after = f" {row.follow_up}." if row.follow_up else ""
    plan = f"{row.action[0].lower()}{row.action[1:]}.{after}"
    says: list[str] = [sentence("{cents} below pitch: {plan}", cents=Amount(flat, "cents"), plan=plan)]
    if row.passes_high > 0:
        says.append(
            "Before a raise: look at plate, back and bridges, at rust and at splices; tell the owner that strings may "
            "break, and stop where the plate or the back moves."
        )
    return says
