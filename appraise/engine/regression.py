"""How a figure answers to what it was drawn with: its regression on the grades and the other inputs."""

from __future__ import annotations

from functools import lru_cache
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import draws
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    Array = NDArray[np.float64]

COMMON = "general condition"
"""Name of the input that all parts share."""

GRADE = "grade."
"""Start of the names of the inputs that checks tell of."""

DEGREE = 3
"""Highest power of a normal score in the regression; the other inputs enter in the first power."""


def hermite(scores: Array, degree: int) -> Array:
    """Return Hermite polynomials of normal scores, each of mean 0 and variance 1, shape (degree, n).

    Args:
        scores: Standard normal scores, shape (n,).
        degree: Highest power, 1 to 3.

    References:
        M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions, 22.2.15: He_1 = x, He_2 = x² − 1,
        He_3 = x³ − 3x, here over √k! (from memory).
    """
    every = (scores, (scores**2 - 1.0) / sqrt(2.0), (scores**3 - 3.0 * scores) / sqrt(6.0))
    return np.stack(every[:degree])


@dataclass(frozen=True, eq=False)
class _Basis:
    """Columns of one regression, kept with what solves it."""

    rows: Array
    """Shape (terms, n), each of mean 0."""
    solver: Array
    """Turns a figure into its coefficients, shape (terms, n)."""
    chance: Array
    """Variance of the coefficients over that of what is left, shape (terms,)."""
    places: Mapping[str, slice]
    """Which rows belong to an input."""


@lru_cache(maxsize=8)
def _grades(seed: int, names: tuple[str, ...], n: int) -> _Basis:
    """Return the columns of what checks tell of, solved together."""
    columns: list[Array] = []
    places: dict[str, slice] = {}
    first = 0
    for name in names:
        degree = DEGREE if name == COMMON else 2
        places[name] = slice(first, first + degree)
        first += degree
        columns.append(hermite(draws.normal(seed, name, n), degree))
    rows = np.concatenate(columns)
    rows -= rows.mean(axis=1, keepdims=True)
    inverse = np.linalg.inv(rows @ rows.T)
    return _Basis(rows, inverse @ rows, np.diag(inverse), places)


@lru_cache(maxsize=32)
def _others(seed: int, names: tuple[str, ...], n: int) -> _Basis:
    """Return the columns of what no check tells of, each solved by itself: they are many, and nearly orthogonal."""
    rows = np.stack([draws.normal(seed, name, n) for name in names]) if names else np.zeros((0, n))
    return _Basis(rows, rows / n, np.full(len(names), 1.0 / n), {name: slice(i, i + 1) for i, name in enumerate(names)})


@dataclass(frozen=True, eq=False)
class Response:
    """How a figure follows the inputs that it varies with."""

    mean: float
    """In the figure's unit."""
    terms: Mapping[str, Array]
    """By input the coefficients of its Hermite polynomials, in the figure's unit."""
    chance: Mapping[str, Array]
    """By input the variance that chance alone gives them."""

    def strength(self, name: str) -> Array:
        """Return the variance that each power of an input brings, freed of what chance gives, shape (degree,)."""
        if name not in self.terms:
            return np.zeros(1)
        found: Array = np.maximum(0.0, self.terms[name] ** 2 - self.chance[name])
        return found

    def slope(self, name: str) -> float:
        """Return the first coefficient of an input, in the figure's unit; 0 for one that it does not vary with."""
        return float(self.terms[name][0]) if name in self.terms else 0.0

    def expected(self, known: Mapping[str, float], scores: Array) -> Array:
        """Return the mean to expect of the figure by how a look turns out, shape of `scores`.

        Args:
            known: By input the share of its variance that the look settles [–].
            scores: Standard normal scores of the outcome of the look, the worse the greater.
        """
        found = np.full_like(scores, self.mean)
        powers = hermite(scores, DEGREE)
        first = {name: self.terms[name][0] * sqrt(share) for name, share in known.items() if name in self.terms}
        # One look moves the grade and the general condition together: the first powers add in quadrature.
        whole = sqrt(sum(value**2 for value in first.values()))
        found += np.sign(sum(first.values())) * whole * powers[0]
        for name, share in known.items():
            for power, value in enumerate(self.terms.get(name, np.zeros(0))[1:], start=1):
                found += value * share ** ((power + 1) / 2.0) * powers[power]
        return found


def respond(figure: Array, seed: int, names: Iterable[str], beside: Sequence[Array] = ()) -> Response:
    """Regress a figure on the inputs that it was drawn with.

    Args:
        figure: In every draw, shape (n,).
        seed: Seed of the draws.
        names: Of the inputs that the condition varies with.
        beside: What the figure varies with as well, and what is taken out of it first, arrays of shape (n,).

    Returns:
        The coefficients, by least squares.

    Notes:
        Expected value of partial information by regression: what a look teaches is the variance of the regression
        function over its outcomes, and the draws that gave the range give it without another run.

    References:
        M. Strong, J. E. Oakley, A. Brennan, "Estimating multiparameter partial expected value of perfect information
        from a probabilistic sensitivity analysis sample: a nonparametric regression approach", Medical Decision Making
        34, 2014 (from memory).
    """
    n = figure.size
    every = tuple(dict.fromkeys(names))
    told = tuple(name for name in every if name == COMMON or name.startswith(GRADE))
    blocks = [_grades(seed, told, n)] if told else []
    blocks.append(_others(seed, tuple(name for name in every if name not in told), n))
    mean = float(figure.mean())
    left = figure - mean
    for column in beside:
        centred = column - column.mean()
        square = float(centred @ centred)
        if square > 0.0:
            left = left - (float(left @ centred) / square) * centred
    found = []
    for block in blocks:
        found.append(block.solver @ left)
        left = left - found[-1] @ block.rows
    free = max(1, n - sum(len(each) for each in found) - 1)
    noise = float(left @ left) / free
    terms: dict[str, Array] = {}
    chance: dict[str, Array] = {}
    for block, values in zip(blocks, found, strict=True):
        for name, place in block.places.items():
            terms[name], chance[name] = values[place], noise * block.chance[place]
    return Response(mean, terms, chance)
