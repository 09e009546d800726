"""Two figures that do not agree: the widening of their mean against a general library of statistics.

Source:
    statsmodels, `stats.meta_analysis.combine_effects`: the fixed-effect mean of several estimates with the variance of
    Hartung, Knapp, Sidik and Jonkman, which multiplies that of the weighted mean by Q / (k − 1). Its root is the Birge
    ratio (R. T. Birge, Phys. Rev. 40, 1932; the scale factor of the Particle Data Group; both from memory) where that
    is above 1.
"""

from __future__ import annotations

from math import hypot, sqrt

import numpy as np
import pytest
from statsmodels.stats.meta_analysis import combine_effects

from appraise.engine.setup import disagreement, inverse_variance_weights


@pytest.mark.parametrize("apart", [0.4, 0.8, 1.5, 2.6])
@pytest.mark.parametrize("deviations", [(0.1, 0.1), (0.4, 0.15), (0.08, 0.3)])
def test_the_widened_mean_is_as_unsure_as_its_scatter_shows(apart, deviations):
    reference = combine_effects(np.array([0.0, apart]), np.square(deviations), method_re="dl")
    scatter = sqrt(reference.q / (2 - 1))
    weights = inverse_variance_weights(deviations)
    of_mean = hypot(*(weight * deviation for weight, deviation in zip(weights, deviations, strict=True)))
    widened = hypot(of_mean, disagreement(apart, deviations, weights))
    assert of_mean == pytest.approx(reference.sd_eff_w_fe)
    if scatter <= 1.0:
        assert widened == of_mean
    else:
        assert widened == pytest.approx(reference.sd_eff_w_fe_hksj)


def test_agreement_does_not_narrow():
    assert disagreement(0.0, (0.1, 0.2), (0.8, 0.2)) == 0.0
    assert disagreement(0.1, (0.1, 0.2), (0.8, 0.2)) == 0.0
    assert disagreement(-0.9, (0.1, 0.2), (0.8, 0.2)) == disagreement(0.9, (0.1, 0.2), (0.8, 0.2)) > 0.0
    assert disagreement(1.0, (0.0, 0.0), (0.5, 0.5)) == 0.0
