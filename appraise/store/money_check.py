"""What no single key of costs, offer and outcome can show: rates against each other, days against days."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.plausible import MOST_TAKEN_PCT
from appraise.store.findings import Words, listed

if TYPE_CHECKING:
    from datetime import date

    from appraise.model.case import Costs, Offer, Outcome
    from appraise.model.span import Span
    from appraise.store.findings import Diagnostics, Path
    from appraise.tables.rows import Tables


def costs(findings: Diagnostics, tables: Tables, path: Path, found: Costs) -> None:
    """Check that work which costs nothing has a rate for its parts, and that a resale leaves something."""
    if found.margin_pct is not None:
        shares = ["guarantee_share"] if found.holding is not None else ["guarantee_share", "holding_share"]
        rows = [tables.settings[key] for key in shares if key in tables.settings]
        most = MOST_TAKEN_PCT - 100.0 * sum(row.value for row in rows)
        if found.margin_pct > most:
            expected = f"at most {most:g}: holding and guarantee are paid from the resale price as well"
            findings.add((*path, "margin_pct"), Words(f"{found.margin_pct:g}"), expected)
    if found.labour_rate is not None and not found.reckoned:
        expected = "the trade's rate an hour, where labour is 0: parts are priced by it"
        findings.add((*path, "parts_rate"), None, expected, "without it no work is costed", grave=False)


def offer(findings: Diagnostics, inspected: date | None, path: Path, found: Offer) -> None:
    """Check that an offer ends no sooner than the instrument was inspected."""
    if found.until is not None and inspected is not None and found.until < inspected:
        findings.add((*path, "until"), found.until, f"a day from the inspection on, {inspected.isoformat()}")


def outcome(findings: Diagnostics, made: Span | None, today: date | None, path: Path, found: Outcome) -> None:
    """Check that an instrument was sold once it was made, on a day that has been; what a sale still lacks is told."""
    if found.day is not None and made is not None and found.day < made.earliest:
        findings.add((*path, "day"), found.day, f"a day after it was made, {made}")
    elif found.day is not None and today is not None and found.day > today:
        findings.add((*path, "day"), found.day, f"a day up to today, {today.isoformat()}", grave=False)
    if lacking := found.lacking:
        expected = f"{listed(lacking)} as well: a sale counts with price, day and kind"
        findings.add(path, Words(f"no {listed(lacking)}"), expected, grave=False)
