"""Has it dried out? The clues of a case, the odds, and what may be concluded from them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.grade import judged_checks
from appraise.engine.instruments.drying import information, moved, posterior, prior
from appraise.engine.instruments.pitch_log import judge_log
from appraise.model.measurement import ClueEvidence, DryingAssessment, Explanation
from appraise.tables.rows_measurements import DRIED_OUT, ClueRole

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.engine.grade import Judged
    from appraise.model.case import Case
    from appraise.model.measurement import PitchLog
    from appraise.tables.rows import Tables
    from appraise.tables.rows_measurements import DryingClue


def assess_drying(case: Case, tables: Tables, log: PitchLog | None = None) -> DryingAssessment:
    """Weigh every clue of a case; the assessor's own word on a clue wins over what follows from checks.

    Args:
        case: With its checks, climate, pitch log and the clues looked for.
        tables: The stories and the clues.
        log: Its pitch log as judged; none: it is judged here.
    """
    return weigh_clues(clue_evidence(case, tables, log), tables)


def clue_evidence(case: Case, tables: Tables, log: PitchLog | None = None) -> tuple[ClueEvidence, ...]:
    """Return the clues that the case has a word on, in table order."""
    said = {clue.clue: clue.seen for clue in case.drying_clues}
    judged = judged_checks(case, tables)
    if log is None and case.pitch_log:
        log = judge_log(case.pitch_log, tables)
    verdict = "" if log is None else log.verdict
    found = []
    for key, row in tables.drying_clues.items():
        if key in said:
            found.append(ClueEvidence(key, said[key], "assessor"))
            continue
        follows = _from_checks(row, judged)
        if follows is not None:
            found.append(ClueEvidence(key, follows[1], "check", follows[0]))
        elif row.climates and case.circumstances.climate in row.climates:
            found.append(ClueEvidence(key, True, "climate"))
        elif row.verdict and verdict not in ("", "not_enough"):
            found.append(ClueEvidence(key, verdict == row.verdict, "pitch log"))
    return tuple(found)


def _from_checks(row: DryingClue, judged: Mapping[str, Judged]) -> tuple[str, bool] | None:
    """Return the check a clue follows from and whether it is seen; none where no such check was made."""
    if row.from_grade is None:
        return None
    made = [key for key in row.checks if key in judged]
    for key in made:
        result = judged[key].result
        reading = result.value
        inside = reading is None or (
            (row.above is None or reading >= row.above) and (row.below is None or reading <= row.below)
        )
        if result.own_grade >= row.from_grade and inside:
            return key, True
    return (made[0], False) if made else None


def weigh_clues(looked: tuple[ClueEvidence, ...], tables: Tables) -> DryingAssessment:
    """Weigh clues already gathered; their order does not matter."""
    rows, clues = tuple(tables.drying_stories.values()), tables.drying_clues
    observed = {witness.clue: witness.seen for witness in looked}
    before, after = prior(rows), posterior(rows, clues, observed)
    stories = tuple(
        Explanation(row.key, float(old), float(new)) for row, old, new in zip(rows, before, after, strict=True)
    )
    shift = moved(rows, clues, observed)
    order = {key: n for n, key in enumerate(clues)}
    gathered = tuple(
        ClueEvidence(one.clue, one.seen, one.origin, one.check, shift[one.clue])
        for one in sorted(looked, key=lambda witness: order[witness.clue])
    )
    told = information(rows, clues, observed)
    seen = [clues[one.clue] for one in gathered if one.seen]
    strong: dict[str, str] = {}
    for row in sorted(seen, key=lambda row: (-row.strength, order[row.key])):
        if row.role is ClueRole.DAMAGE and row.strength >= tables.setting("drying_strong_from"):
            strong.setdefault(row.section, row.key)
    history = any(row.role is ClueRole.HISTORY for row in seen)
    return DryingAssessment(
        stories=stories,
        witnesses=gathered,
        most=max(gathered, key=lambda one: abs(one.moved)).clue if gathered else "",
        next_clues=tuple(sorted(told.items(), key=lambda item: (-item[1], order[item[0]]))),
        strong=tuple(strong.values()),
        dry_history=history,
        damp=any(row.role is ClueRole.DAMP for row in seen),
        conclusion=_conclusion(stories, seen, len(strong), history, tables),
    )


def _conclusion(
    stories: tuple[Explanation, ...], seen: list[DryingClue], strong: int, history: bool, tables: Tables
) -> str:
    """Say what may be concluded: "dried out" never from one section, nor without a dry history."""
    if not any(row.role in (ClueRole.DAMAGE, ClueRole.DAMP) for row in seen):
        return "nothing"
    leader = max(stories, key=lambda story: story.after)
    if leader.after < tables.setting("drying_leads_from"):
        return "open"
    if leader.key != DRIED_OUT:
        return leader.key
    return "dried_out" if strong >= tables.setting("drying_least_strong") and history else "suspected"
