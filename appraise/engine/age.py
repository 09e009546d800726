"""Age in service of each component: since its last renewal, else since the instrument was made."""

from __future__ import annotations

from functools import cached_property, lru_cache
from typing import TYPE_CHECKING
from zlib import crc32

import numpy as np

from appraise.engine import draws
from appraise.engine.clues import STEP_YEARS, YearsSince, weigh
from appraise.model.case import Extent
from appraise.model.lazy_dataclass import dataclass
from appraise.model.span import years_between

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from numpy.typing import NDArray

    from appraise.model.case import Case, Renewal
    from appraise.model.span import Span
    from appraise.tables.rows import Tables


@dataclass(frozen=True, eq=False)
class Event:
    """A moment in the past, as years before the inspection."""

    name: str
    """Input name: `made`, or `renewal.` and a number taken from what the renewal is, see `event_names`."""
    low: float
    """Fewest years ago [years]."""
    high: float
    """Most years ago [years]."""
    density: YearsSince | None = None
    """Set where no date is documented."""
    known_from: str = "date"
    """date | clues | nothing."""

    @property
    def exact(self) -> bool:
        """True when nothing is left to draw."""
        return self.density is None and self.low == self.high

    def middle(self) -> float:
        """Return the median [years ago]."""
        return self.density.median if self.density else 0.5 * (self.low + self.high)

    def drawn(self, seed: int, n: int) -> NDArray[np.float64]:
        """Return draws of the years since the event, shape (n,)."""
        if self.exact:
            return np.full(n, self.low)
        uniform = draws.rectangular(seed, self.name, n)
        if self.density:
            return self.density.quantile(uniform)
        return self.low + (self.high - self.low) * uniform


@dataclass(frozen=True, eq=False)
class Step:
    """A renewal as it bears on one component."""

    event: Event
    gives_back: float
    """Share of the age given back [–]: 1 when renewed."""


@dataclass(frozen=True, eq=False)
class History:
    """What bears on one component's age."""

    made: Event
    steps: tuple[Step, ...]
    """Oldest first."""
    evidence: str
    """renewal | clues | undated | repaired | made | unknown: what the age rests on."""

    @cached_property
    def every(self) -> tuple[Event, ...]:
        """The making and the renewals, oldest first."""
        return (self.made, *(step.event for step in self.steps))

    @cached_property
    def age(self) -> float:
        """The age in service from the middles of the dates [years]."""
        return float(self.drawn({event.name: np.array([event.middle()]) for event in self.every})[0])

    @cached_property
    def age_bounds(self) -> tuple[float, float]:
        """The age when every date lies at its nearer, and at its farther, bound [years]."""
        years = {event.name: np.array([event.low, event.high]) for event in self.every}
        nearer, farther = self.drawn(years)
        return float(nearer), float(farther)

    def drawn(self, years: dict[str, NDArray[np.float64]]) -> NDArray[np.float64]:
        """Return draws of the age in service [years], from draws of the events by name, shape (n,)."""
        age = years[self.made.name].copy()
        if not self.steps:
            return age
        since = np.stack([years[step.event.name] for step in self.steps])
        back = np.array([step.gives_back for step in self.steps])
        # In each draw the steps follow one another as its own dates have them, whatever order the middles suggest.
        order = np.argsort(-since, axis=0, kind="stable")
        for ago, share in zip(np.take_along_axis(since, order, axis=0), back[order], strict=True):
            age -= share * np.maximum(0.0, age - ago)
        return age


def histories(case: Case, tables: Tables, components: Sequence[str]) -> Mapping[str, History]:
    """Return the history of every component asked for.

    Args:
        case: The case; its effective date is the day of the inspection.
        tables: Clues, and the settings for what is not known.
        components: Keys of components.

    Returns:
        A history by component. Documented dates override clues; a renewal with neither is placed anywhere between
        the making and the inspection.
    """
    return _histories(case.identity.made, case.assignment.inspected, case.renewals, tables, tuple(components))


@lru_cache(maxsize=32)
def _histories(
    built: Span | None, day: date, renewals: tuple[Renewal, ...], tables: Tables, components: tuple[str, ...]
) -> Mapping[str, History]:
    """Return the histories; kept, because grades and readings do not change them."""
    made = _made(built, tables, day)
    events = [
        _event(name, renewal, made, day, tables) for name, renewal in zip(event_names(renewals), renewals, strict=True)
    ]
    usual = tables.setting("repair_gives_back_pct")
    found: dict[str, History] = {}
    for component in components:
        steps: list[Step] = []
        evidence = "made" if built else "unknown"
        for renewal, event in zip(renewals, events, strict=True):
            if component in renewal.components:
                steps.append(Step(event, _gives_back(renewal, usual)))
        steps.sort(key=lambda step: -step.event.middle())
        renewed = [step for step in steps if step.gives_back >= 1.0]
        if steps and not renewed:
            evidence = "repaired"
        if renewed:
            evidence = {"date": "renewal", "clues": "clues"}.get(renewed[-1].event.known_from, "undated")
        found[component] = History(made, tuple(steps), evidence)
    return found


def _gives_back(renewal: Renewal, usual_pct: float) -> float:
    if renewal.extent is Extent.RENEWED:
        return 1.0
    return (usual_pct if renewal.gives_back_pct is None else renewal.gives_back_pct) / 100.0


def _made(span: Span | None, tables: Tables, day: date) -> Event:
    if span is None:
        return Event("made", tables.setting("unknown_age_low"), tables.setting("unknown_age_high"))
    return _between("made", span, day)


def _between(name: str, span: Span, day: date) -> Event:
    low = max(0.0, years_between(span.latest, day))
    return Event(name, low, max(low, years_between(span.earliest, day)))


def event_names(renewals: Sequence[Renewal]) -> tuple[str, ...]:
    """Return the name by which each renewal's date is drawn: from what it is and not from its place in the file.

    A renewal moved in time keeps its draws; of several of one sort on the same parts the older comes first.
    """
    sorts = [
        "|".join((*sorted(renewal.components), "", *sorted(renewal.clues), renewal.extent)) for renewal in renewals
    ]
    found = {}
    seen: dict[str, int] = {}
    for n in sorted(range(len(renewals)), key=lambda n: (sorts[n], str(renewals[n].date or ""))):
        seen[sorts[n]] = rank = seen.get(sorts[n], 0) + 1
        found[n] = f"renewal.{crc32(f'{sorts[n]}|{rank}'.encode()):08x}"
    return tuple(found[n] for n in range(len(renewals)))


def _event(name: str, renewal: Renewal, made: Event, day: date, tables: Tables) -> Event:
    if renewal.date is not None:
        return _between(name, renewal.date, day)
    longest = max(made.high, STEP_YEARS)
    density = weigh([tables.dating_clues[clue] for clue in renewal.clues], longest, tables.setting("clue_span_years"))
    low, high = density.interval()
    return Event(name, low, high, density, "clues" if renewal.clues else "nothing")
