"""What is due, what comes next and how long the instrument has an economic life, a line each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.report.appraisal import Appraisal

NAMED = 5
"""Parts that are due named at most; the others are counted."""


def lives_told(item: Appraisal) -> Iterator[tuple[str, str]]:
    """Yield label and text of what is due now, of the next large job and of the remaining economic life.

    Parts that somebody inspected come before those that age alone lets expect to be due, large jobs before small ones.
    """
    say, small, spread = item.manner.say, item.manner.small, item.figures.spread
    coming = item.valuation.next_intervention
    for inspected, label in ((True, say("Due now")), (False, say("Due by age, not inspected"))):
        parts = [part for part in item.valuation.due if part.inspected is inspected]
        if parts:
            parts.sort(key=lambda part: not part.large)
            named = item.manner.listed(small(literal(part.label)) for part in parts[:NAMED])
            more = len(parts) - NAMED
            text = item.manner.several(
                "{parts}; {count} part more", "{parts}; {count} parts more", more, parts=named, count=more
            )
            yield label, text if more > 0 else named
    if coming is not None:
        part = small(literal(coming.label))
        yield (
            say("Next large job"),
            say("most likely {part}, in about {years}", part=part, years=spread("next_intervention")),
        )
    if item.figures.get("economic_life") is not None:
        yield say("Remaining economic life"), spread("economic_life")
