"""The instruments beside a case: each takes what the case holds, or a few figures typed for it alone."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from appraise.model.problem import Unreadable
from appraise.services.displayed_quantities import unit_shown, with_unit
from appraise.services.refused import InputError
from appraise.services.typed_quantities import number
from appraise.store.characters import error_text

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from appraise.model.case import Case
    from appraise.model.locale_format import Units
    from appraise.model.measurement import Measurement
    from appraise.tables.rows import Tables

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class Asked:
    """A figure that an instrument asks for."""

    key: str
    label: str
    hint: str
    """What may be written, with units."""
    start: str = ""
    """What stands there at first."""
    unit: str = ""
    """Unit of the tables; a number without one is in it, or in the one that stands for it in inches."""

    def hint_in(self, units: Units) -> str:
        """Return what may be written, and what a number alone means."""
        unit = unit_shown(self.unit, units)
        return f"{self.hint}; a number alone is in {unit}" if unit else self.hint

    def start_in(self, units: Units) -> str:
        """Return what stands there at first, in these units."""
        shown = unit_shown(self.unit, units)
        if shown == self.unit or not self.start:
            return self.start
        return with_unit(float(self.start.partition(" ")[0]), self.unit, units)

    def meant(self, text: str, units: Units) -> str:
        """Return what was typed with the unit that it means where it says none."""
        shown = unit_shown(self.unit, units)
        return f"{text.strip()} {shown}" if shown != self.unit and text.strip() and text.strip()[-1].isdigit() else text


@dataclass(frozen=True, slots=True)
class Instrument:
    """An instrument on the screen."""

    key: str
    label: str
    answer: Callable[[Case, Tables, Mapping[str, str]], Measurement]
    """From the case, the tables and what was typed, by key; raises `InputError` where there is nothing to go by."""
    asks: tuple[Asked, ...] = ()
    feeds: tuple[str, ...] = ()
    """Checks whose readings it takes; the first of this kind of instrument is where to go for more."""

    def answered(self, case: Case, tables: Tables, typed: Mapping[str, str]) -> Measurement:
        """Return the answer to what was typed, a number without a unit read as the case is measured.

        Raises:
            InputError: There is nothing to go by, or a figure cannot be.
        """
        units = case.assignment.units
        return self.answer(
            case, tables, {**typed, **{each.key: each.meant(typed[each.key], units) for each in self.asks}}
        )


def by_note(case: Case, check: str) -> dict[int, float]:
    """Return the readings of one check by note."""
    return {
        reading.note: reading.value
        for reading in case.readings
        if reading.check == check and reading.note is not None and isinstance(reading.value, float)
    }


def _touch(case: Case, tables: Tables, _typed: Mapping[str, str]) -> Measurement:
    from appraise.engine.instruments.touch import QUANTITIES
    from appraise.services.instruments.touch import touch_measurement

    kind = case.identity.kind
    keys = QUANTITIES[kind]
    down = by_note(case, keys["downweight"])
    up = by_note(case, keys["upweight"]) if "upweight" in keys else {}
    if not down:
        raise InputError("No downweights yet: weigh some keys at the station Action, down and up.")
    return touch_measurement(down, up, kind, tables, population=_compass(case))


def _regulation(case: Case, tables: Tables, _typed: Mapping[str, str]) -> Measurement:
    from appraise.services.instruments.regulation import regulation_measurement, targets_of

    kind = case.identity.kind
    readings = {
        key: by_note(case, target.row.check) for key, target in targets_of(tables, kind).items() if target.row.check
    }
    if not any(readings.values()):
        raise InputError("Nothing measured yet: key dip, blow, let-off and the rest, note by note, at Action and Keys.")
    return regulation_measurement(readings, kind, tables, population=_compass(case))


def _torque(case: Case, tables: Tables, _typed: Mapping[str, str]) -> Measurement:
    from appraise.engine.instruments.torque import Pin
    from appraise.services.instruments.torque import torque_measurement
    from appraise.services.keybed_view import section_of

    torques = by_note(case, "pin_torque")
    if not torques:
        raise InputError("No torques yet: measure some pins of each section at the station Pin block.")
    pins = [Pin(section_of(note, tables), "", note, torque) for note, torque in sorted(torques.items())]
    return torque_measurement(pins, tables)


def _dampers(case: Case, tables: Tables, _typed: Mapping[str, str]) -> Measurement:
    from appraise.services.instruments.dampers import Seen, dampers_measurement

    ring = by_note(case, "damper_bleed")
    if not ring:
        raise InputError("Nothing timed yet: let some notes ring on after the damper falls, at the station Dampers.")
    return dampers_measurement(Seen(ring=ring), case.identity.kind, tables)


def _wood(_case: Case, tables: Tables, typed: Mapping[str, str]) -> Measurement:
    from appraise.services.instruments.wood import WoodReadings, measure_wood

    figure = _figures(typed, tables)
    if typed["log"].strip():
        from appraise.services.instruments.climate_log import measure_log
        from appraise.services.instruments.log_file import read_log

        return measure_log(
            _file(typed["log"], lambda path: read_log(path, tables)), tables, width=figure("width", "board_width")
        )
    temperature = figure("temperature", "air_temperature")
    return measure_wood(
        WoodReadings(
            temperature=20.0 if temperature is None else temperature,
            humidity=figure("humidity", "air_humidity"),
            to_humidity=figure("to_humidity", "air_humidity"),
            width=figure("width", "board_width"),
            gap=figure("gap", "gap_width"),
        ),
        tables,
    )


def _string(_case: Case, tables: Tables, typed: Mapping[str, str]) -> Measurement:
    from appraise.model.notes import note_frequency
    from appraise.services.instruments.one_string import StringReadings, measure_string
    from appraise.services.instruments.typed_readings import note_number, reading

    figure = _figures(typed, tables)
    a4 = reading(typed["a4"] or "440", "a4_frequency", tables)
    if typed["scale"].strip():
        from appraise.services.instruments.scale_file import read_scale
        from appraise.services.instruments.scale_sheet import measure_scale

        scale = _file(typed["scale"], lambda path: read_scale(path, tables))
        return measure_scale(scale, tables, a4=a4, flat=figure("flat", "pitch_change"))
    length, core, winding = figure("length", "speaking_length"), figure("diameter", "wire_diameter"), typed["winding"]
    if length is None or core is None:
        raise InputError("Write the speaking length and the diameter of the wire.")
    wound = ((reading(winding, "winding_diameter", tables), "copper"),) if winding.strip() else ()
    hz = note_frequency(note_number(typed["note"]), a4)
    return measure_string(
        StringReadings(hz=hz, length=length, core=core, windings=wound, flat=figure("flat", "pitch_change")), tables
    )


def _beats(_case: Case, tables: Tables, typed: Mapping[str, str]) -> Measurement:
    from appraise.services.instruments.beats import beats_at_note
    from appraise.services.instruments.typed_readings import note_number, reading

    beats = typed["beats"].strip()
    if not typed["note"].strip() or not beats:
        raise InputError("Write the note and the beats a second: four beats flat mean nothing without their note.")
    a4 = reading(typed["a4"] or "440", "a4_frequency", tables)
    return beats_at_note(note_number(typed["note"]), tables, beats=number(beats), a4_hz=a4)


def _pitch(case: Case, tables: Tables, _typed: Mapping[str, str]) -> Measurement:
    from appraise.services.instruments.pitch import pitch_measurement

    if not case.pitch_log:
        raise InputError("No pitch log yet: F6, list “Pitch log”: date, note, cents, and the humidity beside it.")
    return pitch_measurement(case.pitch_log, tables)


def _dating(case: Case, tables: Tables, typed: Mapping[str, str]) -> Measurement:
    from appraise.services.instruments.dating import date_renewal

    clued = [n for n, renewal in enumerate(case.renewals, 1) if renewal.clues]
    asked = typed["renewal"].strip()
    if not asked and not clued:
        raise InputError("No renewal has clues yet: F6, a renewal, its clues: windings, wire, felt, cloth.")
    if asked and not (asked.isdecimal() and 1 <= int(asked) <= len(case.renewals)):
        raise InputError(f"found {asked}, expected the number of a renewal, 1 to {len(case.renewals)}")
    return date_renewal(case, case.renewals[(int(asked) if asked else clued[0]) - 1], tables).measurement


def _drying(case: Case, tables: Tables, _typed: Mapping[str, str]) -> Measurement:
    from appraise.services.instruments.drying import drying_of_case

    return drying_of_case(case, tables)


def _figures(typed: Mapping[str, str], tables: Tables) -> Callable[[str, str], float | None]:
    """Return what reads a figure typed, by its key and its row of `reading_ranges`; none where it is empty."""
    from appraise.services.instruments.typed_readings import reading

    def figure(key: str, what: str) -> float | None:
        text = typed.get(key, "").strip()
        return reading(text, what, tables) if text else None

    return figure


def _file(text: str, read: Callable[[Path], _T]) -> _T:
    """Read a file that was named in a field.

    Raises:
        InputError: It cannot be read; the first problem, on one line.
    """
    try:
        return read(Path(text.strip()).expanduser())
    except Unreadable as unreadable:
        more = len(unreadable.problems) - 1
        raise InputError(f"{unreadable.problems[0]}{f' (and {more} more)' if more else ''}") from None
    except OSError as error:
        raise InputError(f"{text.strip()}: {error_text(error)}") from None


def _compass(case: Case) -> int:
    return min(88, case.identity.compass)


INSTRUMENTS: tuple[Instrument, ...] = (
    Instrument("touch", "Touch", _touch, feeds=("downweight_grand", "downweight_upright")),
    Instrument("regulation", "Regulation", _regulation, feeds=("key_dip",)),
    Instrument("torque", "Pins", _torque, feeds=("pin_torque",)),
    Instrument("dampers", "Dampers", _dampers, feeds=("damper_bleed",)),
    Instrument(
        "beats",
        "Beats",
        _beats,
        (
            Asked("note", "note", "A3, C#4 or 37: beats mean nothing without their note", "A4"),
            Asked("beats", "beats flat", "a second; negative where it is sharp", "4"),
            Asked("a4", "A4", "the pitch agreed, as 442 Hz", "440 Hz"),
        ),
    ),
    Instrument("pitch", "Pitch log", _pitch),
    Instrument(
        "dating",
        "Dating",
        _dating,
        (Asked("renewal", "renewal", "its number in the list of the particulars; empty: the first with clues"),),
    ),
    Instrument("drying", "Dried out?", _drying),
    Instrument(
        "wood",
        "Wood",
        _wood,
        (
            Asked("temperature", "temperature", "21 °C or 70 °F", "20 °C", unit="°C"),
            Asked("humidity", "humidity", "relative humidity at the board, as 38 %", "40 %"),
            Asked("to_humidity", "later", "relative humidity later, or before"),
            Asked("width", "width", "across the grain, as 1200 mm or 48 in", unit="mm"),
            Asked("gap", "gap", "all gaps or opened shims across that width, as 2 mm", unit="mm"),
            Asked("log", "logger", "file of a data logger: time, temperature, humidity"),
        ),
    ),
    Instrument(
        "string",
        "String",
        _string,
        (
            Asked("note", "note", "A4, C#3 or 49", "A4"),
            Asked("length", "length", "speaking length, as 400 mm or 15.75 in", "400 mm", unit="mm"),
            Asked("diameter", "wire", "plain wire or core, as 1 mm or 0.039 in", "1 mm", unit="mm"),
            Asked("winding", "winding", "wire wound on it, as 0.8 mm; empty for a plain string", unit="mm"),
            Asked("flat", "flat by", "how far below pitch it stands, as 40 cents"),
            Asked("a4", "A4", "the pitch agreed, as 442 Hz", "440 Hz"),
            Asked("scale", "scale", "file of a whole scale: note, length_mm, diameter_mm, core_mm, wrap_mm, strings"),
        ),
    ),
)
"""Every instrument of the screen, in the order of the walk."""
