"""What happened when, from the dates in the two files."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.loss import Dated
from appraise.model.span import Span

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.case import Case


def timeline(before: Case, after: Case) -> tuple[Dated, ...]:
    """Return every dated event of two cases, earliest first; one that both files hold stands there once."""
    found: dict[tuple[str, str], Dated] = {}
    for file, case in (("before", before), ("after", after)):
        for span, what in _events(case, file):
            key = (str(span), what)
            whose = "both" if key in found else file
            found[key] = Dated(str(span), span.earliest, what, whose)
    return tuple(sorted(found.values(), key=lambda item: (item.sort, item.what)))


def _events(case: Case, file: str) -> Iterator[tuple[Span, str]]:
    if case.identity.made is not None:
        yield case.identity.made, "made"
    for renewal in case.renewals:
        if renewal.date is not None:
            parts = ", ".join(part.replace("_", " ") for part in renewal.components)
            yield renewal.date, f"{renewal.extent.value}: {parts}" + (f", by {renewal.by}" if renewal.by else "")
    for day in sorted({reading.date for reading in case.pitch_log}):
        count = sum(reading.date == day for reading in case.pitch_log)
        yield Span(day, day), f"pitch read at {count} {'note' if count == 1 else 'notes'}"
    seen = case.assignment
    where = f" at {seen.place}" if seen.place else ""
    yield Span(seen.inspected, seen.inspected), f"state {file} inspected{where}"
    if seen.reported is not None:
        yield Span(seen.reported, seen.reported), f"state {file} reported"
