from dataclasses import replace
from decimal import Decimal

import pytest

from appraise.services.quantity import Refused, money, number, quantity, tolerance, with_unit
from appraise.tables.rows import CheckKind


@pytest.fixture
def torque(tables):
    return tables.checks["pin_torque"]


def test_comma_and_point_read_alike(torque):
    assert quantity("7,4", torque) == quantity("7.4", torque) == quantity(" 7.4 N·m ", torque) == 7.4


def test_another_unit_is_converted(torque):
    # 1 in·lbf = 0.0254 m × 0.45359237 kg × 9.80665 m/s² (yard and pound agreement 1959; standard gravity, CGPM 1901)
    assert quantity("65 in·lb", torque) == pytest.approx(65 * 0.0254 * 0.45359237 * 9.80665, abs=1e-6)
    assert quantity("65 in-lb", torque) == quantity("65 IN-LB", torque)


@pytest.mark.parametrize("text", ["", "abc", "1e3", "1_000", "nan", "inf", "7.4.1", "7,4,1", "--7"])
def test_what_is_no_number_is_refused(torque, text):
    with pytest.raises(Refused):
        quantity(text, torque)


def test_a_unit_that_does_not_fit_names_those_that_do(torque):
    with pytest.raises(Refused, match="N·m"):
        quantity("7 mm", torque)


def test_implausible_shows_the_range(torque):
    low, high = torque.plausible
    with pytest.raises(Refused, match=f"{low:g} to {high:g} N·m"):
        quantity("4000", torque)


def test_counts_are_whole_and_not_negative(tables):
    count = next(check for check in tables.checks.values() if check.kind is CheckKind.COUNT)
    assert quantity("3", count) == 3
    for text in ("2.5", "-1"):
        with pytest.raises(Refused):
            quantity(text, replace(count, plausible=None))


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("48000", "48000"),
        ("48 000,50", "48000.50"),
        ("48'000.50", "48000.50"),
        ("48.000,50", "48000.50"),
        ("48,000.50", "48000.50"),
        ("62,5", "62.5"),
        ("-120", "-120"),
    ],
)
def test_money_as_people_write_it(text, amount):
    assert money(text) == Decimal(amount)


@pytest.mark.parametrize("text", ["48.000", "48,000", "1.2.3", "EUR 5", "", "5.", "1,000,00"])
def test_money_that_is_unclear_is_refused(text):
    with pytest.raises(Refused):
        money(text)


def test_number_refuses_a_unit():
    assert number("-3,5") == -3.5
    with pytest.raises(Refused):
        number("3 mm")


def test_tolerance_follows_the_anchors(torque):
    two_sided = replace(torque, anchors=((2.0, 5.0), (4.0, 3.0), (6.0, 1.0), (10.0, 1.0), (12.0, 3.0)))
    assert tolerance(two_sided) == "sound 5 to 11 N·m · needs work up to 3.5 N·m"
    assert tolerance(replace(torque, anchors=())) == ""
    assert with_unit(7.0, "N·m") == "7 N·m"
