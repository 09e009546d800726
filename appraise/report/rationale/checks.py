"""The check that sets a component's grade, in the words of its table row."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.rationale.story import Piece, Story, name, quote, said, sentence
from appraise.report.words import capital, literal, many
from appraise.tables.rows import CheckKind, Statistic

if TYPE_CHECKING:
    from appraise.model.reason import Sentence
    from appraise.model.result import CheckResult, ComponentResult
    from appraise.tables.rows import Check

TOPIC = "station"

ALL_BUT = 0.05
"""How near a reading's grade must come to one that has words, for these to describe the reading."""

NOTABLE = 0.25
"""Difference of two grades that a reader would ask about: half of a half step."""


def wording(check: Check, grade: float, within: float = 5.0) -> str:
    """Return the row's words for a grade: those of the nearest grade, the worse one when between two.

    Args:
        check: The row.
        grade: 1–5.
        within: How far the nearest grade may be off; beyond, nothing is said.
    """
    if not check.words:
        return ""
    nearest, words = min(check.words, key=lambda pair: (abs(pair[0] - grade), -pair[0]))
    return words if abs(nearest - grade) <= within else ""


def governing(story: Story, part: ComponentResult, turn: int) -> Sentence:
    """Say what the governing check gave, what that looks like, and the grade it leads to.

    Args:
        story: The valued case.
        part: A component whose grade comes from its checks.
        turn: Counts the sentences of this kind, so that they do not all read alike.
    """
    check = story.tables.checks[part.governing]
    result = next((item for item in part.checks if item.check == check.key), None)
    grade = story.figures.get(f"check.{check.key}") or story.figures.get(f"{part.component}.grade")
    pieces: list[Piece] = [quote(capital(literal(check.label))), *_found(story, check, result, turn)]
    if grade is None:
        return sentence(TOPIC, pieces, ".")
    if result is not None and result.capped:
        return sentence(TOPIC, pieces, ", which alone counts for no worse than grade ", grade, ".")
    return sentence(TOPIC, pieces, (". That is grade ", ", which is grade ", "; grade ")[turn % 3], grade, ".")


def _found(story: Story, check: Check, result: CheckResult | None, turn: int) -> list[Piece]:
    """Say what was seen or read: the assessor's grade in the row's words, yes or no, or the reading."""
    if check.kind == CheckKind.GRADED:
        given = [item.grade for item in story.case.grades if item.check == check.key]
        words = wording(check, given[-1]) if given else ""
        return [": ", name(words)] if words else []
    if check.kind == CheckKind.YES_NO:
        words = "" if result is None else wording(check, result.grade)
        return [": ", name(words)] if words else [_answer(story, check)]
    reading = story.figures.get(f"reading.{check.key}")
    if reading is None:
        return []
    measured = (": measured at ", ": ", ", found to be ")[turn % 3] if check.kind == CheckKind.MEASURED else ": "
    pieces: list[Piece] = [measured, reading, *_sample(story, check, result)]
    words = "" if result is None or result.capped else wording(check, result.grade, ALL_BUT)
    return [*pieces, "; in words, ", name(words)] if words else pieces


def _sample(story: Story, check: Check, result: CheckResult | None) -> list[Piece]:
    """Say that a reading stands for more than was measured, and how far it may be off."""
    if result is None or result.readings < 2:
        return []
    low, high = (story.figures.get(f"reading.{check.key}.{end}") for end in ("low", "high"))
    where = "notes" if check.per_note else "places"
    words = {
        Statistic.P90: f" at the worst tenth of the {where} sampled",
        Statistic.WORST: f" at the worst of the {where} sampled",
    }.get(check.statistic, f" over the {where} sampled")
    if low is None or high is None or low.shown == high.shown:
        return [words]
    return [f"{words} (", low, " to ", high, " for the whole)"]


def held_worse(story: Story, part: ComponentResult) -> list[Sentence]:
    """Explain a component that counts worse than the checks made of it, because few were made."""
    if part.derived_grade is None or part.grade.mid - part.derived_grade < NOTABLE:
        return []
    grade = story.figures.get(f"{part.component}.grade")
    seen = story.figures.get(f"{part.component}.inspected")
    if grade is None or seen is None:
        return []
    count, their = ("count", "their") if many(part.label) else ("counts", "its")
    pieces: list[Piece] = ["The ", name(part.label), f" still {count} at grade ", grade, ", for only ", seen]
    return [sentence(TOPIC, pieces, f" of what can be checked was, and at {their} age worse is to be expected.")]


def own_grade(story: Story, part: ComponentResult) -> Sentence:
    """Say that the assessor overruled the derived grade, and why."""
    grade = story.figures.get(f"{part.component}.grade")
    pieces: list[Piece] = ["For the ", name(part.label), " the assessor sets "]
    pieces += ["the grade at ", grade] if grade is not None else ["a grade"]
    over = " over what the checks give" if part.derived_grade is not None else ""
    reason = literal(part.overrule_reason)
    return sentence(TOPIC, pieces, over, *([": ", *said(reason)] if reason else []), ".")


def _answer(story: Story, check: Check) -> str:
    given = [item.value for item in story.case.readings if item.check == check.key]
    if any(value is True for value in given):
        return ": yes"
    return ": no" if given else ""
