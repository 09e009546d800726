"""The particulars of a case by section and its lists of records, as the model declares them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from appraise.model.case import (
    STATION_LABELS,
    Adjustment,
    Case,
    Comparable,
    DryingClueSeen,
    PitchReading,
    Remark,
    Renewal,
)
from appraise.model.claim import LimitRate, Notice, Quotation, SalvageBid
from appraise.model.declaration import Declared, declared, parts
from appraise.model.lazy_dataclass import dataclass
from appraise.model.notes import note_name
from appraise.services.fields import NOTHING, Field, form, get

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.tables.rows import Tables


_NOTHING = (None, "", ())


@dataclass(frozen=True, slots=True)
class Records:
    """A list of like records in a case."""

    path: tuple[str, ...]
    title: str
    one: str
    """Name of one record."""
    record: type
    fields: tuple[Field, ...]
    """Fields of one record, their paths starting at the record."""

    def lacking(self, record: object) -> list[str]:
        """Return the labels of what a record still needs before it can count; nothing where it is complete."""
        return [one.label for one in self.fields if one.required and get(record, one.path) in _NOTHING]

    def blank(self) -> Any:  # noqa: ANN401 - one of ten classes
        """Return a new record, nothing where its figures will be: until it is complete it stands beside a case."""
        return self.record(**{name: _empty(one) for name, one in declared(self.record).items() if one.missing})

    def title_of(self, record: object, tables: Tables) -> str:
        """Return the line that tells a record from the others."""
        match record:
            case Renewal():
                when = str(record.date) if record.date else "by clues" if record.clues else "undated"
                labels = [_label(tables.components, key) for key in record.components]
                return f"{when} {record.extent.value}: {', '.join(labels)}"
            case Remark():
                place = _label(tables.components, record.place, STATION_LABELS.get(record.place, record.place))
                return f"{place}: {' '.join(record.text.split()) or 'nothing written yet'}"
            case Comparable():
                return f"{record.label}  {record.price:,.0f}, {record.date.isoformat()}"
            case Adjustment():
                amount = f"{record.amount:+}" if record.amount else NOTHING
                return f"{record.name}  {amount if record.pct is None else f'{record.pct:+g} %'}"
            case PitchReading():
                humidity = "" if record.humidity is None else f", {record.humidity:g} %"
                return f"{record.date.isoformat()}  {note_name(record.note)}  {record.cents:+g} cents{humidity}"
            case DryingClueSeen():
                return f"{'seen' if record.seen else 'not there'}: {_label(tables.drying_clues, record.clue)}"
            case Quotation():
                jobs = ", ".join(record.jobs)
                return f"{record.firm}  {record.amount:,.2f}, {record.day.isoformat()}: {jobs}"
            case SalvageBid():
                return f"{record.bidder}  {record.amount:,.2f}, {record.day.isoformat()}"
            case Notice():
                return f"{record.day.isoformat()}  {record.how}"
            case LimitRate():
                return f"{record.unit}  {record.rate:g}, {record.day.isoformat()}"
        return NOTHING


def _label(rows: Mapping[str, Any], key: str, otherwise: str = "") -> str:
    return rows[key].label if key in rows else otherwise or key


def _empty(one: Declared) -> object:
    if one.many:
        return ()
    begins = "" if one.form is None else one.form.begins
    return begins if one.type is str else None


def _lists() -> dict[str, Records]:
    result = {}
    for path, one in parts(Case).items():
        fields = form(one.type)
        if one.many and one.form is not None and fields:
            result[path[-1]] = Records(path, one.form.label, one.form.one, one.type, fields)
    return result


_LISTS = _lists()

RENEWALS, REMARKS = _LISTS["renewals"], _LISTS["remarks"]
PITCH_LOG, DRYING_CLUES, COMPARABLES = _LISTS["pitch_log"], _LISTS["drying_clues"], _LISTS["comparables"]

RECORDS: tuple[Records, ...] = tuple(one for one in _LISTS.values() if one.path[0] != "claim")
"""The lists among the particulars, in the order of the case."""

CLAIM_RECORDS: tuple[Records, ...] = tuple(one for one in _LISTS.values() if one.path[0] == "claim")
"""The lists of a claim."""


_FORMS: dict[str, tuple[str, tuple[Field, ...]]] = {
    path[0]: (one.form.label, form(one.type, *path))
    for path, one in parts(Case).items()
    if one.form is not None and not one.many
}

CLAIM: tuple[Field, ...] = _FORMS.pop("claim")[1]
"""Particulars that a claim after a move needs beside the two states."""

SECTIONS: tuple[tuple[str, tuple[Field, ...]], ...] = tuple(_FORMS.values())
"""The particulars, by section."""
