"""Which cautions of the tables apply to a case."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.claim import Origin
from appraise.model.result import WorkList
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterable

    from appraise.model.case import Case
    from appraise.model.result import Valuation
    from appraise.tables.rows import Caution, Tables

BAD = 3.0
"""Heidecke's class "needs simple repair": from here somebody will have to put a hand to it."""

PLATE = "plate"
"""Component whose failure endangers whoever stands at the instrument."""


def applicable(case: Case, tables: Tables, valuation: Valuation, jobs: Iterable[str] = ()) -> tuple[Caution, ...]:
    """Pick the cautions that apply: those of the plate first, the others in the order of the table.

    A row that names only a kind, or nothing, applies to every instrument of that kind. Otherwise one of the
    things it names must hold: a material present, a check answered with yes or graded 3 or worse, a component
    graded 3 or worse or worked on by the plan, a station that the instrument has. What was damaged in transit counts
    as graded so, whatever its grade, and so does the plate then: a jolt can crack it where nobody sees it.

    Args:
        case: What was found.
        tables: The rows, cautions among them.
        valuation: What the engine made of the case.
        jobs: Remedies that are listed besides those of the valuation.
    """
    facts = _Facts(case, tables, valuation, jobs)
    results = [
        row
        for row in tables.cautions.values()
        if (not row.kinds or case.identity.kind in row.kinds) and facts.hold(row)
    ]
    return tuple(sorted(results, key=lambda row: PLATE not in row.components))


class _Facts:
    """Triggers of a caution."""

    def __init__(self, case: Case, tables: Tables, valuation: Valuation, jobs: Iterable[str]) -> None:
        self.materials = {
            literal(case.identity.finish).lower(),
            literal(case.identity.key_covering).lower(),
        } - {""}
        self.materials |= {literal(item.value).lower() for item in case.readings if isinstance(item.value, str)}
        self.checks = {item.check for item in case.readings if item.value is True or item.suspected}
        self.components: set[str] = set()
        self.stations = {station.station for station in valuation.stations}
        listed = {item.remedy for item in valuation.work if item.chosen or item.group is WorkList.NEEDED}
        planned = {
            component
            for remedy in (*listed, *jobs)
            if remedy in tables.remedies
            for component in tables.remedies[remedy].improves
        }
        hurt = {remark.place for remark in case.remarks if remark.origin is Origin.TRANSIT}
        if hurt:
            self.components |= {PLATE, *hurt}
        for station in valuation.stations:
            for part in station.components:
                self.checks |= {result.check for result in part.checks if result.grade >= BAD}
                if (part.inspected > 0 and part.grade.mid >= BAD) or part.component in planned:
                    self.components.add(part.component)

    def hold(self, row: Caution) -> bool:
        """Tell whether what a row names is present; a row that names nothing always applies."""
        if not (row.materials or row.checks or row.components or row.stations):
            return True
        named = {material.lower() for material in row.materials}
        return bool(
            named & self.materials
            or self.checks.intersection(row.checks)
            or self.components.intersection(row.components)
            or self.stations.intersection(row.stations)
        )
