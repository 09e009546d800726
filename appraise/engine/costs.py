"""What work, salvage and removal cost, from hours, parts and the rates of the case."""

from __future__ import annotations

from dataclasses import field
from functools import cached_property, lru_cache, partial
from math import ceil, log
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.draws import Z90
from appraise.engine.grade import anchored
from appraise.engine.identity_cache import IdentityCache, is_valued_once
from appraise.model.case import Kind
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import Range
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from appraise.engine.sampler import Sampler
    from appraise.model.case import Case, Reading
    from appraise.tables.rows import Tables
    from appraise.tables.rows_worth import MarketFactor, Remedy

    Array = NDArray[np.float64]

_TOLERATED = 3.0
"""A note whose reading grades worse is out of tolerance [grade]."""
_ROUNDING = 1e-9
"""What rounding may put above a whole count [–]."""


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


def offered(case: Case, tables: Tables) -> tuple[Remedy, ...]:
    """Return the remedies that exist for this instrument, none where the case's rates cost no work.

    A job by the piece is offered only where a check that it answers found something.
    """
    return _here(case, tables).offered if case.costs.reckoned else ()


def pieces(case: Case, remedy: Remedy, tables: Tables) -> int:
    """Return how many pieces a job is done to: 1 for a job on the whole, 0 where the checks it answers found nothing.

    A check that counts gives its count, the mean of several rounded up as its grade takes them, or the notes listed
    where those are more; a check made note by note gives the notes whose reading grades worse than 3, each once. The
    pieces of several checks are added up.
    """
    return _here(case, tables).of(remedy).count


def _pieces(kind: Kind, readings: Iterable[Reading], remedy: Remedy, tables: Tables) -> int:
    if not remedy.per:
        return 1
    found = 0
    for key in remedy.causes:
        check = tables.checks.get(key)
        if check is None or kind not in check.kinds:
            continue
        read = [(one.note, one.value) for one in readings if one.check == key and isinstance(one.value, float)]
        if check.kind is CheckKind.COUNT and read:
            counted = ceil(sum(value for _, value in read) / len(read) - _ROUNDING)
            found += max(counted, len({note for note, _ in read if note is not None}))
        elif check.kind is CheckKind.MEASURED:
            out = [note for note, value in read if anchored(value, check.anchors) > _TOLERATED]
            found += len({note for note in out if note is not None}) + out.count(None)
    return found


def job_hours(case: Case, remedy: Remedy, tables: Tables) -> Range:
    """Return the hours of a job on this instrument [h]: its pieces, its set-up and the instrument's size applied."""
    return _here(case, tables).of(remedy).hours


def parts_share(case: Case, remedy: Remedy, tables: Tables) -> Range:
    """Return the parts of a job on this instrument as a share of the cost of its hours [–].

    The class of maker is applied. The set-up of a job by the piece needs no parts: the share is that of the pieces,
    spread over all the typical hours.
    """
    return _here(case, tables).of(remedy).parts


def job_costs(case: Case, tables: Tables, remedies: Iterable[Remedy], source: Sampler) -> Mapping[str, Array]:
    """Return the cost of each remedy alone [money], arrays of shape (n,).

    All hours move together, and so do all parts: a workshop that is slow at one job is slow at the others, which
    makes the range of a plan's cost wider, never narrower, than independent jobs would. Of the table's range, which is
    that of single jobs, only a share counts: buyers take off what several workshops ask.
    """
    here, chosen = _here(case, tables), tuple(remedies)
    hourly, spread = rates(case, tables), tables.setting("quotes_share")
    make = partial(_costs, here, chosen, hourly, source, spread)
    return _COSTS.of((here, *chosen), (hourly, source, spread), make)


def _costs(
    here: _Here, remedies: Iterable[Remedy], hourly: Rates, source: Sampler, spread: float
) -> Mapping[str, Array]:
    how = (hourly, source, spread)
    every = {row.key: (row, here.of(row)) for row in remedies}
    if is_valued_once():
        return {key: _cost(taken, *how) for key, (_, taken) in every.items()}
    return {key: _COST.of((row,), (taken, *how), partial(_cost, taken, *how)) for key, (row, taken) in every.items()}


_COSTS: IdentityCache[Mapping[str, Array]] = IdentityCache(16)
_COST: IdentityCache[Array] = IdentityCache(1024)


def asked(costs: Mapping[str, Array], tables: Tables, source: Sampler) -> Mapping[str, Array]:
    """Return what a buyer takes off for each job [money]: its cost, and more for trouble, time and risk.

    References:
        Entrepreneurial incentive of the cost approach; the share is a row of the settings.
    """
    return _ASKED.of((costs, tables), source, partial(_asked, costs, tables, source))


def _asked(costs: Mapping[str, Array], tables: Tables, source: Sampler) -> Mapping[str, Array]:
    low, mid, high = (tables.setting(f"incentive_{step}") for step in ("low", "typical", "high"))
    incentive = source.between("incentive", Range(low, mid, high))
    return {
        key: _WITH_INCENTIVE.of((incentive, cost), None, partial(_with_incentive, incentive, cost))
        for key, cost in costs.items()
    }


def _with_incentive(incentive: Array, cost: Array) -> Array:
    return (1.0 + incentive) * cost


_ASKED: IdentityCache[Mapping[str, Array]] = IdentityCache(16)
_WITH_INCENTIVE: IdentityCache[Array] = IdentityCache(1024)


@dataclass(frozen=True, slots=True)
class _Taken:
    """What a job takes on one instrument."""

    count: int
    """Pieces that it is done to."""
    setup: float
    """Hours once, at the instrument's size [h]."""
    piece: Range
    """Hours of all pieces together, at the instrument's size [h]."""
    spread: tuple[float, float]
    """ln of their median over their 10 % quantile, and of their 90 % quantile over their median [–]."""
    parts: Range
    """Parts as a share of the cost of all hours [–]."""

    @property
    def hours(self) -> Range:
        """All hours [h]."""
        return Range(self.setup + self.piece.low, self.setup + self.piece.mid, self.setup + self.piece.high)


