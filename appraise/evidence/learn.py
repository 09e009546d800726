"""Learning from own sales: level and age curve by kind, class, size and kind of sale, drift, scatter."""

from __future__ import annotations

from math import exp, log, sqrt
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.distributions import student_quantile
from appraise.engine.draws import Z90
from appraise.engine.market import relative_sd
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import Range
from appraise.tables.rows import Standing

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import date

    from numpy.typing import NDArray

    from appraise.evidence.levels import Level
    from appraise.tables.rows import Tables
    from appraise.tables.rows_worth import Basis, MarketFactor

    Array = NDArray[np.float64]


AGE_REACH = 0.8
"""How far along ln(1 + age) what is learned at one age reaches to others: the correlation falls to 1/e; our
assumption."""
_NEAR = 0.03
"""Least scatter of prices within a kind [–]: nobody's market is known better."""
_WEIGHTS = {
    Standing.PUBLISHED: "own_sales_weight_published",
    Standing.OWN_EVIDENCE: "own_sales_weight_published",
    Standing.COMMON_PRACTICE: "own_sales_weight_practice",
    Standing.FROM_MEMORY: "own_sales_weight_memory",
    Standing.OUR_ASSUMPTION: "own_sales_weight_assumption",
}
_YEAR = 365.25


@dataclass(frozen=True, slots=True)
class LearnedRow:
    """A row of the tables as own sales have it."""

    row: MarketFactor | Basis
    """As the tables have it."""
    n: int
    """Sales that say something of it."""
    after: Range
    curve: tuple[tuple[float, float], ...] = ()
    """Its factor by age, where the tables give one."""

    @property
    def before(self) -> Range:
        """The figures of the tables."""
        return Range(self.row.low, self.row.typical, self.row.high)


@dataclass(frozen=True, slots=True)
class Learned:
    """Estimate from the sales together."""

    n: int
    until: date
    """The day to which the rows are brought, that of the newest sale."""
    rows: tuple[LearnedRow, ...]
    drift: float
    """Of prices of used instruments against prices new [1/year]."""
    drift_sd: float
    sd: float
    """Scale by which prices scatter about the learned level [–]."""
    outlying: int
    """Sales weighed down to less than a third."""
    assumed: int = 0
    """Sales whose price new was looked up in the table, and that count less."""


@dataclass(frozen=True, slots=True)
class _Effect:
    """A column of the model."""

    row: MarketFactor | Basis | None
    age: float | None
    column: Array


def learn(found: Sequence[Level], tables: Tables, condition_sd: Callable[[Tables], float] | None = None) -> Learned:
    """Learn from sales.

    Args:
        found: What each says of the market, at least one.
        tables: What is drawn towards, and what the levels are against.
        condition_sd: Tells what spread the range of an instrument has beside that of its market rows [–]; the learned
            spread of the kind is what then remains. None: nothing.

    Notes:
        ln ratio = level of the kind + curve of the kind at its age + class + size + kind of sale + drift · years +
        error, the effects drawn towards 0, which is the tables' row, each row by as many sales as its standing says.
        Retail is the level itself, so that other kinds of sale are told against it.

        A sale whose price new was looked up has more scatter by what the table leaves open: it counts by its weight.

    Raises:
        ValueError: No sales.
    """
    if not found:
        raise ValueError("learn needs at least one sale")
    until = max(level.sale.date for level in found)
    effects, relative, absolute = _effects(found, tables, until)
    y = np.log([level.ratio for level in found])
    x = np.column_stack([effect.column for effect in effects])
    freedom = tables.setting("own_sales_freedom")
    root = np.sqrt([level.weight for level in found])
    fit = shrunk(
        x * root[:, None], y * root, relative, absolute, sd=tables.setting("own_sales_sd"), weight=student(freedom)
    )
    beside = 0.0 if condition_sd is None else condition_sd(tables)
    rows = tuple(_rows(effects, fit, x, relative, found, tables, beside))
    drift = float(fit.effects[-1])
    outlying = int((fit.weights < 1.0 / 3.0).sum())
    assumed = sum(level.assumed for level in found)
    return Learned(len(found), until, rows, drift, sqrt(float(fit.covariance[-1, -1])), fit.sd, outlying, assumed)


