"""A scale as a CSV sheet: note, length, diameters and number of strings, a row a note."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from appraise.model.units import UNITS
from appraise.model.unsafe import shown
from appraise.services.instruments.csv_file import read_bytes, separator, wrong
from appraise.services.instruments.typed_readings import note_number, reading
from appraise.services.refused import InputError, quoted
from appraise.tables.files import nearest

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.tables.rows import Tables

_LENGTHS = {"length": "speaking_length", "diameter": "wire_diameter", "core": "wire_diameter"} | dict.fromkeys(
    ("wrap", "wrap2"), "winding_diameter"
)
_PLAIN = ("note", "strings", "winding", "winding2")
_ROWS = 1000
_AGREE = 0.2
"""How far an overall diameter may lie from core and windings added up [mm]: windings flatten."""
_KNOWN = "note, length_mm, diameter_mm, core_mm, wrap_mm, strings"


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
    text = read_bytes(path, "a scale as CSV").decode("utf-8")
    lines = text.split("\n")
    skipped = 0
    while not lines[skipped].strip() or lines[skipped].startswith("#"):
        skipped += 1
        if skipped == len(lines):
            raise wrong(path, None, "", "remarks only", f"headings: {_KNOWN}")
    reader = csv.reader(io.StringIO("\n".join(lines[skipped:])), delimiter=separator(lines[skipped]), strict=True)
    notes: dict[int, ScaleNote] = {}
    try:
        columns = _columns(path, skipped + 1, next(reader))
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            line = skipped + reader.line_num
            if len(cells) != len(columns):
                raise wrong(path, line, "", f"{len(cells)} cells", f"{len(columns)}, one a heading")
            one = _Row(
                path, line, {c[0]: (c[1], t.strip()) for c, t in zip(columns, cells, strict=True)}, tables
            ).note()
            if one.note in notes:
                raise wrong(path, line, "note", f"note {one.note} again", "every note once")
            notes[one.note] = one
            if len(notes) > _ROWS:
                raise wrong(path, line, "", "a file of too many rows", "a row a note")
    except csv.Error as error:
        raise wrong(path, skipped + reader.line_num, "", shown(str(error), 80), "separated values") from None
    if not notes:
        raise wrong(path, None, "", "headings without rows", "a row a note")
    return tuple(notes[note] for note in sorted(notes))


def _columns(path: Path, line: int, names: list[str]) -> list[tuple[str, str]]:
    """Return what each column holds and its unit."""
    found: list[tuple[str, str]] = []
    for name in names:
        plain = name.strip().casefold()
        stem, _, unit = plain.partition("_")
        if plain in _PLAIN:
            found.append((plain, ""))
        elif stem in _LENGTHS and unit in UNITS and UNITS[unit].base == "mm":
            found.append((stem, unit))
        else:
            mend = "write its unit: " + f"{stem}_mm or {stem}_in" if stem in _LENGTHS else ""
            mend = mend or nearest(plain, [*_PLAIN, *(f"{each}_mm" for each in _LENGTHS)])
            raise wrong(path, line, "", quoted(name), f"one of {_KNOWN}", mend)
    stems = [stem for stem, _ in found]
    twice = next((stem for stem in stems if stems.count(stem) > 1), None)
    if twice is not None:
        raise wrong(path, line, "", f"{twice} twice", "every column once")
    missing = [name for name in ("note", "length") if name not in stems]
    if "diameter" not in stems and "core" not in stems:
        missing.append("diameter")
    if missing:
        raise wrong(path, line, "", f"no {' and no '.join(missing)}", f"headings: {_KNOWN}")
    return found


class _Row:
    """One row while it is read."""

    def __init__(self, path: Path, line: int, cells: dict[str, tuple[str, str]], tables: Tables) -> None:
        self._path, self._line, self._cells, self._tables = path, line, cells, tables

    def note(self) -> ScaleNote:
        """Return the note of this row."""
        try:
            number = note_number(self._text("note"))
        except InputError as refused:
            raise wrong(self._path, self._line, "note", quoted(self._text("note")), "a note", str(refused)) from None
        length, core = self._size("length"), self._size("core")
        across = self._size("diameter")
        if length is None:
            raise wrong(self._path, self._line, "length", "an empty cell", "the speaking length")
        windings = tuple(
            (size, self._material(column))
            for size, column in ((self._size("wrap"), "winding"), (self._size("wrap2"), "winding2"))
            if size is not None
        )
        if core is None:
            if across is None or windings:
                expected = "the core of a wound string" if windings else "a diameter"
                raise wrong(self._path, self._line, "core" if windings else "diameter", "an empty cell", expected)
            core = across
        elif across is not None and not windings and across > core:
            windings = (((across - core) / 2.0, self._material("winding")),)
        total = core + 2.0 * sum(size for size, _ in windings)
        if across is not None and abs(total - across) > _AGREE:
            found = f"{across:.3g} mm over core and windings of {total:.3g} mm"
            raise wrong(self._path, self._line, "diameter", found, "the two to agree")
        return ScaleNote(number, length, core, windings, self._count())

    def _text(self, column: str) -> str:
        return self._cells.get(column, ("", ""))[1]

    def _size(self, column: str) -> float | None:
        unit, text = self._cells.get(column, ("", ""))
        if text in ("", "-", "–", "0"):
            return None
        try:
            return reading(f"{text} {unit}", _LENGTHS[column], self._tables)
        except InputError as refused:
            low = self._tables.reading_ranges[_LENGTHS[column]]
            expected = f"{low.low:g} to {low.high:g} mm"
            raise wrong(self._path, self._line, column, quoted(text), expected, str(refused)) from None

    def _material(self, column: str) -> str:
        text = self._text(column).casefold() or "copper"
        if text not in self._tables.wire_materials:
            known = ", ".join(self._tables.wire_materials)
            raise wrong(self._path, self._line, column, quoted(text), f"one of {known}")
        return text

    def _count(self) -> int:
        text = self._text("strings")
        if not text and "strings" not in self._cells:
            return 1
        most = int(self._tables.reading_ranges["string_count"].high)
        if not re.fullmatch(r"[0-9]", text) or not 1 <= int(text) <= most:
            raise wrong(self._path, self._line, "strings", quoted(text), f"a whole number from 1 to {most}")
        return int(text)