@dataclass(frozen=True, eq=False)
class _Here:
    """What every job takes on one instrument, each worked out when it is first asked for."""

    kind: Kind
    size_cm: float | None
    parts: float
    """Price class of parts [–]."""
    readings: tuple[Reading, ...]
    tables: Tables
    known: dict[str, _Taken] = field(default_factory=dict)

    def of(self, remedy: Remedy) -> _Taken:
        """Return what one job takes."""
        found = self.known.get(remedy.key)
        if found is None:
            size = _by_size(remedy.size_grand if self.kind is Kind.GRAND else remedy.size_upright, self.size_cm)
            count = _pieces(self.kind, self.readings, remedy, self.tables)
            found = self.known[remedy.key] = _worked_out(remedy, size, self.parts, count)
        return found

    @cached_property
    def offered(self) -> tuple[Remedy, ...]:
        """The remedies that exist for it."""
        return tuple(row for row in self.tables.remedies.values() if self.kind in row.kinds and self.of(row).count)


def _here(case: Case, tables: Tables) -> _Here:
    """Return what jobs take on this instrument, kept: a change of a grade changes none of it."""
    kind, size = case.identity.kind, case.identity.size_cm
    if not case.readings:
        return _unread(kind, size, parts_class(case, tables), tables)
    make = partial(_Here, kind, size, parts_class(case, tables), case.readings, tables)
    return _HERE.of((case.identity, case.readings, tables), None, make)


_HERE: IdentityCache[_Here] = IdentityCache(64)


@lru_cache(maxsize=64)
def _unread(kind: Kind, size_cm: float | None, parts: float, tables: Tables) -> _Here:
    return _Here(kind, size_cm, parts, (), tables)


def _worked_out(remedy: Remedy, size: float, parts: float, count: int) -> _Taken:
    """Apply a factor for the size, the price class of parts and the number of pieces to a job."""
    setup = remedy.setup_hours * size if count else 0.0
    low, mid, high = (count * size * hours for hours in (remedy.hours_low, remedy.hours_typical, remedy.hours_high))
    shown = parts if setup == 0.0 else parts * mid / (setup + mid)
    middle = 0.5 * (remedy.parts_low + remedy.parts_high)
    share = Range(remedy.parts_low * shown, middle * shown, remedy.parts_high * shown)
    spread = (0.0, 0.0)
    if remedy.hours_low > 0.0:
        spread = log(remedy.hours_typical / remedy.hours_low), log(remedy.hours_high / remedy.hours_typical)
    return _Taken(count, setup, Range(low, mid, high), spread, share)


def _by_size(points: Sequence[tuple[float, float]], size_cm: float | None) -> float:
    """Return the factor on hours and parts at a size [–]; 1 where the size is not stated or does not matter."""
    return 1.0 if size_cm is None or not points else anchored(size_cm, points)


def parts_class(case: Case, tables: Tables) -> float:
    """Return what parts cost for this class of maker against those of a good maker [–]; 1 where none is stated."""
    row = maker_class(case, tables)
    return 1.0 if row is None else row.parts


def maker_class(case: Case, tables: Tables) -> MarketFactor | None:
    """Return the row of the class of maker; none where none is stated."""
    row = tables.market_factors.get(case.identity.tier)
    return row if row is not None and row.factor == "tier" else None


def means(costs: Mapping[str, Array]) -> Mapping[str, float]:
    """Return the mean cost of each job [money]."""
    return _MEANS.of((costs,), None, lambda: {key: float(cost.mean()) for key, cost in costs.items()})


_MEANS: IdentityCache[Mapping[str, float]] = IdentityCache(16)


def _cost(taken: _Taken, hourly: Rates, source: Sampler, spread: float) -> Array:
    """Return what one job costs [money], shape (n,); of the range of its hours a share counts, `spread` [–]."""
    below, above = taken.spread
    hours = taken.piece.mid * source.swing("hours", spread * below, spread * above)
    hours += taken.setup
    share = (0.5 * (taken.parts.high - taken.parts.low) / Z90) * source.scores("parts")
    share += taken.parts.mid
    np.maximum(share, 0.0, out=share)
    parts = hours * share if hourly.parts != hourly.labour else None
    share += 1.0
    hours *= share
    hours *= hourly.labour
    if parts is not None:
        hours += (hourly.parts - hourly.labour) * parts
    return hours


def salvage_drawn(case: Case, tables: Tables, replacement: Array, source: Sampler) -> Array:
    """Return salvage less removal [money], shape (n,); negative where taking it away costs more than it brings."""
    return source.between("salvage", salvage_share(case, tables)) * replacement - removal(case, tables)


def salvage_share(case: Case, tables: Tables) -> Range:
    """Return what an instrument past use brings, as a share of cost new, before removal [–].

    First-rank grands are bought as cores by those who rebuild them; nobody rebuilds a trade name.
    """
    kind, row = case.identity.kind, maker_class(case, tables)
    factor = 1.0 if row is None else row.salvage
    low, mid, high = (factor * tables.setting(f"salvage_{kind}_{step}") for step in ("low", "typical", "high"))
    return Range(low, mid, high)


def removal(case: Case, tables: Tables) -> float:
    """Return what it costs to take the instrument away [money]: as stated, else the table's hours at the rate."""
    if case.costs.removal is not None:
        return float(case.costs.removal)
    return tables.setting(f"removal_hours_{case.identity.kind}") * float(case.costs.labour_rate or 0)