def _effects(found: Sequence[Level], tables: Tables, until: date) -> tuple[list[_Effect], Array, Array]:
    """Return the columns of the model and their prior precisions, the drift last."""
    effects: list[_Effect] = []
    blocks: list[Array] = []
    ages = np.array([level.age for level in found])
    for base in (row for row in tables.market_factors.values() if row.factor == "base"):
        inside = np.array([level.sale.kind in base.kinds for level in found], dtype=float)
        if not inside.any():
            continue
        weight = tables.setting(_WEIGHTS[base.standing])
        effects.append(_Effect(base, None, inside))
        blocks.append(np.array([[weight]]))
        if base.by_age:
            nodes = np.array([age for age, _ in base.by_age])
            hats = np.column_stack([np.interp(ages, nodes, row) for row in np.eye(len(nodes))])
            effects += [_Effect(base, float(age), hats[:, k] * inside) for k, age in enumerate(nodes)]
            along = np.log1p(nodes)
            blocks.append(weight * np.linalg.inv(np.exp(-np.abs(along[:, None] - along) / AGE_REACH)))
    for row, picked in _named(found, tables):
        effects.append(_Effect(row, None, picked))
        blocks.append(np.array([[tables.setting(_WEIGHTS[row.standing])]]))
    years = np.array([(level.sale.date - until).days / _YEAR for level in found])
    # About the middle of the dates, so that what draws the level towards the tables does not bend the drift.
    effects.append(_Effect(None, None, years - years.mean()))
    blocks.append(np.zeros((1, 1)))
    relative = np.zeros((len(effects), len(effects)))
    # A sale has several effects at once: half of what the prior leaves open is the level's, the rest theirs alike, so
    # that together they weigh as much as one row.
    others = sum(float(effect.column.sum()) for effect in effects[:-1]) / len(found) - 1.0
    at = 0
    for block in blocks:
        effect = effects[at]
        level = effect.age is None and getattr(effect.row, "factor", "") == "base"
        relative[at : at + len(block), at : at + len(block)] = block * (2.0 if level else 2.0 * max(1.0, others))
        at += len(block)
    absolute = np.zeros_like(relative)
    absolute[-1, -1] = 1.0 / tables.setting("own_sales_drift_sd") ** 2
    return effects, relative, absolute


def _named(found: Sequence[Level], tables: Tables) -> list[tuple[MarketFactor | Basis, Array]]:
    """Return the rows of class, size and kind of sale that sales fall under, and which sales do."""
    kinds, classes, channels = (
        np.array([getattr(level.sale, name) for level in found]) for name in ("kind", "maker_class", "sale")
    )
    sizes = np.array([np.nan if level.sale.size_cm is None else level.sale.size_cm for level in found])
    retail = next(row.key for row in tables.bases.values() if row.method == "market" and not row.buyer_carries)
    named: list[tuple[MarketFactor | Basis, Array]] = []
    for row in tables.market_factors.values():
        of_kind = np.logical_or.reduce([kinds == str(kind) for kind in row.kinds])
        if row.factor == "tier":
            named.append((row, (of_kind & (classes == row.key)).astype(float)))
        elif row.factor == "size":
            inside = (sizes >= (row.above_cm or 0.0)) & (sizes < (row.below_cm or np.inf))
            named.append((row, (of_kind & inside).astype(float)))
    named += [(basis, (channels == basis.key).astype(float)) for basis in tables.bases.values() if basis.key != retail]
    return [(row, inside) for row, inside in named if inside.any()]


