"""Every setting has a plausible range of its own; a table of one's own is refused in one line, or works."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from appraise.engine.valuation import value_case
from appraise.model.problem import Unreadable
from appraise.tables.columns import shown
from appraise.tables.load import load_from, load_tables
from tests.helpers.depth import examples
from tests.helpers.report_cases import CASES

TABLES = load_tables()
SETTINGS = tuple(TABLES.settings.values())


def row_of(setting, value, more=""):
    """Return a row that lays another value over a setting."""
    return (
        f'[[row]]\nkey = "{setting.key}"\nvalue = {value!r}\nunit = "{setting.unit}"\nmeans = "x"\n'
        f'standing = "our assumption"\nsource = "none"\n{more}\n'
    )


def laid_over(folder, rows):
    """Load the tables with some rows laid over the settings; return them, or the problems."""
    (folder / "settings.toml").write_text("".join(rows), encoding="utf-8")
    load_from.cache_clear()
    try:
        return load_tables(folder), ()
    except Unreadable as refused:
        return None, refused.problems


numbers = (
    st.sampled_from((0.0, -0.0, -1.0, 1.0, -5.0, 50.0, 60.0, 1e12, 1e-300, 1e300, 0.5, 2.5))
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.integers(-(2**70), 2**70)
)


@st.composite
def overlays(draw):
    """Some settings with a number each: any at all, or one in the range of the setting, its ends among them."""
    chosen = draw(st.lists(st.sampled_from(SETTINGS), min_size=1, max_size=6, unique_by=lambda row: row.key))
    found = []
    for row in chosen:
        inside = st.sampled_from((row.least, row.most)) | st.floats(row.least, row.most)
        value = draw(inside | numbers)
        found.append((row, float(int(value)) if row.whole and draw(st.booleans()) else value))
    return found


@pytest.mark.parametrize("setting", SETTINGS, ids=lambda row: row.key)
def test_every_setting_states_its_range_and_keeps_it(setting):
    assert setting.least < setting.most
    assert setting.least <= setting.value <= setting.most
    assert not setting.whole or setting.value == int(setting.value)


@pytest.mark.parametrize("setting", SETTINGS, ids=lambda row: row.key)
def test_a_number_outside_its_range_is_refused_in_one_line(setting, tmp_path):
    beyond = (math.nextafter(setting.least, -math.inf), math.nextafter(setting.most, math.inf), 1e300, -1e300)
    for value in beyond if not setting.whole else (setting.least - 1, setting.most + 1, setting.least + 0.5):
        if setting.least <= value <= setting.most and value == int(value):
            continue  # so large that half of one is nothing
        _, problems = laid_over(tmp_path, [row_of(setting, value)])
        assert [problem.key for problem in problems] == ["row[1].value"]
        line = str(problems[0])
        assert "\n" not in line
        assert line.startswith(f"{tmp_path / 'settings.toml'}:3: ")
        assert re.search(r"found \S+, expected a (whole )?number from \S+ to \S+$", line), line


@pytest.mark.parametrize("name", sorted(CASES))
@settings(max_examples=examples(12))
@given(rows=overlays())
def test_settings_of_ones_own_are_refused_in_lines_or_work(name, rows, tmp_path_factory):
    folder = tmp_path_factory.mktemp("own")
    tables, problems = laid_over(folder, [row_of(row, value) for row, value in rows])
    if tables is None:
        for problem in problems:
            line = str(problem)
            assert "\n" not in line
            assert line.startswith(f"{folder / 'settings.toml'}:")
            assert problem.found
            assert problem.expected
        return
    found = value_case(CASES[name](), tables, draws=100)
    for span in filter(None, (found.value, found.exact, found.share_of_new, found.salvage, found.left_alone)):
        assert all(map(math.isfinite, (span.low, span.mid, span.high)))
        assert span.low <= span.mid <= span.high


@pytest.mark.parametrize(
    ("key", "value", "expected"),
    [
        ("low_percentile", 60, "a number from 1 to 45"),
        ("salvage_grand_high", 0, "a number from 0.0001 to 0.5"),
        ("salvage_grand_low", 0.05, "at most salvage_grand_typical, 0.016"),
        ("salvage_grand_high", 0.01, "at least salvage_grand_typical, 0.016"),
        ("draws", 10, "a whole number from 64 to 65536"),
        ("draws", 1e12, "a whole number from 64 to 65536"),
        ("draws", 100.5, "a whole number from 64 to 65536"),
        ("seed", -5, "a whole number from 0 to"),
        ("grade_sd_seen", -0.1, "a number from 0.05 to 1"),
        ("unknown_age_low", 130, "less than unknown_age_high, 110"),
        ("share_grade_3_pct", 70, "less than share_grade_4_pct, 67"),
    ],
)
def test_settings_that_make_no_sense_are_refused(key, value, expected, tmp_path):
    _, problems = laid_over(tmp_path, [row_of(TABLES.settings[key], value)])
    (problem,) = problems
    assert problem.line == 3
    assert problem.found == f"{value:.15g}"
    assert problem.expected.startswith(expected)


def test_a_row_of_ones_own_keeps_the_range_of_ours(tmp_path):
    draws = TABLES.settings["draws"]
    tables, _ = laid_over(tmp_path, [row_of(draws, 500)])
    own = tables.settings["draws"]
    assert (own.least, own.most, own.whole, own.yours) == (64, 65536, True, True)
    _, problems = laid_over(tmp_path, [row_of(draws, 500, "most = 1e12")])
    assert [problem.key for problem in problems] == ["row[1].most"]
    narrower, _ = laid_over(tmp_path, [row_of(draws, 500, "most = 1000")])
    assert narrower.settings["draws"].most == 1000
    _, problems = laid_over(tmp_path, [row_of(draws, 500, "most = 400")])
    assert [problem.key for problem in problems] == ["row[1].value"]


def test_a_setting_that_nothing_reads_is_refused(tmp_path):
    row = row_of(TABLES.settings["draws"], 500).replace('"draws"', '"drwas"')
    _, problems = laid_over(tmp_path, [row])
    (problem,) = problems
    assert problem.found == shown("drwas")
    assert problem.mend == "did you mean draws?"
