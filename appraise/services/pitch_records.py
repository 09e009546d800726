"""The pitch log and the clues to drying as lists of records to fill in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model import plausible
from appraise.model.case import DryingClueSeen, PitchReading
from appraise.model.notes import name_of
from appraise.services import choices
from appraise.services.fields import NOTHING, Accepts, Field
from appraise.services.records import Records, unfinished

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.tables.rows import Tables


def _blank_pitch(_case: Case, _tables: Tables) -> object:
    return unfinished(PitchReading, date=None, note=None, cents=None)


def _pitch_title(record: object, _tables: Tables) -> str:
    if not isinstance(record, PitchReading):
        return NOTHING
    humidity = "" if record.humidity is None else f", {record.humidity:g} %"
    return f"{record.date.isoformat()}  {name_of(record.note)}  {record.cents:+g} cents{humidity}"


def _blank_drying_clue(_case: Case, _tables: Tables) -> object:
    return unfinished(DryingClueSeen, clue="", seen=None)


def _drying_clue_title(record: object, tables: Tables) -> str:
    if not isinstance(record, DryingClueSeen):
        return NOTHING
    row = tables.drying_clues.get(record.clue)
    return f"{'seen' if record.seen else 'not there'}: {row.label if row else record.clue}"


A = Accepts

PITCH_LOG = Records(
    ("pitch_log",),
    "Pitch log",
    "pitch reading",
    _blank_pitch,
    _pitch_title,
    (
        Field(("date",), "Day", A.DAY, required=True),
        Field(("note",), "Note", A.NOTE, help="A4, C#3, Bb2 or a number", required=True),
        Field(
            ("cents",),
            "Deviation",
            A.NUMBER,
            "cents",
            "Flat negative; beats need their note: appraise measure beats",
            required=True,
            low=plausible.CENTS[0],
            high=plausible.CENTS[1],
        ),
        Field(("temperature",), "Air", A.NUMBER, "°C", low=plausible.CELSIUS[0], high=plausible.CELSIUS[1]),
        Field(("humidity",), "Humidity", A.NUMBER, "%", low=plausible.HUMIDITY[0], high=plausible.HUMIDITY[1]),
        Field(("remark",), "Remark", A.LONG),
    ),
)
"""How far notes stood from their place, day by day."""

DRYING_CLUES = Records(
    ("drying_clues",),
    "Clues to drying",
    "clue to drying",
    _blank_drying_clue,
    _drying_clue_title,
    (
        Field(("clue",), "Clue", A.CHOICE, choices=choices.drying_clues, required=True),
        Field(("seen",), "Seen", A.CHOICE, choices=choices.seen, required=True),
        Field(("remark",), "Remark", A.LONG),
    ),
)
"""What was looked for to tell whether it has dried out."""
