"""Tables of an answer at any width: no figure is ever cut."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from appraise.model.measurement import Figure, Grid, Measurement
from appraise.report.measured import grid_lines, measurement_head, shown_value

values = st.one_of(
    st.none(), st.booleans(), st.integers(-(10**6), 10**6), st.floats(-1e6, 1e6), st.text("abc déf", max_size=30)
)


@given(
    st.integers(1, 8).flatmap(
        lambda n: st.tuples(
            st.lists(st.sampled_from(["note", "downweight", "stands out"]), min_size=n, max_size=n),
            st.lists(st.lists(values, min_size=n, max_size=n), min_size=1, max_size=5),
        )
    ),
    st.integers(30, 140),
)
def test_every_number_is_there_whole(table, width):
    heads, rows = table
    grid = Grid(
        "g", "g", tuple((f"k{n}", head, "g") for n, head in enumerate(heads)), tuple(tuple(row) for row in rows)
    )
    text = "\n".join(line.plain for line in grid_lines(grid, width))
    for row in rows:
        for value in row:
            if isinstance(value, int | float) and not isinstance(value, bool):
                assert shown_value(value) in text
    assert "…" not in text


@pytest.mark.parametrize("width", [40, 60, 80, 120])
def test_no_line_is_wider_than_asked(width):
    grid = Grid(
        "g", "g", (("a", "note", ""), ("b", "reading", "N·m"), ("c", "what", "")), ((1, 7.4, "some words " * 6),)
    )
    assert all(len(line.plain) <= width for line in grid_lines(grid, width))


@pytest.mark.parametrize("width", [30, 40, 52, 80])
def test_a_figure_stands_at_the_right_or_whole_on_a_line_of_its_own(width):
    figures = (
        Figure("a", "Readings outside what is explained", 0, ""),
        Figure("b", "Readings", 39, ""),
        Figure("c", "Drift", -15.94, "cents/year"),
    )
    head = measurement_head(Measurement("m", "Title", (), figures), width)
    lines = [line for part in head[2:] for line in part.plain.splitlines()]
    assert all(len(line) <= width for line in lines if "explained" not in line)
    (readings,) = [line for line in lines if line.strip().startswith("Readings ") and line.endswith("39")]
    (drift,) = [line for line in lines if line.endswith("−15.94 cents/year")]
    assert len(readings) == len(drift)  # figures stand one below the other


def test_units_stand_on_one_line_below_every_heading():
    """However many lines a heading takes; and it takes no more than two where there is room."""
    columns = (("a", "under", "N·m"), ("b", "grade there", ""), ("c", "of all, from", "%"), ("d", "to", "%"))
    lines = [line.plain for line in grid_lines(Grid("g", "g", columns, ((1.7, 5, 0.0, 12.22),)), 80)]
    assert lines == [
        "        grade   of all,",
        "under   there      from      to",
        "  N·m                 %       %",
        "───────────────────────────────",
        "  1.7       5         0   12.22",
    ]


def test_a_unit_stands_behind_its_heading_where_all_fit_so():
    columns = (("a", "what", ""), ("b", "d", "%"), ("c", "to", "s"))
    lines = [line.plain for line in grid_lines(Grid("g", "g", columns, (("board", 12.34, 1234.5),)), 80)]
    assert lines[0] == "what     d, %   to, s"
    assert len(lines) == 3
