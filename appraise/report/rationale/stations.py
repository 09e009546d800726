"""What was seen at each station, how it was graded, and what that does to the value."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.rationale.checks import governing, held_worse, own_grade
from appraise.report.rationale.story import DUE_YEARS, Chapter, Piece, Story, name, quote, said, sentence, series
from appraise.report.words import many

if TYPE_CHECKING:
    from appraise.model.reason import Sentence
    from appraise.model.result import ComponentResult, StationResult

TOPIC = "station"

SOUND = 2.0
"""Heidecke's class "sound": up to here a component needs no sentence of its own."""


def chapters(story: Story) -> list[Chapter]:
    """Tell one chapter for every station that was looked at, in walking order."""
    seen = [
        station
        for station in story.valuation.stations
        if station.inspected > 0 or any(part.overruled for part in station.components)
    ]
    return [Chapter(TOPIC, station.label, tuple(_station(story, station, turn))) for turn, station in enumerate(seen)]


def _station(story: Story, station: StationResult, turn: int) -> list[Sentence]:
    seen = [part for part in station.components if part.inspected > 0 or part.overruled]
    worn = sorted((part for part in seen if part.grade.mid > SOUND), key=lambda part: -part.grade.mid)
    sound = [part for part in seen if part.grade.mid <= SOUND]
    told = _opening(story, station, turn)
    for count, part in enumerate(worn):
        told.extend(_worn(story, part, count))
    if sound:
        told.extend(_sound(story, sound, alone=not worn))
    told.extend(_remarks(story, station))
    told.extend(_whole(story, station, turn))
    return told


def _opening(story: Story, station: StationResult, turn: int) -> list[Sentence]:
    """Give the grade of the whole station, worded in turn so that eight in a row do not read alike."""
    grade = story.figures.get(f"station.{station.station}.grade")
    if grade is None:
        return []
    be, come = ("are", "come") if many(station.label) else ("is", "comes")
    row = min(story.tables.condition_classes.values(), key=lambda row: abs(row.grade - station.grade.mid))
    label = name(station.label)
    forms: tuple[list[Piece], ...] = (
        ["Taken together, the ", label, f" {be} at grade ", grade],
        ["The ", label, f" {come} to grade ", grade],
        ["On the whole the ", label, f" {be} worth grade ", grade],
    )
    return [sentence(TOPIC, forms[turn % len(forms)], ": ", name(row.label), ".")]


def _worn(story: Story, part: ComponentResult, turn: int) -> list[Sentence]:
    told = [own_grade(story, part)] if part.overruled else []
    if part.governing and not part.overruled:
        told.append(governing(story, part, turn))
        told.extend(held_worse(story, part))
    age = story.figures.get(f"{part.component}.age")
    lost = story.figures.get(f"{part.component}.depreciation")
    share = story.figures.get(f"{part.component}.share")
    if lost is None or share is None:
        return told
    have, make, its = ("have", "make", "their") if many(part.label) else ("has", "makes", "its")
    served: list[Piece] = [] if age is None else [" after ", age, " in service"]
    label, cost = name(part.label), " of a new piano's cost"
    forms: tuple[list[Piece], ...] = (
        [
            "The ",
            label,
            f" {have} lost ",
            lost,
            f" of {its} worth new",
            *served,
            f" and {make} up ",
            share,
            cost,
            ".",
        ],
        ["The ", label, ", ", share, cost, f", {have} lost ", lost, " of that", *served, "."],
        ["That leaves the ", label, " with a loss of ", lost, *served, ", on a share of ", share, cost, "."],
    )
    told.append(sentence(TOPIC, forms[turn % len(forms)]))
    return told


def _sound(story: Story, parts: list[ComponentResult], *, alone: bool) -> list[Sentence]:
    labels = [[name(part.label)] for part in parts]
    be = "are" if len(parts) > 1 or many(parts[0].label) else "is"
    ending = f" {be} sound." if alone else f" {be} in good order."
    told = [sentence(TOPIC, "The ", series(labels), ending)]
    told.extend(own_grade(story, part) for part in parts if part.overruled)
    return told


def _remarks(story: Story, station: StationResult) -> list[Sentence]:
    places = {station.station, *(part.component for part in station.components)}
    told = []
    first = True
    for remark in story.case.remarks:
        if remark.place not in places:
            continue
        pieces: list[Piece] = ["The assessor noted: " if first else "Also noted: ", *said(remark.text)]
        if remark.notes:
            word = "note " if len(remark.notes) == 1 else "notes "
            pieces += [" (", word, *series([[quote(str(note))] for note in remark.notes]), ")"]
        if remark.cause.strip():
            pieces += ["; cause: ", name(remark.cause)]
        told.append(sentence(TOPIC, pieces, "."))
        first = False
    return told


def _whole(story: Story, station: StationResult, turn: int) -> list[Sentence]:
    lost = story.figures.get(f"station.{station.station}.depreciation")
    left = story.figures.get(f"station.{station.station}.remaining")
    if lost is None:
        return []
    heads: tuple[list[Piece], ...] = (
        ["As a whole this station has lost ", lost, " of its worth new"],
        ["Altogether ", lost, " of its worth new is gone"],
        ["In sum the station has lost ", lost, " of its worth new"],
    )
    head = heads[turn % len(heads)]
    if left is None:
        return [sentence(TOPIC, head, ".")]
    if station.remaining_years.mid < DUE_YEARS:
        return [sentence(TOPIC, head, ", and part of it is due for renewal now.")]
    if len(station.components) == 1:
        return [sentence(TOPIC, head, "; it should need renewing in ", left, ".")]
    return [sentence(TOPIC, head, "; the first of its parts should need renewing in ", left, ".")]
