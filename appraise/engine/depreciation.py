"""Depreciation of a component from its age, its life and its condition."""

from __future__ import annotations

from functools import lru_cache
from math import log
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from appraise.engine.life import Weibull, consumed_share

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from appraise.tables.rows import Tables
    from appraise.tables.rows_ageing import Law

AGE_ONLY = frozenset({"straight_line", "ross", "declining_balance", "schedule"})
"""Laws that know age alone; the grade then speaks only through usability."""


def ross(x: NDArray[np.float64] | float) -> NDArray[np.float64]:
    """Return Ross's depreciation for age alone.

    Args:
        x: Consumed share of life [–]; cut to [0, 1]. Any shape.

    Returns:
        R = (x + x²) / 2 [–], shape of `x`: the mean of the straight line and the parabola.

    References:
        Ross's method as used in the Ross–Heidecke tables of appraisal practice.
    """
    share: NDArray[np.float64] = np.minimum(np.maximum(x, 0.0), 1.0)
    loss: NDArray[np.float64] = 0.5 * (share + share * share)
    return loss


def ross_inverse(depreciation: NDArray[np.float64] | float) -> NDArray[np.float64]:
    """Return the consumed share of life x at which Ross's depreciation is `depreciation` [–], both in [0, 1]."""
    x: NDArray[np.float64] = 0.5 * (np.sqrt(1.0 + 8.0 * np.minimum(np.maximum(depreciation, 0.0), 1.0)) - 1.0)
    return x


def heidecke(grade: NDArray[np.float64] | float, tables: Tables) -> NDArray[np.float64]:
    """Return Heidecke's depreciation for condition alone.

    Args:
        grade: 1 as new … 5 spent; linear between the classes, flat beyond. Any shape.
        tables: Holds the nine classes.

    Returns:
        C [–], shape of `grade`.
    """
    loss: NDArray[np.float64] = np.interp(np.asarray(grade), *_classes(tables))
    return loss


class Spoken(NamedTuple):
    """What grades say of depreciation [–], by themselves."""

    loss: NDArray[np.float64]
    """Heidecke's C."""
    share: NDArray[np.float64]
    """Share of life at which age alone would leave as much, see `ross_inverse`."""

    @classmethod
    def of(cls, grade: NDArray[np.float64], tables: Tables) -> Spoken:
        """Return what grades say, shape of `grade`."""
        loss = heidecke(grade, tables)
        return cls(loss, ross_inverse(loss))

    def at_most(self, grade: float, tables: Tables) -> Spoken:
        """Return the same of the lesser of each grade and this one: both rise with the grade."""
        loss, share = _spoken_at(grade, tables)
        return Spoken(np.minimum(self.loss, loss), np.minimum(self.share, share))


@lru_cache(maxsize=256)
def _spoken_at(grade: float, tables: Tables) -> tuple[float, float]:
    loss = heidecke_at(grade, tables)
    return loss, float(ross_inverse(loss))


@lru_cache(maxsize=256)
def heidecke_at(grade: float, tables: Tables) -> float:
    """Return Heidecke's depreciation [–] at one grade; kept, because the same few grades are asked for again."""
    return float(heidecke(grade, tables))


@lru_cache(maxsize=8)
def _classes(tables: Tables) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the grades and the depreciations [–] of the condition classes, rising."""
    rows = sorted(tables.condition_classes.values(), key=lambda row: row.grade)
    return np.array([row.grade for row in rows]), np.array([row.c_pct / 100.0 for row in rows])


def combine(age_part: NDArray[np.float64], condition_part: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the Ross–Heidecke combination D = R + (1 − R)·C [–] of two depreciations [–], broadcast."""
    return age_part + (1.0 - age_part) * condition_part


def credited(
    aged: NDArray[np.float64], spoken: NDArray[np.float64], visibility: NDArray[np.float64] | float
) -> NDArray[np.float64]:
    """Give back age for what can be seen.

    Args:
        aged: Consumed share of probable life by age, x_a [–].
        spoken: Share of life x_c that the grade alone speaks of [–], broadcast with `aged`: Ross's inverse of
            Heidecke's C.
        visibility: How far inspection shows the wear, v [–], in [0, 1]; one number or broadcast.

    Returns:
        x = x_a − v · max(0, x_a − x_c) [–], x_c = (−1 + √(1 + 8C)) / 2. It never falls when age or grade gets worse,
        and is never above x_a.
    """
    return aged - visibility * np.maximum(0.0, aged - spoken)


def depreciation(
    law: Law,
    age: NDArray[np.float64],
    grade: NDArray[np.float64] | float,
    life: Weibull,
    median_life: NDArray[np.float64] | float,
    visibility: float,
    tables: Tables,
) -> NDArray[np.float64]:
    """Return the depreciation of a component under one law.

    Args:
        law: Row of the table `laws`.
        age: Age in service [years], ≥ 0, shape (n,).
        grade: 1–5, shape (n,) or one number.
        life: Distribution whose shape is used; its scale follows `median_life`.
        median_life: Service life here [years], > 0, shape (n,) or one number.
        visibility: See `credited`; used by the probable-life law.
        tables: Holds the condition classes.

    Returns:
        D [–] in [0, 1], shape (n,).

    Raises:
        KeyError: The law's key is not one that the engine knows.
    """
    return with_condition(law, age_term(law, age, life, median_life), heidecke(grade, tables), visibility)


def age_term(
    law: Law, age: NDArray[np.float64], life: Weibull, median_life: NDArray[np.float64] | float
) -> NDArray[np.float64]:
    """Return what a law makes of age before condition is looked at [–], shape of `age`.

    The consumed share of life for the laws that also look at condition, the depreciation itself for the others.

    Raises:
        KeyError: The law's key is not one that the engine knows.
    """
    share = age / median_life
    if law.key in AGE_ONLY:
        return np.clip(_by_age_alone(law, age, share), 0.0, 1.0)
    if law.key == "fixed_life":
        return share
    if law.key == "probable_life":
        return consumed_share(Weibull(life.shape, 1.0), share * log(2.0) ** (1.0 / life.shape))
    raise KeyError(law.key)


def with_condition(
    law: Law,
    term: NDArray[np.float64],
    condition_part: NDArray[np.float64],
    visibility: NDArray[np.float64] | float,
    spoken: NDArray[np.float64] | None = None,
) -> NDArray[np.float64]:
    """Return the depreciation [–] from a law's age term and Heidecke's C [–], broadcast.

    `spoken` is what `ross_inverse` makes of C, where that is known already.
    """
    if law.key in AGE_ONLY:
        return term
    if law.key == "probable_life":
        term = credited(term, ross_inverse(condition_part) if spoken is None else spoken, visibility)
    return combine(ross(term), condition_part)


def _by_age_alone(law: Law, age: NDArray[np.float64], share: NDArray[np.float64]) -> NDArray[np.float64]:
    if law.key == "straight_line":
        return share
    if law.key == "ross":
        return ross(share)
    if law.key == "declining_balance":
        left: NDArray[np.float64] = (1.0 - (law.rate or 0.0)) ** age
        return 1.0 - left
    good = np.interp(age, range(len(law.schedule) + 1), (100.0, *law.schedule))
    return 1.0 - good / 100.0
