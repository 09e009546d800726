"""What brings the width of the range, and which check not yet made would narrow it most."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine import draws
from appraise.engine.information import narrowing
from appraise.model.result import Driver, NextCheck

if TYPE_CHECKING:
    from collections.abc import Mapping

    import numpy as np
    from numpy.typing import NDArray

    from appraise.engine.information import Knowledge


def drivers(
    means: Mapping[tuple[str, ...], NDArray[np.float64]],
    outcome: NDArray[np.float64],
    seed: int,
) -> tuple[Driver, ...]:
    """Return every input with its first-order share of the variance of the value, largest first.

    Args:
        means: Names of inputs varied together, and the mean of the value in each of their draws [money], shape (n,).
        outcome: Value in every draw [money].
        seed: Seed of the draws.
    """
    total = float(outcome.var())
    found = []
    for inputs, mean in means.items():
        shares = draws.variance_shares(mean, draws.orders_of(seed, inputs, mean.size), total)
        found += [Driver(name, float(share)) for name, share in zip(inputs, shares, strict=True)]
    return tuple(sorted(found, key=lambda driver: (-driver.share, driver.input)))


def next_checks(known: Knowledge) -> tuple[NextCheck, ...]:
    """Return every check not yet made, most informative first.

    Args:
        known: What the checks settle of the value.

    Returns:
        For each check by how much the range narrows through it alone [%]. Checks that take days are left out.
    """
    found = []
    for key, share in known.each().items():
        row = known.looks[key].row
        if not row.days:
            narrows = narrowing(share)
            found.append(NextCheck(key, row.label, row.station, row.component, narrows, row.minutes))
    return tuple(sorted(found, key=lambda check: (-check.narrows_pct, check.minutes, check.check)))
