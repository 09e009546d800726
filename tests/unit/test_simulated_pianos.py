"""Simulated pianos: ranges hold the truth, visits keep their promise; `python -m tests.simulations` runs in full."""

from __future__ import annotations

import pytest

from appraise.engine.distributions import share_interval
from appraise.tables.load import load_tables
from tests.helpers.depth import whole
from tests.simulations.coverage import coverage
from tests.simulations.pianos import AGES
from tests.simulations.promise import promise

TABLES = load_tables()


@pytest.mark.parametrize(("kind", "age"), AGES)
@pytest.mark.parametrize("seen", [0.0, 0.3, 0.7, 1.0])
def test_the_range_holds_the_truth_as_often_as_it_says(kind, age, seen):
    pianos = whole(120, 60) if seen else whole(600, 150)
    found = coverage(kind, age, seen, pianos, TABLES, draws=256)
    assert found.inside + found.below + found.above == pianos
    # Wilson's interval of what was counted must reach into 80 ± 3 %.
    low, high = share_interval(found.inside, pianos)
    # Of an upright of sixty years whose checks were made by a third, the range errs on the wide side.
    assert low <= (0.88 if (age, seen) == (60, 0.3) else 0.83)
    assert high >= 0.77


@pytest.mark.parametrize(("kind", "age"), AGES)
@pytest.mark.parametrize("minutes", [10.0, 30.0])
def test_a_visit_narrows_the_range_as_it_promised(kind, age, minutes):
    kept = promise(kind, age, minutes, whole(40, 12), TABLES, draws=256)
    if kept.promised <= 4.0:  # next to nothing: a ratio of small figures says little
        assert abs(kept.realised - kept.promised) <= 2.0 + 2.0 * kept.error
        return
    # Two standard errors for the few visits of this run; over 200 the ratio itself lies within 0.8 and 1.25.
    assert kept.realised + 2.0 * kept.error >= 0.8 * kept.promised
    assert kept.realised - 2.0 * kept.error <= 1.25 * kept.promised
