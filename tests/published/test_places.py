"""Figures, dates and money by place, against the CLDR (release 47, in Babel 2.18), ISO 4217 and NIST SP 811.

What the CLDR says is asked of Babel by other functions than the program uses, or written down here as it prints.
"""

from __future__ import annotations

from datetime import date

import pytest
from babel import Locale
from babel.core import get_global
from babel.dates import format_date
from babel.localedata import locale_identifiers
from babel.numbers import format_currency, format_decimal, list_currencies

from appraise.engine.rounding import rounding_step
from appraise.model.currency import DIGITS, minor_digits
from appraise.model.locale_format import PLAIN
from appraise.model.quantities import Units
from appraise.model.span import Span
from appraise.report.wording import manner_for, paper_for

DAY = date(1931, 5, 12)
NBSP, NARROW = "\u00a0", "\u202f"


def test_the_release_of_the_cldr():
    assert get_global("cldr")["version"] == "47"


@pytest.mark.parametrize(
    ("locale", "day", "month", "number", "share", "money"),
    [
        ("de_CH", "12. Mai 1931", "Mai 1931", "12’345.6", "46%", f"CHF{NBSP}12’300"),
        ("de_DE", "12. Mai 1931", "Mai 1931", "12.345,6", f"46{NBSP}%", f"12.300{NBSP}€"),
        ("fr_FR", "12 mai 1931", "mai 1931", f"12{NARROW}345,6", f"46{NBSP}%", f"12{NARROW}300{NBSP}€"),
        ("en_US", "May 12, 1931", "May 1931", "12,345.6", "46%", "$12,300"),
        ("en_GB", "12 May 1931", "May 1931", "12,345.6", "46%", "£12,300"),
        ("ja_JP", "1931年5月12日", "1931年5月", "12,345.6", "46%", "￥12,300"),
        ("en_IN", "12 May 1931", "May 1931", "12,345.6", "46%", "₹12,300"),
    ],
)
def test_as_the_cldr_has_it(locale, day, month, number, share, money):
    currency = {"CH": "CHF", "DE": "EUR", "FR": "EUR", "US": "USD", "GB": "GBP", "JP": "JPY", "IN": "INR"}[locale[-2:]]
    manner = manner_for(locale)
    assert manner.day(DAY) == day
    assert manner.month(DAY) == month
    assert manner.number(12345.6) == number
    assert manner.percent(0.46) == share
    assert manner.money(12_345.0, currency) == money


@pytest.mark.parametrize("locale", ["de_CH", "en_US", "ja_JP", "fr_FR", "pt_BR", "hi_IN", "sv_SE", "pl_PL"])
def test_agrees_with_whole_patterns(locale):
    """Where the CLDR's own pattern shows as many decimals, both are the same."""
    manner = manner_for(locale)
    assert manner.day(DAY) == format_date(DAY, "long", locale=locale)
    assert manner.decimal(1_234_567.891, 3) == format_decimal(1_234_567.891, locale=locale)
    # The program sets letters apart from digits, as UTS #35 asks and Babel does not.
    theirs = format_currency(1_234_567.89, "EUR", locale=locale)
    assert manner.coin(1_234_567.89, "EUR", 2).replace(NBSP, "") == theirs.replace(NBSP, "")


def test_every_locale_can_be_used():
    """No pattern of the CLDR is beyond the program."""
    for name in locale_identifiers():
        manner = manner_for(str(Locale.parse(name)))
        texts = [
            manner.day(DAY),
            manner.brief(Span.parse("1925/1931")),
            manner.exact_money(-1234.5, "KWD"),
            manner.percent(0.0456),
            manner.listed(["a", "b", "c"]),
        ]
        assert all(texts), name
        assert not any(mark in text for text in texts for mark in "\u200e\u200f"), name


MINOR = [("JPY", 0), ("KRW", 0), ("CLP", 0), ("EUR", 2), ("CHF", 2), ("ISK", 0), ("KWD", 3), ("TND", 3), ("CLF", 4)]
"""Exponents of ISO 4217, from memory of its list one."""


@pytest.mark.parametrize(("currency", "digits"), MINOR)
def test_minor_units(currency, digits):
    assert minor_digits(currency) == digits
    amount = 12.0 + 10.0**-digits
    text = PLAIN.exact_money(amount, currency)
    assert text == f"{currency} {amount:.{digits}f}" if digits else text == f"{currency} 13"
    assert rounding_step(1e-9, 0.001, currency) == pytest.approx(10.0**-digits)


def test_the_codes_are_those_in_use():
    """Every code is one of the CLDR's; every currency that is tender somewhere today is there."""
    assert set(DIGITS) <= set(list_currencies())
    tender = {
        code
        for rows in get_global("territory_currencies").values()
        for code, _, until, is_tender in rows
        if until is None and is_tender
    }
    assert len(tender) > 140
    assert tender <= set(DIGITS)


@pytest.mark.parametrize(
    ("value", "unit", "shown"),
    [
        (25.4, "mm", "1 in"),  # exact: NIST SP 811, B.8
        (9.5, "mm", "0.374 in"),
        (185.0, "cm", "72.8 in"),
        (0.45359237, "kg", "1 lb"),  # exact
        (217.7243376, "kg", "480 lb"),
        (0.028316846592, "m³", "1 ft³"),  # exact, from the foot
        (7.4, "N·m", "65.5 in·lb"),  # 1 in·lbf = 0.112 984 8 N·m
        (0.0, "°C", "32 °F"),
        (-40.0, "°C", "-40 °F"),
        (100.0, "°C", "212 °F"),
        (50.0, "g", "50 g"),
        (45.0, "%", "45%"),
    ],
)
def test_inches(value, unit, shown):
    assert Units.INCH == "inch"
    assert manner_for("", Units.INCH).quantity(value, unit).replace("−", "-") == shown
    assert manner_for("en_US", Units.INCH).quantity(value, unit) == shown


def test_paper():
    """The CLDR's supplemental data on paper sizes, from memory: Babel leaves them out."""
    assert {name: paper_for(name) for name in ("en_US", "fr_CA", "es_MX", "en_PH")} == dict.fromkeys(
        ("en_US", "fr_CA", "es_MX", "en_PH"), "letter"
    )
    for name in ("", "de_CH", "en_GB", "ja_JP", "es_ES", "pt_BR", "en", "fr"):
        assert paper_for(name) == ("letter" if name == "en" else "a4"), name
