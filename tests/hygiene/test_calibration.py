"""What the tables together make of an instrument whose parts are all alike.

Every figure here is our assumption: what condition and age should leave of a new instrument before any market factor.
The arithmetic is written again from its formulas, with SciPy's incomplete gamma function in place of the engine's.
"""

import numpy as np
import pytest
from scipy.special import gamma, gammaincc

from appraise.model.case import Kind
from appraise.tables.load import load_tables


def left_of_new(kind: Kind, age: float, grade: float) -> float:
    """Return Σ share · (1 − D) [–] in domestic use and a seasonal climate, by probable life."""
    tables = load_tables()
    classes = list(tables.condition_classes.values())
    c = np.interp(grade, [row.grade for row in classes], [row.c_pct / 100 for row in classes])
    x_c = (-1 + np.sqrt(1 + 8 * c)) / 2
    total = 0.0
    for row in tables.components.values():
        life = tables.life(row.key)
        # Weibull through the median, its shape from the ratio of the 90 % to the 10 % quantile.
        shape = np.log(np.log(10) / np.log(10 / 9)) / np.log(life.high / life.low)
        scale = life.typical / np.log(2) ** (1 / shape)
        z = (age / scale) ** shape
        mean_residual = scale / shape * np.exp(z) * gammaincc(1 / shape, z) * gamma(1 / shape)
        x_a = age / (age + mean_residual)
        x = x_a - row.visibility * max(0.0, x_a - x_c)
        r = (x + x * x) / 2
        total += row.share(kind) * (1 - (r + (1 - r) * c))
    return float(total)


@pytest.mark.parametrize("kind", list(Kind))
@pytest.mark.parametrize(
    ("age", "grade", "low", "high"),
    [
        (10, 2.0, 0.86, 0.89),
        (20, 2.5, 0.68, 0.73),
        # A sound plate of 1920 is not nearly half gone: its longer life lifts two bands by half a hundredth.
        (40, 3.0, 0.40, 0.485),
        (60, 3.0, 0.26, 0.40),
        (80, 3.5, 0.14, 0.24),
        (100, 4.0, 0.06, 0.125),
    ],
)
def test_what_age_and_condition_leave(kind, age, grade, low, high):
    assert low <= left_of_new(kind, age, grade) <= high


def test_the_default_climate_and_use_change_no_life():
    tables = load_tables()
    assert tables.climates["seasonal"].default == 1
    assert not tables.climates["seasonal"].factors
    assert tables.uses["domestic"].weight == 0


def test_the_spread_of_lives_gives_shapes_of_wear():
    # A shape above 1 means that failures grow likelier with age, which is what wear is.
    for row in load_tables().lives.values():
        for low, high in ((row.low, row.high), (row.heavy_low, row.heavy_high)):
            assert np.log(np.log(10) / np.log(10 / 9)) / np.log(high / low) > 1.3, row.key
