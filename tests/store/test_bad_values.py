"""Good TOML with something wrong in it: where, what was found, what was expected, how to mend it."""

from __future__ import annotations

from datetime import date

import pytest

from appraise.model.span import Span

MONEY = 'expected an amount as a decimal number in quotes, such as "48000.00"'
DAY = "expected a day written as 2026-11-20, without quotes"
WHEN = 'expected a year such as 1931, "1931-05", "1925/1931", or a day such as 1931-05-12'
STEPS = "expected a grade from 1 (as new) to 5 (worn out), in half steps"
UNITS = 'expected a unit for "pin_torque": "N·m", "Nm", "in·lb", "in-lb", "inlb"'


def test_the_good_file_has_no_problems(problems_of, good):
    case, problems = problems_of(good)
    assert problems == []
    assert case.identity.made == Span.parse("1925/1931")


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ('kind = "grand"', 'kind = "gran"', '7: identity.kind: found "gran", expected "grand" or "upright"'),
        ('kind = "grand"', "kind = 3", '7: identity.kind: found 3, expected "grand" or "upright"'),
        ('kind = "grand"\n', "", '6: identity.kind: found nothing, expected "grand" or "upright"'),
        (
            "maker =",
            "maekr =",
            '8: identity.maekr: found an unknown key, expected a key of [identity]; did you mean "maker"?',
        ),
        (
            "maker =",
            "purpose =",
            "8: identity.purpose: found an unknown key, expected a key of [identity]; it belongs to [assignment]",
        ),
        ('"Oskelmoor & Sons"', "12", "8: identity.maker: found 12, expected a text in quotes"),
        ('"Oskelmoor & Sons"', "[]", "8: identity.maker: found a list of 0, expected a text in quotes"),
        ("= 185", "= nan", "9: identity.size_cm: found nan, expected a finite number"),
        ("= 185", "= inf", "9: identity.size_cm: found inf, expected a finite number"),
        ("= 185", "= -inf", "9: identity.size_cm: found -inf, expected a finite number"),
        ("= 185", "= true", "9: identity.size_cm: found true, expected a number"),
        (
            "= 185",
            '= "185,5"',
            '9: identity.size_cm: found "185,5", expected a number; write 185.5 without quotes',
        ),
        ("= 185", "= 1850", "9: identity.size_cm: found 1850, expected a number of at most 500"),
        (
            "= 185",
            "= " + "9" * 400,
            "9: identity.size_cm: found a whole number of too many digits, expected a number",
        ),
        ('"1925/1931"', '"1931/1925"', '10: identity.made: found "1931/1925", expected the earlier date first'),
        ('"1925/1931"', '"about 1930"', f'10: identity.made: found "about 1930", {WHEN}'),
        ('"1925/1931"', "193", "10: identity.made: found 193, expected a year from 1600 to 2200"),
        ('"1925/1931"', '"1925/2201"', '10: identity.made: found "1925/2201", expected a year from 1600 to 2200'),
        ('"1925/1931"', "1930.0", f"10: identity.made: found 1930.0, {WHEN}"),
        ('"1925/1931"', '"1930-13"', f'10: identity.made: found "1930-13", {WHEN}'),
        (
            "shellac",
            "shelac",
            '11: identity.finish: found "shelac", expected a finish of the table lives: "polyester", "shellac"; '
            'did you mean "shellac"?',
        ),
        (
            "2026-11-20",
            '"2026-11-20"',
            f'14: assignment.inspected: found "2026-11-20", {DAY}; write 2026-11-20 without quotes',
        ),
        ("2026-11-20", "2026", f"14: assignment.inspected: found 2026, {DAY}"),
        ("2026-11-20", "2026-11-20T10:00:00", f"14: assignment.inspected: found 2026-11-20T10:00:00, {DAY}"),
        (
            "private_sale",
            "privat_sale",
            '15: assignment.basis: found "privat_sale", expected a row of the table bases: "private_sale", '
            '"retail", "auction"; did you mean "private_sale"?',
        ),
        (
            '"EUR"',
            '"euro"',
            '16: assignment.currency: found "euro", expected three capital letters of ISO 4217, such as EUR',
        ),
        (
            '["hammers"]',
            '["hamers"]',
            '19: renewals[1].components[1]: found "hamers", expected a component of the table components; '
            'did you mean "hammers"?',
        ),
        ('["hammers"]', '"hammers"', '19: renewals[1].components: found "hammers", expected a list in square brackets'),
        ('["hammers"]', "[]", "19: renewals[1].components: found a list of 0, expected a list of at least 1"),
        (
            '["hammers"]',
            '["hammers", "hammers"]',
            '19: renewals[1].components[2]: found "hammers", expected each component once; remove one of the two',
        ),
        ("grade = 2.5", "grade = 2.4", f"24: grades[1].grade: found 2.4, {STEPS}; write 2.5"),
        ("grade = 2.5", "grade = 6", f"24: grades[1].grade: found 6, {STEPS}"),
        ("grade = 2.5", "grade = 0.5", f"24: grades[1].grade: found 0.5, {STEPS}"),
        ("grade = 2.5", "grade = nan", f"24: grades[1].grade: found nan, {STEPS}"),
        ("grade = 2.5", 'grade = "2.5"', f'24: grades[1].grade: found "2.5", {STEPS}'),
        (
            '"plate_finish"',
            '"plate_finsh"',
            '23: grades[1].check: found "plate_finsh", expected a check of the table checks; '
            'did you mean "plate_finish"?',
        ),
        (
            '"plate_finish"',
            '"hammer_cuts"',
            '23: grades[1].check: found a grade for "hammer_cuts", which is not a graded check, expected a reading; '
            'write it under [[readings]]: value and unit = "mm"',
        ),
        (
            '"pin_torque"',
            '"plate_finish"',
            '27: readings[1].check: found a reading of the graded check "plate_finish", expected a grade; '
            'write it under [[grades]]: check = "plate_finish", grade = 1 to 5',
        ),
        ("7.4", "inf", "28: readings[1].value: found inf, expected a finite number"),
        ("7.4", "nan", "28: readings[1].value: found nan, expected a finite number"),
        ("7.4", "true", '28: readings[1].value: found true, expected a number for "pin_torque"'),
        ("7.4", '"7.4"', '28: readings[1].value: found "7.4", expected a number for "pin_torque"'),
        (
            "7.4",
            "[7.4]",
            "28: readings[1].value: found a list of 1, expected a number, true or false, or a text",
        ),
        (
            "7.4",
            "74",
            '28: readings[1].value: found 74 N·m, expected 0 to 40 N·m for "pin_torque"; '
            "check the unit and the decimal point",
        ),
        ('"N·m"', '"mm"', f'29: readings[1].unit: found "mm", {UNITS}'),
        ('"N·m"', '"furlong"', f'29: readings[1].unit: found "furlong", {UNITS}'),
        ('unit = "N·m"\n', "", f'26: readings[1].unit: found nothing, {UNITS}; write unit = "N·m"'),
        ("note = 40", "note = 89", "30: readings[1].note: found 89, expected a note from 1 to 88"),
        ("note = 40", "note = 0", "30: readings[1].note: found 0, expected a note from 1 to 88"),
        ("note = 40", "note = 40.0", "30: readings[1].note: found 40.0, expected a whole number; write 40"),
        (
            '"soundboard"',
            '"soundbord"',
            '33: remarks[1].place: found "soundbord", expected a station or a component; did you mean "soundboard"?',
        ),
        (
            '"a crack beside the long bridge"',
            '" "',
            "34: remarks[1].text: found an empty text, expected a text that says something",
        ),
        ("[40, 41]", "[40, 99]", "35: remarks[1].notes[2]: found 99, expected a note from 1 to 88"),
        (
            '"48000.00"',
            "48000.0",
            f'38: market.replacement_cost_new: found 48000.0, {MONEY}; write "48000.00" in quotes',
        ),
        ('"48000.00"', "inf", f"38: market.replacement_cost_new: found inf, {MONEY}"),
        ('"48000.00"', '"0"', '38: market.replacement_cost_new: found "0", expected an amount above 0'),
        ('"48000.00"', '"0.5"', '38: market.replacement_cost_new: found "0.5", expected an amount of 1 or more'),
        ("2026-11-20", "9999-12-31", "14: assignment.inspected: found 9999-12-31, expected a year from 1600 to 2200"),
        ('"48000.00"', '"-1"', '38: market.replacement_cost_new: found "-1", expected an amount above 0'),
        (
            '"48000.00"',
            '"48,000"',
            f'38: market.replacement_cost_new: found "48,000", {MONEY}; '
            "digits with a point before the decimals, nothing between the thousands",
        ),
        ('"48000.00"', '"1e999999"', f'38: market.replacement_cost_new: found "1e999999", {MONEY}'),
        ('"48000.00"', '"NaN"', f'38: market.replacement_cost_new: found "NaN", {MONEY}'),
        (
            '"48000.00"',
            '"' + "9" * 13 + '"',
            f'38: market.replacement_cost_new: found "{"9" * 13}", expected an amount of ordinary size, at most 11 '
            "digits before the point",
        ),
        ('"62.00"', '"-62.00"', '41: costs.labour_rate: found "-62.00", expected an amount of 0 or more'),
        (
            "[costs]",
            "[cost]",
            '40: cost: found an unknown key, expected a section of a case file; did you mean "costs"?',
        ),
        ("[[renewals]]", "[renewals]", "18: renewals: found a table, expected tables, each under [[renewals]]"),
        ("[identity]", "[[identity]]", "6: identity: found a list of 1, expected a table: [identity]"),
    ],
)
def test_one_problem_one_line(spoilt, old, new, line):
    assert spoilt(old, new) == [f"case.toml:{line}"]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (
            '[[grades]]\ncheck = "plate_finish"\ngrade = 3\n',
            '43: grades[2].check: found a second grade for "plate_finish", expected one grade; remove one of the two',
        ),
        (
            '[[grades]]\ncomponent = "hammers"\ngrade = 3\n',
            '42: grades[2].reason: found nothing, expected a reason for overruling the grade of "hammers"',
        ),
        (
            "[[grades]]\ngrade = 3\n",
            "42: grades[2]: found neither check nor component, expected one of check and component",
        ),
        (
            '[[grades]]\ncheck = "plate_finish"\ncomponent = "plate"\ngrade = 3\n',
            "42: grades[2]: found both check and component, expected one of check and component",
        ),
        (
            '[[readings]]\ncheck = "plate_crack"\nvalue = "yes"\n',
            '44: readings[2].value: found "yes", expected true or false, without quotes, or "suspected" for '
            '"plate_crack"; write true',
        ),
        (
            '[[readings]]\ncheck = "loose_ribs"\nvalue = 1.5\n',
            '44: readings[2].value: found 1.5, expected a whole number of at least 0 for "loose_ribs"',
        ),
        (
            '[[readings]]\ncheck = "loose_ribs"\nvalue = 3\nunit = "mm"\n',
            '45: readings[2].unit: found "mm", expected no unit: "loose_ribs" is not a measured quantity',
        ),
        (
            '[[readings]]\ncheck = "covering_material"\nvalue = 3\n',
            '44: readings[2].value: found 3.0, expected a text in quotes for "covering_material"',
        ),
        (
            '[[readings]]\ncheck = "pin_torque"\nvalue = 700\nunit = "in·lb"\n',
            '44: readings[2].value: found 700 in·lb, expected 0 to 354 in·lb for "pin_torque"; '
            "check the unit and the decimal point",
        ),
        (
            '[[readings]]\ncheck = "room_temperature"\nvalue = 200\nunit = "°F"\n',
            '44: readings[2].value: found 200 °F, expected -4 to 122 °F for "room_temperature"; '
            "check the unit and the decimal point",
        ),
        (
            '[[renewals]]\ncomponents = ["plate"]\ngives_back_pct = 30\n',
            '44: renewals[2].gives_back_pct: found 30, expected no such key unless extent = "repaired"',
        ),
        (
            '[[renewals]]\ncomponents = ["plate"]\nclues = ["copper_dul"]\n',
            '44: renewals[2].clues[1]: found "copper_dul", expected a row of the table dating_clues: '
            '"copper_dull", "felt_soft"; did you mean "copper_dull"?',
        ),
        (
            '[[effective_ages]]\ncomponent = "hammers"\nyears = -1\nreason = "played little"\n',
            "44: effective_ages[1].years: found -1, expected a number of at least 0",
        ),
        (
            '[[effective_ages]]\ncomponent = "hammers"\nyears = 10\n',
            "42: effective_ages[1].reason: found nothing, expected why the assessor states it",
        ),
        (
            '[[market.adjustments]]\nname = "provenance"\nreason = "known owner"\n',
            "42: market.adjustments[1]: found neither pct nor amount, expected one of pct and amount",
        ),
        (
            '[[market.adjustments]]\nname = "provenance"\nreason = "known owner"\npct = -101\n',
            "45: market.adjustments[1].pct: found -101, expected a number of at least -100",
        ),
        (
            '[[remarks]]\nplace = "case"\ntext = "scratched"\nsha256 = "' + "0" * 64 + '"\n',
            f'45: remarks[2].sha256: found "{"0" * 59}…, expected a photo beside it, or no sha256',
        ),
    ],
)
def test_one_entry_more(added, text, line):
    problems = added(text)
    if "sha256" in line:
        problems = [problem.replace('"' + "0" * 59 + '…"', '"' + "0" * 59 + "…") for problem in problems]
    assert problems == [f"case.toml:{line}"]


