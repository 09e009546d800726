from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from appraise.model.problem import InputError
from appraise.model.quantities import Units, grade_typed, in_unit, money, number, with_unit
from appraise.services.fields import parse
from appraise.services.particulars import CLAIM, SECTIONS
from appraise.services.quantity_limits import quantity_of, tolerance
from appraise.tables.rows import CheckKind
from tests.helpers.worksheet_cases import bare


@pytest.fixture
def torque(tables):
    return tables.checks["pin_torque"]


def test_comma_and_point_read_alike(torque):
    assert (
        quantity_of(torque).read("7,4")
        == quantity_of(torque).read("7.4")
        == quantity_of(torque).read(" 7.4 N·m ")
        == 7.4
    )


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("6 500", 6500),
        ("6.500,00", 6500),
        ("6,500.00", 6500),
        ("1.000.000", 1_000_000),
        ("6'500.5", 6500.5),
        ("6,500", 6.5),  # a single mark is the decimal one where a measure is read
        ("2½", 2.5),
        ("½", 0.5),
        ("10 ¾", 10.75),
        ("-2½", -2.5),
        ("seven point four", 7.4),
        ("Seven", 7),
        ("minus twenty-one point zero five", -21.05),
        ("six thousand five hundred", 6500),
        ("two hundred forty point five", 240.5),
    ],
)
def test_numbers_as_people_write_and_dictate_them(text, value):
    assert number(text) == value


@pytest.mark.parametrize(
    "text",
    ["7.400.00", "1,00,000", "seven point", "point four", "½½", "6 5000", "seven eleventy", "6.500,00,0"],
)
def test_what_only_looks_like_a_number_is_refused(text):
    with pytest.raises(InputError) as refused:
        number(text)
    assert refused.value.expected.startswith("a number")
    assert "“" in refused.value.found


def test_a_dictated_quantity_has_its_unit(torque):
    assert in_unit("seven point four mm", "mm") == 7.4
    assert quantity_of(torque).read("seven point four") == 7.4
    assert in_unit("2½ cm", "mm") == 25.0


def test_an_error_keeps_its_parts_apart():
    refused = InputError("“x”", "a number", "write 3").about("temperature").about("--log")
    assert str(refused) == "--log: temperature: found “x”, expected a number; write 3"
    assert (refused.found, refused.expected, refused.mend) == ("“x”", "a number", "write 3")
    assert str(InputError("write a name")) == "write a name"


def test_another_unit_is_converted(torque):
    # 1 in·lbf = 0.0254 m × 0.45359237 kg × 9.80665 m/s² (yard and pound agreement 1959; standard gravity, CGPM 1901)
    assert quantity_of(torque).read("65 in·lb") == pytest.approx(65 * 0.0254 * 0.45359237 * 9.80665, abs=1e-6)
    assert quantity_of(torque).read("65 in-lb") == quantity_of(torque).read("65 IN-LB")


@pytest.mark.parametrize("text", ["", "abc", "1e3", "1_000", "nan", "inf", "7.4.1", "7,4,1", "--7"])
def test_what_is_no_number_is_refused(torque, text):
    with pytest.raises(InputError):
        quantity_of(torque).read(text)


def test_a_unit_that_does_not_fit_names_those_that_do(torque):
    with pytest.raises(InputError, match="N·m"):
        quantity_of(torque).read("7 mm")


def test_implausible_shows_the_range(torque):
    low, high = torque.plausible
    with pytest.raises(InputError, match=f"{low:g} to {high:g} N·m"):
        quantity_of(torque).read("4000")


def test_counts_are_whole_and_not_negative(tables):
    count = next(check for check in tables.checks.values() if check.kind is CheckKind.COUNT)
    assert quantity_of(count).read("3") == 3
    for text in ("2.5", "-1"):
        with pytest.raises(InputError):
            quantity_of(replace(count, plausible=None)).read(text)


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
    with pytest.raises(InputError):
        money(text)


def test_number_refuses_a_unit():
    assert number("-3,5") == -3.5
    with pytest.raises(InputError):
        number("3 mm")


