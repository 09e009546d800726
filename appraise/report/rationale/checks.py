"""The check that sets a component's grade, in the words of its table row."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message, messages
from appraise.report.rationale.story import Narrator, Piece, quote, verb
from appraise.report.words import capital, literal
from appraise.tables.rows import CheckKind, Statistic

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.reason import Sentence
    from appraise.model.result import CheckResult, ComponentResult
    from appraise.tables.rows import Check, Tables

TOPIC = "station"

ALL_BUT = 0.05
"""Distance in grades within which a class's words describe a reading."""

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


def class_label(tables: Tables, grade: float) -> str:
    """Return the label of the condition class nearest to a grade."""
    return min(tables.condition_classes.values(), key=lambda row: abs(row.grade - grade)).label


_GOVERNS = (
    message("{check}{found}. That is grade {grade}."),
    message("{check}{found}, which is grade {grade}."),
    message("{check}{found}; grade {grade}."),
)
"""Taken in turn, so that they do not all read alike."""


def governing(story: Narrator, part: ComponentResult, turn: int) -> Sentence:
    """Say what the governing check gave, what that looks like, and the grade it leads to.

    Args:
        story: The valued case.
        part: A component whose grade comes from its checks.
        turn: Counts the sentences of this kind.
    """
    check = story.tables.checks[part.governing]
    result = next((item for item in part.checks if item.check == check.key), None)
    grade = story.figures.get(f"check.{check.key}") or story.figures.get(f"{part.component}.grade")
    label, outcome_ = quote(capital(literal(check.label))), _found(story, check, result, turn)
    if grade is None:
        return story.tell(TOPIC, "{check}{found}.", check=label, found=outcome_)
    if result is not None and result.capped:
        text = message("{check}{found}, which alone counts for no worse than grade {grade}.")
        return story.tell(TOPIC, text, check=label, found=outcome_, grade=grade)
    if result is not None and result.alone is not None:
        others = story.series([[story.name(story.tables.checks[key].label)] for key in check.judged_with])
        text = message("{check}{found}. Judged only together with {others}, it counts as grade {grade}.")
        return story.tell(TOPIC, text, check=label, found=outcome_, grade=grade, others=others)
    return story.tell(TOPIC, _GOVERNS[turn % len(_GOVERNS)], check=label, found=outcome_, grade=grade)


_MEASURED = (
    message(": measured at {reading}{sample}"),
    message(": {reading}{sample}"),
    message(", found to be {reading}{sample}"),
)
"""Taken in turn."""


def _found(story: Narrator, check: Check, result: CheckResult | None, turn: int) -> list[Piece]:
    """Say what was seen or read: the assessor's grade in the row's words, yes or no, or the reading."""
    if check.kind == CheckKind.GRADED:
        return _graded(story, check)
    if check.kind == CheckKind.YES_NO:
        if result is not None and result.chance:
            chance, there = (story.figures.get(f"{name}.{check.key}") for name in ("chance", "there"))
            if chance is not None and there is not None:
                return story.phrase(
                    ": suspected, {chance} likely, grade {grade} where it is there", chance=chance, grade=there
                )
        words = "" if result is None else wording(check, result.own_grade, ALL_BUT)
        return [": ", story.name(words)] if words else _answer(story, check)
    reading = story.figures.get(f"reading.{check.key}")
    if reading is None:
        return []
    text = _MEASURED[turn % 3] if check.kind == CheckKind.MEASURED else _MEASURED[1]
    pieces = story.phrase(text, reading=reading, sample=_sample(story, check, result))
    words = "" if result is None or result.capped else wording(check, result.own_grade, ALL_BUT)
    if not words or (check.kind == CheckKind.COUNT and len(words.split()) == 1):
        return pieces  # a word beside a count is that count again
    return story.phrase("{reading} (“{words}”)", reading=pieces, words=story.name(words))


