"""Has it dried out? The clues, and what they make of each story."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message
from appraise.report.document import Column, Facts, Paragraph, Section, Table
from appraise.report.sections.prose import told
from appraise.report.words import capital, literal

if TYPE_CHECKING:
    from appraise.model.drying import ClueEvidence
    from appraise.report.appraisal import Appraisal

_WHOSE = {
    "assessor": message("assessor"),
    "check": message("check"),
    "climate": message("climate"),
    "pitch log": message("pitch log"),
}
"""By whose word a clue is there or not."""


def section(item: Appraisal) -> tuple[Section, ...]:
    """Every clue with its weight, and the probabilities; nothing where no clue was looked for."""
    say = item.manner.say
    found = item.valuation.drying
    if found is None:
        return ()
    shown = item.figures.shown
    clues = Table(
        (
            Column(say("Clue")),
            Column(say("Found")),
            Column(say("Whose word")),
            Column(say("Strength"), numeric=True),
            Column(say("Moves the log odds by"), numeric=True),
            Column(say("Other explanations")),
        ),
        tuple(_clue(item, one) for one in found.witnesses),
    )
    stories = Table(
        (
            Column(say("Explanation")),
            Column(say("Before any clue"), numeric=True),
            Column(say("After all clues"), numeric=True),
        ),
        tuple(
            (
                literal(item.tables.drying_stories[story.key].label),
                shown(f"drying.story.{story.key}.before"),
                shown(f"drying.story.{story.key}"),
            )
            for story in found.stories
        ),
    )
    weighed = Paragraph(
        say(
            "Strengths are from memory of how practitioners weigh each clue; the likelihood ratios and the odds "
            "before any clue are assumptions of the tables. No piano is called dried out without strong clues of "
            "damage in different sections and a dry history."
        )
    )
    conclusion = Facts(((say("Conclusion"), capital(shown("drying"))),))
    return (
        Section(say("Has it dried out?"), (*told(item, "drying"), conclusion, stories, clues, weighed), key="drying"),
    )


def _clue(item: Appraisal, one: ClueEvidence) -> tuple[str, ...]:
    row = item.tables.drying_clues[one.clue]
    whose = item.manner.say(_WHOSE[one.origin])
    if one.check:
        label = item.manner.small(literal(item.tables.checks[one.check].label))
        whose = item.manner.say("check: {check}", check=label)
    remark = next((literal(clue.remark) for clue in item.case.drying_clues if clue.clue == one.clue), "")
    base = f"drying.clue.{one.clue}"
    return (
        literal(row.label),
        f"{item.figures.shown(base)}; {remark}".removesuffix("; "),
        whose,
        item.figures.shown(f"{base}.strength"),
        item.figures.shown(f"{base}.moved"),
        literal(row.other),
    )
