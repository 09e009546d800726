"""What is held of a component's grade: from its own checks, from the rest of the instrument, from its age."""

from __future__ import annotations

from math import pi, sqrt
from statistics import NormalDist
from typing import TYPE_CHECKING, TypeVar

import numpy as np
from numpy.typing import NDArray

from appraise.engine.observation import settled_by
from appraise.engine.points import Curve, along
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.engine.observation import Coverage
    from appraise.tables.rows import Tables


Figure = TypeVar("Figure", float, NDArray[np.float64])

WORST = 5.0
"""The worst grade."""

STEP = 0.05
"""What the mean of the grades seen is taken to [grade]: a change of one of fifty grades moves no other part."""

EXACT = 1e-9
"""What rounding may put between a grade and the limit that it meets [grade]."""

SOUND_ENOUGH = 2.5
"""Grade up to which no work is proposed on a part."""


_ROUNDING = 1e-12
"""Below it a variance is none [grade²]."""


@dataclass(frozen=True, slots=True)
class Common:
    """The general condition of the instrument, as far as what was seen speaks of what was not."""

    seen_grade: float | None
    """Mean of the grades seen, by how far they speak of wear, to the nearest `STEP`; none when nothing was."""
    pull: float
    """Weight of that mean against what age lets expect [–], in [0, 1)."""
    precision: float
    """Posterior precision of the common factor over its prior precision [–], ≥ 1."""


ALONE = Common(None, 0.0, 1.0)
"""Of a part of which the rest of the instrument says nothing."""


@dataclass(frozen=True, slots=True)
class GradePosterior:
    """What is held of one component's grade: a normal distribution, cut to what can be seen where it is used."""

    mean: float
    own_sd: float
    """Part of the spread that is the component's own [grade]."""
    common_sd: float
    """Part it shares with everything else not yet seen [grade]."""
    grade: float | None = None
    """Grade observed; none when not seen."""
    wear: float = 0.0
    """How much of its wear was seen [–]."""
    common: Common | None = None
    """The general condition; none for a fault of the whole, which neither ages nor shares it."""
    worst: float = WORST
    """Worst grade that the part can come to: no check of it can say worse [grade]."""
    noise: float = 0.0
    """Share of a grade's departure from what was to be expected that is the scatter of assessors and samples [–]."""
    expected: float = 1.0
    """What its age lets expect [grade]."""
    scatter: float = 0.0
    """Part of `own_sd` by which assessors and samples scatter about what is there [grade]."""

    @property
    def open_sd(self) -> float:
        """Part of the spread that is the component's own and not scatter: what was not seen of it [grade]."""
        open_ = self.own_sd**2 - self.scatter**2
        return sqrt(open_) if open_ > _ROUNDING else 0.0

    def regressed(self, mean: Figure, expected: Figure) -> Figure:
        """Return the middle of the true grade where that of the grade seen, and what its age lets expect, are these.

        A grade that stands out is in part chance, and the true one nearer to what was to be expected (regression
        towards the mean). Grades of any one shape.
        """
        return mean + self.noise * (expected - mean)

    @property
    def sd(self) -> float:
        """Whole spread [grade]."""
        return sqrt(self.own_sd**2 + self.common_sd**2)

    def mean_at(self, expected: NDArray[np.float64], tables: Tables) -> NDArray[np.float64]:
        """Return the mean where age lets expect other grades than at the middle of the dates.

        Args:
            expected: What the age of each draw lets expect [grade], shape (n,).
            tables: Holds the settings.

        Returns:
            The mean [grade], shape (n,); it never falls where `expected` rises. For a fault of the whole the same
            everywhere.
        """
        if self.common is None:
            return np.full_like(expected, self.mean)
        prior = prior_grade(expected, self.common, tables)
        if self.grade is None:
            return prior
        return self.grade + (1.0 - self.wear) * np.maximum(0.0, prior - self.grade)


