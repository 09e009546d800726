"""Notes on preliminary cases: parts graded at a quick look, decisive stations not inspected."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.document import Paragraph
from appraise.report.words import literal

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.model.locale_format import Formatter
    from appraise.model.result import StationResult, Valuation
    from appraise.report.appraisal import Appraisal
    from appraise.report.loss.compared import Compared
    from appraise.tables.rows import Tables


def undecided(case: Case, valuation: Valuation, tables: Tables) -> list[str]:
    """Return the stations at which nobody has looked at a part that decides, not even quickly.

    A part decides where its failure makes the whole instrument unusable.
    """
    return [
        station.station
        for station in valuation.stations
        if any(
            tables.components[part.component].critical
            and part.inspected <= 0.0
            and part.component not in case.preliminary
            for part in station.components
        )
    ]


def quick_look_notes(case: Case, tables: Tables, manner: Formatter) -> tuple[str, ...]:
    """Return the sentence on what was graded at a quick look; nothing where no part was."""
    looked = len(case.preliminary)
    if not looked:
        return ()
    count = sum(case.identity.kind in row.kinds for row in tables.components.values())
    return (
        manner.several(
            "Preliminary: {looked} of {count} parts was graded at a quick look and not check by check; a full "
            "inspection may change condition, work and value.",
            "Preliminary: {looked} of {count} parts were graded at a quick look and not check by check; a full "
            "inspection may change condition, work and value.",
            looked,
            looked=looked,
            count=count,
        ),
    )


def compared_notes(item: Compared) -> tuple[str, ...]:
    """Return the sentence on what was graded at a quick look of two states compared: of the later, else the earlier."""
    later, earlier = (quick_look_notes(state.case, item.tables, item.manner) for state in (item.after, item.before))
    return later or earlier


def unseen_notes(case: Case, valuation: Valuation, tables: Tables, manner: Formatter) -> tuple[str, ...]:
    """Return the sentence on stations that can decide the value and were not inspected; nothing where there is none."""
    unseen = set(undecided(case, valuation, tables))
    if not unseen:
        return ()
    labels = [
        manner.small(literal(manner.say(station.label))) for station in valuation.stations if station.station in unseen
    ]
    text = manner.several(
        "Preliminary: {stations} can decide the value and was not inspected.",
        "Preliminary: {stations} can decide the value and were not inspected.",
        len(labels),
        stations=manner.listed(labels),
    )
    return (text,)


def inspected_text(item: Appraisal, station: StationResult) -> str:
    """Return how much of a station was inspected; what was only looked at quickly is not told as inspected."""
    looked = [part for part in station.components if part.component in item.case.preliminary]
    if not looked:
        return item.figures.shown(f"station.{station.station}.inspected")
    whole = all(part.component in item.case.preliminary or part.inspected <= 0.0 for part in station.components)
    return item.manner.say("quick look") if whole else item.manner.say("in part, and a quick look")


def marked(title: str, lines: tuple[str, ...], manner: Formatter) -> str:
    """Return the title of a document, marked where something in it is preliminary."""
    return manner.say("{title} (preliminary)", title=title) if lines else title


def with_mark(line: str, lines: tuple[str, ...], manner: Formatter) -> str:
    """Return the footer of a document, marked where something in it is preliminary."""
    return f"{manner.say('Preliminary')} · {line}" if lines else line


def paragraphs(lines: tuple[str, ...]) -> tuple[Paragraph, ...]:
    """Return what is preliminary as it stands at the head of a document."""
    return tuple(Paragraph(text) for text in lines)
