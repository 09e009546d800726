"""Units of the readings against the standards that define them.

Sources:
    International yard and pound agreement, 1959: 1 in = 25.4 mm and 1 lb = 0.45359237 kg, both exact. From memory.
    NIST Special Publication 811 (2008 edition), appendix B.8 (factors by alphabet of units): pound-force inch, ounce,
    pound, mil, degree Fahrenheit. From memory.
    Conversions of tuning-pin sizes and torques as the trade quotes them in both systems: common practice, no source.
"""

from __future__ import annotations

import pytest

from appraise.model.quantities import to_base

DEFINED = [
    # (value, unit, value in the base unit, base unit, tolerance)
    pytest.param(1, "in", 25.4, "mm", 0, id="inch-1959"),
    pytest.param(1, "thou", 0.0254, "mm", 1e-15, id="mil-sp811"),
    pytest.param(1, "cm", 10, "mm", 0, id="centimetre-si"),
    pytest.param(1, "in·lb", 0.1129848, "N·m", 5e-8, id="pound-force-inch-sp811"),
    pytest.param(1, "in-lb", 0.1129848, "N·m", 5e-8, id="pound-force-inch-hyphen"),
    pytest.param(1, "inlb", 0.1129848, "N·m", 5e-8, id="pound-force-inch-plain"),
    pytest.param(1, "oz", 28.34952, "g", 5e-6, id="ounce-avoirdupois-sp811"),
    pytest.param(16, "oz", 453.59237, "g", 1e-9, id="sixteen-ounces-are-a-pound-1959"),
    pytest.param(1, "lb", 0.45359237, "kg", 0, id="pound-1959"),
    pytest.param(32, "°F", 0, "°C", 1e-12, id="ice-point"),
    pytest.param(212, "°F", 100, "°C", 1e-12, id="steam-point"),
    pytest.param(-40, "°F", -40, "°C", 1e-12, id="where-the-scales-meet"),
    pytest.param(68, "°F", 20, "°C", 1e-12, id="reference-temperature-of-iso-1"),
    pytest.param(98.6, "F", 37, "°C", 1e-12, id="blood-heat"),
]

SPOKEN = [
    # (value, unit, rounded value in the base unit, half of its last place): common practice, no source.
    pytest.param(0.276, "in", 7.01, 0.005, id="pin-1-0"),
    pytest.param(0.282, "in", 7.16, 0.005, id="pin-2-0"),
    pytest.param(0.291, "in", 7.39, 0.005, id="pin-4-0"),
    pytest.param(0.296, "in", 7.52, 0.005, id="pin-5-0"),  # from memory
    pytest.param(2.5, "in", 63.5, 0.05, id="key-height"),
    pytest.param(80, "in·lb", 9.0, 0.05, id="torque-80"),
    pytest.param(140, "in·lb", 15.8, 0.05, id="torque-140"),
    pytest.param(60, "in·lb", 6.8, 0.05, id="torque-60"),
    pytest.param(50, "in·lb", 5.6, 0.05, id="torque-50"),
    pytest.param(35, "in·lb", 4.0, 0.05, id="torque-35"),
    pytest.param(30, "in·lb", 3.4, 0.05, id="torque-30"),
    pytest.param(25, "in·lb", 2.8, 0.05, id="torque-25"),
    pytest.param(20, "in·lb", 2.3, 0.05, id="torque-20"),
]


@pytest.mark.parametrize(("value", "unit", "expected", "base", "tolerance"), DEFINED)
def test_defined_conversion(value, unit, expected, base, tolerance):
    found, found_base = to_base(value, unit)
    assert found == pytest.approx(expected, abs=tolerance, rel=0)
    assert found_base == base


@pytest.mark.parametrize(("value", "unit", "expected", "half_place"), SPOKEN)
def test_conversion_as_the_trade_quotes_it(value, unit, expected, half_place):
    found, _ = to_base(value, unit)
    assert found == pytest.approx(expected, abs=half_place, rel=0)
