"""A string or a whole scale: its declaration, and which of the two is asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.notes import note_frequency, number_of
from appraise.model.problem import InputError
from appraise.services.instruments.inputs import Field, Given, Tool
from appraise.services.instruments.one_string import STRENGTH, StringReadings, measure_string
from appraise.services.instruments.scale import measure_scale, read_scale
from appraise.services.quantity_limits import quantity_in_range

if TYPE_CHECKING:
    from appraise.model.measurement import Measurement


def _answer(given: Given) -> Measurement:
    tables, typed = given.tables, given.case is None
    strength = (given["strength"] if typed else None) or STRENGTH
    if given["scale"] is not None:
        given.refuse_beside("--scale", "note", "hz", "length", "diameter", "wrap", "strings")
        scale = given.file("scale", lambda path: read_scale(path, tables))
        return measure_scale(scale, tables, a4=_a4(given), flat=given.quantity("flat"), strength=strength)
    if typed and (given["note"] is None) == (given["hz"] is None):
        raise InputError("one of --note and --hz is needed")
    if given["hz"] is not None and given["a4"] is not None:
        raise InputError("--a4 belongs to --note or --scale, not to --hz")
    hz, length, core = (given.quantity(key) for key in ("hz", "length", "diameter"))
    if length is None or core is None:
        needed = "--length and --diameter are needed, or --scale with a whole sheet"
        raise InputError(needed if typed else "Write the speaking length and the diameter of the wire.")
    count = given.quantity("strings")
    if count is not None and not count.is_integer():
        raise InputError(f"--strings: “{given['strings']}” is not a whole number")
    wraps = [given["wrap"]] if given["wrap"] and not typed else given["wrap"] or ()
    winding = given["winding"] or "copper"
    windings = tuple((quantity_in_range("winding_diameter", tables).read(text, given.units), winding) for text in wraps)
    hz = note_frequency(number_of(given["note"] or ""), _a4(given)) if hz is None else hz
    count = 1 if count is None else count
    found = StringReadings(hz, length, core, windings, int(count), given.quantity("flat"), strength)
    return measure_string(found, tables)


def _a4(given: Given) -> float:
    return quantity_in_range("a4_frequency", given.tables).read("440" if given["a4"] is None else given["a4"])


TOOL = Tool(
    "string",
    "String",
    "A string needs --note or --hz, --length and --diameter; a wound one --wrap for each layer. Lengths are in mm, or "
    "in inches with --units inch, unless their unit is written: 15.75in. A scale is a CSV with note, length_mm, "
    "diameter_mm, core_mm, wrap_mm, strings.",
    (
        Field("--note", "name or number, A4 or 49", "NOTE").form("note", "A4, C#3 or 49", "A4"),
        Field("--hz", "wanted frequency, where it is not that of a note", "HZ", row="frequency"),
        Field("--a4", "wanted frequency of A4; 440 where it is not given", "HZ").form(
            "A4", "the pitch agreed, as 442 Hz", "440 Hz", last=True
        ),
        Field("--length", "speaking length", "LENGTH", row="speaking_length").form(
            "length", "speaking length, as 400 mm or 15.75 in", "400 mm", unit="mm"
        ),
        Field("--diameter", "of the plain wire, or of the core of a wound string", "LENGTH", row="wire_diameter").form(
            "wire", "plain wire or core, as 1 mm or 0.039 in", "1 mm", unit="mm"
        ),
        Field("--wrap", "winding wire; again for a second layer", "LENGTH", kind="again").form(
            "winding", "wire wound on it, as 0.8 mm; empty for a plain string", unit="mm"
        ),
        Field("--winding", "of `appraise sources wire_materials`", "KEY", default="copper"),
        Field("--strings", "strings of the note", "N", row="string_count"),
        Field(
            "--flat", "how far it stands below pitch: change of tension and a plan", "CENTS", row="pitch_change"
        ).form("flat by", "how far below pitch it stands, as 40 cents"),
        Field("--strength", "of `appraise sources wire_strengths`", "KEY", default=STRENGTH),
        Field("--scale", "a whole scale as CSV", "FILE", kind="file").form(
            "scale", "file of a whole scale: note, length_mm, diameter_mm, core_mm, wrap_mm, strings", last=True
        ),
    ),
    _answer,
)
