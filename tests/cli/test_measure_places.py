"""The instruments alone in another place: figures and days as its locale writes them, JSON as ever.

How figures and days are written is compared with Babel's own functions, which read the Common Locale Data Repository.
"""

from __future__ import annotations

import json
import pickle
from datetime import date

import pytest
from babel.dates import format_date
from babel.numbers import format_decimal

from appraise.model.locale_format import PLAIN, Formatter
from appraise.model.quantities import Units
from appraise.model.sentence import Amount, bounds, joined, sentence
from appraise.report.wording import manner_for

WOOD = ("measure", "wood", "--rh", "45", "--to-rh", "25", "--width", "1400mm")
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


def found(answer):
    """Return what a command gave as JSON."""
    assert answer.code == 0, answer.err
    return json.loads(answer.out)


def test_a_number_alone_is_in_the_units_asked_for_and_a_unit_that_is_typed_wins(appraise):
    wood = ("measure", "wood", "--rh", "45", "--to-rh", "25")
    bare = appraise(*wood, "--width", "55", "--temperature", "70", "--units", "inch", "--json")
    assert bare == appraise(*wood, "--width", "55in", "--temperature", "70F", "--json")
    assert found(bare)["inputs"]["width_mm"] == pytest.approx(55 * 25.4)
    assert found(bare)["inputs"]["temperature_c"] == pytest.approx((70 - 32) / 1.8)
    typed = appraise(*wood, "--width", "1400mm", "--temperature", "20 °C", "--units", "inch", "--json")
    assert typed == appraise(*wood, "--width", "1400", "--temperature", "20", "--json")


@pytest.mark.parametrize(
    ("command", "bare", "named"),
    [
        (
            ("string", "--note", "A4"),
            ("--length", "15.75", "--diameter", ".039"),
            ("--length=15.75in", "--diameter=.039in"),
        ),
        (("torque",), ("--of", "bass", "1=65", "2=60"), ("--of", "bass", "1=65in·lb", "2=60in·lb")),
        (("torque",), ("--of", "bass", "1=65", "--below", "50"), ("--of", "bass", "1=65in·lb", "--below=50in·lb")),
        (("regulation",), ("--of", "let_off", "1=0.08"), ("--of", "let_off", "1=0.08in")),
        (("regulation",), ("--of", "key_dip", "1=3/8"), ("--of", "key_dip", "1=0.375in")),
        (("sample", "--check", "key_dip"), ("A4=0.4", "C4=0.39"), ("A4=0.4in", "C4=0.39in")),
        (("touch",), ("--down", "A4=52", "--up", "A4=26"), ("--down", "A4=52g", "--up", "A4=26g")),
    ],
)
def test_every_instrument_reads_a_number_alone_in_the_units_asked_for(appraise, command, bare, named):
    answer = appraise("measure", *command, *bare, "--units", "inch", "--json")
    assert answer.code == 0, answer.err
    assert answer == appraise("measure", *command, *named, "--json")
    assert answer == appraise("measure", *command, *named, "--json", "--units", "inch")


def test_the_unit_said_for_all_wins_over_the_units_asked_for(appraise):
    pins = ("measure", "torque", "--of", "bass", "1=7.4", "2=7.1", "--json")
    assert appraise(*pins, "--units", "inch", "--unit", "N·m") == appraise(*pins)


def test_columns_of_a_file_are_in_the_units_asked_for_unless_they_say(appraise, tmp_path):
    """As on the screens: a number without a unit, in its cell or heading, is in the unit asked for."""
    path, named = tmp_path / "pins.csv", tmp_path / "named.csv"
    path.write_text("pin,torque\n1,65\n2,7.4 N·m\n", encoding="utf-8")
    named.write_text("pin,torque\n1,65 in·lb\n2,7.4\n", encoding="utf-8")
    bare = appraise("measure", "torque", "--csv", path, "--units", "inch", "--json")
    assert found(bare) == found(appraise("measure", "torque", "--csv", named, "--json"))
    path.write_text("pin,torque [N·m]\n1,7.4\n", encoding="utf-8")
    there = appraise("measure", "torque", "--csv", path, "--units", "inch", "--json")
    assert there == appraise("measure", "torque", "--csv", path, "--json")


