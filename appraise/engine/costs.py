"""What work, salvage and removal cost, from hours, parts and the rates of the case."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.draws import Z90
from appraise.model.result import Range

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from appraise.engine.simulate import Source
    from appraise.model.case import Case, Kind
    from appraise.tables.rows import Tables
    from appraise.tables.rows_worth import Remedy

    Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Rates:
    """What an hour is reckoned at, overhead and contingency included [money]; 0 without a rate."""

    labour: float
    parts: float
    """The rate that the tables' shares for parts are taken of: that of labour unless the case states another."""

    def price(self, hours: float, share: float) -> float:
        """Return what a job costs [money] of so many hours [h], its parts a share of their labour [–]."""
        return hours * self.labour * (1.0 + share) + hours * share * (self.parts - self.labour)


def rates(case: Case, tables: Tables) -> Rates:
    """Return the price of an hour of work and the rate for parts."""
    overhead = share_of("overhead_pct", case, tables)
    contingency = share_of("contingency_pct", case, tables)
    labour = float(case.costs.labour_rate or 0) * (1.0 + overhead) * (1.0 + contingency)
    if case.costs.parts_rate is None:
        return Rates(labour, labour)
    return Rates(labour, float(case.costs.parts_rate) * (1.0 + overhead) * (1.0 + contingency))


def margin(case: Case, tables: Tables) -> float:
    """Return the dealer's margin on resale [–]."""
    return share_of("margin_pct", case, tables)


def share_of(key: str, case: Case, tables: Tables) -> float:
    """Return a share [–] that the case states in percent, else that of the table.

    Args:
        key: Of the costs of a case, and the setting of the same name: "overhead_pct", "contingency_pct", "margin_pct".
        case: The case.
        tables: The reference tables.
    """
    stated: float | None = getattr(case.costs, key)
    return (tables.setting(key) if stated is None else stated) / 100.0


def handling(case: Case) -> float:
    """Return what carriage and holding take off a resale [money]; what is not stated takes nothing off."""
    return float(case.costs.carriage or 0) + float(case.costs.holding or 0)


def offered(case: Case, tables: Tables) -> list[Remedy]:
    """Return the remedies that exist for this kind of instrument, none where the case's rates cost no work."""
    if not case.costs.reckoned:
        return []
    return [remedy for remedy in tables.remedies.values() if case.identity.kind in remedy.kinds]


def job_costs(case: Case, tables: Tables, remedies: Iterable[Remedy], source: Source) -> dict[str, Array]:
    """Return the cost of each remedy alone [money], arrays of shape (n,).

    All hours move together, and so do all parts: a workshop that is slow at one job is slow at the others, which
    makes the range of a plan's cost wider, never narrower, than independent jobs would.
    """
    hourly = rates(case, tables)
    taken = _hours_and_parts(tables, case.identity.kind, source)
    if hourly.parts == hourly.labour:
        return {remedy.key: hourly.labour * taken[remedy.key][0] for remedy in remedies}
    more = hourly.parts - hourly.labour
    return {remedy.key: hourly.labour * taken[remedy.key][0] + more * taken[remedy.key][1] for remedy in remedies}


@lru_cache(maxsize=16)
def _hours_and_parts(tables: Tables, kind: Kind, source: Source) -> dict[str, tuple[Array, Array]]:
    """Return what each job takes, its parts turned into hours as well, and the parts alone [h], shape (n,); kept."""
    score = source.scores("parts") / Z90
    found: dict[str, tuple[Array, Array]] = {}
    for remedy in tables.remedies.values():
        if kind in remedy.kinds:
            hours = source.between("hours", Range(remedy.hours_low, remedy.hours_typical, remedy.hours_high))
            middle, half = 0.5 * (remedy.parts_low + remedy.parts_high), 0.5 * (remedy.parts_high - remedy.parts_low)
            share = np.maximum(0.0, middle + half * score)
            found[remedy.key] = hours * (1.0 + share), hours * share
    return found


def salvage_drawn(case: Case, tables: Tables, replacement: Array, source: Source) -> Array:
    """Return salvage less removal [money], shape (n,); negative where taking it away costs more than it brings."""
    kind = case.identity.kind
    low, mid, high = (tables.setting(f"salvage_{kind}_{step}") for step in ("low", "typical", "high"))
    share = source.between("salvage", Range(low, mid, high))
    return share * replacement - removal(case, tables)


def removal(case: Case, tables: Tables) -> float:
    """Return what it costs to take the instrument away [money]: as stated, else the table's hours at the rate."""
    if case.costs.removal is not None:
        return float(case.costs.removal)
    return tables.setting(f"removal_hours_{case.identity.kind}") * float(case.costs.labour_rate or 0)


def pieces(case: Case, remedy: Remedy, tables: Tables) -> int:
    """Return how many pieces a job by the piece is made for."""
    return 1


def job_hours(case: Case, remedy: Remedy, tables: Tables) -> Range:
    """Return the hours of a job for this instrument [h]."""
    return Range(remedy.hours_low, remedy.hours_typical, remedy.hours_high)


def parts_share(case: Case, remedy: Remedy, tables: Tables) -> Range:
    """Return the parts of a job as a share of its labour [–]."""
    middle = 0.5 * (remedy.parts_low + remedy.parts_high)
    return Range(remedy.parts_low, middle, remedy.parts_high)
