"""The instruments alone in another place: figures and days as its locale writes them, JSON as ever.

How figures and days are written is compared with Babel's own functions, which read the Common Locale Data Repository.
"""

from __future__ import annotations

from datetime import date

import pytest
from babel.dates import format_date
from babel.numbers import format_decimal

from appraise.model.manner import PLAIN, Manner, Units
from appraise.report.respelt import respelt
from appraise.report.wording import manner_for

WOOD = ("measure", "wood", "--rh", "45", "--to-rh", "25", "--width", "1400")
LOG = """\
date,note,cents
2025-01-12,A4,-3.5
2025-06-12,A4,-5
2025-12-12,A4,-9.5
2026-06-12,A4,-11
"""


@pytest.mark.parametrize("locale", ["de_DE", "de_CH", "fr_FR", "en_US"])
def test_figures_as_the_locale_writes_them(appraise, locale):
    out = appraise(*WOOD, "--locale", locale).out
    shown = [line for line in out.splitlines() if "Change of width" in line or "Width across" in line]
    width, change = format_decimal(1400, locale=locale), format_decimal(6.44, locale=locale)
    assert any(line.endswith(f" {width} mm") for line in shown)
    assert any(f"−{change} mm" in line for line in shown)


@pytest.mark.parametrize("locale", ["de_DE", "fr_FR", "en_GB"])
def test_days_as_the_locale_writes_them(appraise, tmp_path, locale):
    path = tmp_path / "log.csv"
    path.write_text(LOG, encoding="utf-8")
    plain = appraise("measure", "pitch", path).out
    assert "2025-01-12" in plain
    out = " ".join(appraise("measure", "pitch", path, "--locale", locale).out.split()).replace("\u202f", " ")
    assert format_date(date(2025, 1, 12), "long", locale=locale) in out
    assert "2025-01-12" not in out
    assert f"−{format_decimal(9.5, locale=locale)}" in out


def test_inches_on_request(appraise):
    out = appraise(*WOOD, "--units", "inch").out
    assert "55.12 in" in out  # 1400 / 25.4
    assert "68 °F" in out
    assert " mm" not in out


def test_json_is_the_same_in_every_place(appraise):
    there = appraise(*WOOD, "--json", "--locale", "de_DE", "--units", "inch")
    assert there == appraise(*WOOD, "--json")


def test_a_locale_that_nobody_knows_is_refused(appraise):
    answer = appraise(*WOOD, "--locale", "xx_YY")
    assert (answer.code, answer.out) == (2, "")
    assert "--locale" in answer.err


@pytest.mark.parametrize("instrument", ["sample", "touch", "torque", "string", "beats", "dating"])
def test_every_instrument_has_the_option(appraise, instrument):
    assert "--locale" in appraise("measure", instrument, "--help").out


GERMAN, INCHES = manner_for("de_DE"), Manner("", Units.INCH)


@pytest.mark.parametrize(
    ("text", "german", "inches"),
    [
        ("sound 6.8 to 15 N·m", "sound 6,8 to 15 N·m", "sound 60.2 to 132.8 in·lb"),
        ("1,234.5 mm, or 3 mm.", "1.234,5 mm, or 3 mm.", "48.602 in, or 0.118 in."),
        ("A4 at 440 Hz in 1931", "A4 at 440 Hz in 1931", "A4 at 440 Hz in 1931"),
        ("notes 46-58, C3-E3 and 40–44", "notes 46-58, C3-E3 and 40–44", "notes 46-58, C3-E3 and 40–44"),
        (
            "equation 4-5, A228/A228M, table 13.5a",
            "equation 4-5, A228/A228M, table 13.5a",
            "equation 4-5, A228/A228M, table 13.5a",
        ),
        ("5 °C warmer, −2.5 %", "5 °C warmer, −2,5 %", "5 °C warmer, −2.5 %"),
        ("on 2026-11-20, at 10:30", "on 20. November 2026, at 10:30", "on 20 November 2026, at 10:30"),
        ("2026-13-40 is no day", "2026-13-40 is no day", "2026-13-40 is no day"),
        ("3.5 mm² and 12.5 kg/m³", "3,5 mm² and 12,5 kg/m³", "3.5 mm² and 12.5 kg/m³"),
    ],
)
def test_sentences_turned_over(text, german, inches):
    assert respelt(text, PLAIN) == text
    assert respelt(text, GERMAN) == german
    assert respelt(text, INCHES) == inches
