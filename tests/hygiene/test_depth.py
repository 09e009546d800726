"""A quick run leaves no law out and changes nothing in a deep one."""

from itertools import pairwise
from pathlib import Path

import pytest

from tests.helpers.depth import ALIKE, SAMPLED, chosen, is_alike, limit_of, sampled


def test_everything_that_is_sampled_is_there():
    for start in SAMPLED:
        path, _, test = start.partition("::")
        place = Path(__file__).parents[1] / path
        assert place.exists(), start
        assert not test or f"def {test}" in place.read_text(encoding="utf-8"), start


def test_no_test_is_left_out():
    ids = [f"tests/screens/test_x.py::test_{name}[{case}]" for name in "abc" for case in range(7)]
    ids += ["tests/screens/test_x.py::test_alone", "tests/unit/test_y.py::test_z[1]", "tests/unit/test_y.py::test_z[2]"]
    kept = sampled(ids)
    assert {each.partition("[")[0] for each in kept} == {each.partition("[")[0] for each in ids}
    assert len(kept) == 3 + 1 + 2


@pytest.mark.parametrize(("count", "most"), [(66, 22), (16, 1), (5, 3), (3, 3), (2, 5)])
def test_the_cases_chosen_are_spread_evenly(count, most):
    kept = chosen(range(count), most, "any")
    assert len(kept) == min(count, most)
    assert kept == chosen(range(count), most, "any")
    gaps = [after - before for before, after in pairwise(kept)]
    assert all(gap <= -(-count // most) for gap in gaps)


def test_the_longest_path_counts():
    assert limit_of("screens/test_snapshots.py") == SAMPLED["screens/test_snapshots.py"]
    assert limit_of("screens/test_walk.py") == SAMPLED["screens/"]
    assert limit_of("cli/test_rank.py::test_peak_memory_of_any") == SAMPLED["cli/test_rank.py::test_peak_memory"]
    assert limit_of("cli/test_rank.py::test_filters") == SAMPLED["cli/test_rank.py"]
    assert limit_of("model/test_nothing.py") is None


@pytest.mark.parametrize(
    ("address", "source", "alike"),
    [
        ("published/test_x.py::test_a[1]", "import pytest\n", True),
        ("published/test_x.py::test_a[1]", "from hypothesis import given\n", False),
        ("hygiene/test_x.py::test_a", "from tests.helpers.depth import whole\n", False),
        ("unit/test_ranking.py::test_a", "", False),
        ("screens/test_x.py::test_a", "", False),
        ("cli/test_x.py::test_a", "", False),
    ],
)
def test_what_a_quick_run_does_alike(address, source, alike):
    assert is_alike(address, source) == alike


def test_no_fixture_of_folders_that_are_alike_asks_how_deep_a_run_is():
    for folder in ALIKE:
        path = Path(__file__).parents[1] / folder / "conftest.py"
        assert not path.exists() or "depth" not in path.read_text(encoding="utf-8"), folder
