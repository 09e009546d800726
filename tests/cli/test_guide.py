"""README, guide and manual page: every command that they show does what it says, and none of them is out of date."""

from __future__ import annotations

import io
import itertools
import re
import shlex
import shutil
from pathlib import Path

import pytest

from appraise.cli import guide, manual
from appraise.cli.parser import COMMANDS, build_parser
from tests.cli.test_help import parsers
from tests.helpers.samples import copied_samples

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
PAGES = {"README.md": README} | {topic: guide.FOLDER / f"{topic}.md" for topic in guide.TOPICS}
FENCED = re.compile(r"^```(\w*)\n(.*?)^```$", re.DOTALL | re.MULTILINE)


def lines_of(page: str) -> list[str]:
    """Return the command lines of a page."""
    if not PAGES[page].is_file():
        pytest.skip("the README is beside the package in a checkout only")
    blocks = FENCED.findall(PAGES[page].read_text(encoding="utf-8"))
    assert {language for language, _ in blocks} <= {"", "python", "toml"}
    return [line for language, block in blocks if not language for line in block.splitlines()]


@pytest.fixture
def ground(tmp_path, monkeypatch):
    """A folder like a checkout's, with a grand of one's own, where `~` is a folder too."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("APPRAISE_SETTINGS", str(tmp_path / "own" / "settings.toml"))  # the sales book lies beside it
    shutil.copytree(copied_samples(), "sample_cases")
    shutil.copy("sample_cases/renewed_grand.toml", "grand.toml")
    if (tmp_path / "sample_cases" / "photos").is_dir():
        shutil.copytree("sample_cases/photos", "photos")
    monkeypatch.setattr("sys.stdin", io.StringIO("quit\n"))
    return tmp_path


@pytest.mark.parametrize("page", PAGES)
def test_every_command_of_a_page_works(page, ground, appraise):
    tried = 0
    for line in lines_of(page):
        if line.startswith(("python3 -m venv", ".venv/bin/pip")):
            assert line in (ROOT / ".ci" / "run").read_text(encoding="utf-8"), "CI runs the set-up commands"
            continue
        words, _, target = line.partition(" > ")
        first, *rest = shlex.split(words)
        if first == "mkdir":
            for folder in rest[1:]:
                Path(folder).expanduser().mkdir(parents=True, exist_ok=True)
            continue
        assert first == "appraise", line
        answer = appraise(*rest)
        assert answer.code == 0, (line, answer.err)
        written = [word for before, word in itertools.pairwise(rest) if before in ("-o", "--csv", "--jsonl")]
        assert answer.out or written, line
        if target:
            Path(target).expanduser().write_text(answer.out, encoding="utf-8")
        for name in written:
            assert Path(name).stat().st_size > 1000, line
        tried += 1
    assert tried or page in ("keys", "photos")


def test_every_command_stands_in_the_readme():
    text = README.read_text(encoding="utf-8")
    table = text.partition("## Commands")[2].partition("## ")[0]
    assert [command for command in COMMANDS if f"| `appraise {command}" not in table and command != "open"] == []
    assert len(text.splitlines()) <= 160


def test_the_readme_links_every_topic():
    text = README.read_text(encoding="utf-8")
    links = re.findall(r"^- \[(.+)\]\((appraise/guide/.+\.md)\)$", text, re.MULTILINE)
    assert links == [(guide.title(topic), f"appraise/guide/{topic}.md") for topic in guide.TOPICS]


def test_every_file_of_the_guide_is_a_topic(appraise):
    assert {path.stem for path in guide.FOLDER.iterdir()} == set(guide.TOPICS)
    assert all(topic in appraise("guide").out for topic in guide.TOPICS)


def test_a_topic_is_plain_in_a_pipe(appraise):
    assert appraise("guide", "moves").out == guide.with_keys(
        (guide.FOLDER / "moves.md").read_text(encoding="utf-8"), {}
    )


def test_a_topic_is_drawn_at_a_terminal(appraise, monkeypatch):
    monkeypatch.setattr("sys.stdout.isatty", lambda: True)
    monkeypatch.setenv("TERM", "dumb")
    out = appraise("guide", "case-files").out
    assert "NAME.trail.jsonl" in out
    assert "```" not in out
    assert "# Case files" not in out


def test_an_unknown_topic(appraise):
    answer = appraise("guide", "report")
    assert (answer.code, answer.err.count("\n")) == (2, 1)
    assert "reports" in answer.err


def test_topics_and_commands_that_a_page_names_exist():
    for page in PAGES:
        if PAGES[page].is_file():
            text = PAGES[page].read_text(encoding="utf-8")
            assert set(re.findall(r"`appraise guide ([a-z-]+)`", text)) <= set(guide.TOPICS)
            assert set(re.findall(r"`appraise ([a-z]+)", text)) <= set(COMMANDS)


def test_the_manual_page_says_what_help_says():
    parser = build_parser()
    page = " ".join(manual.manual(parser).split())
    for inner in list(parsers(parser))[1:]:
        assert f".SS {inner.prog} " in page
        section = page.partition(f".SS {inner.prog} ")[2].partition(" .SS ")[0]
        shown = inner.format_help()
        for option in set(re.findall(r"(?<![\w-])--[a-z][a-z-]+", shown)) - {"--help"}:
            assert option.replace("-", r"\-") in section, (inner.prog, option)
        for action in inner._actions:
            if action.help and action.dest not in ("help", "command", "instrument"):
                assert manual._escaped(manual._help(inner, action)) in section, (inner.prog, action.dest)