def common_condition(
    seen: Mapping[str, tuple[float | None, float]], shares: Mapping[str, float], tables: Tables
) -> Common:
    """Learn the general condition from the components that were looked at.

    Args:
        seen: For each component the observed grade of wear (none: not seen) and how far what was looked at speaks of
            the wear of other parts, in [0, 1].
        shares: Share of replacement cost by component, times how far the component speaks for others [–]; 0 for a
            fault of the whole, which teaches nothing.
        tables: Holds the settings.

    Returns:
        The mean of what was seen, its weight and the precision gained.

    Notes:
        A component's grade is modelled as e_c + s·(√ρ·F + √(1−ρ)·ε_c) with F common to the instrument; each
        observation counts by its coverage κ and by its share of cost against the mean share (a soundboard speaks for
        more than a spring), so the precision of F grows to 1 + Σ κ·w·ρ/(1−ρ) and the weight of
        what was seen is 1 − 1/precision (the normal–normal update of a mean). The seen grades are pooled as they
        stand and not as departures from their own expectation: then an older part can never make the rest of the
        instrument look better. κ counts each check by its `wear`: that a rare fault is absent, or there, says nothing
        of the care that the rest had. The model is our assumption.
    """
    rho = tables.setting("common_condition_share")
    speaks = representative(shares)
    looked = [
        (grade, weight)
        for key, (grade, coverage) in seen.items()
        if grade is not None and (weight := coverage * speaks[key]) > 0.0
    ]
    if not looked:
        return Common(None, 0.0, 1.0)
    total = sum(weight for _, weight in looked)
    precision = 1.0 + total * rho / (1.0 - rho)
    mean = STEP * round(sum(grade * weight for grade, weight in looked) / total / STEP)
    return Common(mean, 1.0 - 1.0 / precision, precision)


def representative(shares: Mapping[str, float]) -> Mapping[str, float]:
    """Return how much each component speaks for the whole: its share over the mean of those that have one [–]."""
    counted = sum(share > 0.0 for share in shares.values())
    total = sum(shares.values())
    return {key: share * counted / total if total > 0.0 else 0.0 for key, share in shares.items()}


def prior_grade(expected: NDArray[np.float64] | float, common: Common, tables: Tables) -> NDArray[np.float64]:
    """Return the grade to expect of a component nobody has seen.

    Args:
        expected: What its age lets expect [grade], any shape.
        common: The general condition; it moves the expectation by no more than the table's limit, so that worn
            hammers do not condemn the dampers.
        tables: Holds the settings.

    Returns:
        The grade, shape of `expected`, in [1, 5]; it never falls where `expected` or what was seen rises.
    """
    if common.seen_grade is None:
        return np.asarray(expected)
    limit = tables.setting("surprise_limit")
    shown = shown_grade(expected, tables)
    # e + p·(s − m(e)) within p·limit of e: rises with e, because p < 1 and m rises by no more than e.
    moved = expected + common.pull * np.clip(common.seen_grade - shown, -limit, limit)
    prior: NDArray[np.float64] = np.clip(moved, 1.0, 5.0)
    return prior


def unseen_sd(expected: NDArray[np.float64] | float, tables: Tables) -> NDArray[np.float64]:
    """Return the spread of a part that nobody has seen [grade], by the grade that its age lets expect, any shape.

    It grows with use: nearly new parts differ little. Linear from grade 1 to the worst at which a part is sound, flat
    beyond; so slowly that the better draws of a part never get better as it ages.
    """
    new, used = tables.setting("grade_sd_unseen_new"), tables.setting("grade_sd_unseen")
    return along(((1.0, min(new, used)), (SOUND_ENOUGH, used)), expected)


def shown_grade(expected: NDArray[np.float64] | float, tables: Tables) -> NDArray[np.float64]:
    """Return the mean grade that parts show of which a grade is expected, shape of `expected`.

    A grade is never seen below 1 or above 5: of a nearly new instrument the parts that an inspection grades 1 are as
    expected, and their mean lies above what is expected of each.

    Args:
        expected: Grade, any shape.
        tables: For the spread of a part that nobody has seen.

    References:
        Mean of a normal distribution censored at both ends (as in J. Tobin, "Estimation of Relationships for Limited
        Dependent Variables", Econometrica 26, 1958; from memory).
    """
    sd = unseen_sd(expected, tables)
    low, high = (1.0 - np.asarray(expected)) / sd, (WORST - np.asarray(expected)) / sd
    below, above = _cumulative(low), _cumulative(high)
    inside = expected * (above - below) + sd * (_density(low) - _density(high))
    found: NDArray[np.float64] = below + WORST * (1.0 - above) + inside
    return found


