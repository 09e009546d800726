"""Which warnings of the table concern a person about to make one check."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.tables.rows import Caution, Check, Tables


def before_start(case: Case, tables: Tables) -> list[str]:
    """Return the warnings for a person about to open an instrument, each in one short sentence."""
    turns = [(row.before_start, row) for row in tables.cautions.values() if row.before_start is not None]
    rows = (row for _, row in sorted(turns, key=lambda pair: pair[0]))
    return [row.short or row.text for row in rows if _fits(row, case)]


def cautions_of_check(check: Check, case: Case, tables: Tables) -> list[str]:
    """Return the warnings for a person about to make one check."""
    return [
        row.text
        for row in tables.cautions.values()
        if _fits(row, case)
        and (check.key in row.checks or check.component in row.components or check.station in row.stations)
    ]


def _fits(row: Caution, case: Case) -> bool:
    if row.kinds and case.identity.kind not in row.kinds:
        return False
    return not row.materials or bool({case.identity.finish, case.identity.key_covering} & set(row.materials))
