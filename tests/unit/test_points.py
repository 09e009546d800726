"""Curves through points, figure for figure those of NumPy."""

from __future__ import annotations

import numpy as np
import pytest

from appraise.engine.life import consumed_curve
from appraise.engine.points import Curve

CHANCE = np.random.default_rng(5)

EVEN = np.linspace(-6.0, 6.0, 2401)
YEARS = np.arange(0.0, 401.0)
BENT = np.concatenate((np.linspace(0.0, 6.0, 385), np.geomspace(6.0, 300.0, 193)[1:]))
CLASSES = np.arange(1.0, 5.5, 0.5)


@pytest.mark.parametrize("places", [EVEN, YEARS, BENT, CLASSES, np.array([2.0])], ids=len)
def test_a_curve_is_that_of_numpy_to_the_last_bit(places):
    # Source: numpy.interp, general-purpose linear interpolation.
    figures = CHANCE.uniform(size=places.size)
    curve = Curve(places, figures)
    ends = places[0] - 3.0, places[-1] + 3.0
    beside = np.concatenate((places, np.nextafter(places, np.inf), np.nextafter(places, -np.inf)))
    columns = [CHANCE.uniform(*ends, 1024), CHANCE.uniform(places[0], places[0] + 5.9, 1024), beside, places[:1]]
    columns.append(np.full(1024, places[-1]))
    for column in columns:
        np.testing.assert_array_equal(curve.at(column), np.interp(column, places, figures))


def test_what_is_past_all_numbers_stays_so():
    curve = Curve(EVEN, np.sort(CHANCE.uniform(size=EVEN.size)))
    column = np.concatenate((CHANCE.uniform(-6.0, 6.0, 200), [np.inf, -np.inf]))
    np.testing.assert_array_equal(curve.at(column), curve.at(np.clip(column, -6.0, 6.0)))


def test_the_consumed_share_is_read_off_the_same_curve_however_far_it_reaches():
    # Beyond the evenly spaced part of its grid the whole column goes to NumPy's own: the figures below stay.
    curve = consumed_curve(3.3)
    near = CHANCE.uniform(0.0, 5.9, 512)
    np.testing.assert_array_equal(curve.at(np.append(near, 40.0))[:-1], curve.at(near))
