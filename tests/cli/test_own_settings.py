"""The settings file: none is needed, a good one holds, a wrong one is told in one line a problem."""

from __future__ import annotations

import pytest

from appraise.app import AppraiseApp
from appraise.store.own_settings import OwnSettings, WalkSettings, own_settings, read_settings, settings_file


@pytest.fixture
def own(tmp_path, monkeypatch):
    path = tmp_path / "settings.toml"
    monkeypatch.setenv("APPRAISE_SETTINGS", str(path))
    return path


def test_where_it_is(monkeypatch, tmp_path):
    monkeypatch.delenv("APPRAISE_SETTINGS", raising=False)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    assert settings_file() == tmp_path / "appraise" / "settings.toml"
    monkeypatch.setenv("XDG_CONFIG_HOME", "not/absolute")
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    assert settings_file() == tmp_path / "home" / ".config" / "appraise" / "settings.toml"


def test_without_a_file_or_with_an_empty_one_the_defaults_hold(own):
    assert own_settings() == OwnSettings()
    own.write_text("# nothing yet\n")
    assert own_settings() == OwnSettings(WalkSettings(move_on=True))


def test_what_it_says_holds(own, appraise):
    own.write_text("schema = 1\n[walk]\nmove_on = false\n")
    assert own_settings() == OwnSettings(WalkSettings(move_on=False))
    answer = appraise("settings")
    assert (answer.code, answer.err) == (0, "")
    assert "[walk]\nmove_on = false\n" in answer.out


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        (
            "[walk]\nmove_one = true\n",
            ':2: walk.move_one: found an unknown key, expected a key of [walk]; did you mean "move_on"?',
        ),
        ("[wlak]\n", ':1: wlak: found an unknown key, expected one of the tables "walk"; did you mean "walk"?'),
        ('[walk]\nmove_on = "no"\n', ':2: walk.move_on: found "no", expected true or false'),
        ("walk = 3\n", ":1: walk: found 3, expected a table: [walk]"),
        ("schema = 2\n", ":1: schema: found 2, expected schema = 1"),
        ("[walk\n", ":1: found text that is not TOML"),
    ],
)
def test_a_wrong_one_is_refused_in_one_line(own, appraise, text, problem):
    own.write_text(text)
    settings, problems = read_settings(own)
    assert (settings, len(problems)) == (OwnSettings(), 1)
    answer = appraise("settings")
    assert answer.code == 2
    assert answer.err.startswith(f"{own}{problem}")
    assert answer.err.count("\n") == 1


def test_the_worksheet_takes_the_defaults_where_nobody_says_otherwise(tmp_path):
    assert AppraiseApp(tmp_path).settings == OwnSettings()
