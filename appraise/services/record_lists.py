"""The lists of records that belong to a case: their fields, what a new record holds, the line that tells it apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import STATION_LABELS, Adjustment, Comparable, Remark, Renewal
from appraise.services import choices
from appraise.services.fields import NOTHING, Accepts, Field
from appraise.services.pitch_records import DRYING_CLUES, PITCH_LOG
from appraise.services.records import Records, unfinished

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.tables.rows import Tables

A = Accepts


def _blank_renewal(_case: Case, _tables: Tables) -> object:
    return Renewal(())


def _renewal_title(record: object, tables: Tables) -> str:
    if not isinstance(record, Renewal):
        return NOTHING
    when = str(record.date) if record.date else "by clues" if record.clues else "undated"
    parts = [tables.components[key].label if key in tables.components else key for key in record.components]
    return f"{when} {record.extent.value}: {', '.join(parts)}"


def _blank_remark(_case: Case, _tables: Tables) -> object:
    return Remark("case", "")


def _remark_title(record: object, tables: Tables) -> str:
    if not isinstance(record, Remark):
        return NOTHING
    component = tables.components.get(record.place)
    place = component.label if component is not None else STATION_LABELS.get(record.place, record.place)
    return f"{place}: {' '.join(record.text.split()) or 'nothing written yet'}"


def _blank_comparable(_case: Case, _tables: Tables) -> object:
    return unfinished(Comparable, label="", price=None, date=None, sale="", made=None, grade=None)


def _comparable_title(record: object, _tables: Tables) -> str:
    if not isinstance(record, Comparable):
        return NOTHING
    return f"{record.label}  {record.price:,.0f}, {record.date.isoformat()}"


def _blank_adjustment(_case: Case, _tables: Tables) -> object:
    return Adjustment("", "")


def _adjustment_title(record: object, _tables: Tables) -> str:
    if not isinstance(record, Adjustment):
        return NOTHING
    size = f"{record.pct:+g} %" if record.pct is not None else f"{record.amount:+}" if record.amount else NOTHING
    return f"{record.name}  {size}"


RENEWALS = Records(
    ("renewals",),
    "Renewals",
    "renewal",
    _blank_renewal,
    _renewal_title,
    (
        Field(("components",), "Components", A.SEVERAL, choices=choices.components, required=True),
        Field(("date",), "When", A.SPAN, help="1998, 1998-05 or 1995/2001; leave empty to go by clues"),
        Field(("clues",), "Clues to its date", A.SEVERAL, choices=choices.clues),
        Field(("extent",), "Extent", A.CHOICE, choices=choices.extents, required=True),
        Field(
            ("gives_back_pct",), "Gives back", A.NUMBER, "%", "Share of the age a repair takes away", low=0, high=100
        ),
        Field(("by",), "Done by"),
        Field(("evidence",), "Evidence"),
        Field(("note",), "Note", A.LONG),
    ),
)
"""What was replaced, rebuilt or mended, and when."""

REMARKS = Records(
    ("remarks",),
    "Defects",
    "defect",
    _blank_remark,
    _remark_title,
    (
        Field(("place",), "Place", A.CHOICE, choices=choices.places, required=True),
        Field(("text",), "What is seen", A.LONG),
        Field(("cause",), "Cause"),
        Field(("origin",), "Origin", A.CHOICE, choices=choices.origins, required=True),
        Field(("finding",), "Is it there", A.CHOICE, choices=choices.findings, required=True),
        Field(
            ("probability_pct",), "Likely", A.NUMBER, "%", "Of a suspected fault; empty: the table's", low=0, high=100
        ),
        Field(("check",), "Suspected check", A.CHOICE, choices=choices.questions, help="That it would answer with yes"),
        Field(("jobs",), "Jobs", A.SEVERAL, choices=choices.jobs, help="Where no grade calls for them"),
        Field(("peril",), "Peril", A.CHOICE, choices=choices.perils),
        Field(("stage",), "Stage", A.CHOICE, choices=choices.stages),
        Field(("exclusion",), "Exclusion claimed", A.CHOICE, choices=choices.exclusions),
        Field(("exclusion_for",), "Sign for it", help="As it was seen"),
        Field(("exclusion_against",), "Sign against it", help="As it was seen"),
        Field(("share_pct",), "Share of the move", A.NUMBER, "%", "Empty: all of it", low=0, high=100),
        Field(("share_reason",), "Why that share"),
        Field(("notes",), "Notes concerned", A.NOTES, help="12, 40-44"),
        Field(
            ("photos",), "Photos", A.PHOTOS, help="Enter chooses from the folder of the case; each is hashed on entry"
        ),
    ),
)
"""Defects seen."""

COMPARABLES = Records(
    ("market", "comparables"),
    "Comparables",
    "comparable",
    _blank_comparable,
    _comparable_title,
    (
        Field(("label",), "What it is", required=True),
        Field(("price",), "Price", A.MONEY, required=True, low=0),
        Field(("date",), "Day", A.DAY, required=True),
        Field(("sale",), "Kind of sale", A.CHOICE, choices=choices.bases, required=True),
        Field(("made",), "Built", A.SPAN, required=True),
        Field(("grade",), "General condition", A.NUMBER, "", "1 as new to 5 worn out", required=True, low=1, high=5),
        Field(("size_cm",), "Size", A.NUMBER, "cm", low=50, high=500),
        Field(("distance_km",), "Distance", A.NUMBER, "km", required=True, low=0),
        Field(("replacement_cost_new",), "Its replacement cost", A.MONEY, low=0),
        Field(("source",), "Source"),
        Field(("note",), "Note", A.LONG),
    ),
)
"""Like instruments that were sold or offered."""

ADJUSTMENTS = Records(
    ("market", "adjustments"),
    "Adjustments",
    "adjustment",
    _blank_adjustment,
    _adjustment_title,
    (
        Field(("name",), "Name", required=True),
        Field(("pct",), "Percent", A.NUMBER, "%", low=-100, high=1000),
        Field(("amount",), "Amount", A.MONEY),
        Field(("reason",), "Reason", required=True),
    ),
)
"""The assessor's own adjustments."""

RECORDS: tuple[Records, ...] = (RENEWALS, REMARKS, PITCH_LOG, DRYING_CLUES, COMPARABLES, ADJUSTMENTS)
