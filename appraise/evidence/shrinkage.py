"""Robust shrinkage: a linear model drawn towards the tables by priors, gross errors weighed down."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    Array = NDArray[np.float64]

_ROUNDS = 200
_CLOSE = 1e-8
PRIOR_SALES = 30.0
"""How many sales the scatter expected beforehand counts for."""
PRIOR_EFFECTS = 60.0
"""How many effects the spread of the prior counts for; our assumption."""


@dataclass(frozen=True, slots=True)
class Fit:
    """What was found."""

    effects: Array
    """[–], on the logarithmic scale, shape (p,)."""
    covariance: Array
    """Shape (p, p)."""
    sd: float
    """Scale of the residuals [–]."""
    weights: Array
    """Of each observation [–], shape (n,): 1 in the middle, near 0 for a gross error."""
    residuals: Array
    wider: float
    """By how much the effects spread more than the prior said, as a variance [–]."""


def student(freedom: float) -> Callable[[Array], Array]:
    """Return the weights of Student's t by standardised residual; at 0 they exceed 1 a little, as its EM has them."""
    return lambda u: (freedom + 1.0) / (freedom + u * u)


def huber(bound: float = 1.345) -> Callable[[Array], Array]:
    """Return Huber's weights by standardised residual.

    References:
        P. J. Huber, "Robust estimation of a location parameter", Ann. Math. Statist. 35, 1964.
    """
    return lambda u: np.minimum(1.0, bound / np.maximum(np.abs(u), 1e-300))


def shrunk(
    x: Array,
    y: Array,
    relative: Array,
    absolute: Array,
    *,
    sd: float,
    weight: Callable[[Array], Array],
    prior_sales: float = PRIOR_SALES,
    prior_effects: float = PRIOR_EFFECTS,
) -> Fit:
    """Fit y = x·β + error with β drawn towards 0.

    Args:
        x: What each sale has of each effect, shape (n, p).
        y: Log ratios, shape (n,).
        relative: Prior precision of the effects in units of 1/σ², shape (p, p): an effect with 6 on the diagonal
            weighs as much as six sales.
        absolute: Prior precision in its own unit, shape (p, p).
        sd: Scatter expected beforehand [–].
        weight: Weights by standardised residual.
        prior_sales: How many sales that scatter counts for; infinitely many hold it fixed.
        prior_effects: How many effects the spread of the prior counts for; infinitely many hold it fixed.

    Notes:
        Iterated weighted least squares: β = C XᵀWy/σ², C = (XᵀWX/σ² + P/gσ² + Q)⁻¹, σ² = (ν₀σ₀² + Σ w r²)/(ν₀ + n − e),
        e the effects that the sales and not the prior settle, from β = 0: of several modes the one near the tables is
        found, so that a few wild prices stay wild prices. The spread of the effects is itself learned, by one factor:
        g = (a₀ + (βᵀPβ + tr PC)/σ²)/(a₀ + p), the step of EM for a variance of random effects with a prior worth a₀
        effects at g = 1. Where many sales say that the tables are far off, each row is drawn towards them less.

    References:
        K. L. Lange, R. J. A. Little, J. M. G. Taylor, "Robust statistical modeling using the t distribution",
        JASA 84, 1989 (from memory).
    """
    n, p = x.shape
    beta, variance, wider = np.zeros(p), sd * sd, 1.0
    residuals, weights = y, np.ones(n)
    for _ in range(_ROUNDS):
        weights = weight(residuals / np.sqrt(variance))
        scaled = x * weights[:, None]
        gram = scaled.T @ x
        precision = (gram + relative / wider) / variance + absolute
        before, spread = beta, variance
        covariance = np.asarray(np.linalg.inv(precision), dtype=np.float64)
        beta = covariance @ (scaled.T @ y) / variance
        residuals = y - x @ beta
        spent = float(np.einsum("pq,qp->", gram, covariance)) / variance
        total = prior_sales * sd * sd + float(weights @ residuals**2)
        variance = total / (prior_sales + n - spent) if np.isfinite(prior_sales) else sd * sd
        if np.isfinite(prior_effects):
            drawn = float(beta @ relative @ beta) + float(np.einsum("pq,qp->", relative, covariance))
            wider = (prior_effects + drawn / variance) / (prior_effects + np.count_nonzero(np.diag(relative)))
        if np.abs(beta - before).max(initial=0.0) < _CLOSE and abs(variance - spread) < _CLOSE * spread:
            break
    precision = ((x * weights[:, None]).T @ x + relative / wider) / variance + absolute
    covariance = np.asarray(np.linalg.inv(precision), dtype=np.float64)
    return Fit(beta, covariance, float(np.sqrt(variance)), weights, residuals, wider)