@pytest.mark.parametrize("photo", ["/etc/passwd", "../1.jpg", "a/../../1.jpg", "C:\\\\1.jpg", "C:/1.jpg", "a\\\\b.jpg"])
def test_photos_stay_in_the_folder(added, photo):
    problems = added(f'[[remarks]]\nplace = "case"\ntext = "scratched"\nphoto = "{photo}"\n')
    assert len(problems) == 1
    assert problems[0].startswith("case.toml:45: remarks[2].photo: found ")


def test_sha256_must_have_its_form(added):
    problems = added('[[remarks]]\nplace = "case"\ntext = "x"\nphoto = "1.jpg"\nsha256 = "ABC"\n')
    assert problems == ['case.toml:46: remarks[2].sha256: found "ABC", expected 64 hexadecimal digits in lower case']


class TestDates:
    """One date against another."""

    def test_made_after_the_inspection(self, spoilt):
        assert "case.toml:10: identity.made: found 2031, expected a date up to the inspection, 2026-11-20" in spoilt(
            '"1925/1931"', "2031"
        )

    def test_renewed_after_the_inspection(self, spoilt):
        assert spoilt("date = 1998", "date = 2027") == [
            "case.toml:20: renewals[1].date: found 2027, expected a date up to the inspection, 2026-11-20"
        ]

    def test_renewed_in_the_year_of_the_inspection(self, spoilt):
        assert spoilt("date = 1998", "date = 2026") == []

    def test_made_after_the_renewal(self, spoilt):
        assert spoilt('"1925/1931"', "1999") == [
            "case.toml:20: renewals[1].date: found 1998, expected a date after the instrument was made, 1999"
        ]

    def test_intervals_that_overlap_are_no_contradiction(self, spoilt):
        assert spoilt('"1925/1931"', '"1997/2002"') == []

    def test_reported_before_the_inspection(self, spoilt):
        assert spoilt("[[renewals]]", "reported = 2026-11-19\n\n[[renewals]]") == [
            "case.toml:18: assignment.reported: found 2026-11-19, expected a day from the inspection on, 2026-11-20"
        ]

    def test_inspected_tomorrow_is_a_hint(self, problems_of, good):
        case, problems = problems_of(good, today=date(2026, 11, 19))
        assert case is not None
        assert problems == [
            "case.toml:14: assignment.inspected: found 2026-11-20, expected a day up to today, 2026-11-19"
        ]
        assert problems_of(good, today=date(2026, 11, 20))[1] == []


