"""Sentences on each station: findings, grades, depreciation."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message, messages
from appraise.model.notes import note_name
from appraise.report.lives import due_at
from appraise.report.rationale.checks import class_label, governing, held_worse, own_grade
from appraise.report.rationale.story import Chapter, Narrator, Piece, quote, verb
from appraise.report.value_texts import disposed
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.reason import Sentence
    from appraise.model.result import ComponentResult, StationResult
    from appraise.tables.rows import Tables

TOPIC = "station"

SOUND = 2.0
"""Heidecke's class "sound": up to here a component needs no sentence of its own."""


def chapters(story: Narrator) -> list[Chapter]:
    """Tell one chapter for every station that was looked at, in walking order."""
    seen = [station for station in story.valuation.stations if station.inspected > 0]
    return [
        Chapter(TOPIC, story.say(station.label), tuple(_station(story, station, turn)))
        for turn, station in enumerate(seen)
    ]


def _station(story: Narrator, station: StationResult, turn: int) -> list[Sentence]:
    seen = [part for part in station.components if part.inspected > 0]
    worn = sorted((part for part in seen if part.grade.mid > SOUND), key=lambda part: -part.grade.mid)
    fine = [part for part in seen if part.grade.mid <= SOUND]
    faults = [part for part in fine if is_fault(part, story.tables)]
    sound = [part for part in fine if part not in faults]
    sentences = _opening(story, station, turn)
    for count, part in enumerate(worn):
        sentences.extend(_worn(story, part, count))
    if sound:
        sentences.extend(_sound(story, sound, alone=not worn))
    sentences.extend(_absent(story, faults))
    sentences.extend(_remarks(story, station))
    sentences.extend(_whole(story, station, turn))
    return sentences


_OPENINGS = (
    messages(
        "Taken together, the {station} is at grade {grade}: {condition}.",
        "Taken together, the {station} are at grade {grade}: {condition}.",
    ),
    messages(
        "The {station} comes to grade {grade}: {condition}.",
        "The {station} come to grade {grade}: {condition}.",
    ),
    messages(
        "On the whole, the {station} is at grade {grade}: {condition}.",
        "On the whole, the {station} are at grade {grade}: {condition}.",
    ),
)
"""Taken in turn, so that eight stations in a row do not read alike."""


_NAMESAKE = message("The parts of the {station} together are at grade {grade}: {condition}.")
"""Of a station that bears the name of one of its parts, so that nobody reads two grades of one thing."""


def _opening(story: Narrator, station: StationResult, turn: int) -> list[Sentence]:
    """Give the grade of the whole station."""
    grade = story.figures.get(f"station.{station.station}.grade")
    if grade is None:
        return []
    name = story.name(story.say(station.label))
    condition = story.name(class_label(story.tables, station.grade.mid))
    if len(station.components) > 1 and any(part.label == station.label for part in station.components):
        return [story.tell(TOPIC, _NAMESAKE, station=name, grade=grade, condition=condition)]
    texts = _OPENINGS[turn % len(_OPENINGS)]
    return [story.tells(TOPIC, *texts, verb(1, station.label), station=name, grade=grade, condition=condition)]


_LOST = (
    messages(
        "The {part} has depreciated {loss} from new{served} and makes up {share} of a new piano's cost.",
        "The {part} have depreciated {loss} from new{served} and make up {share} of a new piano's cost.",
    ),
    messages(
        "The {part}, {share} of a new piano's cost, has depreciated {loss}{served}.",
        "The {part}, {share} of a new piano's cost, have depreciated {loss}{served}.",
    ),
    messages(
        "Depreciation of the {part}{served}: {loss}, on {share} of a new piano's cost.",
        "Depreciation of the {part}{served}: {loss}, on {share} of a new piano's cost.",
    ),
)
"""Taken in turn."""


def _worn(story: Narrator, part: ComponentResult, turn: int) -> list[Sentence]:
    sentences = [own_grade(story, part)] if part.overruled else []
    if part.governing and not part.overruled:
        sentences.append(governing(story, part, turn))
        sentences.extend(held_worse(story, part))
    age = story.figures.get(f"{part.component}.age")
    lost = story.figures.get(f"{part.component}.depreciation")
    share = story.figures.get(f"{part.component}.share")
    if lost is None or share is None or story.tables.components[part.component].hazard:
        return sentences  # a fault of the whole costs nothing of a new one, and does not age
    served: list[Piece] = [] if age is None else story.phrase(" after {age} in service", age=age)
    sentences.append(
        story.tells(
            TOPIC,
            *_LOST[turn % len(_LOST)],
            verb(1, part.label),
            part=story.name(part.label),
            loss=lost,
            served=served,
            share=share,
        )
    )
    return sentences


