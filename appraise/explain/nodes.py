"""Building blocks of the tree: a node for a figure, a node for a range, a reference to a table row."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.costs import share_of
from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import PLAIN, Formatter
from appraise.model.message import message
from appraise.model.reason import Reason, Reference

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.case import Case
    from appraise.model.result import Range, Valuation
    from appraise.tables.rows import Row, Tables

UNSOURCED = message("no source")
"""Source text of a row without a source."""

LOW = message("{label}, low")
HIGH = message("{label}, high")
"""Labels of the ends of a range."""


@dataclass(frozen=True, slots=True)
class Context:
    """Inputs of every node."""

    case: Case
    tables: Tables
    valuation: Valuation
    manner: Formatter = PLAIN
    """Formatter of the reader."""

    def say(self, text: str, /, **values: object) -> str:
        """Return a message in the reader's language, its places filled."""
        return self.manner.say(text, **values)

    def render(self, text: str) -> str:
        """Return a text that may be a message or a user's words: a message translated, any other text untouched."""
        return self.manner.render(text)

    def show(self, value: float, unit: str) -> str:
        """Return a value as people read it, by its unit."""
        return self.manner.figure(value, unit, self.valuation.currency)

    def refer(self, *rows: Row) -> tuple[Reference, ...]:
        """Return references to table rows."""
        return tuple(self._reference(row) for row in rows)

    def setting(self, *keys: str) -> tuple[Reference, ...]:
        """Return references to rows of the settings."""
        return self.refer(*(self.tables.settings[key] for key in keys))

    def _reference(self, row: Row) -> Reference:
        source = self.tables.sources.get(row.source)
        if source is None:
            named = self.say(UNSOURCED)
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
        text = self.manner.exact_money(amount, self.valuation.currency)
        return Reason(address, label, amount, "money", text, how, tuple(references), tuple(parts))

    def share(self, address: str, label: str, key: str) -> Reason:
        """Return the node of a share of the costs that the case states, else the table: see `costs.share_of`."""
        stated = getattr(self.case.costs, key) is not None
        how = self.say("as stated in the case") if stated else self.say("from the table")
        references = () if stated else self.setting(key)
        return self.figure(address, label, share_of(key, self.case, self.tables), "%", how, references)

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
        outer: str = "",
    ) -> Reason:
        """Return the node of a range: the middle figure, with its low and high as the first parts.

        `outer` says what the two are; empty: the outer percentiles of the draws.
        """
        outer = outer or self.say("10th and 90th percentile of the draws")
        edges = (
            self.figure(f"{address}.low", self.say(LOW, label=label), span.low, unit, outer),
            self.figure(f"{address}.high", self.say(HIGH, label=label), span.high, unit, outer),
        )
        return self.figure(address, label, span.mid, unit, how, references, (*edges, *parts))