def _density(score: NDArray[np.float64]) -> NDArray[np.float64]:
    found: NDArray[np.float64] = np.exp(-0.5 * score**2) / sqrt(2.0 * pi)
    return found


_SCORES = np.linspace(-6.0, 6.0, 2401)
_SHARES = Curve(_SCORES, np.array([NormalDist().cdf(score) for score in _SCORES]))


def _cumulative(score: NDArray[np.float64]) -> NDArray[np.float64]:
    return _SHARES.at(score)


def believe(
    grade: float | None,
    covered: Coverage,
    sampling_sd: float,
    prior: float,
    common: Common,
    tables: Tables,
    expected: float,
) -> GradePosterior:
    """Return what is held of a component's grade.

    Args:
        grade: Observed grade; none when not seen.
        covered: How much of it was seen.
        sampling_sd: Spread of the observed grade from sampling [grade].
        prior: See `prior_grade`.
        common: The general condition.
        tables: Holds the settings.
        expected: Grade that its age alone lets expect.

    Returns:
        What was seen of its wear, κ, keeps the grade observed; the rest may still turn out worse, so the mean moves
        towards the prior as far as that is worse, by 1 − κ. Where only rare faults were looked for and none was
        found, κ is 0 and the mean is the prior. What assessors and samples scatter, s² against the σ² of unseen parts,
        is taken back in the draws: by κ·s²/(s² + σ²) towards what its age lets expect (the normal–normal update).
    """
    seen_sd = tables.setting("grade_sd_seen")
    spread = _open_sd(grade, covered.wear, prior, tables)
    rho = tables.setting("common_condition_share")
    unseen = spread**2 * (1.0 - rho)
    scatter = covered.spread * seen_sd**2 + sampling_sd**2
    own = sqrt(scatter + (1.0 - covered.spread) * unseen)
    shared = spread * sqrt((1.0 - settled_by(covered.wear, tables)) * rho / common.precision)
    # By the spread of used parts at every age: the share must not fall where more is expected.
    used = tables.setting("grade_sd_unseen") ** 2
    noise = 0.0 if grade is None else covered.wear * scatter / (scatter + used)
    mean = _mean(grade, covered.wear, prior)
    return GradePosterior(
        mean, own, shared, grade, covered.wear, common, noise=noise, expected=expected, scatter=sqrt(scatter)
    )


def _open_sd(grade: float | None, wear: float, prior: float, tables: Tables) -> float:
    """Return the spread of what was not seen of a component [grade], by what it may come to.

    Nearly new parts differ little, used ones more. It grows no faster than the mean does, so that the better draws of a
    part never get better where more is expected of it or worse is found: by the worse of what was found and the prior,
    and past what was found by as much as the mean follows, 1 − κ, over the share √(1 − τ) of the spread that is left.
    """
    if grade is None:
        return float(unseen_sd(prior, tables))
    found, worse = (float(each) for each in unseen_sd(np.array([grade, max(grade, prior)]), tables))
    left = sqrt(1.0 - settled_by(wear, tables))
    follows = min(1.0, (1.0 - wear) / left) if left > 0.0 else 0.0
    return found + follows * (worse - found)


def believe_hazard(
    grade: float | None, covered: Coverage, sampling_sd: float, prior: float, tables: Tables
) -> GradePosterior:
    """Return what is held of a fault of the whole: taken to be absent where nobody looked.

    Args:
        grade: Observed grade; none when not seen.
        covered: How much of it was seen.
        sampling_sd: Spread of the observed grade from sampling [grade].
        prior: Grade to take where nobody looked.
        tables: Holds the settings.
    """
    seen_sd = tables.setting("grade_sd_seen")
    unseen = tables.setting("hazard_sd_unseen") ** 2
    scatter = covered.whole * seen_sd**2 + sampling_sd**2
    own = sqrt(scatter + (1.0 - covered.whole) * unseen)
    return GradePosterior(_mean(grade, covered.whole, prior), own, 0.0, grade, covered.whole, scatter=sqrt(scatter))


def _mean(grade: float | None, coverage: float, prior: float) -> float:
    return prior if grade is None else grade + (1.0 - coverage) * max(0.0, prior - grade)
