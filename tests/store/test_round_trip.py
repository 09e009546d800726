"""What is written is what is read."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from appraise.store.document import case_text, to_document
from appraise.store.read import parse_case, read_case
from appraise.store.write import write_case
from tests.helpers.cases import cases
from tests.helpers.depth import examples
from tests.helpers.tables import tiny_tables

TABLES = tiny_tables()


@settings(max_examples=examples(60), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(case=cases(TABLES))
def test_read_of_written_is_the_case(case):
    again, problems = parse_case(case_text(case), TABLES, file="case.toml")
    assert problems == []
    assert again == case
    assert case_text(again) == case_text(case)


@settings(max_examples=examples(8), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(case=cases(TABLES), other=cases(TABLES))
def test_through_a_file_the_second_time_with_the_first_kept(tmp_path_factory, case, other):
    path = tmp_path_factory.mktemp("round") / "case.toml"
    write_case(path, case, TABLES)
    first = path.read_bytes()
    write_case(path, other, TABLES)
    assert read_case(path, TABLES) == (other, [])
    if case != other:
        assert path.with_name("case.toml~").read_bytes() == first


@settings(max_examples=examples(60), deadline=None)
@given(text=st.text(max_size=400))
def test_no_text_at_all_is_thrown_at(text):
    case, problems = parse_case(text, TABLES, file="case.toml")
    assert case is None
    assert problems
    assert all("\n" not in str(problem) and "\x1b" not in str(problem) for problem in problems)


@settings(max_examples=examples(25), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_a_cut_file_is_never_thrown_at(data):
    whole = case_text(data.draw(cases(TABLES)))
    part = whole[: data.draw(st.integers(0, len(whole)))]
    case, problems = parse_case(part, TABLES, file="case.toml")
    assert case is not None or problems


def test_defaults_are_left_out_and_lists_stay_short(problems_of, good):
    case, _ = problems_of(good)
    document = to_document(case)
    assert set(document) == {
        "schema",
        "identity",
        "assignment",
        "renewals",
        "grades",
        "readings",
        "remarks",
        "market",
        "costs",
    }
    assert "compass" not in document["identity"]
    assert 'components = ["hammers"]\n' in case_text(case)


def test_one_change_is_one_line(problems_of, good):
    before, _ = problems_of(good)
    after, _ = problems_of(good.replace("value = 7.4", "value = 7.6"))
    old, new = case_text(before).splitlines(), case_text(after).splitlines()
    assert [(a, b) for a, b in zip(old, new, strict=True) if a != b] == [("value = 7.4", "value = 7.6")]


def test_a_long_list_has_a_line_for_each(problems_of, good):
    notes = ", ".join(str(note) for note in range(1, 60))
    case, problems = problems_of(good.replace("notes = [40, 41]", f"notes = [{notes}]"))
    assert problems == []
    assert "notes = [\n    1,\n    2,\n" in case_text(case)
