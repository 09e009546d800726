"""What brings the width of the range, and which check not yet made would narrow it most."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

from appraise.engine import draws
from appraise.engine.age import event_name
from appraise.engine.belief import coverage_of, own_variance_unseen, representative
from appraise.engine.grade import gradable
from appraise.engine.subject import spoken_shares
from appraise.model.manner import PLAIN
from appraise.model.message import message
from appraise.model.result import Driver, NextCheck

if TYPE_CHECKING:
    from collections.abc import Mapping

    import numpy as np
    from numpy.typing import NDArray

    from appraise.engine.subject import Part, Subject
    from appraise.model.case import Case
    from appraise.model.manner import Manner
    from appraise.tables.rows import Tables

_LABELS = {
    "general condition": message("General condition of what was not inspected"),
    "replacement cost": message("Replacement cost new"),
    "market factor": message("Market factor"),
    "channel": message("What this kind of sale brings"),
    "comparables": message("Spread of the comparables"),
    "disagreement": message("Disagreement of the approaches"),
    "hours": message("Hours of work"),
    "parts": message("Cost of parts"),
    "salvage": message("Salvage"),
    "incentive": message("What a buyer wants for the trouble of having work done"),
    "made": message("Date of making"),
}


def drivers(
    means: Mapping[tuple[str, ...], NDArray[np.float64]],
    outcome: NDArray[np.float64],
    seed: int,
    case: Case,
    tables: Tables,
) -> tuple[Driver, ...]:
    """Return every input with its first-order share of the variance of the value, largest first.

    Args:
        means: Names of inputs varied together, and the mean of the value in each of their draws [money], shape (n,).
        outcome: Value in every draw [money].
        seed: Seed of the draws.
        case: For the labels of renewals.
        tables: For the labels of components.
    """
    total = float(outcome.var())
    found = []
    for inputs, mean in means.items():
        shares = draws.variance_shares(mean, draws.orders_of(seed, inputs, mean.size), total)
        found += [
            Driver(name, driver_label(name, case, tables), float(share))
            for name, share in zip(inputs, shares, strict=True)
        ]
    return tuple(sorted(found, key=lambda driver: (-driver.share, driver.input)))


def driver_label(name: str, case: Case, tables: Tables, manner: Manner = PLAIN) -> str:
    """Return what a person reads for an uncertain input.

    Args:
        name: Of the input.
        case: For the components of renewals.
        tables: For the labels of components.
        manner: How the reader gets words.
    """
    head, _, tail = name.partition(".")
    if head == "grade":
        return manner.say("Grade of {part}", part=manner.small(tables.components[tail].label))
    if head == "life":
        return manner.say("Service life of {part}", part=manner.small(tables.components[tail].label))
    if head == "renewal":
        renewed = next((each.components for each in case.renewals if event_name(each) == name), ())
        if not renewed:
            return manner.say("Renewal")
        return manner.say("Date of the renewal of {part}", part=manner.small(tables.components[renewed[0]].label))
    return manner.say(_LABELS[name])


def next_checks(case: Case, subject: Subject, shares: Mapping[str, float], tables: Tables) -> tuple[NextCheck, ...]:
    """Return every check not yet made, most informative first.

    Args:
        case: The case.
        subject: The instrument.
        shares: First-order share of the variance by input name.
        tables: Checks and settings.

    Returns:
        For each check, by how much the range is expected to narrow [%].

    Notes:
        Making a check raises its component's coverage from κ to κ'. The component's own variance falls by the
        fraction the belief's formula gives, and the precision of the general condition rises as far as the check
        speaks of wear; with the variance
        shares V these take V_own·φ_own + V_common·φ_common off the variance, and the width falls with its square
        root. A check that is already known to be outshone (its cap lies below the grade found) still adds coverage.
    """
    checks = gradable(tables, case.identity.kind)
    done = {judged.result.check for part in subject.parts for judged in part.seen.judged}
    rho = tables.setting("common_condition_share")
    seen_var = tables.setting("grade_sd_seen") ** 2
    parts = spoken_shares((part.row for part in subject.parts), case.identity.kind)
    found = []
    for part in subject.parts:
        if part.overrule is not None or part.stated is not None:
            continue
        rows = checks.get(part.key, [])
        unseen_var = own_variance_unseen(tables, hazard=part.row.hazard)
        own = shares.get(f"grade.{part.key}", 0.0)
        for row in rows:
            if row.key in done:
                continue
            now, then = part.seen.covered, coverage_of(rows, {*done, row.key}, tables)
            step = then.whole - now.whole if part.row.hazard else then.spread - now.spread
            own_fall = _own_fall(part, step, seen_var, unseen_var)
            precision = subject.common.precision
            weight = (then.speaks - now.speaks) * representative(part.key, parts) * rho / (1.0 - rho)
            common_fall = 1.0 - precision / (precision + weight)
            fall = own * own_fall + shares.get("general condition", 0.0) * common_fall
            narrows = 100.0 * (1.0 - sqrt(max(0.0, 1.0 - fall)))
            found.append(NextCheck(row.key, row.label, row.station, row.component, narrows, row.minutes))
    return tuple(sorted(found, key=lambda check: (-check.narrows_pct, check.minutes, check.check)))


def _own_fall(part: Part, step: float, seen_var: float, own_var: float) -> float:
    """Return the fraction by which the component's own variance falls when its coverage rises by `step`."""
    before = part.belief.own_sd**2
    after = before - step * (own_var - seen_var)
    return max(0.0, min(1.0, 1.0 - after / before)) if before > 0.0 else 0.0
