"""Timeline from the dates in the two files."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import Extent
from appraise.model.locale_format import PLAIN, Formatter
from appraise.model.loss import Dated
from appraise.model.message import message
from appraise.model.span import Span

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.case import Case
    from appraise.model.claim import Claim

_DONE = {Extent.RENEWED: message("renewed: {parts}"), Extent.REPAIRED: message("repaired: {parts}")}
_STATES = {
    "before": (message("condition before inspected"), message("condition before reported")),
    "after": (message("condition after inspected"), message("condition after reported")),
}


def timeline(before: Case, after: Case, manner: Formatter = PLAIN) -> tuple[Dated, ...]:
    """Return every dated event of two cases, earliest first; one that both files hold stands there once."""
    results: dict[tuple[str, str], Dated] = {}
    for file, case in (("before", before), ("after", after)):
        for span, what in _events(case, file, manner):
            key = (str(span), what)
            whose = "both" if key in results else file
            results[key] = Dated(str(span), manner.dated(span), span.earliest, what, whose)
    return tuple(sorted(results.values(), key=lambda item: (item.sort, item.what)))


def _events(case: Case, file: str, manner: Formatter) -> Iterator[tuple[Span, str]]:
    if case.identity.made is not None:
        yield case.identity.made, manner.say("made")
    for renewal in case.renewals:
        if renewal.date is not None:
            parts = ", ".join(part.replace("_", " ") for part in renewal.components)
            what = manner.say(_DONE[renewal.extent], parts=parts)
            yield (
                renewal.date,
                manner.say("{what}, by {workshop}", what=what, workshop=renewal.by) if renewal.by else what,
            )
    for day in sorted({reading.date for reading in case.pitch_log}):
        count = sum(reading.date == day for reading in case.pitch_log)
        what = manner.several("pitch read at {count} note", "pitch read at {count} notes", count, count=count)
        yield Span(day, day), what
    if file == "after":
        yield from _carried(case.claim, manner)
    seen = case.assignment
    inspected, reported = _STATES[file]
    what = manner.say(inspected)
    if seen.place:
        what = manner.say("{what} at {place}", what=what, place=seen.place)
    yield Span(seen.inspected, seen.inspected), what
    if seen.reported is not None:
        yield Span(seen.reported, seen.reported), manner.say(reported)


def _carried(claim: Claim, manner: Formatter) -> Iterator[tuple[Span, str]]:
    """Yield the days of the carriage that the later file states; the delivery is told by whoever counts from it."""
    if claim.handed_over is not None:
        yield Span(claim.handed_over, claim.handed_over), manner.say("handed over to the carrier")
    if claim.lost is not None:
        yield Span(claim.lost, claim.lost), manner.say("loss or damage, as stated")
    for notice in claim.notices:
        how = notice.how.strip()
        yield (
            Span(notice.day, notice.day),
            manner.say("notice given: {how}", how=how) if how else manner.say("notice given"),
        )
