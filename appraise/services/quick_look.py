"""The quick look: one grade a component, preliminary until a check of it is made."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.model.case import STATION_LABELS, STATIONS
from appraise.model.lazy_dataclass import dataclass
from appraise.services.walk import answered, components_of, overruling
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.model.case import Case
    from appraise.tables.rows import Check, Component, Tables

QUICK_LOOK = "quick look"
"""The reason that such a grade has in the case file."""


@dataclass(frozen=True, slots=True)
class LookRow:
    """One component, or with `component` None the heading of a station."""

    key: str
    station: str
    label: str
    component: Component | None = None
    grade: float | None = None
    """Given at a quick look."""
    closed: str = ""
    """Why it takes no such grade: it has been looked at closely."""


def checked(case: Case, check: Check) -> Case:
    """Return the case in which a check has been made: it can be, and a quick look at its component is over.

    A check that only notes something says nothing of the grade.
    """
    left_out = tuple(left for left in case.left_out if left.check != check.key)
    grades = case.grades
    if check.kind is not CheckKind.RECORD and check.component in case.preliminary:
        grades = tuple(grade for grade in grades if grade.component != check.component)
    return replace(case, grades=grades, left_out=left_out)


def checked_parts(case: Case, tables: Tables) -> set[str]:
    """Return the components of which a check with a grade was made, or that the assessor graded with a reason."""
    rows = (tables.checks.get(key) for key in answered(case))
    made = {row.component for row in rows if row is not None and row.kind is not CheckKind.RECORD}
    return made | {grade.component for grade in case.grades if grade.component and not grade.preliminary}


def refusal(case: Case, component: str, tables: Tables) -> str:
    """Return why a component takes no grade at a quick look; empty where it does."""
    row = tables.components[component]
    label = row.named(case.identity.kind)
    present = overruling(case, component)
    if present is not None and not present.preliminary:
        return f"{label}: you set its grade with a reason, which stands"
    return f"{label}: checked, and graded by its checks" if component in checked_parts(case, tables) else ""


def look_rows(case: Case, tables: Tables) -> list[LookRow]:
    """Return every component in the order of the walk, below a heading for each station."""
    kind = case.identity.kind
    given: Mapping[str, float] = {one.component: one.grade for one in case.grades if one.preliminary}
    rows: list[LookRow] = []
    for station in STATIONS:
        rows.append(LookRow(f"station.{station}", station, STATION_LABELS[station]))
        rows += [
            LookRow(row.key, station, row.named(kind), row, given.get(row.key), refusal(case, row.key, tables))
            for row in components_of(tables, kind, station)
        ]
    return rows


def open_parts(case: Case, tables: Tables, station: str) -> list[str]:
    """Return the components of a station that take one grade for all at a quick look.

    A fault of the whole, as flood, is none of them: it is there or not, however worn the station is.
    """
    rows = components_of(tables, case.identity.kind, station)
    return [row.key for row in rows if not row.hazard and not refusal(case, row.key, tables)]
