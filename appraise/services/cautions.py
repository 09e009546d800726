"""Which warnings of the table concern a person about to make one check."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.tables.rows import Caution, Check, Tables


BEFORE_START = ("lids", "legs_and_lyre", "upright_tipping", "string_tension")
"""Rows that hold before a hand is put on the instrument, in the order in which one meets what they are about."""


def before_start(case: Case, tables: Tables) -> list[str]:
    """Return the warnings for a person about to open an instrument, each in one short sentence."""
    rows = (tables.cautions.get(key) for key in BEFORE_START)
    return [row.short or row.text for row in rows if row is not None and _fits(row, case)]


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
