"""The command in real terminals: narrow, wide, plain, of sixteen colours; interrupted; cut off by its reader."""

from __future__ import annotations

import io
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pexpect
import pytest
from rich.cells import cell_len

import appraise
from appraise.tables.folder import data_folder

SAMPLE = data_folder("sample_cases") / "renewed_grand.toml"
COMMAND = [sys.executable, "-m", "appraise"]
MAIN = Path(appraise.__file__).with_name("__main__.py")
ESCAPES = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]")
COLOURS = re.compile(r"\x1b\[([0-9;]*)m")


def heed() -> None:
    """Undo what a runner of tests may have set: that interruptions are not heeded."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def in_terminal(*words: str, columns: int = 80, rows: int = 24, **variables: str) -> tuple[str, int]:
    """Run a command at a terminal and return what it shows and its exit code."""
    environment = {key: value for key, value in os.environ.items() if key not in {"NO_COLOR", "COLUMNS", "LINES"}}
    environment |= {"TERM": "xterm-256color", **variables}
    shown = io.StringIO()
    child = pexpect.spawn(
        COMMAND[0], [*COMMAND[1:], *words], env=environment, dimensions=(rows, columns), encoding="utf-8", timeout=120
    )
    child.logfile_read = shown
    child.expect(pexpect.EOF)
    child.close()
    return shown.getvalue().replace("\r\n", "\n"), -child.signalstatus if child.signalstatus else child.exitstatus


PAGES = [
    ("value", str(SAMPLE), "--draws", "100"),
    ("why", str(SAMPLE), "value", "--depth", "3", "--draws", "100"),
    ("rank", str(SAMPLE), "--no-cache", "--draws", "100"),
    ("sources",),
    ("measure", "wood", "--rh", "45", "--to-rh", "25", "--width", "1400"),
]


@pytest.mark.parametrize("columns", [60, 80, 200])
@pytest.mark.parametrize("words", PAGES, ids=lambda words: words[0])
def test_no_line_is_wider_than_the_terminal(words, columns):
    shown, code = in_terminal(*words, columns=columns)
    assert code == 0, shown
    wide = [line for line in ESCAPES.sub("", shown).splitlines() if cell_len(line) > columns]
    assert wide == []


@pytest.mark.parametrize("words", PAGES, ids=lambda words: words[0])
@pytest.mark.parametrize("plain", [{"NO_COLOR": "1"}, {"TERM": "dumb"}], ids=["NO_COLOR", "dumb"])
def test_plain_terminals_get_no_colour(words, plain):
    shown, code = in_terminal(*words, **plain)
    assert code == 0
    colours = [part for found in COLOURS.findall(shown) for part in found.split(";") if part and int(part) >= 30]
    assert colours == []
    if "TERM" in plain:
        assert "\x1b" not in shown


def test_a_terminal_of_sixteen_colours_gets_no_others():
    shown, code = in_terminal(*PAGES[0], TERM="xterm-16color", COLORTERM="")
    assert code == 0
    assert COLOURS.search(shown)
    for found in COLOURS.findall(shown):
        assert not re.search(r"(^|;)(38|48)(;|$)", found), found


@pytest.mark.parametrize("words", PAGES, ids=lambda words: words[0])
def test_a_pipe_gets_text_alone(words):
    done = subprocess.run([*COMMAND, *words], capture_output=True, check=False)
    assert done.returncode == 0
    assert done.stderr == b""
    assert b"\x1b" not in done.stdout
    assert b"\r" not in done.stdout


def test_hints_go_to_standard_error_and_data_to_standard_output(tmp_path):
    import json

    path = tmp_path / "case.toml"
    text = SAMPLE.read_text(encoding="utf-8").replace("[assignment]", '[assignment]\nlimits = "\\u0007"', 1)
    path.write_text(re.sub(r'\nlimits = "(?!\\u0007).*', "", text), encoding="utf-8")
    done = subprocess.run([*COMMAND, "value", str(path), "--json", "--draws", "100"], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["schema"] == 2
    assert b"U+0007" in done.stderr


@pytest.mark.skipif(shutil.which("bash") is None, reason="there is no bash here")
@pytest.mark.parametrize("words", ["sources checks", f"value {SAMPLE} --json --draws 100", "schema report", "--help"])
def test_a_reader_that_takes_one_line_leaves_silence(words):
    line = f"set -o pipefail; {' '.join(COMMAND)} {words} | head -n 1"
    done = subprocess.run([shutil.which("bash") or "", "-c", line], capture_output=True, text=True, check=False)
    assert done.stderr == ""
    assert done.stdout.count("\n") == 1
    assert done.returncode == 0


@pytest.mark.parametrize("after", [0.0, 0.05, 0.15, 0.3, 1.0])
def test_an_interruption_leaves_no_traceback_whenever_it_comes(after):
    words = ["value", *[str(SAMPLE)] * 40, "--draws", "20000"]
    with subprocess.Popen(
        [*COMMAND, *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=heed,  # noqa: PLW1509 - one thread, and nothing but a signal is set
    ) as process:
        if after:
            time.sleep(after)
        else:  # as soon as the program is ours: before, the interpreter itself is being started
            assert process.stdout is not None
            process.stdout.read(1)
        process.send_signal(signal.SIGINT)
        _, said = process.communicate(timeout=120)
    if after and "KeyboardInterrupt" in said and not _had_begun(said):
        pytest.skip("it came before the interpreter had begun with us")
    assert "Traceback" not in said
    assert process.returncode in (130, -signal.SIGINT)
    assert said in ("", "appraise: interrupted\n")


def _had_begun(said: str) -> bool:
    """Say whether a traceback is of a time when our first statements, which make interruptions quiet, were done."""
    frames = re.findall(r'File "([^"]+)", line (\d+)', said)
    lines = [int(line) for path, line in frames if Path(path) == MAIN]
    others = [path for path, _ in frames if MAIN.parent in Path(path).parents and Path(path) != MAIN]
    quiet = next(at for at, text in enumerate(MAIN.read_text(encoding="utf-8").splitlines(), 1) if "SIG_DFL" in text)
    return bool(others) or any(line > quiet for line in lines)


def test_an_interruption_at_a_terminal_is_130():
    child = pexpect.spawn(COMMAND[0], [*COMMAND[1:], "new", "x.toml"], encoding="utf-8", timeout=60, preexec_fn=heed)
    child.expect("Grand or upright")
    said = ""
    for _ in range(3):  # one that comes while the line is still being set up waits for the next key
        child.sendintr()
        if child.expect([pexpect.EOF, pexpect.TIMEOUT], timeout=20) == 0:
            said = child.before or ""
            break
    child.close()
    assert child.exitstatus == 130
    assert "Traceback" not in said
    assert "interrupted" in said


@pytest.mark.parametrize(
    ("size", "variables"),
    [
        ((24, 80), {}),
        ((20, 60), {}),
        ((60, 200), {}),
        ((24, 80), {"NO_COLOR": "1"}),
        ((24, 80), {"TERM": "xterm-16color", "COLORTERM": ""}),
        ((24, 80), {"TERM": "dumb"}),
    ],
    ids=["80x24", "60x20", "200x60", "NO_COLOR", "16 colours", "dumb"],
)
def test_the_worksheet_opens_and_is_left(size, variables, tmp_path):
    shutil.copyfile(SAMPLE, tmp_path / "grand.toml")
    environment = {key: value for key, value in os.environ.items() if key not in {"NO_COLOR", "COLUMNS", "LINES"}}
    environment |= {"TERM": "xterm-256color", "TEXTUAL_ANIMATIONS": "none", **variables}
    child = pexpect.spawn(
        COMMAND[0],
        [*COMMAND[1:], "open", "grand.toml"],
        cwd=str(tmp_path),
        env=environment,
        dimensions=size,
        encoding="utf-8",
        timeout=120,
    )
    shown = io.StringIO()
    child.logfile_read = shown
    child.expect("tructure")  # the first station
    child.send("\x11")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0
    text = shown.getvalue()
    assert "Traceback" not in text
    if "NO_COLOR" in variables:
        codes = [code for found in COLOURS.findall(text) for code in re.split(r";", found)]
        assert not {"31", "32", "33", "34", "35", "36"} & set(codes)
    assert (tmp_path / "grand.toml").read_bytes() == SAMPLE.read_bytes()


def test_it_runs_as_a_module_and_says_its_version():
    from appraise import __version__

    for words in (["--version"], ["--help"]):
        done = subprocess.run([*COMMAND, *words], capture_output=True, text=True, check=False)
        assert (done.returncode, done.stderr) == (0, "")
        assert ("usage: appraise" in done.stdout) or done.stdout == f"appraise {__version__}\n"
