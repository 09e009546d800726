"""The order of the days of a case: what each may not come before or after, for its file and for its forms alike."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from appraise.model.case import Assignment, Comparable, EarlierState, Identity, PitchReading, Renewal
from appraise.model.dealings import Offer, Outcome
from appraise.model.lazy_dataclass import dataclass
from appraise.model.span import Span

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from datetime import date

    from appraise.model.case import Case

Place = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Known:
    """The days that the others are held to; none where the file does not say."""

    inspected: date | None
    made: Span | None


def _by_inspection(day: date | Span, known: Known, record: object) -> str:
    del record
    first, article = (day.earliest, "date") if isinstance(day, Span) else (day, "day")
    late = known.inspected is not None and first > known.inspected
    return f"a {article} up to the inspection, {known.inspected}" if late else ""


def _from_inspection(day: date, known: Known, record: object) -> str:
    del record
    early = known.inspected is not None and day < known.inspected
    return f"a day from the inspection on, {known.inspected}" if early else ""


def _since_made(day: date | Span, known: Known, record: object) -> str:
    del record
    last, article = (day.latest, "date") if isinstance(day, Span) else (day, "day")
    early = known.made is not None and last < known.made.earliest
    return f"a {article} after the instrument was made, {known.made}" if early else ""


def _by_sale(made: Span, known: Known, record: Comparable) -> str:
    del known
    late = record.date is not None and made.earliest > record.date
    return f"a date before it was sold, {record.date}" if late else ""


RULES: dict[type, dict[str, tuple[Callable[[Any, Known, Any], str], ...]]] = {
    Assignment: {"reported": (_from_inspection,)},
    Identity: {"made": (_by_inspection,), "last_tuned": (_by_inspection, _since_made)},
    Renewal: {"date": (_by_inspection, _since_made)},
    PitchReading: {"date": (_by_inspection, _since_made)},
    Comparable: {"date": (_by_inspection,), "made": (_by_sale,)},
    EarlierState: {"day": (_by_inspection,)},
    Offer: {"until": (_from_inspection,)},
    Outcome: {"day": (_since_made,)},
}
"""Record → field → what says which day was expected, or nothing."""


def misplaced(record: object, known: Known) -> Iterator[tuple[str, date | Span, str]]:
    """Yield every day of a record that contradicts another: its field, the day, and what was expected."""
    for name, rules in RULES.get(record.__class__, {}).items():
        day = getattr(record, name)
        if day is None:
            continue
        for rule in rules:
            if expected := rule(day, known, record):
                yield name, day, expected


def contradictions(case: Case) -> Iterator[tuple[Place, date | Span, str]]:
    """Yield every day of a case that contradicts another: its place, the day, and what was expected."""
    known = Known(case.assignment.inspected, case.identity.made)
    places: list[tuple[Place, object]] = [
        (("assignment",), case.assignment),
        (("identity",), case.identity),
        (("earlier_state",), case.earlier_state),
        (("offer",), case.offer),
        (("outcome",), case.outcome),
        *((("renewals", at), one) for at, one in enumerate(case.renewals)),
        *((("pitch_log", at), one) for at, one in enumerate(case.pitch_log)),
        *((("market", "comparables", at), one) for at, one in enumerate(case.market.comparables)),
    ]
    for place, record in places:
        for name, day, expected in misplaced(record, known):
            yield (*place, name), day, expected
