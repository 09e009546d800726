"""Files that are not case files at all, or not yet: each gets a clear line."""

from __future__ import annotations

import os

import pytest

from appraise.model.case import SCHEMA
from appraise.store import read
from appraise.store.read import migrate, read_case


@pytest.fixture
def file(tmp_path, tables):
    """Return a function that reads bytes from a file and checks that they are still there after."""

    def content(data: bytes) -> tuple[object, list[str]]:
        path = tmp_path / "case.toml"
        path.write_bytes(data)
        case, problems = read_case(path, tables)
        assert path.read_bytes() == data
        return case, [str(problem).removeprefix(f"{tmp_path}/") for problem in problems]

    return content


@pytest.mark.parametrize("data", [b"", b"\n \n", b"\xef\xbb\xbf"])
def test_empty(file, data):
    assert file(data) == (
        None,
        ["case.toml: found an empty file, expected a case file; `appraise new` begins one"],
    )


def test_only_a_comment_has_no_version(file):
    case, problems = file(b"# nothing yet\n")
    assert case is None
    assert problems == ["case.toml: schema: found nothing, expected schema = 1; write schema = 1 as the first line"]


def test_truncated_within_a_list(file, good):
    case, problems = file(good[: good.index(", 41]")].encode())
    assert case is None
    assert problems == [
        "case.toml:35: found text that is not TOML (Unclosed array), expected TOML 1.0; the file may be cut off"
    ]


def test_truncated_within_a_text(file, good):
    case, problems = file(good[: good.index(" & Sons")].encode())
    assert case is None
    assert len(problems) == 1
    assert problems[0].startswith("case.toml:8: found text that is not TOML (")


def test_not_utf8(file, good):
    case, problems = file(good.replace("Oskelmoor", "Østermoor").encode("latin-1", errors="replace"))
    assert case is None
    assert problems == [
        "case.toml:8: found byte 0xD8, which is not UTF-8, expected text in UTF-8; save the file again as UTF-8"
    ]


def test_utf16_is_not_utf8(file, good):
    case, problems = file(good.encode("utf-16"))
    assert case is None
    assert "not UTF-8" in problems[0]


def test_too_large_is_refused_unread(tmp_path, tables):
    path = tmp_path / "case.toml"
    with path.open("wb") as stream:
        stream.truncate(50 * 1024 * 1024)
    case, problems = read_case(path, tables)
    assert case is None
    assert [problem.found for problem in problems] == ["a file of 50.0 MB"]
    assert problems[0].expected == f"a case file of at most {read.LARGEST // 1024**2} MB"


def test_two_megabytes_are_read(problems_of, good):
    remark = '\n[[remarks]]\nplace = "case"\ntext = "' + "worn and scratched; " * 250 + '"\n'
    text = good + remark * 420
    assert len(text) > 2 * 1024**2
    case, problems = problems_of(text)
    assert problems == []
    assert len(case.remarks) == 421


@pytest.mark.parametrize(
    "deep",
    [
        "x = " + "[" * 100_000,
        "x = " + "{a = " * 100_000,
        "x" + ".x" * 100_000 + " = 1",
        "[x" + ".x" * 100_000 + "]",
        "[x]\n" + "y = [" * 17,
    ],
    ids=["lists", "inline tables", "dotted key", "dotted header", "just too deep"],
)
def test_deep_nesting_is_refused_before_it_is_parsed(file, good, deep):
    case, problems = file((good + deep).encode())
    assert case is None
    assert len(problems) == 1
    assert "found nesting deeper than 16" in problems[0]
    assert problems[0].startswith(f"case.toml:{good.count(chr(10)) + deep.count(chr(10)) + 1}:")


def test_brackets_and_points_in_texts_do_not_nest(problems_of, good):
    text = '"' + "[{.x" * 200 + '"'
    case, problems = problems_of(good.replace('"a crack beside the long bridge"', text))
    assert problems == []
    assert case.remarks[0].text == text.strip('"')


