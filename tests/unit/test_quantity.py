from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from appraise.model.manner import Units
from appraise.services.amounts import in_unit, money, number
from appraise.services.fields import parse
from appraise.services.particulars import CLAIM, SECTIONS
from appraise.services.quantity import quantity, tolerance
from appraise.services.refused import Refused
from appraise.services.shown import with_unit
from appraise.tables.rows import CheckKind
from tests.helpers.worksheet_cases import bare


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


class TestInches:
    """Rules and feeler gauges in inches are read in fractions; 1 in = 25.4 mm (yard and pound agreement, 1959)."""

    @pytest.fixture
    def length(self, tables):
        return replace(next(check for check in tables.checks.values() if check.unit == "mm"), plausible=(0.0, 100.0))

    @pytest.mark.parametrize(
        ("text", "inches"), [("3/8 in", 0.375), ("1 3/4 in", 1.75), ("1-3/4 inches", 1.75), ('13/32"', 13 / 32)]
    )
    def test_fractions(self, length, text, inches):
        assert quantity(text, length) == pytest.approx(inches * 25.4, abs=1e-4)
        assert in_unit(text, "mm") == pytest.approx(inches * 25.4, abs=1e-4)

    def test_a_fraction_alone_is_in_inches_where_these_are_meant(self, length):
        assert quantity("3/8", length, Units.INCH) == pytest.approx(0.375 * 25.4, abs=1e-4)
        assert in_unit("1-3/4", "mm", meant="in") == pytest.approx(1.75 * 25.4, abs=1e-4)

    @pytest.mark.parametrize("text", ["3/8", "1/0 in", "1 3/4", "3/8/2 in"])
    def test_a_fraction_needs_a_unit_and_a_bottom(self, length, text):
        with pytest.raises(Refused):
            quantity(text, length)


class TestParticulars:
    """Fields of the particulars that were typed the way people write them."""

    @staticmethod
    def field(*path):
        return next(field for _, fields in SECTIONS for field in fields if field.path == path)

    @pytest.mark.parametrize(
        ("text", "cm"), [("120", 120), ("47 in", 119.4), ("1,2 m", 120), ("6 ft", 182.9), ("1850 mm", 185)]
    )
    def test_a_size_in_any_length(self, tables, text, cm):
        assert parse(self.field("identity", "size_cm"), text, bare(), tables) == cm

    def test_a_weight_in_pounds_keeps_no_more_figures_than_a_scale_shows(self, tables):
        case = bare()
        (weight,) = [field for field in CLAIM if field.path == ("claim", "weight_kg")]
        assert parse(weight, "1058 lb", case, tables) == 479.9
        assert parse(weight, "479.905", case, tables) == 479.905
        assert parse(weight, "479.905 kg", case, tables) == 479.905

    def test_a_day_with_dots_but_not_with_strokes(self, tables):
        day = self.field("assignment", "reported")
        assert (
            parse(day, "27.11.2026", bare(), tables) == parse(day, "2026-11-27", bare(), tables) == date(2026, 11, 27)
        )
        for text in ("11/27/2026", "31.11.2026"):
            with pytest.raises(Refused, match="2026-11-20"):
                parse(day, text, bare(), tables)

    def test_how_reports_are_written_can_be_chosen(self, tables):
        where, units = self.field("assignment", "locale"), self.field("assignment", "units")
        assert parse(where, "de-ch", bare(), tables) == "de_CH"
        assert parse(where, "", bare(), tables) == ""
        assert parse(units, "inch", bare(), tables) is Units.INCH
        with pytest.raises(Refused, match="did you mean"):
            parse(where, "de_CX", bare(), tables)