def _graded(story: Narrator, check: Check) -> list[Piece]:
    """Say what the assessor graded: in his own words, else in those of the row for that very grade, else its class.

    A half grade never borrows the words of the whole grade beside it.
    """
    given = [item for item in story.case.grades if item.check == check.key]
    if not given:
        return []
    if reason := literal(given[-1].reason):
        return [": ", *story.said(reason)]
    words = wording(check, given[-1].grade, ALL_BUT) or class_label(story.tables, given[-1].grade)
    return [": ", story.name(words)]


_OVER = {
    Statistic.P90: (
        message(" at the worst tenth of the notes sampled"),
        message(" at the worst tenth of the places sampled"),
    ),
    Statistic.WORST: (
        message(" at the worst of the notes sampled"),
        message(" at the worst of the places sampled"),
    ),
}
"""Words for the scope of a statistic: by note, and otherwise."""

_OVER_ALL = (message(" over the notes sampled"), message(" over the places sampled"))


def _sample(story: Narrator, check: Check, result: CheckResult | None) -> list[Piece]:
    """Say that a reading stands for more than was measured, and how far it may be off."""
    if result is None or result.readings < 2:
        return []
    low, high = (story.figures.get(f"reading.{check.key}.{end}") for end in ("low", "high"))
    over = story.phrase(_OVER.get(check.statistic, _OVER_ALL)[0 if check.per_note else 1])
    if low is None or high is None or low.shown == high.shown:
        return over
    return story.phrase("{over} ({low} to {high} for the whole)", over=over, low=low, high=high)


_HELD = messages(
    "The {part} by itself still counts at grade {grade}, since only {share} of the evidence of its wear was checked, "
    "and worse is likely at its age.",
    "The {part} by themselves still count at grade {grade}, since only {share} of the evidence of their wear was "
    "checked, and worse is likely at their age.",
)

_NO_WEAR = messages(
    "The {part} by itself still counts at grade {grade}: only rare faults were looked for, and their absence says "
    "nothing about wear.",
    "The {part} by themselves still count at grade {grade}: only rare faults were looked for, and their absence says "
    "nothing about wear.",
)


def held_worse(story: Narrator, part: ComponentResult) -> Iterator[Sentence]:
    """Explain a component that counts worse than the checks made of it, because few were made."""
    if part.derived_grade is None or part.grade.mid - part.derived_grade < NOTABLE:
        return
    grade = story.figures.get(f"{part.component}.grade")
    seen = story.figures.get(f"{part.component}.wear_seen")
    if grade is None:
        return
    label, number = story.name(part.label), verb(1, part.label)
    if part.wear_seen <= 0.0:
        yield story.tells(TOPIC, *_NO_WEAR, number, part=label, grade=grade)
        return
    if seen is None:
        return
    yield story.tells(TOPIC, *_HELD, number, part=label, grade=grade, share=seen)


def own_grade(story: Narrator, part: ComponentResult) -> Sentence:
    """Say that the assessor overruled the derived grade, and why."""
    node = story.figures.get(f"{part.component}.grade")
    grade = story.phrase("a grade") if node is None else story.phrase("the grade at {grade}", grade=node)
    reason = literal(part.overrule_reason)
    why: list[Piece] = [": ", *story.said(reason)] if reason else []
    label = story.name(part.label)
    if part.component in story.case.preliminary:
        return story.tell(TOPIC, message("For the {part} a quick look gives {grade}."), part=label, grade=grade)
    if part.derived_grade is None:
        text = message("For the {part} the assessor sets {grade}{reason}.")
    else:
        text = message("For the {part} the assessor sets {grade} over what the checks give{reason}.")
    return story.tell(TOPIC, text, part=label, grade=grade, reason=why)


def _answer(story: Narrator, check: Check) -> list[Piece]:
    given = [item.value for item in story.case.readings if item.check == check.key]
    if any(value is True for value in given):
        return story.phrase(": yes")
    return story.phrase(": no") if given else []