def test_a_number_of_thousands_of_digits(file, good):
    case, problems = file(good.replace("185", "9" * 5000).encode())
    assert case is None
    assert len(problems) == 1
    assert "found a value that cannot be read" in problems[0]


def test_a_key_written_twice(file, good):
    case, problems = file(good.replace("size_cm = 185", "size_cm = 185\nsize_cm = 186").encode())
    assert case is None
    assert problems == ["case.toml:10: found text that is not TOML (Cannot overwrite a value), expected TOML 1.0"]


@pytest.mark.parametrize(
    ("version", "expected"),
    [
        ("2", "found 2, expected at most 1; a newer release of appraise wrote this file; install that release"),
        ("0", "found 0, expected 1"),
        ("-3", "found -3, expected 1"),
        ('"1"', 'found "1", expected a whole number: schema = 1'),
        ("true", "found true, expected a whole number: schema = 1"),
        ("1.0", "found 1.0, expected a whole number: schema = 1"),
    ],
)
def test_version(file, good, version, expected):
    case, problems = file(good.replace("schema = 1", f"schema = {version}").encode())
    assert case is None
    assert len(problems) == 1
    assert problems[0].startswith(f"case.toml:4: schema: {expected}")


def test_older_layouts_are_brought_up_one_version_at_a_time():
    steps = {
        1: lambda document: {**document, "identity": {"maker": document["maker"]}},
        2: lambda document: {key: value for key, value in document.items() if key != "maker"},
    }
    old = {"schema": 1, "maker": "Oskelmoor"}
    assert migrate(old, 1, steps=steps, target=3) == {"schema": 3, "identity": {"maker": "Oskelmoor"}}
    assert old == {"schema": 1, "maker": "Oskelmoor"}
    with pytest.raises(KeyError):
        migrate(old, 1, steps={2: steps[2]}, target=3)


def test_the_present_layout_is_left_alone():
    assert migrate({"schema": SCHEMA, "x": 1}, SCHEMA) == {"schema": SCHEMA, "x": 1}


def test_missing_file_folder_and_pipe(tmp_path, tables):
    os.mkfifo(tmp_path / "pipe.toml")
    for name, found in (
        ("none.toml", "no such file"),
        ("", "a folder"),
        ("pipe.toml", "something that is not a file"),
        ("a\0b", "a file that cannot be read (embedded null byte)"),
    ):
        case, problems = read_case(tmp_path / name, tables)
        assert case is None
        assert [problem.found for problem in problems] == [found]


def test_line_ends_of_other_systems(problems_of, good):
    case, problems = problems_of(good)
    assert problems_of(good.replace("\n", "\r\n")) == (case, problems)
    assert problems_of("\ufeff" + good) == (case, problems)


@pytest.mark.parametrize("code", [0x00, 0x07, 0x08, 0x0D, 0x1B, 0x7F, 0x85, 0x9B, 0x202E, 0x2066])
def test_control_characters_are_told_and_replaced(problems_of, good, code):
    case, problems = problems_of(good.replace("Oskelmoor", f"Oster{chr(code)}moor"))
    assert case.identity.maker == "Oster\ufffdmoor & Sons"
    assert problems == [
        f"case.toml:8: found the control character U+{code:04X}, expected printable text; it is read as U+FFFD"
    ]


def test_control_characters_written_as_escapes(problems_of, good):
    case, problems = problems_of(good.replace("Oskelmoor", "Oster\\u001b[2Jmoor"))
    assert case.identity.maker == "Oster\ufffd[2Jmoor & Sons"
    assert problems == [
        "case.toml:8: identity.maker: found the control character U+001B, expected printable text; it is read as U+FFFD"
    ]


def test_control_characters_in_a_key_never_come_out(problems_of, good):
    _, problems = problems_of(good.replace("maker =", '"ma\\u001b[2Jker" ='))
    assert problems
    assert not any("\x1b" in line for line in problems)


def test_a_file_of_controls_is_told_in_a_few_lines(problems_of):
    _, problems = problems_of("\x1b\n" * 100_000)
    assert len(problems) < 30
    assert any("of 99980 more lines" in line for line in problems)
