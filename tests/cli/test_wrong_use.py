"""A command line that cannot be followed gets one line and exit code 2."""

from __future__ import annotations

import re

import pytest

from appraise.cli.parser import COMMANDS


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (["vlaue", "x.toml"], 'appraise: found "vlaue", expected a command; did you mean "value"?'),
        (["xyz"], 'appraise: found "xyz", expected a command; `appraise --help` lists them'),
        (
            ["my.toml"],
            "appraise: found the file my.toml, expected a command; `appraise open my.toml` opens it",
        ),
        (["--nope"], "appraise: unrecognized arguments: --nope; `appraise --help` shows how"),
        (
            ["check"],
            "appraise check: the following arguments are required: FILE; `appraise check --help` shows how",
        ),
        (
            ["check", "--js", "x.toml"],
            "appraise: unrecognized arguments: --js; `appraise --help` shows how",
        ),
        (
            ["check", "--date", "tomorrow", "x.toml"],
            'appraise check: argument --date: found "tomorrow", expected a day such as 2026-11-20; '
            "`appraise check --help` shows how",
        ),
        (
            ["value", "--draws", "3", "x.toml"],
            'appraise value: argument --draws: found "3", expected a whole number from 100 to 65536; '
            "`appraise value --help` shows how",
        ),
        (
            ["value", "--seed", "1.5", "x.toml"],
            'appraise value: argument --seed: found "1.5", expected a whole number from 0 to 9223372036854775807; '
            "`appraise value --help` shows how",
        ),
        (["sources", "lwas"], 'appraise sources: found "lwas", expected a table; did you mean "laws"?'),
        (["open"], "appraise open: found no terminal, expected one; `appraise value CASE` needs none"),
        ([], "appraise open: found no terminal, expected one; `appraise value CASE` needs none"),
        (["new", "case.txt"], "appraise new: found case.txt, expected a name that ends in .toml"),
        (["new", "x.toml"], "appraise new: found no --kind, expected --kind grand or --kind upright"),
        (["\x1b[2J\udcff"], 'appraise: found "\ufffd[2J\ufffd", expected a command; `appraise --help` lists them'),
    ],
)
def test_one_line(appraise, tmp_path, monkeypatch, words, line):
    monkeypatch.chdir(tmp_path)
    assert appraise(*words) == (2, "", f"{line}\n")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("command", ["check", "value", "report", "why"])
def test_no_such_file(appraise, tmp_path, command):
    path = tmp_path / "none.toml"
    more = {"report": ["-o", tmp_path / "out.md"], "why": ["value"]}.get(command, [])
    answer = appraise(command, path, *more)
    assert answer == (
        2,
        "",
        f"{path}: found no such file, expected a case file; check the name, or `appraise new` to begin one\n",
    )


@pytest.mark.parametrize("command", ["value", "report", "why"])
def test_a_case_with_problems_is_not_worked_with(appraise, good, tmp_path, command):
    good.write_text(good.read_text().replace("1985", "nan"))
    before = good.read_bytes()
    more = {"report": ["-o", tmp_path / "out.md"], "why": ["value"]}.get(command, [])
    answer = appraise(command, good, *more)
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.startswith(f"{good}:8: identity.made: found nan, expected ")
    assert answer.err.count("\n") == 1
    assert good.read_bytes() == before
    assert not (tmp_path / "out.md").exists()


@pytest.mark.parametrize("words", [["--help"], *([name, "--help"] for name in COMMANDS)])
def test_help(appraise, words):
    answer = appraise(*words)
    assert (answer.code, answer.err) == (0, "")
    assert answer.out.startswith(f"usage: {' '.join(['appraise', *words[:-1]])}")


def test_help_names_every_command(appraise):
    _, _, listed = appraise("--help").out.partition("commands:\n")
    names = [line.split()[0] for line in listed.partition("\n\n")[0].splitlines() if re.match(r" {4}\S", line)]
    assert names == list(COMMANDS)


def test_version(appraise):
    from appraise import __version__

    assert appraise("--version") == (0, f"appraise {__version__}\n", "")


def test_a_folder_of_tables_that_is_not_there(appraise, good, tmp_path):
    answer = appraise("check", good, "--tables", tmp_path / "none")
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.count("\n") == 1
    assert "none" in answer.err


def test_shares_that_do_not_sum_to_one(appraise, good, tmp_path):
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / "components.toml").write_text(
        '[[row]]\nkey = "plate"\nlabel = "Plate"\nstation = "structure"\nkinds = ["grand", "upright"]\n'
        "share_grand = 0.9\nshare_upright = 0.9\ncritical = true\nvisibility = 0.3\n"
        'gate = [[4, 1.0], [5, 0.1]]\nstanding = "our assumption"\nsource = "none"\n'
    )
    answer = appraise("value", good, "--tables", folder)
    assert (answer.code, answer.out) == (2, "")
    assert "share_grand" in answer.err
    assert "1" in answer.err
    assert all(line.strip() for line in answer.err.splitlines())


def test_an_interruption_is_one_line(appraise, good, monkeypatch):
    def interrupt(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("appraise.store.read.read_case", interrupt)
    assert appraise("check", good) == (130, "", "appraise: interrupted\n")


def test_a_full_disk_is_one_line(appraise, good, monkeypatch):
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device", "out")

    monkeypatch.setattr("appraise.cli.check.say", full)
    assert appraise("check", good) == (2, "", "appraise: out: No space left on device\n")
