"""The short way of reading TOML against `tomli`: the same document to the type, or none."""

from __future__ import annotations

from random import Random

import pytest
import tomli
from hypothesis import given

from appraise.model.unsafe import clean
from appraise.store.document import case_text
from appraise.store.plain_toml import plain
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
from tests.fuzz.mutate import some_bytes
from tests.helpers.cases import cases
from tests.helpers.depth import whole

SAMPLES = sorted(data_folder("sample_cases").glob("*.toml"))

SIMPLE = [
    "",
    "a = 1\n",
    "a = 1",
    'a = ""\n[b]\n# a remark\nc = "x"  # behind it\n',
    "[[a]]\nb = 1\n[[a]]\nb = true\n[[a]]\nb = 1.0",
    "[a]\nb = [1, 2]\n[[a.c]]\nd = 2026-12-01\n[[a.c]]",
    "[[a.c]]\nd = 1",
    'a = [\n    "x",\n    "]",  # y\n]\nb = 2',
    'a = """\nfirst\n  [b]\nc = 1"""\nd = 2',
    "[a]\nb = 1 # ]\n[c] # remark\nd = 'x'",
    "a=1\nb =2\nc\t=\t3",
]
"""What is TOML, some of it with lines that look like something else."""

UNUSUAL = [
    "a.b = 1",
    '"a" = 1',
    "[a.b]\nc = 1",
    "[ a ]\nb = 1",
    "  a = 1\n",
    "a = {b = 1}",
    "a = [[1], [2]]",
    "[a]\n[a.b]\nc = 1\n[[a.d]]",
    "[[a]]\n[[a.b]]\nc = 1",
    "[[a.b]]\nc = 1\n[a]\nd = 1",
    "a = '''\nx\n'''",
    'a = """x\ny"""',
    "a = 5 # see [\nb = 6",
]
"""What is TOML and may take the full parser."""

WRONG = [
    "a = 1\na = 2",
    "[a]\n[a]",
    "a = 1\n[a]",
    "a = 1\n[[a]]",
    "a = []\n[[a]]",
    "a = [{b = 1}]\n[[a]]",
    "[a]\n[[a]]",
    "[[a]]\n[a]",
    "[a]\nb = 1\n[[a.b]]",
    "[a]\nb = [1]\n[[a.b]]",
    "a = 1\n[[a.b]]",
    "[[a.b]]\nc = 1\n[a]\nb = 1",
    "[[a]\nb = 1",
    "[a]]\nb = 1",
    "[[a.b.c]",
    "a = ",
    "a",
    "= 1",
    'a = "x" y',
    'a = "x\n"',
    'a = "\\q"',
    "a = 1 b = 2",
    "a = 01",
    "a = 2026-13-01",
    "a = [\n1\n",
    "a = [\n1]\nb = [\n]",
    "a = [\n]\n]",
    'a = """\nx',
    'a = """\nx"""\nb = """"""',
    "a = 5 # [\n[a]\n]",
    f"a = {'9' * 5000}",
    f"a = {'[' * 30}{']' * 30}",
]
"""What is no TOML, or not for us."""


def agrees(text: str) -> bool:
    """Hold the short way to the long one; True where it was taken."""
    found = plain(text)
    if found is not None:
        assert repr(found) == repr(tomli.loads(text)), text
    return found is not None


@pytest.mark.parametrize("text", SIMPLE)
def test_simple_lines_are_read(text):
    assert agrees(text)


@pytest.mark.parametrize("text", [*UNUSUAL, *WRONG])
def test_what_is_not_simple_is_left_or_read_alike(text):
    agrees(text)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_sample_cases_are_simple(path):
    assert agrees(path.read_text(encoding="utf-8"))


@given(case=cases(load_tables()))
def test_what_is_saved_is_simple(case):
    assert agrees(case_text(case))


def test_a_list_is_read_anew_each_time():
    text = "a = [1, 2]"
    first = plain(text)
    assert first is not None
    first["a"].append(3)
    assert plain(text) == {"a": [1, 2]}


def test_broken_texts_are_left_or_read_alike():
    chance = Random(11)
    good = [path.read_bytes() for path in SAMPLES] + [text.encode() for text in (*SIMPLE, *UNUSUAL)]
    taken = 0
    for _ in range(whole(20_000, 1_500)):
        content = some_bytes(chance, chance.choice(good))
        try:
            text = clean(content.decode())
            taken += agrees(text)
        except UnicodeDecodeError:
            continue
        except tomli.TOMLDecodeError as error:
            raise AssertionError(f"read, but no TOML: {error}") from error
    assert taken > 100
