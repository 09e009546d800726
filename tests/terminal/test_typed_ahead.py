"""Everything that is typed is entered where it was meant: however many keys come together, however slow the disk.

A pseudo-terminal hands the keys over in chunks; fsync takes as long as a bad stick does. What the keys should have
entered is worked out by a model that has no screen.
"""

from __future__ import annotations

import random

import pytest

from appraise.store.read import read_case
from appraise.store.write import write_case
from tests.helpers import worksheet_cases
from tests.helpers.depth import whole
from tests.helpers.typist import THIRTY_A_SECOND, Typist
from tests.helpers.walked import Walked, answers_of

MOST = 40
"""Keys of a chunk."""
LONGEST_GAP = 0.25
"""Between two chunks [s]."""


def chunks(walked, keys: int, chance):
    """Yield chunks of keys until there were so many, each with the gap behind it [s]."""
    typed = 0
    while typed < keys:
        chunk: list[str] = []
        size = chance.choice((1, 2, 3, 5, 8, 13, 21, MOST))
        while len(chunk) < size:
            chunk += walked.some()
        typed += len(chunk)
        yield chunk, chance.choice((0.0, 0.0, 0.002, 0.01, 0.03, 0.08, 0.15, LONGEST_GAP))


def one_by_one(walked, keys: int, _):
    """Yield one key after the other, as fast as a person can type."""
    typed = 0
    while typed < keys:
        for key in walked.some():
            typed += 1
            yield [key], THIRTY_A_SECOND


def typed_at_once(
    case, kind, tables, *, keys: int, seed: int, disk: float, share: float, quick: bool = False, rhythm=chunks
):
    """Type so many keys at a terminal; return what is in the file then, what should be, and how many were typed."""
    chance = random.Random(seed)
    walked = Walked(kind, tables, chance)
    typist = Typist(case, disk=disk, share=share, seed=seed)
    typist.wait(b"tructure")
    typed = 0
    for chunk, gap in rhythm(walked, keys, chance):
        typist.type(chunk, min(gap, 0.03) if quick else gap)
        typed += len(chunk)
    typist.type(["f2", "ctrl+q"])
    code = typist.end(longest=240.0 if quick else 1800.0)
    assert code == 0, typist.text()
    assert "Traceback" not in typist.text()
    return answers_of(read_case(case, tables)[0]), walked.answers, typed


@pytest.fixture
def upright(tmp_path, tables):
    path = tmp_path / "upright.toml"
    write_case(path, worksheet_cases.upright(), tables)
    return path


def test_every_key_counts_in_its_row(upright, tables):
    kind = worksheet_cases.upright().identity.kind
    keys = whole(150, 80)
    found, expected, typed = typed_at_once(upright, kind, tables, keys=keys, seed=4, disk=0.03, share=0.3, quick=True)
    assert typed >= keys
    assert len(expected) > 5
    assert found == expected


@pytest.mark.parametrize("rhythm", [chunks, one_by_one])
def test_every_key_counts_on_a_slow_disk(upright, tables, request, rhythm):
    """The deep run: `--keys 6000`."""
    wanted = request.config.getoption("--keys")
    if not wanted:
        pytest.skip("the deep run wants --keys 6000")
    kind = worksheet_cases.upright().identity.kind
    done = 0
    for seed in range(1000):
        if done >= wanted:
            break
        found, expected, typed = typed_at_once(
            upright, kind, tables, keys=500, seed=seed, disk=0.5, share=0.2, rhythm=rhythm
        )
        assert found == expected, f"seed {seed}: {dict(found.items() ^ expected.items())}"
        done += typed
        upright.unlink()
        for other in upright.parent.glob("*upright*"):
            other.unlink()
        write_case(upright, worksheet_cases.upright(), tables)
    assert done >= wanted


@pytest.mark.parametrize("disk", [0.0, 0.25])
def test_a_grade_and_quit_in_one_write_are_both_done(upright, tables, disk):
    typist = Typist(upright, disk=disk)
    typist.wait(b"tructure")
    chance = random.Random(1)
    walked = Walked(worksheet_cases.upright().identity.kind, tables, chance)
    first = walked._rows[0]
    key = {"yes_no": "y", "graded": "3"}[first.kind.value]
    typist.type([key, "ctrl+q", "enter"])  # quit asks; Enter saves
    assert typist.end() == 0
    assert answers_of(read_case(upright, tables)[0]) == {first.key: True if key == "y" else 3.0}


@pytest.mark.parametrize(
    "keys",
    [
        ["y", "f10", "f1", "enter"],
        ["f1", "f10"],
        ["f1", "f1", "f10"],
        ["f5", "f1", "f1", "f10"],
        ["f3", "f8", "f10"],
        ["delete", "y", "ctrl+q", "enter"],
        ["f6", "f3", "f10", "enter"],
        ["escape", "delete", "y", "ctrl+q", "enter"],
        ["y", "escape", "escape", "escape", "ctrl+q"],
        ["space", "f5", "escape", "space", "escape", "f10"],
        ["f8", "escape", "f8", "4", "enter", "escape", "enter", "escape", "f7", "f3", "escape", "escape", "f10"],
        ["f11", "f1", "escape", "escape", "f12", "escape", "ctrl+l", "escape", "ctrl+p", "escape", "f10"],
        ["escape", "enter", "f5", "f4", "escape", "escape", "escape", "f3", "escape", "ctrl+q"],
    ],
    ids=" ".join,
)
def test_leaving_at_once_leaves_in_peace(upright, keys):
    typist = Typist(upright)
    typist.wait(b"tructure")
    typist.type(keys)
    typist.read(1.0)
    typist.type(["ctrl+q", "enter", "ctrl+q", "enter"])  # where something is asked, it is answered first
    assert typist.end() == 0
    assert b"Traceback" not in typist.shown


@pytest.mark.parametrize("disk", [0.0, 0.25])
def test_a_command_found_by_name_and_the_keys_behind_it_in_one_write(upright, tables, disk):
    """The palette looks its commands up while the keys for the screen that it opens have been typed already."""
    typist = Typist(upright, disk=disk)
    typist.wait(b"tructure")
    typist.type(["ctrl+p", *"quick look", "enter", *"2.53", "ctrl+s", "ctrl+q"])
    assert typist.end() == 0
    grades = [(grade.component, grade.grade) for grade in read_case(upright, tables)[0].grades]
    assert grades == [("plate", 2.5), ("rim_and_posts", 3.0)]


def test_f2_in_an_open_entry_takes_the_value_and_saves(upright, tables):
    typist = Typist(upright)
    typist.wait(b"tructure")
    walked = Walked(worksheet_cases.upright().identity.kind, tables, random.Random(1))
    counted = next(row for row in walked._rows if row.kind.value == "count" and not row.per_note)
    down = walked._rows.index(counted)
    typist.type([*["down"] * down, "7", "f2", "f10"])
    assert typist.end() == 0
    assert answers_of(read_case(upright, tables)[0]) == {counted.key: 7.0}
