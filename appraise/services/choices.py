"""What a field may be chosen from: rows of the tables that fit the instrument, or the values of an enumeration."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from appraise.model.case import STATION_LABELS, Extent, Kind
from appraise.model.claim import Exclusion, Finding, Origin, Peril, Stage
from appraise.model.locale_format import Units
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from enum import StrEnum

    from appraise.model.case import Case
    from appraise.services.fields import Choices
    from appraise.tables.rows import Tables


class _Labelled(Protocol):
    @property
    def label(self) -> str: ...


def kinds(_case: Case, _tables: Tables) -> Choices:
    """Grand or upright."""
    return _values(Kind)


def units(_case: Case, _tables: Tables) -> Choices:
    """What lengths and the like are measured in."""
    return ((Units.METRIC.value, "metric"), (Units.INCH.value, "inches, inch-pounds, pounds, °F; touch stays in grams"))


def bases(_case: Case, tables: Tables) -> Choices:
    """The kinds of value."""
    return _labelled(tables.bases)


def laws(_case: Case, tables: Tables) -> Choices:
    """The laws of depreciation."""
    return _labelled(tables.laws)


def climates(_case: Case, tables: Tables) -> Choices:
    """The climates."""
    return _labelled(tables.climates)


def uses(_case: Case, tables: Tables) -> Choices:
    """The uses."""
    return _labelled(tables.uses)


def clues(_case: Case, tables: Tables) -> Choices:
    """The clues to the date of a renewal."""
    return _labelled(tables.dating_clues)


def drying_clues(_case: Case, tables: Tables) -> Choices:
    """The clues to drying."""
    return _labelled(tables.drying_clues)


def seen(_case: Case, _tables: Tables) -> Choices:
    """There, or not there."""
    return (("yes", "seen"), ("no", "looked for, not there"))


def extents(_case: Case, _tables: Tables) -> Choices:
    """How far a renewal may go."""
    return _values(Extent)


def origins(_case: Case, _tables: Tables) -> Choices:
    """Where a defect may come from."""
    return _values(Origin)


def findings(_case: Case, _tables: Tables) -> Choices:
    """Whether a fault is there."""
    return _values(Finding)


def perils(_case: Case, _tables: Tables) -> Choices:
    """What may have done damage."""
    return _values(Peril)


def stages(_case: Case, _tables: Tables) -> Choices:
    """The parts of a carriage."""
    return _values(Stage)


def exclusions(_case: Case, _tables: Tables) -> Choices:
    """What may be said to free an insurer or a carrier."""
    return _values(Exclusion)


def regimes(_case: Case, tables: Tables) -> Choices:
    """The regimes of carriage."""
    return tuple(dict.fromkeys((row.regime, row.regime) for row in tables.carriage_rules.values()))


def jobs(case: Case, tables: Tables) -> Choices:
    """The jobs that there are for such an instrument."""
    return tuple((key, row.label) for key, row in tables.remedies.items() if case.identity.kind in row.kinds)


def questions(case: Case, tables: Tables) -> Choices:
    """The yes-or-no checks of such an instrument."""
    rows = tables.checks.items()
    return tuple((k, row.label) for k, row in rows if row.kind is CheckKind.YES_NO and case.identity.kind in row.kinds)


def components(case: Case, tables: Tables) -> Choices:
    """The components that such an instrument has."""
    return tuple(
        (key, row.named(case.identity.kind))
        for key, row in tables.components.items()
        if case.identity.kind in row.kinds
    )


def places(case: Case, tables: Tables) -> Choices:
    """Stations and components, each once."""
    parts = components(case, tables)
    taken = {key for key, _ in parts}
    return (*((key, label) for key, label in STATION_LABELS.items() if key not in taken), *parts)


def factor(name: str) -> Callable[[Case, Tables], Choices]:
    """Return what finds the classes of a factor of the market for such an instrument."""

    def classes(case: Case, tables: Tables) -> Choices:
        found: dict[str, str] = {}
        for row in tables.market_factors.values():
            if row.factor == name and case.identity.kind in row.kinds:
                found.setdefault(row.key, row.label)
        return tuple(found.items())

    return classes


def variants(component: str) -> Callable[[Case, Tables], Choices]:
    """Return what finds the materials of a component."""

    def materials(_case: Case, tables: Tables) -> Choices:
        found = [row.variant for row in tables.lives.values() if row.component == component and row.variant]
        return tuple((variant, variant.replace("_", " ")) for variant in dict.fromkeys(found))

    return materials


def finishes(case: Case, tables: Tables) -> Choices:
    """Finishes that change the life of the surface, the price of the whole, or both."""
    found = dict(variants("finish")(case, tables))
    found.update(factor("finish")(case, tables))
    return tuple(found.items())


def yes_no(_case: Case, _tables: Tables) -> Choices:
    """Yes or no."""
    return (("yes", "yes"), ("no", "no"))


def _labelled(rows: Mapping[str, _Labelled]) -> Choices:
    return tuple((key, row.label) for key, row in rows.items())


def _values(words: type[StrEnum]) -> Choices:
    return tuple((word.value, word.value) for word in words)
