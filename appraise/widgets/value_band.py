"""The value range as a string stretched from nothing to the cost of a new one, with where it was at the start."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content
from textual.widget import Widget

from appraise.commands import key_of
from appraise.model.case import Market
from appraise.model.locale_format import PLAIN
from appraise.report.lives import NOW, due_word
from appraise.widgets.marks import string_bar, years_left
from appraise.widgets.plain import fit, plain

if TYPE_CHECKING:
    from appraise.model.result import Range, StationResult, Valuation


_PRELIMINARY = "  preliminary"
"""Said of a range that rests on a quick look."""

_SINCE = " than at the start"
"""Text dropped from a narrow line."""


class ValueBand(Widget):
    """Three lines: the range and its basis, the string, the station one stands at."""

    DEFAULT_CSS = """
    ValueBand { height: 3; padding: 0 1; background: $surface; }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._valuation: Valuation | None = None
        self._start: Valuation | None = None
        self._basis = ""
        self._station = ""
        self._market = Market()
        self._preliminary = False

    def show(
        self,
        valuation: Valuation | None,
        start: Valuation | None,
        *,
        basis: str,
        station: str,
        market: Market,
        preliminary: bool = False,
    ) -> None:
        """Show a valuation.

        Args:
            valuation: What to show; none while the first is being worked out.
            start: The first of the session, drawn faintly behind.
            basis: Name of the basis of value.
            station: The station whose figures the third line gives.
            market: Its replacement cost new is the far pin of the string.
            preliminary: Some of it rests on a quick look.
        """
        self._valuation, self._start, self._market = valuation, start, market
        self._basis, self._station, self._preliminary = basis, station, preliminary
        self.refresh()

    def render(self) -> Content:
        """Draw the three lines at the present width."""
        width = max(1, self.content_size.width)
        valuation = self._valuation
        if valuation is None:
            return Content.styled("Working out the range …", "$quiet")
        station = next((result for result in valuation.stations if result.station == self._station), None)
        lines = [self._figures(valuation, width), self._string(valuation, width)]
        if station is not None:
            lines.append(_station_line(station, valuation, width))
        return Content("\n").join(lines)

    def _figures(self, valuation: Valuation, width: int) -> Content:
        value = valuation.value
        basis = plain(self._basis)
        if value is None:
            ends = (self._market.replacement_cost_low, self._market.replacement_cost_high)
            lacks = "without a" if ends == (None, None) else "by one end of the"
            what, mid = (
                f"no value {lacks} replacement cost new ({key_of('particulars')})",
                _percent(valuation.share_of_new),
            )
            what = f"{_PRELIMINARY.strip()}, {what}" if self._preliminary else what
            return Content.assemble((f"{mid} of cost new", "bold $primary"), (f"  {what}", "$text-warning"))[:width]
        figures = f"{valuation.currency} {PLAIN.whole(value.low)} – {PLAIN.whole(value.high)}"
        middle = f"  best estimate {PLAIN.whole(value.mid)}"
        parts: list[Content | tuple[str, str]] = [(figures, "bold $primary"), (middle, "$foreground")]
        used = cell_len(figures) + cell_len(middle)
        if self._preliminary:
            parts.append((_PRELIMINARY, "bold $text-warning"))
            used += cell_len(_PRELIMINARY)
        change = _narrowing(value, self._start)
        room = width - used - 3
        if cell_len(change) + cell_len(basis) + 2 > room:
            change = change.removesuffix(_SINCE)
        if change and cell_len(change) + 12 <= room:
            parts.append((f"  {fit(basis, room - cell_len(change) - 2)}  ", "$quiet"))
            parts.append((change, "$text-success" if "narrower" in change else "$text-warning"))
        elif room > 4:
            parts.append(("  " + fit(basis, room), "$quiet"))
        return Content.assemble(*parts)

    def _string(self, valuation: Valuation, width: int) -> Content:
        value, start = valuation.value, self._start
        if value is None or valuation.exact is None:
            share = valuation.share_of_new
            ghost = (start.share_of_new.low, start.share_of_new.high) if start else None
            return Content.assemble(
                ("0 ", "$quiet"),
                string_bar(width - 8, share.low, share.mid, share.high, (0.0, 1.0), ghost),
                (" 100%", "$quiet"),
            )
        new = self._market.cost_new
        top = max(new or 0.0, value.high) or 1.0
        bottom = min(0.0, value.low)
        ghost = (start.value.low, start.value.high) if start and start.value else None
        left, right = f"{PLAIN.whole(bottom)} ", f" {PLAIN.whole(top)} new" if top == new else f" {PLAIN.whole(top)}"
        room = width - len(left) - len(right)
        bar = string_bar(room, value.low, value.mid, value.high, (bottom, top), ghost)
        return Content.assemble((left, "$quiet"), bar, (right, "$quiet"))


def _percent(share: Range) -> str:
    return f"{share.low:.0%} – {share.high:.0%}"


def _narrowing(value: Range, start: Valuation | None) -> str:
    """Say how far the range has narrowed since the session began.

    The width is taken against the middle: a piano that turns out better than its age let expect has a range that is
    wider in money and yet better known.
    """
    if start is None or start.value is None or start.value.width <= 0 or value == start.value:
        return ""
    change = in_money = 1 - value.width / start.value.width
    if value.mid > 0 and start.value.mid > 0:
        change = 1 - (value.width / value.mid) / (start.value.width / start.value.mid)
    if abs(change) < 0.005:
        return ""
    against = "" if (change >= 0) == (in_money >= 0) else " by ratio"
    return f"{abs(change):.0%} {'narrower' if change >= 0 else 'wider'}{against}{_SINCE}"


def _until_first(station: StationResult, valuation: Valuation) -> str:
    """Say when the first part of a station is due, as the documents do."""
    if word := due_word(valuation, station.station):
        return f"a part is due {'' if word == NOW else 'by its age: '}{word}"
    return f"life left {years_left(station.remaining_years)}"


def _station_line(station: StationResult, valuation: Valuation, width: int) -> Content:
    loss = station.depreciation
    parts = [
        (station.label, "bold $secondary"),
        (f"  depreciation {loss.mid:.0%} ({loss.low:.0%}–{loss.high:.0%})", "$foreground"),
        (f"  {_until_first(station, valuation)}", "$foreground"),
    ]
    coming = valuation.next_intervention
    if coming is not None:
        parts.append(
            (
                f"  next large job {plain(coming.label).lower()}, {years_left(coming.years).partition(' (')[0]}",
                "$quiet",
            )
        )
    while len(parts) > 1 and sum(cell_len(text) for text, _ in parts) > width:
        parts.pop()
    return Content.assemble(*parts)
