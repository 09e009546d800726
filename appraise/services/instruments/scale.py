"""A whole scale from a CSV sheet: the tension of every note, the total, and the notes past the usual ceilings."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from appraise.engine.instruments import wire
from appraise.model.lazy_dataclass import dataclass
from appraise.model.measurement import Figure, Grid, Measurement
from appraise.model.notes import name_of, note_frequency, number_of
from appraise.model.problem import InputError, quoted
from appraise.model.quantities import UNITS
from appraise.model.sentence import Amount, sentence
from appraise.services.instruments.citations import ground
from appraise.services.instruments.csv_reader import read_bytes, rows_of, separator, wrong
from appraise.services.instruments.one_string import (
    CAUTIONS,
    RAISE_CAUTIONS,
    STRENGTH,
    StringReadings,
    chosen,
    compute,
    plan_grid,
    plan_says,
    warnings,
    winding_grounds,
)
from appraise.services.quantity_limits import quantity_in_range, unusual
from appraise.tables.files import nearest

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from appraise.model.measurement import Value
    from appraise.model.problem import Unreadable
    from appraise.tables.rows import Tables

_LENGTHS = {"length": "speaking_length", "diameter": "wire_diameter", "core": "wire_diameter"} | dict.fromkeys(
    ("wrap", "wrap2"), "winding_diameter"
)
_PLAIN = ("note", "strings", "winding", "winding2")
_ROWS = 1000
_AGREE = 0.2
"""How far an overall diameter may lie from core and windings added up [mm]: windings flatten."""
_KNOWN = "note, length_mm, diameter_mm, core_mm, wrap_mm, strings"
_NAMED = 12
"""Notes named one by one before the rest is counted."""


@dataclass(frozen=True, slots=True)
class ScaleNote:
    """One note of a scale."""

    note: int
    """1–88."""
    length: float
    """Speaking length [mm]."""
    core: float
    """Diameter of the plain wire or of the core [mm]."""
    windings: tuple[tuple[float, str], ...]
    """From the inside out: diameter of the winding wire [mm], key of `wire_materials`."""
    strings: int


def read_scale(path: Path, tables: Tables) -> tuple[ScaleNote, ...]:
    """Read a scale.

    Args:
        path: CSV with headings note, length_mm, diameter_mm, core_mm, wrap_mm, strings in any order; mm may be cm, in
            or thou; wrap2_mm for a second winding, winding and winding2 for its material. A plain string has its
            diameter in `diameter` or in `core`; a wound one core and wrap, or core and the diameter over the winding.
        tables: What readings can be, and the materials.

    Returns:
        The notes, lowest first.

    Raises:
        Unreadable: The file cannot be used; one problem, with its line.
    """
    lines = read_bytes(path, "a scale as CSV").decode("utf-8").split("\n")
    skipped = next((n for n, line in enumerate(lines) if line.strip() and not line.startswith("#")), None)
    if skipped is None:
        raise wrong(path, None, "", "remarks only", f"headings: {_KNOWN}")
    rows = rows_of(path, "\n".join(lines[skipped:]), separator(lines[skipped]), skipped)
    columns = _columns(path, skipped + 1, next(rows)[1])
    notes: dict[int, ScaleNote] = {}
    for line, cells in rows:
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) != len(columns):
            raise wrong(path, line, "", f"{len(cells)} cells", f"{len(columns)}, one a heading")
        given = {stem: (unit, text.strip()) for (stem, unit), text in zip(columns, cells, strict=True)}
        one = _Row(path, line, given, tables).note()
        if one.note in notes:
            raise wrong(path, line, "note", f"note {one.note} again", "every note once")
        notes[one.note] = one
        if len(notes) > _ROWS:
            raise wrong(path, line, "", "a file of too many rows", "a row a note")
    if not notes:
        raise wrong(path, None, "", "headings without rows", "a row a note")
    return tuple(notes[note] for note in sorted(notes))


def _columns(path: Path, line: int, names: list[str]) -> list[tuple[str, str]]:
    """Return what each column holds and its unit."""
    result: list[tuple[str, str]] = []
    for name in names:
        plain = name.strip().casefold()
        stem, _, unit = plain.partition("_")
        if plain in _PLAIN:
            result.append((plain, ""))
        elif stem in _LENGTHS and unit in UNITS and UNITS[unit].base == "mm":
            result.append((stem, unit))
        else:
            mend = f"write its unit: {stem}_mm or {stem}_in" if stem in _LENGTHS else ""
            mend = mend or nearest(plain, [*_PLAIN, *(f"{each}_mm" for each in _LENGTHS)])
            raise wrong(path, line, "", quoted(name), f"one of {_KNOWN}", mend)
    stems = [stem for stem, _ in result]
    twice = next((stem for stem in stems if stems.count(stem) > 1), None)
    if twice is not None:
        raise wrong(path, line, "", f"{twice} twice", "every column once")
    missing = [name for name in ("note", "length") if name not in stems]
    missing += ["diameter"] if "diameter" not in stems and "core" not in stems else []
    if missing:
        raise wrong(path, line, "", f"no {' and no '.join(missing)}", f"headings: {_KNOWN}")
    return result


@dataclass(frozen=True, slots=True)
class _Row:
    """One row while it is read: unit and text by column."""

    path: Path
    line: int
    cells: dict[str, tuple[str, str]]
    tables: Tables

    def note(self) -> ScaleNote:
        """Return the note of this row."""
        try:
            number = number_of(self._text("note"))
        except InputError as refused:
            raise self._wrong("note", quoted(self._text("note")), "a note", str(refused)) from None
        length, core, across = self._size("length"), self._size("core"), self._size("diameter")
        if length is None:
            raise self._wrong("length", "an empty cell", "the speaking length")
        sizes = ((self._size("wrap"), "winding"), (self._size("wrap2"), "winding2"))
        windings = tuple((size, self._material(column)) for size, column in sizes if size is not None)
        if core is None:
            if windings:
                raise self._wrong("core", "an empty cell", "the core of a wound string")
            if across is None:
                raise self._wrong("diameter", "an empty cell", "a diameter")
            core = across
        elif across is not None and not windings and across > core:
            windings = (((across - core) / 2.0, self._material("winding")),)
        total = core + 2.0 * sum(size for size, _ in windings)
        if across is not None and abs(total - across) > _AGREE:
            found = f"{across:.3g} mm over core and windings of {total:.3g} mm"
            raise self._wrong("diameter", found, "the two to agree")
        return ScaleNote(number, length, core, windings, self._count())

    def _wrong(self, column: str, found: str, expected: str, mend: str = "") -> Unreadable:
        return wrong(self.path, self.line, column, found, expected, mend)

    def _text(self, column: str) -> str:
        return self.cells.get(column, ("", ""))[1]

    def _size(self, column: str) -> float | None:
        unit, text = self.cells.get(column, ("", ""))
        if text in ("", "-", "–", "0"):
            return None
        try:
            return quantity_in_range(_LENGTHS[column], self.tables).read(f"{text} {unit}")
        except InputError as refused:
            row = self.tables.reading_ranges[_LENGTHS[column]]
            raise self._wrong(column, quoted(text), f"{row.low:g} to {row.high:g} mm", str(refused)) from None

    def _material(self, column: str) -> str:
        text = self._text(column).casefold() or "copper"
        if text not in self.tables.wire_materials:
            raise self._wrong(column, quoted(text), f"one of {', '.join(self.tables.wire_materials)}")
        return text

    def _count(self) -> int:
        text = self._text("strings")
        if not text and "strings" not in self.cells:
            return 1
        most = int(self.tables.reading_ranges["string_count"].high)
        if not re.fullmatch(r"[0-9]", text) or not 1 <= int(text) <= most:
            raise self._wrong("strings", quoted(text), f"a whole number from 1 to {most}")
        return int(text)


def measure_scale(
    scale: Sequence[ScaleNote], tables: Tables, *, a4: float, flat: float | None = None, strength: str = STRENGTH
) -> Measurement:
    """Return the tensions of a whole scale in equal temperament on `a4` [Hz]: in all, by note, and past each ceiling.

    With `flat` [cents], how far the piano stands below that pitch, also what a raise adds.

    Raises:
        InputError: A reading that cannot be, or no such strength.
    """
    row = chosen(strength, tables)
    seldom = unusual(quantity_in_range("a4_frequency", tables).checked(a4), "a4_frequency", tables)
    says: list[str] = [seldom] if seldom else []
    rows: list[tuple[Value, ...]] = []
    shares: list[tuple[int, float]] = []
    total, strings = 0.0, 0
    for one in scale:
        hz = note_frequency(one.note, a4)
        found = compute(StringReadings(hz, one.length, one.core, one.windings, one.strings, strength=strength), tables)
        pull, stiffness = found.tension * one.strings, found.inharmonicity * 1e6
        total += pull
        strings += one.strings
        if found.percent is not None:
            shares.append((one.note, found.percent))
        wound = one.core + 2.0 * sum(size for size, _ in one.windings) if one.windings else None
        string = (one.length, one.core, wound, one.strings, found.tension, found.stress, found.percent)
        rows.append((one.note, name_of(one.note), hz, *string, stiffness, pull))
    greatest = max((share for _, share in shares), default=None)
    outputs = [
        Figure("total_kn", "Total tension", total / 1e3, "kN"),
        Figure("total_tf", "Total tension", total / wire.NEWTON_PER_KGF / 1e3, "tonnes-force"),
        Figure("strings", "Strings", strings),
        Figure("mean_n", "Mean tension of a string", total / strings, "N"),
        Figure("most_pct", "Greatest share of strength", greatest, "%", row.label),
    ]
    ceilings = tables.tension_ceilings.values()
    for ceiling in ceilings:
        past = [note for note, share in shares if share > ceiling.ceiling_pct]
        most = Amount(ceiling.ceiling_pct, "%")
        label = sentence("Notes past {most}", most=most)
        outputs.append(Figure(f"past_{ceiling.key}", label, len(past), "", ceiling.label))
        if past:
            says.append(sentence("Past {most} of {what}: {notes}.", most=most, what=row.label, notes=_named(past)))
    broken = [note for note, share in shares if share > 100.0]
    if broken:
        says.insert(
            0, f"No wire bears this, it would have broken: check note, length and diameter of {_named(broken)}."
        )
    if len(shares) < len(scale):
        beyond = len(scale) - len(shares)
        says.append(f"{row.label} does not reach the wire of {beyond} notes: name another strength for them.")
    if len(scale) < wire.KEYS:
        says.append(f"{len(scale)} of {wire.KEYS} notes: the total is that of the sheet, not of the instrument.")
    says.append("Equal temperament without stretch; bass bridges and bare ends of wound strings change a little.")
    columns = "note | name | frequency_hz [Hz] | length_mm length [mm] | core_mm wire [mm] | winding_mm wound [mm]"
    columns += " | strings | tension_n tension [N] | stress_mpa stress [MPa] | strength_pct share [%]"
    columns += " | inharmonicity_e6 B [·10⁻⁶] | note_tension_n note [N]"
    grids = [Grid.of("notes", "Note by note", columns, rows)]
    inputs = [
        Figure("notes", "Notes", len(scale)),
        Figure("a4_hz", "A4", a4, "Hz"),
        Figure("strength", "Strength used", row.key, "", row.label),
    ]
    if flat is not None:
        now = wire.at_cents(total, -quantity_in_range("pitch_change", tables).checked(flat))
        added = (total - now) / 1e3
        inputs.append(Figure("flat_cents", "Stands below pitch by", flat, "cents"))
        outputs.append(Figure("total_now_kn", "Present total", now / 1e3, "kN"))
        outputs.append(Figure("total_change_kn", "A raise adds", added, "kN", "to plate and back, beyond over-pull"))
        grids.append(plan_grid(flat, tables))
        says += plan_says(flat, tables)
    return Measurement(
        "string",
        "A scale: the tension of every note",
        tuple(inputs),
        tuple(outputs),
        tuple(grids),
        tuple(says),
        warnings(CAUTIONS if flat is None else RAISE_CAUTIONS, tables),
        (
            ground("density and modulus of the wire", tables.wire_materials["steel"], tables),
            *winding_grounds((material for one in scale for _, material in one.windings), tables),
            ground(f"tensile strength, {row.label}", row, tables),
            *(ground(f"ceiling, {ceiling.label}", ceiling, tables) for ceiling in ceilings),
        ),
    )


def _named(notes: list[int]) -> str:
    names = ", ".join(name_of(note) for note in notes[:_NAMED])
    return names if len(notes) <= _NAMED else f"{names} and {len(notes) - _NAMED} more"