class TestMarket:
    """Amounts and comparables."""

    COMPARABLE = (
        '[[market.comparables]]\nlabel = "A"\nprice = "12500.00"\ndate = 2026-05-20\nsale = "auction"\n'
        "made = 1930\ngrade = 3\n"
    )

    def test_a_good_one(self, added):
        assert added(self.COMPARABLE) == []

    @pytest.mark.parametrize(
        ("old", "new", "line"),
        [
            (
                "2026-05-20",
                "2026-12-01",
                "45: market.comparables[1].date: found 2026-12-01, expected a day up to the inspection, 2026-11-20",
            ),
            (
                "1930",
                "2027",
                "47: market.comparables[1].made: found 2027, expected a date before it was sold, 2026-05-20",
            ),
            (
                "auction",
                "auktion",
                '46: market.comparables[1].sale: found "auktion", expected a row of the table bases: '
                '"private_sale", "retail", "auction"; did you mean "auction"?',
            ),
            ("grade = 3", "grade = 7", "48: market.comparables[1].grade: found 7, expected a number of at most 5"),
        ],
    )
    def test_wrong_ones(self, added, old, new, line):
        assert added(self.COMPARABLE.replace(old, new)) == [f"case.toml:{line}"]

    @pytest.mark.parametrize(
        ("more", "line"),
        [
            (
                'replacement_cost_low = "50000"',
                '39: market.replacement_cost_low: found "50000", expected at most replacement_cost_new, "48000.00"',
            ),
            (
                'replacement_cost_high = "40000"',
                '39: market.replacement_cost_high: found "40000", expected at least replacement_cost_new, "48000.00"',
            ),
            (
                "weight_cost_pct = 60",
                "37: market.weight_reason: found nothing, expected why the assessor sets the weight",
            ),
            (
                "weight_cost_pct = 160",
                "39: market.weight_cost_pct: found 160, expected a number of at most 100",
            ),
            (
                "yearly_price_change_pct = nan",
                "39: market.yearly_price_change_pct: found nan, expected a finite number",
            ),
        ],
    )
    def test_costs(self, spoilt, more, line):
        assert spoilt('"48000.00"\n', f'"48000.00"\n{more}\n') == [f"case.toml:{line}"]

    @pytest.mark.parametrize("end", ["low", "high"])
    def test_one_end_without_cost_is_pointed_out(self, problems_of, good, end):
        case, problems = problems_of(good.replace("replacement_cost_new", f"replacement_cost_{end}"))
        assert case is not None
        assert [str(problem) for problem in problems] == [
            "case.toml:37: market.replacement_cost_new: found nothing, expected the cost itself, or both "
            "replacement_cost_low and replacement_cost_high; one end alone says no value"
        ]

    def test_both_ends_without_cost_are_enough(self, problems_of, good):
        both = 'replacement_cost_low = "40000.00"\nreplacement_cost_high = "50000.00"\n'
        case, problems = problems_of(good.replace('replacement_cost_new = "48000.00"\n', both))
        assert problems == []
        assert case.market.cost_new == pytest.approx((40_000 * 50_000) ** 0.5)

    def test_ends_that_cross_without_cost(self, spoilt):
        crossed = 'replacement_cost_low = "60000.00"\nreplacement_cost_high = "50000.00"\n'
        assert spoilt('replacement_cost_new = "48000.00"\n', crossed) == [
            'case.toml:38: market.replacement_cost_low: found "60000.00", expected at most the high figure, "50000.00"'
        ]


