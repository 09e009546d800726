"""Simulated pianos: ranges hold the truth, visits keep their promise; `python -m tests.simulations` runs in full."""

from __future__ import annotations

import pytest

from appraise.engine.special import share_interval
from appraise.tables.load import load_tables
from tests.simulations.coverage import coverage
from tests.simulations.pianos import AGES
from tests.simulations.promise import promise

TABLES = load_tables()


@pytest.mark.parametrize(("kind", "age"), AGES)
@pytest.mark.parametrize("seen", [0.0, 0.3, 0.7])
def test_the_range_holds_the_truth_as_often_as_it_says(kind, age, seen):
    pianos = 120 if seen else 600
    found = coverage(kind, age, seen, pianos, TABLES, draws=256)
    assert found.inside + found.below + found.above == pianos
    # Wilson's interval of what was counted must reach into 80 ± 3 %. Seen in part, old instruments err on the wide
    # side: what was not inspected may only turn out worse, and 85 to 90 % of the truths lie within. The aim of 80 % is
    # not met there; what is held here is that it gets no worse.
    low, high = share_interval(found.inside, pianos)
    assert low <= (0.83 if seen == 0.0 or age < 60 else 0.86)
    assert high >= 0.77


@pytest.mark.parametrize(("kind", "age"), AGES)
@pytest.mark.parametrize("minutes", [10.0, 30.0])
def test_a_visit_narrows_the_range_as_it_promised(kind, age, minutes):
    kept = promise(kind, age, minutes, 40, TABLES, draws=256)
    if kept.promised <= 1.0:  # ten minutes tell next to nothing of a nearly new instrument, and say so
        assert abs(kept.realised - kept.promised) <= 1.0 + 2.0 * kept.error
        return
    # Two standard errors for the few visits of this run; over 200 the ratio itself lies within 0.8 and 1.25.
    assert kept.realised + 2.0 * kept.error >= 0.8 * kept.promised
    assert kept.realised - 2.0 * kept.error <= 1.25 * kept.promised
