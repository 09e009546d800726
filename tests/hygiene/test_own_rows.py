"""Rows of one's own with any numbers in them are refused in one line each, or the value comes out finite."""

from __future__ import annotations

import copy
import csv
import io
import math
import tomllib

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from appraise.engine.valuation import value_case
from appraise.explain.tree import reason_tree
from appraise.model.problem import Unreadable
from appraise.tables.folder import data_folder
from appraise.tables.load import load_from, load_tables
from tests.helpers.depth import examples
from tests.helpers.report_cases import CASES

FILES = (
    "components.toml",
    "lives.csv",
    "checks/action.toml",
    "checks/soundboard.toml",
    "remedies.toml",
    "bases.toml",
    "market_factors.toml",
    "laws.toml",
    "climates.toml",
    "uses.toml",
    "dating_clues.toml",
    "condition_classes.toml",
    "priors.toml",
    "drying_stories.toml",
    "drying_clues.toml",
)
"""Tables whose numbers a value hangs on."""


def rows_of(name):
    """Return the rows of a table of ours."""
    text = (data_folder("reference_tables") / name).read_text(encoding="utf-8")
    if name.endswith(".toml"):
        return tomllib.loads(text)["row"]
    return list(csv.DictReader(line for line in text.splitlines() if line.strip() and not line.startswith("#")))


OURS = {name: rows_of(name) for name in FILES}


def places_of(value, path=()):
    """Yield the path of every number in a row."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from places_of(inner, (*path, key))
    elif isinstance(value, list):
        for place, inner in enumerate(value):
            yield from places_of(inner, (*path, place))
    elif type(value) in (int, float) or (isinstance(value, str) and value.replace(".", "", 1).isdigit()):
        yield path


def put(row, path, number):
    """Put a number in the place of another."""
    for step in path[:-1]:
        row = row[step]
    row[path[-1]] = str(number) if isinstance(row[path[-1]], str) else number


def write(folder, name, rows):
    """Write rows as a table of one's own."""
    path = folder / name
    path.parent.mkdir(exist_ok=True)
    if name.endswith(".toml"):
        path.write_bytes(tomli_w.dumps({"row": rows}).encode())
        return
    stream = io.StringIO()
    writer = csv.DictWriter(stream, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    path.write_text(stream.getvalue(), encoding="utf-8")


odd = (0.0, -1.0, 1.0, 1e-300, 1e-9, 1e9, 1e300, -1e300, 5.0, 0.5)
numbers = st.sampled_from(odd) | st.floats(0.0, 10.0) | st.floats(allow_nan=False, allow_infinity=False)


@st.composite
def changed_rows(draw, name):
    """Rows of ours, some numbers in them changed: a little, or to any number."""
    rows = [copy.deepcopy(row) for row in draw(st.lists(st.sampled_from(OURS[name]), min_size=1, max_size=2))]
    rows = list({row["key"]: row for row in rows}.values())
    for row in rows:
        places = list(places_of(row))
        if places:
            for place in draw(st.lists(st.sampled_from(places), min_size=1, max_size=3)):
                put(row, place, draw(numbers))
    return rows


@pytest.mark.parametrize("name", FILES)
@settings(max_examples=examples(25))
@given(data=st.data())
def test_rows_of_ones_own_are_refused_in_lines_or_work(name, data, tmp_path_factory):
    folder = tmp_path_factory.mktemp("own")
    write(folder, name, data.draw(changed_rows(name)))
    load_from.cache_clear()
    try:
        tables = load_tables(folder)
    except Unreadable as refused:
        for problem in refused.problems:
            assert "\n" not in str(problem)
            assert problem.file == str(folder / name)
            assert problem.line is not None
            assert problem.found
            assert problem.expected
        return
    case = CASES[data.draw(st.sampled_from(sorted(CASES)))]()
    found = value_case(case, tables, draws=100)
    for span in filter(None, (found.value, found.exact, found.share_of_new, found.salvage, found.left_alone)):
        assert all(map(math.isfinite, (span.low, span.mid, span.high)))
    reason_tree(case, tables, found)
