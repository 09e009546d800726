"""Has it dried out? The answer from clues alone or from a case."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.drying import CONCLUSIONS, Witness, assess_drying, weigh_clues
from appraise.model.measurement import Basis, Figure, Grid, Measurement
from appraise.services.refused import InputError, quoted
from appraise.tables.files import nearest
from appraise.tables.rows_drying import DRIED_OUT

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.engine.drying import Assessment
    from appraise.model.case import Case
    from appraise.tables.rows import Tables

NEXT_SHOWN = 5


def drying_from_clues(seen: Sequence[str], absent: Sequence[str], tables: Tables) -> Measurement:
    """Weigh clues named one by one.

    Args:
        seen: Keys of `drying_clues` that were seen.
        absent: Keys that were looked for and are not there.
        tables: Stories and clues.

    Raises:
        InputError: An unknown clue, or one named twice.
    """
    for key in (*seen, *absent):
        if key not in tables.drying_clues:
            mend = nearest(key, tables.drying_clues) or "`appraise sources drying_clues` lists them"
            raise InputError(f"found {quoted(key)}, expected a clue to drying: {mend}")
        if (*seen, *absent).count(key) > 1:
            raise InputError(f"found {quoted(key)} twice, expected each clue once")
    looked = (*(Witness(key, True, "assessor") for key in seen), *(Witness(key, False, "assessor") for key in absent))
    return drying_measurement(weigh_clues(looked, tables), tables)


def drying_of_case(case: Case, tables: Tables) -> Measurement:
    """Weigh every clue that a case holds, those that follow from its checks among them."""
    return drying_measurement(assess_drying(case, tables), tables)


def drying_measurement(found: Assessment, tables: Tables) -> Measurement:
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
            Figure(
                "look_next",
                "Look for next",
                clues[found.next_clues[0][0]].label if found.next_clues else None,
            ),
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


def drying_says(found: Assessment, tables: Tables) -> list[str]:
    """Return the conclusion, why not more, and what to do, as plain sentences."""
    stories = tables.drying_stories
    told = []
    if found.conclusion == "dried_out":
        told.append("It has dried out: strong clues in different sections, and a dry history.")
    elif found.conclusion == "suspected":
        told.append("Drying out is the likeliest explanation, but not concluded.")
    elif found.conclusion == "nothing":
        told.append("Nothing seen so far speaks of drying or of damp.")
    elif found.conclusion == "open":
        told.append("No explanation leads clearly: look for more clues.")
    else:
        told.append(f"The likeliest explanation is another: {CONCLUSIONS[found.conclusion]}.")
    if found.conclusion == "suspected" and len(found.strong) < tables.setting("drying_least_strong"):
        told.append("It takes strong clues in two sections at least.")
    if found.conclusion == "suspected" and not found.dry_history:
        told.append("It takes a dry history: a logger's record, or a dry, heated place.")
    key = {"suspected": DRIED_OUT}.get(found.conclusion, found.conclusion)
    if key in stories:
        told += [stories[key].means, stories[key].advice]
    return told


def _grids(found: Assessment, tables: Tables) -> tuple[Grid, ...]:
    clues, stories = tables.drying_clues, tables.drying_stories
    shown = [
        Grid(
            "stories",
            "Explanations",
            (
                ("story", "Key", ""),
                ("label", "Explanation", ""),
                ("before_pct", "Before", "%"),
                ("after_pct", "After", "%"),
            ),
            tuple((one.key, stories[one.key].label, 100.0 * one.before, 100.0 * one.after) for one in found.stories),
        )
    ]
    if found.witnesses:
        shown.append(
            Grid(
                "clues",
                "Clues, and by how much each moves the log odds of “dried out”",
                (
                    ("clue", "Key", ""),
                    ("label", "Clue", ""),
                    ("seen", "Seen", ""),
                    ("origin", "From", ""),
                    ("strength", "Strength", ""),
                    ("moved_log_odds", "Moves", ""),
                ),
                tuple(
                    (
                        one.clue,
                        clues[one.clue].label,
                        one.seen,
                        f"check {one.check}" if one.check else one.origin,
                        clues[one.clue].strength,
                        one.moved,
                    )
                    for one in found.witnesses
                ),
            )
        )
    if found.next_clues:
        shown.append(
            Grid(
                "next_clues",
                "Worth looking for next",
                (("clue", "Key", ""), ("label", "Clue", ""), ("expected_bits", "Expected to tell", "bit")),
                tuple((key, clues[key].label, bits) for key, bits in found.next_clues[:NEXT_SHOWN]),
            )
        )
    return tuple(shown)
