"""Parts due now, next large job and remaining economic life, a line each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message
from appraise.report.value_texts import disposed
from appraise.report.words import literal, said

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.result import DuePart, StationResult, Valuation
    from appraise.report.appraisal import Appraisal

NAMED = 5
"""Parts that are due named at most; the others are counted."""

NOW = message("now")
"""Of a part that was inspected and is due."""

LOOK_FIRST = message("inspect first")
"""Of a part that is due by its age alone: nobody inspected it."""

BY_AGE = message("Due by age, not inspected")
"""Label of the parts that are due by their age alone."""

LOOK_FIRST_MEANS = message("“Inspect first”: a part is due by its age, but was not inspected.")
"""Below a table in which that stands."""


def due_at(valuation: Valuation, station: str) -> tuple[DuePart, ...]:
    """Return the parts of a station that have no service life left: those inspected, else those due by age alone."""
    due = [part for part in valuation.due if part.station == station]
    inspected = tuple(part for part in due if part.inspected)
    return inspected or tuple(due)


def due_word(valuation: Valuation, station: str) -> str:
    """Return NOW where an inspected part of a station is due, LOOK_FIRST where age alone says so, else nothing."""
    due = due_at(valuation, station)
    return "" if not due else NOW if due[0].inspected else LOOK_FIRST


def inspect_first_note(item: Appraisal) -> str:
    """Return the meaning of “inspect first” where a table of the stations holds it, else nothing."""
    here = any(due_word(item.valuation, each.station) == LOOK_FIRST for each in item.valuation.stations)
    return item.manner.say(LOOK_FIRST_MEANS) if here else ""


def until_first(item: Appraisal, station: StationResult, *, spread: bool = False) -> str:
    """Return when the first part of a station is due: now, after so many years, or that somebody has to look first.

    Args:
        item: The valued case.
        station: One of its stations.
        spread: With the low and the high of the years.
    """
    if word := due_word(item.valuation, station.station):
        return item.manner.say(word)
    address = f"station.{station.station}.remaining"
    return item.figures.spread(address) if spread else item.figures.shown(address)


def life_rows(item: Appraisal) -> Iterator[tuple[str, str]]:
    """Yield label and text of what is due now, of the next large job and of the remaining economic life.

    Parts that somebody inspected come before those that age alone lets expect to be due, large jobs before small ones.
    Where disposal sets the value no job is awaited.
    """
    say, small, spread = item.manner.say, item.manner.small, item.figures.spread
    coming, over = item.valuation.next_intervention, disposed(item.valuation)
    now = say("No service life left") if over else say("Due now")
    for inspected, label in ((True, now), (False, say(BY_AGE))):
        parts = [part for part in item.valuation.due if part.inspected is inspected]
        if parts:
            parts.sort(key=lambda part: not part.large)
            named = item.manner.listed(small(said(item.manner, part.label)) for part in parts[:NAMED])
            more = len(parts) - NAMED
            text = item.manner.several(
                "{parts}; {count} part more", "{parts}; {count} parts more", more, parts=named, count=more
            )
            yield label, text if more > 0 else named
    if coming is not None and not over:
        part = small(literal(coming.label))
        years = spread("next_intervention")
        yield (
            say("Next large job"),
            say("in about {years}, whichever part is first; most likely {part}", part=part, years=years),
        )
    if item.figures.get("economic_life") is not None:
        yield say("Remaining economic life"), spread("economic_life")
