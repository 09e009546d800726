"""What a job does to each component it works on, by what was found there."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, NamedTuple

from appraise.engine.belief import WORST

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.engine.grade import Judged
    from appraise.engine.subject import Instrument, Part
    from appraise.tables.rows_worth import Remedy


class Cure(NamedTuple):
    """What a job does to one component."""

    job: str
    reaches: float
    """Grade it is left at."""
    up_to: float
    resets: bool = False
    spared: float = inf
    """How much better than the part as it stands that is which the job leaves alone: what causes that it does not
    answer have found [grade]; infinite where it leaves nothing alone."""
    answers: tuple[tuple[float, float], ...] = ()
    """Of a part that nobody looked at, where the finding that will govern it has to lie in [0, 1]; none: anywhere."""


def left_standing(job: Remedy, part: Part) -> float | None:
    """Return the grade that a job leaves standing on a part; none where the job answers nothing that was found there.

    A job that names no causes answers all of them. One that does leaves what other checks found as it is; a part
    without findings by check may get it where it is a repair of the whole part, and never by the piece.
    """
    spared = _spared(job, part)
    return None if spared is None else max(1.0, part.belief.mean - spared)


def _spared(job: Remedy, part: Part) -> float | None:
    """Return `Cure.spared`; none where the job answers nothing that was found of the part."""
    if not job.causes:
        return inf
    found = found_of(part)
    if not found:
        return None if job.per or job.up_to >= WORST else inf
    if not any(one.result.check in job.causes for one in found):
        return None
    others = max((one.result.grade for one in found if one.result.check not in job.causes), default=1.0)
    return max(0.0, (part.seen.grade or others) - others)


def found_of(part: Part) -> tuple[Judged, ...]:
    """Return what was found of a part by its checks; rare faults that are absent are no finding."""
    if part.overrule or (part.seen.wear_grade is None and (part.seen.grade or 1.0) <= 1.0):
        return ()
    return part.seen.judged


def answered(job: Remedy, part: Part) -> tuple[tuple[float, float], ...]:
    """Return where in [0, 1] the checks lie that a repair answers, all of a part's checks side by side by weight.

    Which check will govern a part that nobody looked at is not known: each as likely as its weight.
    """
    total = sum(row.weight for row in part.checks)
    if not job.causes or total <= 0.0:
        return ()
    found: list[tuple[float, float]] = []
    at = 0.0
    for row in part.checks:
        end = at + row.weight / total
        if row.key in job.causes:
            if found and found[-1][1] == at:
                found[-1] = (found[-1][0], end)
            else:
                found.append((at, end))
        at = end
    return tuple(found)


def cures_of(subject: Instrument, remedies: tuple[Remedy, ...]) -> Mapping[str, tuple[Cure, ...]]:
    """Return what each remedy does to each component, by component."""
    jobs: dict[str, list[Cure]] = {part.key: [] for part in subject.parts}
    parts = {part.key: part for part in subject.parts}
    for job in remedies:
        for improved, reaches in job.improves.items():
            if improved in parts:
                part = parts[improved]
                spared = _spared(job, part)
                if spared is None:
                    jobs[improved].append(Cure(job.key, reaches, 0.0))
                    continue
                open_to = () if part.decided or found_of(part) else answered(job, part)
                jobs[improved].append(Cure(job.key, reaches, job.up_to, job.resets, spared, open_to))
    return {part: tuple(cures) for part, cures in jobs.items()}
