"""A case valued for another day or on another basis than its file says."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.model.plausible import YEARS, is_likely
from appraise.model.problem import InputError
from appraise.store.findings import did_you_mean

if TYPE_CHECKING:
    from datetime import date

    from appraise.model.case import Case
    from appraise.tables.rows import Tables


def on_basis(case: Case, basis: str, tables: Tables) -> Case:
    """Return the case with another kind of value asked for.

    Raises:
        InputError: The tables have no such kind.
    """
    if basis not in tables.bases:
        mend = did_you_mean(basis, tables.bases) or f"there are {', '.join(tables.bases)}"
        raise InputError(f'"{basis}"', "a kind of value", mend)
    return replace(case, assignment=replace(case.assignment, basis=basis))


def on_day(case: Case, day: date) -> Case:
    """Return the case with another effective date.

    Raises:
        InputError: Something in the case had not happened on that day, or no case can be of it.
    """
    if not is_likely(day):
        raise InputError(day, YEARS)
    spans = [renewal.date for renewal in case.renewals if renewal.date is not None]
    if case.identity.made is not None:
        spans.append(case.identity.made)
    first = max((span.earliest for span in spans), default=day)
    if day < first:
        raise InputError(day, f"a day from {first} on, when the case already has something happen")
    return replace(case, assignment=replace(case.assignment, inspected=day))