@pytest.mark.parametrize(
    ("heading", "cell", "options", "celsius"),
    [
        ("temperature", "68", ("--units", "inch"), 20.0),
        ("temperature", "20 °C", ("--units", "inch"), 20.0),
        ("temperature (°C)", "20", ("--units", "inch"), 20.0),
        ("temperature [°F]", "68", (), 20.0),
        ("temperature", "20", (), 20.0),
    ],
)
def test_temperatures_of_a_pitch_log(appraise, tmp_path, heading, cell, options, celsius):
    path = tmp_path / "log.csv"
    path.write_text(
        f"date,note,cents,{heading}\n2025-01-12,A4,-3.5,{cell}\n2025-06-12,A4,-5,{cell}\n", encoding="utf-8"
    )
    rows = found(appraise("measure", "pitch", path, *options, "--json"))["tables"]["readings"]
    assert [row["temperature_c"] for row in rows] == pytest.approx([celsius, celsius])


@pytest.mark.parametrize(
    ("command", "said"),
    [
        (("wood", "--rh", "45", "--temperature", "300"), "found 300 °F, which cannot be"),
        (("torque", "--of", "bass", "1=2000"), "found 2000 in·lb, which cannot be"),
        (("string", "--note", "A4", "--length", "x", "--diameter", "1"), "expected a number in inches"),
    ],
)
def test_refusals_speak_in_the_units_asked_for(appraise, command, said):
    answer = appraise("measure", *command, "--units", "inch")
    assert (answer.code, answer.out) == (2, "")
    assert said in answer.err
    assert answer.err.count("\n") == 1


def test_what_a_sentence_says_of_a_temperature_agrees_with_its_figure(appraise):
    """t/°C = (t/°F − 32)/1.8: NIST SP 811, B.8, quoted from memory; −15 °C is 5 °F, −10 to 45 °C is 14 to 113."""
    wood = ("measure", "wood", "--rh", "45", "--to-rh", "25", "--temperature=-15C")
    out = appraise(*wood, "--units", "inch").out
    assert "5 °F" in next(line for line in out.splitlines() if line.strip().startswith("Temperature"))
    assert " ".join(out.split()).count("of 5 °F is unusual (14 to 113 °F is usual)") == 1  # the later air is the same
    assert "°C" not in out


def test_the_help_says_what_a_number_alone_is_in(appraise):
    for name in ("sample", "torque", "wood", "string", "regulation", "pitch"):
        said = " ".join(appraise("measure", name, "--help").out.split())
        assert "a number given alone is in them too, a unit that is typed wins" in said


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


GERMAN, INCHES = manner_for("de_DE"), Formatter("", Units.INCH)


@pytest.mark.parametrize(
    ("text", "house", "german", "inches"),
    [
        (bounds(6.8, 15.0, "N·m"), "6.8 to 15 N·m", "6,8 to 15 N·m", "60.2 to 132.8 in·lb"),
        (bounds(-10.0, -5.0, "°C"), "−10 to −5 °C", "−10 to −5 °C", "14 to 23 °F"),
        (bounds(-5.0, 0.5, "mm"), "−5 to 0.5 mm", "−5 to 0,5 mm", "−0.197 to 0.02 in"),
        (bounds(None, 4.0, "N·m"), "up to 4 N·m", "up to 4 N·m", "up to 35.4 in·lb"),
        (bounds(22.0, None, "g"), "from 22 g", "from 22 g", "from 22 g"),
        (Amount(-2.5, "%"), "−2.5 %", "−2,5 %", "−2.5 %"),
        (Amount(1.0, "s", places=1), "1.0 s", "1,0 s", "1.0 s"),
        (Amount(3.5, "mm²"), "3.5 mm²", "3,5 mm²", "3.5 mm²"),
        (Amount(0.00001234), "1.234e−05", "1.234e−05", "1.234e−05"),
        (Amount(31.7661, "cents"), "31.77 cents", "31,77 cents", "31.77 cents"),
        (Amount(12345.6, "Hz"), "12346 Hz", "12346 Hz", "12346 Hz"),
        (date(2026, 11, 20), "2026-11-20", "20. November 2026", "20 November 2026"),
    ],
)
def test_values_of_a_sentence(text, house, german, inches):
    told = sentence("notes 46-58, “{braces}” and 2.5 mm in words: {value}.", braces="{value} 1.5", value=text)
    around = "notes 46-58, “{value} 1.5” and 2.5 mm in words: "
    assert told == told.localized(PLAIN) == f"{around}{house}."
    assert told.localized(GERMAN) == f"{around}{german}."
    assert told.localized(INCHES) == f"{around}{inches}."
    assert joined(" · ", (told, told)).localized(GERMAN) == f"{around}{german}. · {around}{german}."
    assert pickle.loads(pickle.dumps(told)).localized(GERMAN) == f"{around}{german}."  # noqa: S301
