"""What a field may hold beside the rest of its case: a file in which the two contradict could not be opened again."""

from __future__ import annotations

from datetime import date
from difflib import get_close_matches
from typing import TYPE_CHECKING

from appraise.model.currency import DIGITS
from appraise.model.problem import InputError, quoted
from appraise.model.span import Span

if TYPE_CHECKING:
    from appraise.model.case import Case


def check_consistency(path: tuple[str | int, ...], value: object, case: Case) -> None:
    """Refuse a value that contradicts what the case says elsewhere.

    Args:
        path: Where the field lives, such as `("renewals", 0, "date")`.
        value: What it is to hold.
        case: The case as it stands.

    Raises:
        InputError: With the day, or the name, that it contradicts.
    """
    match path:
        case ("assignment", "currency") if value not in DIGITS:
            near = get_close_matches(str(value).upper(), DIGITS, n=1)
            mend = f"; did you mean {near[0]}?" if near else ", such as EUR"
            raise InputError(quoted(str(value)), f"a currency: three capital letters of ISO 4217{mend}")
        case ("assignment", "inspected") if isinstance(value, date):
            last = max((*_happened(case), value))
            if value < last:
                raise InputError(f"inspected before {last.isoformat()}, when something in this case happened")
        case ("assignment", "reported") if isinstance(value, date) and value < case.assignment.inspected:
            raise InputError(f"reported before the inspection of {case.assignment.inspected.isoformat()}")
        case ("identity", "made") if isinstance(value, Span):
            _by_inspection("built", value.earliest, case)
            tuned = case.identity.last_tuned
            if tuned is not None and value.earliest > tuned.latest:
                raise InputError(f"built after it was last tuned ({tuned})")
        case ("identity", "last_tuned") if isinstance(value, Span):
            _by_inspection("tuned", value.earliest, case)
            _since_made("tuned", value.latest, case)
        case ("pitch_log", _, "date") if isinstance(value, date):
            _by_inspection("read", value, case)
            _since_made("read", value, case)
        case ("renewals", _, "date") if isinstance(value, Span):
            _by_inspection("renewed", value.earliest, case)
            _since_made("renewed", value.latest, case)
        case ("market", "comparables", int(at), "date") if isinstance(value, date):
            _by_inspection("sold", value, case)
            built = case.market.comparables[at].made
            if built is not None and value < built.earliest:
                raise InputError(f"sold before it was built ({built}); say first when that was")
        case ("market", "comparables", int(at), "made") if isinstance(value, Span):
            sold = case.market.comparables[at].date
            if sold is not None and value.earliest > sold:
                raise InputError(f"built after it was sold, {sold.isoformat()}")
        case ("drying_clues", int(at), "clue"):
            if any(value == clue.clue for place, clue in enumerate(case.drying_clues) if place != at):
                raise InputError("that clue is in the list already")


def _happened(case: Case) -> list[date]:
    """Return the days by which everything in the case that has a date had happened."""
    spans = (case.identity.made, case.identity.last_tuned, *(renewal.date for renewal in case.renewals))
    sold = (comparable.date for comparable in case.market.comparables)
    return [*(span.earliest for span in spans if span is not None), *(one.date for one in case.pitch_log), *sold]


def _by_inspection(what: str, day: date, case: Case) -> None:
    if day > case.assignment.inspected:
        raise InputError(f"{what} after the inspection of {case.assignment.inspected.isoformat()}")


def _since_made(what: str, day: date, case: Case) -> None:
    made = case.identity.made
    if made is not None and day < made.earliest:
        raise InputError(f"{what} before it was built ({made})")