def _rows(
    effects: list[_Effect], fit: Fit, x: Array, relative: Array, found: Sequence[Level], tables: Tables, beside: float
) -> list[LearnedRow]:
    rows = []
    today = float(effects[-1].column[max(range(len(found)), key=lambda place: found[place].sale.date)])
    for place, effect in enumerate(effects):
        row = effect.row
        if row is None or effect.age is not None:
            continue
        n = int(effect.column.sum())
        typical = row.typical * exp(float(fit.effects[place]))
        if getattr(row, "factor", "") == "base":
            ends = [k for k, other in enumerate(effects) if other.row is row and other.age is not None]
            curve = _falling(row.by_age, fit.effects[ends]) if ends else ()  # type: ignore[union-attr]
            others = _beside(row, effects, fit, relative, found, tables)
            now = x[effect.column > 0.0]
            now[:, -1] = today
            unsure = np.einsum("np,pq,nq->n", now, fit.covariance, now).mean()
            own = _as_normal(fit.sd, tables) ** 2 + float(unsure)
            typical *= exp(float(fit.effects[-1]) * today)
            sd = sqrt(max(_NEAR**2, own - others**2 - beside**2))
            step = exp(Z90 * sd)
            rows.append(LearnedRow(row, n, _rounded(typical / step, typical, typical * step), curve))
        else:
            kept = _kept(place, fit, relative)
            low, high = (typical * (end / row.typical) ** kept for end in (row.low, row.high))
            rows.append(LearnedRow(row, n, _rounded(low, typical, high), getattr(row, "by_age", ())))
    return rows


def _kept(place: int, fit: Fit, relative: Array) -> float:
    """Return what is left of the spread of a row's effect [–]: its standard deviation now over that before."""
    return min(1.0, sqrt(float(fit.covariance[place, place]) * float(relative[place, place])) / fit.sd)


def _beside(
    base: MarketFactor | Basis,
    effects: list[_Effect],
    fit: Fit,
    relative: Array,
    found: Sequence[Level],
    tables: Tables,
) -> float:
    """Return the spread that the other rows of a usual sale of this kind put into its range [–]."""
    kind = next(effect.column for effect in effects if effect.row is base)
    total = tables.setting("replacement_cost_sd") ** 2
    for place, effect in enumerate(effects):
        row = effect.row
        if row is None or row is base or effect.age is not None or getattr(row, "factor", "") == "base":
            continue
        share = float((effect.column * kind).sum() / kind.sum())
        spread = relative_sd(Range(row.low, row.typical, row.high)) * _kept(place, fit, relative)
        total += share * spread**2
    return sqrt(total)


def _as_normal(scale: float, tables: Tables) -> float:
    """Return the normal standard deviation whose 80 % range is that of Student's t of a scale [–]."""
    return scale * student_quantile(0.9, int(tables.setting("own_sales_freedom"))) / Z90


def _falling(points: tuple[tuple[float, float], ...], effects: Array) -> tuple[tuple[float, float], ...]:
    """Return a curve moved by its effects and never rising with age: neighbours that rise are levelled.

    References:
        The pool-adjacent-violators algorithm, M. Ayer et al., Ann. Math. Statist. 26, 1955 (from memory).
    """
    pools: list[list[float]] = []
    for (_, factor), effect in zip(points, effects, strict=True):
        pools.append([log(factor) + float(effect), 1.0])
        while len(pools) > 1 and pools[-1][0] > pools[-2][0]:
            value, count = pools.pop()
            total = pools[-1][1] + count
            pools[-1] = [(pools[-1][0] * pools[-1][1] + value * count) / total, total]
    levelled = [value for value, count in pools for _ in range(int(count))]
    return tuple((age, round(exp(value), 3)) for (age, _), value in zip(points, levelled, strict=True))


def _rounded(low: float, typical: float, high: float) -> Range:
    return Range(round(low, 3), round(typical, 3), round(high, 3))


_ROUNDS = 200
_CLOSE = 1e-8
PRIOR_SALES = 30.0
"""How many sales the scatter expected beforehand counts for."""
PRIOR_EFFECTS = 60.0
"""How many effects the spread of the prior counts for; our assumption."""


@dataclass(frozen=True, slots=True)
class Fit:
    """The result."""

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