def test_checks_and_components_of_the_other_kind(problems_of, good):
    text = good.replace('kind = "grand"', 'kind = "upright"').replace('"plate_finish"', '"knuckle_wear"')
    case, problems = problems_of(text.replace('["hammers"]', '["knuckles"]'))
    assert case is None
    assert problems == [
        'case.toml:19: renewals[1].components[1]: found "knuckles", expected a component of an upright',
        'case.toml:23: grades[1].check: found "knuckle_wear", expected a check of an upright',
    ]


def test_units_are_converted_to_those_of_the_check(problems_of, good):
    text = good.replace("value = 7.4", "value = 66").replace('unit = "N·m"', 'unit = "in·lb"')
    text += '[[readings]]\ncheck = "hammer_cuts"\nvalue = 0.1\nunit = "in"\n'
    text += '[[readings]]\ncheck = "room_temperature"\nvalue = 68\nunit = "°F"\n'
    case, problems = problems_of(text)
    assert problems == []
    # NIST Special Publication 811 (2008), appendix B.8: 1 lbf·in = 0.1129848 N·m, 1 in = 25.4 mm (exact),
    # t/°C = (t/°F − 32)/1.8; figures from memory.
    assert case.readings[0].value == pytest.approx(66 * 0.1129848, rel=1e-6)
    assert [(reading.value, reading.unit) for reading in case.readings[1:]] == [
        (pytest.approx(2.54), "mm"),
        (pytest.approx(20.0), "°C"),
    ]
    assert case.readings[0].unit == "N·m"