def test_what_is_counted_has_whole_bounds(tables):
    for check in tables.checks.values():
        if check.kind is CheckKind.COUNT and check.anchors:
            assert "." not in tolerance(check), check.key


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
        assert quantity_of(length).read(text) == pytest.approx(inches * 25.4, abs=1e-4)
        assert in_unit(text, "mm") == pytest.approx(inches * 25.4, abs=1e-4)

    def test_a_fraction_alone_is_in_inches_where_these_are_meant(self, length):
        assert quantity_of(length).read("3/8", Units.INCH) == pytest.approx(0.375 * 25.4, abs=1e-4)
        assert in_unit("1-3/4", "mm", meant="in") == pytest.approx(1.75 * 25.4, abs=1e-4)

    @pytest.mark.parametrize("text", ["3/8", "1/0 in", "1 3/4", "3/8/2 in"])
    def test_a_fraction_needs_a_unit_and_a_bottom(self, length, text):
        with pytest.raises(InputError):
            quantity_of(length).read(text)


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
            with pytest.raises(InputError, match="2026-11-20"):
                parse(day, text, bare(), tables)

    def test_how_reports_are_written_can_be_chosen(self, tables):
        where, units = self.field("assignment", "locale"), self.field("assignment", "units")
        assert parse(where, "de-ch", bare(), tables) == "de_CH"
        assert parse(where, "", bare(), tables) == ""
        assert parse(units, "inch", bare(), tables) is Units.INCH
        with pytest.raises(InputError, match="did you mean"):
            parse(where, "de_CX", bare(), tables)


@pytest.mark.parametrize(
    ("text", "currency", "locale", "amount"),
    [
        ("£6,500", "GBP", "", "6500"),
        ("6,500 GBP", "GBP", "", "6500"),
        ("gbp 6500.50", "GBP", "", "6500.50"),
        ("6 500", "GBP", "", "6500"),
        ("6.500,00", "EUR", "", "6500.00"),
        ("6.500", "EUR", "de_DE", "6500"),
        ("6,500", "EUR", "en_IE", "6500"),
        ("€ 6.500", "EUR", "", "6500"),
        ("$12,000", "USD", "", "12000"),
        ("$12,000", "CAD", "", "12000"),
        ("1'250.00 CHF", "CHF", "de_CH", "1250.00"),
    ],
)
def test_money_with_its_currency_and_by_the_locale(text, currency, locale, amount):
    assert money(text, currency, locale) == Decimal(amount)


@pytest.mark.parametrize(
    ("text", "currency", "locale"),
    [
        ("6,500", "GBP", ""),  # nothing says which
        ("6,500", "EUR", "de_DE"),  # there the comma stands before the fraction, and no amount has three places of it
        ("€6500", "GBP", ""),
        ("6.500 KWD", "KWD", ""),  # which has thousandths
        ("£", "GBP", ""),
    ],
)
def test_money_that_two_would_read_differently_is_refused(text, currency, locale):
    with pytest.raises(InputError):
        money(text, currency, locale)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("5 ft 10", 70),
        ("5ft 10 in", 70),
        ("6'1\"", 73),
        ("6′ 1 1/2″", 73.5),
        ("4 ft 8-1/2", 56.5),
        ("5'0", 60),
        ("5 feet 3/4 in", 60.75),
    ],
)
def test_feet_and_inches(text, inches):
    assert in_unit(text, "mm") == pytest.approx(inches * 25.4)


@pytest.mark.parametrize("text", ["5 ft 13", "5 ft 1/0", "5 ft 10 kg", "5' 10' 3"])
def test_feet_and_inches_that_cannot_be(text):
    with pytest.raises(InputError):
        in_unit(text, "mm")


@pytest.mark.parametrize(
    ("text", "grade"),
    [("2", 2.0), ("2.", 2.5), ("2.5", 2.5), ("2,5", 2.5), ("2½", 2.5), ("25", 2.5), ("2.0", 2.0), ("5", 5.0)]
    + [(text, None) for text in ("", "0", "6", "5.5", "5½", "55", "2.3", "23", "255", "2..5", "½", "²")],
)
def test_a_grade_as_it_is_typed(text, grade):
    assert grade_typed(text) == grade
