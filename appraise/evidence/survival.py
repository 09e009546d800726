"""A Weibull life from spells of service: ended or still going on, seen from the start or later, with a prior."""

from __future__ import annotations

from math import exp, inf, isfinite, log, sqrt
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.life import Weibull
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

_ROUNDS = 100
_CLOSE = 1e-10


@dataclass(frozen=True, slots=True)
class Spell:
    """One part in service."""

    years: float
    """How long it was in service, to its renewal or to the inspection [years], > 0."""
    ended: bool
    """True when it was renewed; false while it is in service: right-censored."""
    seen_from: float = 0.0
    """Its age when it came under observation [years]: had it ended before, nobody would know (left truncation)."""


@dataclass(frozen=True, slots=True)
class FittedLife:
    """What the spells and the prior say together."""

    life: Weibull
    log_scale_sd: float
    """Standard uncertainty of ln η [–]."""
    log_shape_sd: float


def fitted(spells: Sequence[Spell], prior: Weibull, *, scale_sd: float = inf, shape_sd: float = inf) -> FittedLife:
    """Fit a life: the mode of likelihood times prior, in (ln k, ln η).

    Args:
        spells: Any number, none included: the prior is then the answer.
        prior: The life expected beforehand.
        scale_sd: Standard deviation of ln η beforehand [–]; infinite: no prior.
        shape_sd: The same of ln k.

    Notes:
        ln L = Σ_ended (ln k − ln η + (k − 1) ln(t/η)) − Σ ((t/η)^k − (s/η)^k), s the age at which a spell came under
        observation; Newton's method with steps halved until the sum rises. Normal priors in both logarithms.

    References:
        J. P. Klein, M. L. Moeschberger, Survival Analysis, 2nd ed. 2003, chapter 3 (from memory).
    """
    t = np.array([spell.years for spell in spells], dtype=float)
    s = np.array([spell.seen_from for spell in spells], dtype=float)
    ended = np.array([spell.ended for spell in spells], dtype=bool)
    centre = np.array([log(prior.shape), log(prior.scale)])
    precision = np.array([1 / sd**2 if isfinite(sd) else 0.0 for sd in (shape_sd, scale_sd)])

    def height(at: np.ndarray) -> float:
        k, scale = exp(at[0]), exp(at[1])
        with np.errstate(over="ignore"):
            hazard = float(((t / scale) ** k - (s / scale) ** k).sum())
        density = float((at[0] - at[1] + (k - 1) * np.log(t[ended] / scale)).sum())
        return density - hazard - 0.5 * float(precision @ (at - centre) ** 2)

    def slopes(at: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        k, scale = exp(at[0]), exp(at[1])
        gradient = -precision * (at - centre)
        curvature = -np.diag(precision)
        for ages, sign in ((t, 1.0), (s[s > 0.0], -1.0)):
            logs = np.log(ages / scale)
            power = np.exp(k * logs)
            first, second = k * logs * power, (k * logs + (k * logs) ** 2) * power
            cross = k * power + k * k * logs * power
            gradient -= sign * np.array([first.sum(), -k * power.sum()])
            curvature -= sign * np.array([[second.sum(), -cross.sum()], [-cross.sum(), k * k * power.sum()]])
        logs = np.log(t[ended] / scale)
        gradient += np.array([(1 + k * logs).sum(), -k * len(logs)])
        curvature += np.array([[(k * logs).sum(), -k * len(logs)], [-k * len(logs), 0.0]])
        return gradient, curvature

    at, here = centre.copy(), height(centre)
    for _ in range(_ROUNDS):
        gradient, curvature = slopes(at)
        step = _uphill(gradient, curvature)
        while (there := height(at + step)) < here and np.abs(step).max() > _CLOSE:
            step *= 0.5
        at, here = at + step, max(here, there)
        if np.abs(step).max() < _CLOSE:
            break
    covariance = np.linalg.inv(-slopes(at)[1])
    shape_out, scale_out = (sqrt(max(0.0, float(covariance[i, i]))) for i in (0, 1))
    return FittedLife(Weibull(exp(at[0]), exp(at[1])), scale_out, shape_out)


def _uphill(gradient: np.ndarray, curvature: np.ndarray) -> np.ndarray:
    """Return Newton's step, bent uphill where the curvature is not that of a maximum, at most 1 in each direction."""
    values, vectors = np.linalg.eigh(-curvature)
    step = vectors @ ((vectors.T @ gradient) / np.maximum(np.abs(values), 1e-9))
    found: np.ndarray = step / max(1.0, float(np.abs(step).max()))
    return found