def test_one_slip_does_not_hide_the_next(problems_of, good):
    text = good.replace('"soundboard"', '"soundbord"').replace('text = "a crack', 'txet = "a crack')
    text = text.replace("grade = 2.5", "grade = 9").replace("plate_finish", "plate_finsh")
    text = text.replace("size_cm = 185", 'size_cm = "x"').replace("shellac", "shelac")
    case, problems = problems_of(text)
    assert case is None
    keys = {line.split(": ")[1] for line in problems}
    assert {
        "identity.size_cm",
        "identity.finish",
        "grades[1].grade",
        "remarks[1].txet",
        "remarks[1].text",
    } <= keys


def test_every_problem_is_one_line(problems_of, good):
    text = good.replace('"Oskelmoor & Sons"', '["a\\nb"]').replace("shellac", "a\\nb\\tc")
    lines = problems_of(text)[1]
    assert len(lines) == 2
    assert not [line for line in lines if "\n" in line]


def test_labour_at_nothing_without_a_rate_for_parts_is_pointed_out(problems_of, good):
    case, problems = problems_of(good.replace('labour_rate = "62.00"', 'labour_rate = "0"'))
    assert case is not None
    assert [str(problem) for problem in problems] == [
        "case.toml:40: costs.parts_rate: found nothing, expected the trade's rate an hour, where labour is 0: parts "
        "are priced by it; without it no work is costed"
    ]
    case, problems = problems_of(good.replace('labour_rate = "62.00"', 'labour_rate = "0"\nparts_rate = "62.00"'))
    assert (case.costs.parts_rate, problems) == (62, [])


def test_a_second_word_on_one_clue(problems_of, good, tables):
    key = next(iter(tables.drying_clues))
    clue = f'\n[[drying_clues]]\nclue = "{key}"\nseen = true\n'
    case, problems = problems_of(good + clue + clue.replace("true", "false"))
    assert case is None
    (problem,) = (str(each) for each in problems)
    assert f'drying_clues[2].clue: found a second word on "{key}", expected every clue once' in problem


def test_a_currency_that_is_none(problems_of, good):
    case, problems = problems_of(good.replace('currency = "EUR"', 'currency = "EUX"'))
    assert case is None
    (problem,) = (str(each) for each in problems)
    assert 'assignment.currency: found "EUX", expected a currency of ISO 4217 in use' in problem


def test_a_second_effective_age_of_one_part(problems_of, good):
    age = '\n[[effective_ages]]\ncomponent = "hammers"\nyears = 12\nreason = "seen to"\n'
    assert problems_of(good + age)[1] == []
    _, problems = problems_of(good + age + age.replace("12", "20"))
    (problem,) = (str(each) for each in problems)
    assert "effective_ages[2].component: found " in problem
