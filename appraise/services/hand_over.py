"""Gaps of a case before it is handed over: unanswered, preliminary, not stated, not photographed, undecided."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from appraise.model.case import STATION_LABELS
from appraise.model.lazy_dataclass import dataclass
from appraise.services.particulars import REMARKS, RENEWALS, SECTIONS
from appraise.services.quick_look import checked_parts
from appraise.services.walk import answered
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.tables.rows import Tables


class Lack(StrEnum):
    """How something is missing."""

    UNANSWERED = "not answered"
    """A check of the first round, whose finding can end the matter alone."""
    UNSEEN = "not inspected"
    """A part that decides and that nobody has looked at."""
    PRELIMINARY = "preliminary"
    """A part that decides and was graded at a quick look."""
    UNSTATED = "not stated"
    UNPHOTOGRAPHED = "not photographed"
    UNDECIDED = "not decided"


@dataclass(frozen=True, slots=True)
class Missing:
    """One thing that is missing, and the row where it is entered."""

    lack: Lack
    what: str
    where: str
    """In words: the station and its check, or the place among the particulars."""
    row: str
    """Key of a check, or of a row of the particulars."""
    station: str = ""
    """Of the check; empty for a row of the particulars."""


_FIELDS = {field.path: (title, field.label.strip()) for title, fields in SECTIONS for field in fields}


def missing(case: Case, tables: Tables, folder: Path | None = None) -> list[Missing]:
    """Return what is missing of a case, in the order of the walk and then of the particulars.

    Args:
        case: As it stands.
        tables: The reference tables.
        folder: Of the case file, where photos are looked for; none: they are taken to be there.
    """
    return [*_checks(case, tables), *_parts(case, tables), *_fields(case, tables), *_records(case, tables, folder)]


def _checks(case: Case, tables: Tables) -> Iterator[Missing]:
    dealt_with = answered(case) | {left.check for left in case.left_out}
    graded = {grade.component for grade in case.grades if grade.component and not grade.preliminary}
    for row in tables.checks.values():
        due = row.knock_out and case.identity.kind in row.kinds
        if due and row.key not in dealt_with and row.component not in graded:
            yield Missing(Lack.UNANSWERED, row.label, STATION_LABELS[row.station], row.key, row.station)


def _parts(case: Case, tables: Tables) -> Iterator[Missing]:
    """Yield the parts that decide and have not been checked, each at the first check of it."""
    seen = checked_parts(case, tables)
    for row in tables.components.values():
        if not row.critical or case.identity.kind not in row.kinds or row.key in seen:
            continue
        lack = Lack.PRELIMINARY if row.key in case.preliminary else Lack.UNSEEN
        kind = case.identity.kind
        first = next(check for check in tables.checks.values() if check.component == row.key and kind in check.kinds)
        yield Missing(lack, row.named(kind), STATION_LABELS[row.station], first.key, row.station)


def _fields(case: Case, tables: Tables) -> Iterator[Missing]:
    identity, asked, market = case.identity, case.assignment, case.market
    measured = any(tables.checks[reading.check].kind is CheckKind.MEASURED for reading in case.readings)
    stated = {
        ("identity", "maker"): identity.maker,
        ("identity", "serial"): identity.serial,
        ("identity", "made"): identity.made,
        ("assignment", "purpose"): asked.purpose,
        ("assignment", "place"): asked.place,
        ("assignment", "assessor"): asked.assessor,
        ("assignment", "client"): asked.client,
        ("assignment", "limits"): asked.limits,
        ("assignment", "equipment"): asked.equipment or not measured,
        ("market", "replacement_cost_new"): market.cost_new,
        ("market", "replacement_source"): market.replacement_source or market.cost_new is None,
        ("costs", "labour_rate"): case.costs.reckoned,
    }
    for path, value in stated.items():
        if not value:
            title, label = _FIELDS[path]
            yield Missing(Lack.UNSTATED, label, title, ".".join(path))


def _records(case: Case, tables: Tables, folder: Path | None) -> Iterator[Missing]:
    for at, renewal in enumerate(case.renewals):
        if renewal.date is None and not renewal.clues:
            yield Missing(Lack.UNDECIDED, RENEWALS.title_of(renewal, tables), "When it was", f"renewals.{at}")
    for at, remark in enumerate(case.remarks):
        title, row = REMARKS.title_of(remark, tables), f"remarks.{at}"
        if not remark.photos:
            yield Missing(Lack.UNPHOTOGRAPHED, title, REMARKS.title, row)
        for file in remark.photos:
            if folder is not None and not _there(folder / file):
                yield Missing(Lack.UNPHOTOGRAPHED, title, f"no file {file}", row)
    if case.earlier_state is not None:
        yield from _earlier(case)


def _there(photo: Path) -> bool:
    """Tell whether a photo can be seen to be there."""
    try:
        return photo.is_file()
    except (OSError, ValueError):
        return False


def _earlier(case: Case) -> Iterator[Missing]:
    """Yield the defects of today of which nobody has said whether the move made them."""
    for at, remark in enumerate(case.remarks):
        if remark.origin == "unknown":
            where = "Whether the move made it"
            yield Missing(Lack.UNDECIDED, " ".join(remark.text.split()) or "A defect", where, f"remarks.{at}")
