"""The survival that is drawn, against the Weibull distribution of a general-purpose library.

Reference: SciPy, scipy.stats.weibull_min, conditional survival sf(a + t) / sf(a).
"""

from __future__ import annotations

from math import prod

import pytest
from scipy.stats import weibull_min

from appraise.engine.life import first_to_fail, life_share, remaining_range, surviving, weibull
from appraise.report.charts import condition
from tests.report.conftest import valued


@pytest.mark.parametrize("name", ["grand", "young", "watched", "unwanted"])
def test_every_drawn_point_is_the_conditional_survival(name):
    item = valued(name)
    first, *alone = condition.survival(item).chart.curves
    lead = item.tables.setting("due_lead")
    survivals = {}
    for key in item.valuation.next_intervention.competing:
        part = item.valuation.component(key)
        fitted = weibull(part.life_years.low, part.life_years.mid, part.life_years.high)
        reference = weibull_min(fitted.shape, scale=fitted.scale)
        assert not part.due
        share = max(life_share(part.grade.mid, item.tables.components[key].due_from, lead), 1e-3)
        age = part.effective_age_years

        def expected(years, reference=reference, share=share, age=age):
            return reference.sf(age + years / share) / reference.sf(age)

        survivals[key] = expected
    for curve in alone:
        expected = survivals[curve.figure.partition(".")[0]]
        for years, left in curve.points:
            assert left == pytest.approx(100 * expected(years), abs=1e-6)
    for years, left in first.points:
        assert left == pytest.approx(100 * prod(float(each(years)) for each in survivals.values()), abs=1e-6)


@pytest.mark.parametrize(
    ("low", "typical", "high", "age"), [(20.0, 40.0, 70.0, 0.0), (20.0, 40.0, 70.0, 55.0), (60, 110, 180, 95)]
)
@pytest.mark.parametrize("share", [1.0, 0.4])
def test_surviving_is_the_inverse_of_the_remaining_life(low, typical, high, age, share):
    life = weibull(low, typical, high)
    left = remaining_range(life, age, share)
    for years, chance in ((left.low, 0.9), (left.mid, 0.5), (left.high, 0.1)):
        assert surviving(years, [life], [age], [share]) == pytest.approx(chance)
    pair = first_to_fail([life, life], [age, age], [share, share])
    assert surviving(pair.mid, [life, life], [age, age], [share, share]) == pytest.approx(0.5, abs=1e-4)
    assert surviving(0.0, [life, life], [age, age]) == 1.0