def _sound(story: Narrator, parts: list[ComponentResult], *, alone: bool) -> list[Sentence]:
    labels = story.series([[story.name(part.label)] for part in parts])
    number = verb(len(parts), parts[0].label)
    if alone:
        sentences = [story.tells(TOPIC, "The {parts} is sound.", "The {parts} are sound.", number, parts=labels)]
    else:
        sentences = [
            story.tells(TOPIC, "The {parts} is in good order.", "The {parts} are in good order.", number, parts=labels)
        ]
    sentences.extend(own_grade(story, part) for part in parts if part.overruled)
    return sentences


NO_SIGN = 1.05
"""Grade up to which a fault of the whole was not found at all."""


def is_fault(part: ComponentResult, tables: Tables) -> bool:
    """Tell whether a part is a fault of the whole that is there or not, and no quantity that was measured."""
    if not tables.components[part.component].hazard:
        return False
    return all(tables.checks[check.check].kind is not CheckKind.MEASURED for check in part.checks)


def _absent(story: Narrator, parts: list[ComponentResult]) -> Iterator[Sentence]:
    """Say which faults of the whole were looked for and not found, or found to be slight."""
    none = [part for part in parts if part.grade.mid <= NO_SIGN]
    slight = [part for part in parts if part.grade.mid > NO_SIGN]
    for text, result in (
        (message("Looked for and not found: {faults}."), none),
        (message("Slight at most: {faults}."), slight),
    ):
        if result:
            yield story.tell(TOPIC, text, faults=story.series([[story.name(part.label)] for part in result]))


def _remarks(story: Narrator, station: StationResult) -> list[Sentence]:
    places = {station.station, *(part.component for part in station.components)}
    sentences: list[Sentence] = []
    for remark in story.case.remarks:
        if remark.place not in places:
            continue
        notes: list[Piece] = []
        if remark.notes:
            numbers = story.series([[quote(note_name(note, story.case.identity.compass))] for note in remark.notes])
            notes = story.phrases(" (note {notes})", " (notes {notes})", len(remark.notes), notes=numbers)
        cause: list[Piece] = []
        if remark.cause.strip():
            cause = story.phrase("; cause: {cause}", cause=story.name(remark.cause))
        text = story.said(remark.text)
        if sentences:
            sentences.append(
                story.tell(TOPIC, "Also noted: {remark}{notes}{cause}.", remark=text, notes=notes, cause=cause)
            )
        else:
            text_of = message("The assessor noted: {remark}{notes}{cause}.")
            sentences.append(story.tell(TOPIC, text_of, remark=text, notes=notes, cause=cause))
    return sentences


_WHOLE = (
    message("The station as a whole has depreciated {loss} from new{rest}."),
    message("Altogether, the station has depreciated {loss} from new{rest}."),
    message("The station has depreciated {loss} from new in all{rest}."),
)
"""Taken in turn."""


def _whole(story: Narrator, station: StationResult, turn: int) -> Iterator[Sentence]:
    lost = story.figures.get(f"station.{station.station}.depreciation")
    left = story.figures.get(f"station.{station.station}.remaining")
    if lost is None:
        return
    rest: list[Piece] = []
    due = due_at(story.valuation, station.station)
    if due and not due[0].inspected:
        rest = story.phrase("; by its age a part that was not inspected is due, so inspect first")
    elif due and disposed(story.valuation):
        rest = story.phrase(", and part of it has no service life left")
    elif due:
        rest = story.phrase(", and part of it is due for renewal now")
    elif left is not None and len(station.components) == 1:
        rest = story.phrase("; it should need renewing in about {years}", years=left)
    elif left is not None:
        rest = story.phrase("; the first of its parts should need renewing in about {years}", years=left)
    yield story.tell(TOPIC, _WHOLE[turn % len(_WHOLE)], loss=lost, rest=rest)
