"""Robust shrinkage: a linear model drawn towards the tables by priors, gross errors weighed down."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    Array = NDArray[np.float64]

_ROUNDS = 200
_CLOSE = 1e-9
PRIOR_SALES = 10.0
"""How many sales the scatter expected beforehand counts for."""


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
        prior_sales: How many sales that scatter counts for; very many hold it fixed.

    Notes:
        Iterated weighted least squares: β = (XᵀWX/σ² + P/σ² + Q)⁻¹ XᵀWy/σ², σ² = (ν₀σ₀² + Σ w r²)/(ν₀ + n), from
        β = 0: of several modes the one near the tables is found, so that a few wild prices stay wild prices.

    References:
        K. L. Lange, R. J. A. Little, J. M. G. Taylor, "Robust statistical modeling using the t distribution",
        JASA 84, 1989 (from memory).
    """
    n, p = x.shape
    beta, variance = np.zeros(p), sd * sd
    residuals, weights = y, np.ones(n)
    for _ in range(_ROUNDS):
        weights = weight(residuals / np.sqrt(variance))
        scaled = x * weights[:, None]
        precision = (scaled.T @ x + relative) / variance + absolute
        before, spread = beta, variance
        beta = np.linalg.solve(precision, scaled.T @ y / variance)
        residuals = y - x @ beta
        variance = (prior_sales * sd * sd + float(weights @ residuals**2)) / (prior_sales + n)
        if np.abs(beta - before).max(initial=0.0) < _CLOSE and abs(variance - spread) < _CLOSE * spread:
            break
    precision = ((x * weights[:, None]).T @ x + relative) / variance + absolute
    return Fit(beta, np.linalg.inv(precision), float(np.sqrt(variance)), weights, residuals)
