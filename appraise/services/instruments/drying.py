"""The odds that a piano has dried out, from clues alone or from a case."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.drying import assess_drying, weigh_clues
from appraise.explain.terms import CONCLUSIONS
from appraise.model.measurement import Basis, ClueEvidence, Figure, Grid, Measurement
from appraise.model.problem import InputError, quoted
from appraise.services.instruments.inputs import Field, Given, Tool
from appraise.tables.files import nearest
from appraise.tables.rows_measurements import DRIED_OUT

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.case import Case
    from appraise.model.measurement import DryingAssessment, Value
    from appraise.tables.rows import Tables

NEXT_SHOWN = 5


def _answer(given: Given) -> Measurement:
    if given["case"] is None:
        return drying_from_clues(given["seen"], given["absent"], given.tables)
    if given["seen"] or given["absent"]:
        raise InputError("give clues or a case, not both; write the clues in the case file")
    return drying_of_case(given.case_at(given["case"]), given.tables)


TOOL = Tool(
    "drying",
    "Dried out?",
    "Clues are rows of the table drying_clues; a case brings those that follow from its checks as well.",
    (
        Field("--seen", "clues that were seen", "CLUE", kind="words"),
        Field("--absent", "clues looked for and not there", "CLUE", kind="words"),
        Field("--case", "a case file instead", "CASE", kind="file"),
    ),
    _answer,
    lambda case, given: drying_of_case(case, given.tables),
)


def drying_from_clues(seen: Sequence[str], absent: Sequence[str], tables: Tables) -> Measurement:
    """Weigh clues named one by one, seen or looked for and not there, by their keys in `drying_clues`.

    Raises:
        InputError: An unknown clue, or one named twice.
    """
    for key in (*seen, *absent):
        if key not in tables.drying_clues:
            mend = nearest(key, tables.drying_clues) or "`appraise sources drying_clues` lists them"
            raise InputError(quoted(key), f"a clue to drying: {mend}")
        if (*seen, *absent).count(key) > 1:
            raise InputError(f"{quoted(key)} twice", "each clue once")
    looked = (
        *(ClueEvidence(key, True, "assessor") for key in seen),
        *(ClueEvidence(key, False, "assessor") for key in absent),
    )
    return drying_measurement(weigh_clues(looked, tables), tables)


def drying_of_case(case: Case, tables: Tables) -> Measurement:
    """Weigh every clue that a case holds, those that follow from its checks among them."""
    return drying_measurement(assess_drying(case, tables), tables)


def drying_measurement(found: DryingAssessment, tables: Tables) -> Measurement:
    """Return an assessment as an instrument's answer."""
    clues = tables.drying_clues
    return Measurement(
        instrument="drying",
        title="Has it dried out?",
        inputs=(
            Figure("clues", "Clues looked for", len(found.witnesses)),
            Figure("seen", "Seen", sum(one.seen for one in found.witnesses)),
        ),
        outputs=(
            Figure("conclusion", "Conclusion", CONCLUSIONS[found.conclusion]),
            Figure("dried_out_pct", "Probability, dried out", 100.0 * found.after(DRIED_OUT), "%"),
            Figure("strong_sections", "Strong clues in different sections", len(found.strong)),
            Figure("dry_history", "A dry history is known", found.dry_history),
            Figure("moved_most", "Moved it most", clues[found.most].label if found.most else None),
            Figure("look_next", "Look for next", clues[found.next_clues[0][0]].label if found.next_clues else None),
        ),
        grids=_grids(found, tables),
        says=tuple(drying_says(found, tables)),
        rests_on=(
            Basis("strengths of the clues", "from memory", "", "drying_clues"),
            Basis("likelihood ratios and odds before any clue", "our assumption", "", "drying_clues, drying_stories"),
            Basis(
                "odds times likelihood ratios", "published", "Bayes' rule", "clues independent given the explanation"
            ),
            Basis("expected information", "published", "D. V. Lindley, 1956", "entropy now less its mean after"),
        ),
    )


def drying_says(found: DryingAssessment, tables: Tables) -> list[str]:
    """Return the conclusion, why not more, and what to do, as plain sentences."""
    stories = tables.drying_stories
    result = []
    if found.conclusion == "dried_out":
        result.append("It has dried out: strong clues in different sections, and a dry history.")
    elif found.conclusion == "suspected":
        result.append("Drying out is the likeliest explanation, but not concluded.")
    elif found.conclusion == "nothing":
        result.append("Nothing seen so far speaks of drying or of damp.")
    elif found.conclusion == "open":
        result.append("No explanation leads clearly: look for more clues.")
    else:
        result.append(f"The likeliest explanation is another: {CONCLUSIONS[found.conclusion]}.")
    if found.conclusion == "suspected" and len(found.strong) < tables.setting("drying_least_strong"):
        result.append("It takes strong clues in two sections at least.")
    if found.conclusion == "suspected" and not found.dry_history:
        result.append("It takes a dry history: a logger's record, or a dry, heated place.")
    key = {"suspected": DRIED_OUT}.get(found.conclusion, found.conclusion)
    if key in stories:
        result += [stories[key].means, stories[key].advice]
    return result


def _grids(found: DryingAssessment, tables: Tables) -> tuple[Grid, ...]:
    clues, stories = tables.drying_clues, tables.drying_stories
    rows: list[tuple[Value, ...]]
    rows = [(one.key, stories[one.key].label, 100.0 * one.before, 100.0 * one.after) for one in found.stories]
    columns = "story Key | label Explanation | before_pct Before [%] | after_pct After [%]"
    shown = [Grid.of("stories", "Explanations", columns, rows)]
    if found.witnesses:
        rows = []
        for one in found.witnesses:
            clue, origin = clues[one.clue], f"check {one.check}" if one.check else one.origin
            rows.append((one.clue, clue.label, one.seen, origin, clue.strength, one.moved))
        columns = "clue Key | label Clue | seen Seen | origin From | strength Strength | moved_log_odds Moves"
        shown.append(Grid.of("clues", "Clues, and by how much each moves the log odds of “dried out”", columns, rows))
    if found.next_clues:
        rows = [(key, clues[key].label, bits) for key, bits in found.next_clues[:NEXT_SHOWN]]
        columns = "clue Key | label Clue | expected_bits Expected to tell [bit]"
        shown.append(Grid.of("next_clues", "Worth looking for next", columns, rows))
    return tuple(shown)
