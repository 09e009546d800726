"""The remembered earlier state: frozen byte for byte, held to its hash, never written over."""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import date

import pytest

from appraise.model.case import EarlierState
from appraise.model.problem import Unreadable
from appraise.store.baseline import check_earlier, earlier_case, freeze
from appraise.store.read import read_case
from appraise.store.write import write_case

SHA = "ab" * 32


@pytest.fixture
def path(tmp_path, good):
    found = tmp_path / "case.toml"
    found.write_text(good, encoding="utf-8")
    return found


@pytest.fixture
def case(path, tables):
    found, _ = read_case(path, tables)
    assert found is not None
    return found


def refused(path, earlier, tables) -> str:
    with pytest.raises(Unreadable) as error:
        earlier_case(path, earlier, tables)
    (problem,) = error.value.problems
    return str(problem)


def test_a_state_is_frozen_and_read_again(path, case, tables):
    kept = freeze(path, case, "removal")
    assert kept == EarlierState("case.toml.before-2026-11-20", kept.sha256, date(2026, 11, 20), "removal")
    copy = path.with_name(kept.file)
    assert copy.read_bytes() == path.read_bytes()
    assert copy.stat().st_mode & 0o777 == 0o444
    assert earlier_case(path, kept, tables) == (case, path.read_text(encoding="utf-8"))


def test_the_same_bytes_serve_again_and_others_get_a_name_of_their_own(path, case):
    first = freeze(path, case)
    assert freeze(path, case) == first
    path.write_text(path.read_text(encoding="utf-8") + "\n# later\n", encoding="utf-8")
    second = freeze(path, case)
    assert second.file == "case.toml.before-2026-11-20-2"
    assert second.sha256 != first.sha256
    assert sorted(found.name for found in path.parent.iterdir()) == ["case.toml", first.file, second.file]


def test_what_is_not_the_frozen_copy_is_refused(path, case, tables):
    kept = freeze(path, case)
    copy = path.with_name(kept.file)
    copy.chmod(0o644)
    copy.write_text("schema = 1\n", encoding="utf-8")
    assert "found another content" in refused(path, kept, tables)
    copy.unlink()
    assert "found that it cannot be read (no such file)" in refused(path, kept, tables)
    copy.mkdir()
    assert "cannot be read" in refused(path, kept, tables)
    copy.rmdir()
    os.mkfifo(copy)
    assert "cannot be read" in refused(path, kept, tables)


def test_a_frozen_file_that_is_no_case_says_what_is_wrong_with_it(path, case, tables):
    path.write_bytes(b"schema = 1\n\xff\n[identity]\n")
    assert freeze(path, case).day == date(2026, 11, 20)
    with pytest.raises(Unreadable):
        earlier_case(path, freeze(path, case), tables)


def test_a_case_that_cannot_be_copied_is_one_problem(tmp_path, case):
    with pytest.raises(Unreadable) as error:
        freeze(tmp_path / "gone.toml", case)
    assert "found that the state cannot be kept" in str(error.value.problems[0])


def test_the_case_keeps_it_through_a_save(path, case, tables):
    kept = replace(freeze(path, case, 'say "so" [/b]'), mended=(1,))
    write_case(path, replace(case, earlier_state=kept), tables)
    again, problems = read_case(path, tables)
    assert problems == []
    assert again is not None
    assert again.earlier_state == kept
    assert check_earlier(path, again, tables) == []


def test_a_tick_of_a_remark_that_there_is_not_is_told(path, case, tables):
    kept = replace(freeze(path, case), mended=(1, 7))
    remarks = (replace(case.remarks[0], earlier=3),)
    problems = [str(each) for each in check_earlier(path, replace(case, remarks=remarks, earlier_state=kept), tables)]
    assert len(problems) == 2
    assert "remarks[1].earlier: found 3, expected the number of one of the 1 remarks" in problems[0]
    assert "earlier_state.mended[2]: found 7" in problems[1]


def test_without_an_earlier_state_there_is_nothing_to_check(path, case, tables):
    assert case.earlier_state is None
    assert check_earlier(path, case, tables) == []


STATE = f'\n[earlier_state]\nfile = "x"\nsha256 = "{SHA}"\nday = 2026-11-01\n'


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('"x"', '"../x"', "expected the name of a file beside this one"),
        ('"x"', '"a\\\\b"', "expected the name of a file beside this one"),
        ('"x"', '""', "earlier_state.file"),
        (SHA, "AB" * 32, "expected 64 hexadecimal digits in lower case"),
        ("2026-11-01", "2026-11-21", "expected a day up to the inspection"),
        ("day = 2026-11-01\n", "", "earlier_state.day: found nothing"),
        ('file = "x"', 'file = "x"\nmended = [0]', "at least 1"),
        ('file = "x"', 'file = "x"\ncolour = 1', "an unknown key"),
    ],
)
def test_a_wrong_earlier_state_is_told(added, old, new, words):
    assert added(STATE) == []
    assert old in STATE
    problems = added(STATE.replace(old, new))
    assert len(problems) == 1
    assert words in problems[0]


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('sum_insured = "0"', "claim.sum_insured"),
        ("weight_kg = 3.0", "a number of at least 20"),
        ("delivered = 2026", "claim.delivered"),
        ('betterment = "no"', "true or false"),
        ("lost = true", "a day written as 2026-11-20"),
        ("vanished = true", "an unknown key"),
    ],
)
def test_a_wrong_claim_is_told(added, line, words):
    problems = added(f"\n[claim]\n{line}\n")
    assert len(problems) == 1
    assert words in problems[0]


def test_worse_needs_the_remark_that_it_is_worse_than(added):
    (problem,) = added('\n[[remarks]]\nplace = "case"\ntext = "x"\nworse = true\n')
    assert "remarks[2].earlier" in problem
