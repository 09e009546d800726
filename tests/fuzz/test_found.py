"""What broken inputs have brought to light, each in its smallest form: none may come back."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from appraise.cli.parser import main
from appraise.model.problem import InputError, Unreadable
from appraise.model.quantities import money, number
from appraise.services.fields import parse
from appraise.services.instruments.pitch import read_pitch_csv
from appraise.services.instruments.torque import pins_from
from appraise.services.naming import free_path
from appraise.services.note_readings import note_columns
from appraise.services.particulars import COMPARABLES, SECTIONS
from appraise.services.quantity_limits import Quantity
from appraise.store.photos import check_photos
from appraise.store.write import leading_comment
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
from tests.fuzz.known import good_cases

VALUE = [Quantity("value")]


def problems_of(read, *args) -> list[str]:
    with pytest.raises(Unreadable) as caught:
        read(*args)
    return [f"{problem.line}: {problem.found}" for problem in caught.value.problems]


def test_a_file_of_one_quote(tmp_path):
    path = tmp_path / "x.csv"
    path.write_bytes(b'"')
    assert problems_of(note_columns, path, VALUE) == ["None: nothing but quotes"]


@pytest.mark.parametrize("text", ["9" * 4000, "~" + "x" * 4000, "n" * 4000 + "/a"])
def test_a_name_that_cannot_be_is_not_said_whole(text, tmp_path):
    with pytest.raises(InputError) as refused:
        free_path(text, tmp_path)
    assert len(str(refused.value)) < 400


@pytest.mark.parametrize("text", ["6/4", "6/0 in"])
def test_a_refused_fraction_says_what_is_expected(text, tmp_path, tables):
    path = tmp_path / "x.csv"
    path.write_text(f"torque\n7.4\n{text}\n", encoding="utf-8")
    with pytest.raises(Unreadable) as caught:
        pins_from(path, tables)
    assert [bool(problem.expected) for problem in caught.value.problems] == [True]


@pytest.mark.parametrize("mark", ["\u2028", "\x0b", "\x0c", "\x85", "\x1c"])
def test_no_other_character_ends_a_line(mark, tmp_path, tables):
    path = tmp_path / "x.csv"
    path.write_text(f"torque\n7.4{mark}9 deg\nx\n", encoding="utf-8")
    assert [found.partition(":")[0] for found in problems_of(pins_from, path, tables)] == ["2", "3"]
    overlay = tmp_path / "mine"
    overlay.mkdir()
    (overlay / "wire_grid.csv").write_text(f"# x{mark}y\n\nkey,nothing\nk,1\n", encoding="utf-8")
    assert problems_of(load_tables, overlay)[0].startswith("4:")


def test_a_comment_at_the_head_is_kept_whole():
    assert leading_comment("# one\u2028two\n# three\n\nschema = 1\n") == "# one\u2028two\n# three\n\n"


def test_a_note_is_quoted_harmlessly(tmp_path):
    path = tmp_path / "x.csv"
    path.write_text("date,note,cents\n2026-01-31,A\u202e4\x1b[2J,-4\n", encoding="utf-8")
    (line,) = problems_of(read_pitch_csv, path)
    assert "\x1b" not in line
    assert "\u202e" not in line


@pytest.mark.parametrize(
    "content",
    [
        "[[row]]\nkey = 9" + "9" * 5000,
        "[[row]]\ncritical = [1]\n",
        '[table]\n"a\\u001b[2Jb" = 1\n',
        "x = " + "[" * 30_000,
    ],
    ids=["digits", "a list for true or false", "control characters in a key", "nesting"],
)
def test_a_table_of_ones_own_that_is_wrong(content, tmp_path):
    (tmp_path / "components.toml").write_text(content, encoding="utf-8")
    for line in problems_of(load_tables, tmp_path):
        assert "\x1b" not in line


def test_a_heading_is_named_harmlessly(tmp_path, tables):
    from appraise.services.instruments.log_file import read_log

    path = tmp_path / "x.csv"
    path.write_bytes(b"date\ttempera\x0e\x1bure\thumidity\n2026-01-31\t20\t45\n")
    with pytest.raises(Unreadable) as caught:
        read_log(path, tables)
    assert [problem.key for problem in caught.value.problems] == ["tempera\ufffd\ufffdure"]


def test_what_is_said_of_an_entry_is_short():
    for read in (number, money):
        with pytest.raises(InputError) as caught:
            read("x" * 100_000)
        assert len(str(caught.value)) < 200


@pytest.mark.parametrize(("path", "typed"), [("maker", "x" * 301), ("limits", "x" * 20_001), ("serial", "9" * 301)])
def test_what_is_too_long_for_the_file_is_refused_where_it_is_typed(path, typed, tables):
    field = next(item for _, fields in SECTIONS for item in fields if item.path[-1] == path)
    with pytest.raises(InputError, match="at most"):
        parse(field, typed, good_cases()[0], tables)


def test_a_price_of_nothing_is_refused_where_it_is_typed(tables):
    from dataclasses import replace

    case = next(case for case in good_cases() if case.market.comparables)
    price = next(item for item in COMPARABLES.fields if item.path == ("price",))
    for typed in ("0", "-0"):
        with pytest.raises(InputError, match="above 0"):
            parse(replace(price, path=("market", "comparables", 0, "price")), typed, case, tables)


def test_a_case_that_changes_while_its_photos_are_compared(tmp_path):
    path = tmp_path / "case.toml"
    path.write_bytes(b"\xff\xfe")
    assert check_photos(path, good_cases()[0]) == []


@pytest.mark.parametrize("kind", ["pipe", "zero", "endless link", "folder"])
@pytest.mark.parametrize(
    "words",
    [
        ("check", "X"),
        ("value", "X"),
        ("why", "X"),
        ("rank", "X", "--no-cache"),
        ("report", "X", "-o", "out.md"),
        ("loss", "X", "X"),
        ("measure", "pitch", "X"),
        ("measure", "touch", "--csv", "X"),
        ("measure", "torque", "--csv", "X"),
        ("measure", "wood", "--log", "X"),
        ("measure", "string", "--scale", "X"),
        ("measure", "drying", "X"),
        ("sources", "--tables", "T"),
    ],
    ids=" ".join,
)
def test_nothing_waits_for_what_is_no_file(words, kind, tmp_path):
    """In a process of its own: a reader that waits for a pipe cannot be interrupted from within."""
    (tmp_path / "T").mkdir()
    for place in (tmp_path / "X", tmp_path / "T" / "laws.toml"):
        if kind == "pipe":
            os.mkfifo(place)
        elif kind == "folder":
            place.mkdir()
        else:
            place.symlink_to("/dev/zero" if kind == "zero" else place.name)
    done = subprocess.run(
        [sys.executable, "-m", "appraise", *words],
        cwd=tmp_path,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 2, done
    assert done.stderr.strip()
    assert "Traceback" not in done.stderr
    assert len(done.stderr.splitlines()) <= 2


@pytest.mark.parametrize(
    "words",
    [
        ("report", "grand.toml", "-o", "loop.md", "--force"),
        ("rank", "grand.toml", "--no-cache", "--csv", "loop.csv"),
        ("new", "loop.toml", "--kind", "grand"),
        ("loss", "grand.toml", "grand.toml", "-o", "loop.md", "--force"),
    ],
    ids=lambda words: words[0],
)
def test_links_that_go_round_in_a_circle_are_one_line(words, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    sample = data_folder("sample_cases") / "barely_inspected_upright.toml"
    (tmp_path / "grand.toml").write_bytes(sample.read_bytes())
    for name in ("loop.md", "loop.csv", "loop.toml"):
        (tmp_path / name).symlink_to(name)
    assert main([*words, *(() if words[0] == "new" else ("--draws", "100"))]) == 2
    said = capsys.readouterr().err
    assert said.splitlines()
    assert "Traceback" not in said


def test_want_of_memory_is_one_line(capsys, monkeypatch):
    def exhausted(*_: object, **__: object) -> None:
        raise MemoryError

    monkeypatch.setattr("appraise.cli.sources.tables_for", exhausted)
    assert main(["sources"]) == 2
    assert "Traceback" not in (said := capsys.readouterr().err)
    assert said.count("\n") == 1


def test_of_very_many_problems_the_first_thousand_are_told(capsys, tmp_path):
    path = tmp_path / "x.toml"
    path.write_text("schema = 1\n" + "".join(f"[k{n}]\n" for n in range(3000)), encoding="utf-8")
    assert main(["value", str(path)]) == 2
    said = capsys.readouterr().err.splitlines()
    assert len(said) == 1001
    assert "more problems" in said[-1]


def test_a_photo_outside_the_folder_is_refused_where_it_is_typed(tables):
    from dataclasses import replace

    from appraise.services.particulars import REMARKS

    case = next(case for case in good_cases() if case.remarks)
    photo = next(item for item in REMARKS.fields if item.path == ("photos",))
    for typed in ("../../etc/passwd", "/etc/passwd", "C:\\x.jpg"):
        with pytest.raises(InputError, match="expected a path"):
            parse(replace(photo, path=("remarks", 0, "photos")), typed, case, tables)
