"""Arguments of any length, no columns to write to, a full disk: one line that can be read, or the whole page."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from appraise.cli.diagnostics import LONGEST, LONGEST_PATH
from appraise.cli.output import NARROWEST, PIPE_WIDTH, WIDEST, stream
from appraise.store.write import write_file

LONG = ("x" * 5000, "x y " * 1250, "x/" * 2500, "\x1b[2J" * 1250, "it's " * 1000, "/" + "y" * 5000 + ".toml")

COMMANDS = (
    ("LONG",),
    ("--LONG",),
    ("value", "LONG"),
    ("value", "CASE", "--basis", "LONG"),
    ("value", "CASE", "--date", "LONG"),
    ("value", "CASE", "--date=LONG"),
    ("value", "CASE", "--draws", "LONG"),
    ("value", "CASE", "--tables", "LONG"),
    ("value", "CASE", "--locale", "LONG"),
    ("value", "CASE", "--units", "LONG"),
    ("report", "CASE", "-o", "LONG"),
    ("report", "CASE", "-o", "x.LONG"),
    ("report", "CASE", "-o", "LONG/x.md"),
    ("report", "CASE", "-o", "x.pdf", "--kind", "LONG"),
    ("photos", "LONG"),
    ("open", "--lines", "LONG"),
    ("rank", "LONG"),
    ("rank", "CASE", "--sort", "LONG"),
    ("rank", "CASE", "--resale", "LONG"),
    ("loss", "LONG", "CASE"),
    ("loss", "CASE", "CASE", "--delivered", "LONG"),
    ("check", "LONG"),
    ("sources", "LONG"),
    ("schema", "LONG"),
    ("completion", "LONG"),
    ("measure", "LONG"),
    ("measure", "beats", "LONG"),
    ("measure", "beats", "A4", "--cents", "LONG"),
    ("measure", "pitch", "LONG"),
    ("measure", "drying", "--case", "LONG"),
    ("demo", "LONG"),
)


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
@pytest.mark.parametrize("long", LONG, ids=range(len(LONG)))
def test_a_long_argument_is_not_said_whole(words, long, appraise, good, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    given = [word.replace("LONG", long).replace("CASE", str(good)) for word in words]
    answer = appraise(*given)
    if answer.code == 0:
        pytest.skip("so long a word is taken")
    lines = (answer.out + answer.err).splitlines()
    assert len(lines) == 1
    longest = LONGEST_PATH if "/" in long else LONGEST
    assert len(lines[0]) < 2 * longest + 700
    assert "…" in lines[0]


def test_a_path_that_can_be_read_is_said_whole(appraise, tmp_path):
    path = tmp_path / ("n" * 100) / "missing.toml"
    assert str(path) in appraise("value", path).err


@pytest.mark.parametrize("columns", ["0", "-3", "x", "", "9" * 30, "1", "80"])
def test_no_number_of_columns_prints_nothing(columns, appraise, monkeypatch):
    with monkeypatch.context() as narrow:  # the one who runs the tests has the terminal that there is
        narrow.setenv("COLUMNS", columns)
        answer = appraise("sources")
    assert answer.code == 0
    widths = [len(line) for line in answer.out.splitlines()]
    assert len(widths) > 30
    wanted = {"1": NARROWEST, "80": 80, "9" * 30: WIDEST}.get(columns, PIPE_WIDTH)
    assert max(widths[:30]) <= wanted  # the line below the table is not broken where nobody sees it
    if wanted >= PIPE_WIDTH:
        assert "common practice" in answer.out


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
def test_a_full_disk_is_named():
    for write in (lambda: write_file(Path("/dev/full"), b"x" * 10**6), lambda: into("/dev/full", "x" * 10**6)):
        with pytest.raises(OSError, match="No space") as caught:
            write()
        assert caught.value.filename == "/dev/full"


@pytest.mark.parametrize("name", ["rank.csv", "-"])
def test_a_disk_that_fills_up_is_named_by_the_file_that_was_asked_for(name, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(OSError, match="No space") as caught, stream(name):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
    assert caught.value.filename == ("standard output" if name == "-" else name)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_told_of_the_file_and_not_of_its_part(tmp_path):
    with pytest.raises(FileNotFoundError) as caught:
        into(str(tmp_path / "none" / "rank.csv"), "x")
    assert caught.value.filename == str(tmp_path / "none" / "rank.csv")


def test_a_reader_that_has_gone_is_no_full_disk():
    with pytest.raises(BrokenPipeError), stream("-"):
        raise BrokenPipeError(errno.EPIPE, "gone")


def into(name, text):
    with stream(name) as out:
        out.write(text)


def test_a_page_whose_reader_leaves_is_no_failure(good):
    import subprocess
    import sys

    words = [sys.executable, "-m", "appraise", "value", str(good), "--draws", "128"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        process.stdout.close()
        assert (process.wait(60), process.stderr.read()) == (0, b"")
