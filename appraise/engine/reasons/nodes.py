"""Building blocks of the tree: a node for a figure, a node for a range, a reference to a table row."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from appraise.model import shown
from appraise.model.reason import Reason, Reference

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.case import Case
    from appraise.model.result import Range, Valuation
    from appraise.tables.rows import Row, Tables


@dataclass(frozen=True, slots=True)
class Context:
    """What every node may draw on."""

    case: Case
    tables: Tables
    valuation: Valuation

    def show(self, value: float, unit: str) -> str:
        """Return a value as people read it, by its unit."""
        if unit == "money":
            return shown.money(value, self.valuation.currency)
        if unit == "%":
            return shown.percent(value)
        if unit == "years":
            return shown.years(value)
        if unit == "grade":
            return shown.grade(value)
        if unit == "factor":
            return shown.factor(value)
        return shown.quantity(value, unit)

    def refer(self, *rows: Row) -> tuple[Reference, ...]:
        """Return references to table rows."""
        return tuple(self._reference(row) for row in rows)

    def setting(self, *keys: str) -> tuple[Reference, ...]:
        """Return references to rows of the settings."""
        return self.refer(*(self.tables.settings[key] for key in keys))

    def _reference(self, row: Row) -> Reference:
        source = self.tables.sources.get(row.source)
        if source is None:
            named = "no source"
        else:
            parts = (source.author, source.title, source.publisher, source.year)
            named = ", ".join(part for part in parts if part)
        return Reference(row.ref, row.standing.value, named, row.where, row.yours)

    def figure(
        self,
        address: str,
        label: str,
        value: float,
        unit: str,
        how: str,
        references: Sequence[Reference] = (),
        parts: Sequence[Reason] = (),
    ) -> Reason:
        """Return the node of one number."""
        return Reason(address, label, value, unit, self.show(value, unit), how, tuple(references), tuple(parts))

    def exact(
        self,
        address: str,
        label: str,
        amount: float,
        how: str,
        references: Sequence[Reference] = (),
        parts: Sequence[Reason] = (),
    ) -> Reason:
        """Return the node of an amount of money to be shown to the unit: given, or rounded already."""
        text = shown.exact_money(amount, self.valuation.currency)
        return Reason(address, label, amount, "money", text, how, tuple(references), tuple(parts))

    def words(self, address: str, label: str, text: str, how: str, references: Sequence[Reference] = ()) -> Reason:
        """Return the node of something that is not a number."""
        return Reason(address, label, text, "text", text, how, tuple(references))

    def spread(
        self,
        address: str,
        label: str,
        span: Range,
        unit: str,
        how: str,
        references: Sequence[Reference] = (),
        parts: Sequence[Reason] = (),
        outer: str = "10th and 90th percentile of the draws",
    ) -> Reason:
        """Return the node of a range: the middle figure, with its low and high as the first parts."""
        edges = (
            self.figure(f"{address}.low", f"{label}, low", span.low, unit, outer),
            self.figure(f"{address}.high", f"{label}, high", span.high, unit, outer),
        )
        return self.figure(address, label, span.mid, unit, how, references, (*edges, *parts))
