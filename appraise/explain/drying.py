"""Why it is, or is not, called dried out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.explain.terms import CONCLUSIONS

if TYPE_CHECKING:
    from appraise.explain.nodes import Context
    from appraise.model.drying import ClueEvidence, DryingAssessment
    from appraise.model.reason import Reason


def drying_nodes(context: Context) -> list[Reason]:
    """Return the tree under the conclusion on drying; none where no clue was looked for."""
    say, found = context.say, context.valuation.drying
    if found is None:
        return []
    head = context.words(
        "drying",
        say("Has it dried out?"),
        say(CONCLUSIONS[found.conclusion]),
        say("the likeliest explanation; “dried out” only with strong clues in different sections and a dry history"),
        context.setting("drying_strong_from", "drying_least_strong", "drying_leads_from"),
    )
    parts = (*_stories(context, found), *(_clue(context, one) for one in found.witnesses), *_rest(context, found))
    return [replace(head, parts=parts)]


def _stories(context: Context, found: DryingAssessment) -> list[Reason]:
    say = context.say
    nodes = []
    for story in found.stories:
        row = context.tables.drying_stories[story.key]
        base = f"drying.story.{story.key}"
        before = context.figure(
            f"{base}.before",
            say("{label}: before any clue", label=row.label),
            story.before,
            "%",
            say("its odds over the sum of all"),
            context.refer(row),
        )
        nodes.append(
            context.figure(
                base,
                say("{label}: probability", label=row.label),
                story.after,
                "%",
                say("odds before any clue times the likelihood ratios of the clues, the clues taken as independent"),
                context.refer(row),
                (before,),
            )
        )
    return nodes


def _clue(context: Context, one: ClueEvidence) -> Reason:
    say = context.say
    row = context.tables.drying_clues[one.clue]
    base = f"drying.clue.{one.clue}"
    if one.origin == "check":
        how = say("follows from the check: {label}", label=context.tables.checks[one.check].label)
    elif one.origin == "climate":
        how = say("follows from the climate that the case states")
    elif one.origin == "pitch log":
        how = say("follows from the pitch log")
    else:
        said = next((clue.remark for clue in context.case.drying_clues if clue.clue == one.clue), "")
        how = say("the assessor's word: {said}", said=said) if said.strip() else say("the assessor's word")
    node = context.words(base, row.label, say("seen") if one.seen else say("not there"), how, context.refer(row))
    return replace(
        node,
        parts=(
            context.figure(
                f"{base}.strength", say("{label}: strength", label=row.label), row.strength, "", say("from the table")
            ),
            context.figure(
                f"{base}.moved",
                say("{label}: moves the log odds of “dried out” by", label=row.label),
                one.moved,
                "",
                say("log odds with all clues, less those without this one"),
            ),
        ),
    )


def _rest(context: Context, found: DryingAssessment) -> list[Reason]:
    say = context.say
    clues = context.tables.drying_clues
    nodes = [
        context.figure(
            "drying.strong",
            say("Strong clues of damage, one a section"),
            len(found.strong),
            "",
            say("counted, at most one a section"),
            context.setting("drying_strong_from"),
        )
    ]
    if found.next_clues:
        key, bits = found.next_clues[0]
        nodes.append(
            replace(
                context.words(
                    "drying.next",
                    say("Worth looking for next"),
                    clues[key].label,
                    say("of the clues not yet looked for, the one that can be expected to tell most"),
                    context.refer(clues[key]),
                ),
                parts=(
                    context.figure(
                        "drying.next.tells",
                        say("Information to be expected from it"),
                        bits,
                        "bit",
                        say("entropy of the explanations now, less its mean after looking"),
                    ),
                ),
            )
        )
    return nodes
