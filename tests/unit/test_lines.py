"""Lines of keys in TOML text."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from appraise.tables.lines import line_index, line_of

TEXT = '''schema = 1
a.b = 2

[identity]
kind = "gr # [and"
note = """
x = 1
[nope]
quoted \\" "" """
"two words" = [
  1, # ]
  [2],
]
after = 3

[[row]]
key = "a"
[[row]]
key = 'b'
words = \'\'\'a
b = 2\'\'\'
[row.sub]
z = 1
[[market.comparables]]
price = { a = 1, b = [
2] }
date = 1
'''


def test_lines_of_a_text_with_everything_in_it():
    tomllib.loads(TEXT)
    assert line_index(TEXT) == {
        ("schema",): 1,
        ("a",): 2,
        ("a", "b"): 2,
        ("identity",): 4,
        ("identity", "kind"): 5,
        ("identity", "note"): 6,
        ("identity", "two words"): 10,
        ("identity", "after"): 14,
        ("row", 0): 16,
        ("row", 0, "key"): 17,
        ("row", 1): 18,
        ("row", 1, "key"): 19,
        ("row", 1, "words"): 20,
        ("row", 1, "sub"): 22,
        ("row", 1, "sub", "z"): 23,
        ("market", "comparables", 0): 24,
        ("market", "comparables", 0, "price"): 25,
        ("market", "comparables", 0, "date"): 27,
    }


def test_the_nearest_line_above():
    index = line_index(TEXT)
    assert line_of(index, ("market", "comparables", 0, "price", "a")) == 25
    assert line_of(index, ("row", 1, "missing")) == 18
    assert line_of(index, ("nothing",)) is None
    assert line_of(index, ()) is None


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_both_line_ends(end):
    assert line_index(f"a = 1{end}{end}[t]{end}b = 2{end}") == {("a",): 1, ("t",): 3, ("t", "b"): 4}


@given(st.text(alphabet="ab[]{}\"'=.#\\\n ,1", max_size=80))
def test_any_text_gives_lines_within_it(text):
    for line in line_index(text).values():
        assert 1 <= line <= text.count("\n") + 1


KEYS = st.text(alphabet="abc_-1", min_size=1, max_size=4)
VALUES = st.sampled_from(["1", '"x = 1"', "'[y]'", "[1,\n 2]", '"""\n[z]\nq = 1"""', "{ k = 1 }", "'''\n''' # end"])


@given(st.dictionaries(KEYS, VALUES, max_size=5), st.lists(st.dictionaries(KEYS, VALUES, max_size=4), max_size=4))
def test_every_key_of_a_valid_text_is_found_on_its_own_line(top, items):
    text = "".join(f"{key} = {value}\n" for key, value in top.items())
    for item in items:
        text += "[[rows_of_it]]\n" + "".join(f"{key} = {value}\n" for key, value in item.items())
    data = tomllib.loads(text)
    index = line_index(text)
    lines = text.split("\n")
    for key in top:
        assert lines[index[key,] - 1].startswith(f"{key} = ")
    for number, item in enumerate(data.get("rows_of_it", [])):
        for key in item:
            assert lines[index["rows_of_it", number, key] - 1].startswith(f"{key} = ")
