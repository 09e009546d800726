"""The settings file: none is needed, a good one holds, a wrong one is told in one line a problem."""

from __future__ import annotations

import json
import re
from decimal import Decimal

import pytest
from pypdf import PdfReader

from appraise.app import AppraiseApp
from appraise.cli import guide
from appraise.commands import COMMANDS, key_names
from appraise.model.market import Costs
from appraise.model.problem import Unreadable
from appraise.model.quantities import Units
from appraise.services.new_file import SECTION
from appraise.store.own_settings import (
    BY_NAME,
    SETTINGS,
    OwnSettings,
    own_settings,
    read_settings,
    write_setting,
)
from appraise.store.read import read_case
from appraise.store.settings_sections import NewCaseSettings, WalkSettings
from appraise.tables.folder import settings_file

OVERLAY = """\
[table]
id = "settings"

[[row]]
key = "draws"
value = 256
unit = "1"
means = "draws"
standing = "our assumption"
source = "none"
where = ""
note = ""
"""
"""Tables of the house: fewer draws."""


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
        (
            "[wlak]\n",
            ':1: wlak: found an unknown key, expected one of the tables "walk", "new_case", "practice", "sales", '
            '"tables", "documents", "currencies", "signatures", "screen", "keys"; '
            'did you mean "walk"?',
        ),
        ('[walk]\nmove_on = "no"\n', ':2: walk.move_on: found "no", expected true or false'),
        ("walk = 3\n", ":1: walk: found 3, expected a table: [walk]"),
        (
            '[new_case]\ncurrency = "EURO"\n',
            ':2: new_case.currency: found "EURO", expected a currency of ISO 4217 in use, such as EUR; did you mean '
            '"EUR"?',
        ),
        (
            '[new_case]\nunits = "inches"\n',
            ':2: new_case.units: found "inches", expected one of "metric", "inch"; did you mean "inch"?',
        ),
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


def test_every_setting_is_declared_read_printed_and_taken_as_it_is_kept(own, appraise):
    answer = json.loads(appraise("settings", "--json").out)
    held = {(section, key): value for section, keys in answer["settings"].items() for key, value in keys.items()}
    assert held == {(each.section, each.key): each.default for each in SETTINGS}
    for each in SETTINGS:
        assert each.taken(each.default) == each.default
        assert each.about.label
        assert each.about.help.endswith(".")
    # What the setting of a new case is called is what the case calls it.
    assert {each.key for each in SETTINGS if each.section == "new_case"} <= {*SECTION}


def test_one_is_changed_and_comments_and_the_rest_stay(own):
    kept = '# mine\nschema = 1\n\n[walk]  # the walk\nmove_on = true  # faster\n\n[new_case]\nassessor = "R. Hale"\n'
    own.write_text(kept)
    move_on = next(each for each in SETTINGS if each.key == "move_on")
    currency = next(each for each in SETTINGS if each.key == "currency")
    assert write_setting(own, move_on, value=False).walk.move_on is False
    assert own.read_text() == kept.replace("move_on = true", "move_on = false")
    write_setting(own, currency, value=currency.taken("chf"))
    assert own.read_text() == kept.replace("move_on = true", "move_on = false") + 'currency = "CHF"\n'
    assert own_settings() == OwnSettings(WalkSettings(move_on=False), NewCaseSettings("R. Hale", currency="CHF"))


def test_the_ends_of_lines_and_the_mark_of_the_encoding_stay(own):
    kept = "\ufeff# mine\r\nschema = 1\r\n\r\n[walk]  # the walk\r\nmove_on = true\r\n"
    own.write_bytes(kept.encode())
    move_on = next(each for each in SETTINGS if each.key == "move_on")
    currency = next(each for each in SETTINGS if each.key == "currency")
    write_setting(own, move_on, value=False)
    assert own.read_bytes().decode() == kept.replace("true", "false")
    write_setting(own, currency, value=currency.taken("chf"))
    added = own.read_bytes().decode().removeprefix(kept.replace("true", "false"))
    assert [line for line in added.split("\r\n") if line] == ["[new_case]", 'currency = "CHF"']
    assert "\n" not in added.replace("\r\n", "")
    assert own_settings().new_case.currency == "CHF"
    # Where somebody's editors mixed them, each line keeps its own.
    own.write_bytes(b"schema = 1\n[walk]\r\nmove_on = true\r\n")
    write_setting(own, move_on, value=False)
    assert own.read_bytes() == b"schema = 1\n[walk]\r\nmove_on = false\r\n"


def test_a_file_that_is_wrong_or_cannot_be_written_stays_as_it_is(own, tmp_path):
    move_on = SETTINGS[0]
    own.write_text("[walk]\nmove_one = true\n")
    with pytest.raises(Unreadable, match="move_one"):
        write_setting(own, move_on, value=False)
    assert own.read_text() == "[walk]\nmove_one = true\n"
    (tmp_path / "file").write_text("")
    with pytest.raises(Unreadable, match="cannot be written"):
        write_setting(tmp_path / "file" / "settings.toml", move_on, value=False)
    made = tmp_path / "not" / "yet" / "settings.toml"
    write_setting(made, move_on, value=False)
    assert read_settings(made) == (OwnSettings(WalkSettings(move_on=False)), [])


def test_a_new_case_begins_with_them_and_an_option_goes_before(own, appraise, tables, tmp_path):
    own.write_text('[new_case]\nassessor = "R. Hale"\ncurrency = "GBP"\nunits = "inch"\nlocale = "en_GB"\n')
    path = tmp_path / "new.toml"
    assert appraise("new", path, "--kind", "upright", "--currency", "USD").code == 0
    asked = read_case(path, tables)[0].assignment
    assert (asked.assessor, asked.currency, asked.units, asked.locale) == ("R. Hale", "USD", Units.INCH, "en_GB")
    own.write_text('[new_case]\nlocale = "xx_XX"\n')
    assert appraise("new", tmp_path / "other.toml", "--kind", "upright").err.startswith(f"{own}:2: new_case.locale: ")
    assert not (tmp_path / "other.toml").exists()


def test_the_worksheet_takes_the_defaults_where_nobody_says_otherwise(tmp_path):
    assert AppraiseApp(tmp_path).settings == OwnSettings()


def test_keys_of_ones_own_are_told_wherever_keys_are(own, appraise):
    own.write_text('[keys]\nsave = "f17, Ctrl+B"\nkeep_all_mine = "F5"\nnext_check = "?"\nwhy = "F4"\n')
    answer = appraise("settings")
    assert (answer.code, answer.err) == (0, "")
    assert 'save = "F17 Ctrl+B"\n' in answer.out
    assert own_settings().own_keys == {
        "save": "f17,ctrl+b", "keep-all-mine": "f5", "next-check": "question_mark", "why": "f4"
    }  # fmt: skip
    for words in (("guide", "keys"), ("guide", "inspection"), ("guide", "--man")):
        guide.own_in_force.cache_clear()
        answer = appraise(*words)
        assert answer.code == 0
        assert ("F17 saves" if "inspection" in words else "F17 Ctrl") in answer.out, words
        assert "<!--" not in answer.out
    guide.own_in_force.cache_clear()


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ('saev = "F7"', 'keys.saev: found an unknown key, expected a key of [keys]; did you mean "save"?'),
        (
            'save = "F30"',
            'keys.save: found "F30", expected keys such as F7 or Ctrl+S, with a space between two; did you',
        ),
        ('save = "x"', 'keys.save: found "x", expected keys such as F7 or Ctrl+S'),
        ('save = ""', "keys.save: found an empty text, expected keys such as F7 or Ctrl+S"),
        ("save = 7", "keys.save: found 7, expected a text in quotes"),
        (
            'save = "F5"',
            "keys.save: found F5, which is Result as well (During the inspection), expected a key that no other "
            "command has there; give that one another key",
        ),
        ('save = "F1"', "keys.save: found F1, which is Help as well (Everywhere), expected a key that no other"),
        ('show_help = "F2"', "keys.show_help: found F2, which is Save as well (Everywhere), expected"),
        (
            'save = "F7"\nremarks = "F7"',
            "keys.save: found F7, which is Defects as well (During the inspection), expected",
        ),
    ],
)
def test_keys_that_cannot_be_are_refused_in_one_line(own, appraise, text, problem):
    own.write_text(f"schema = 1\n[keys]\n{text}\n")
    answer = appraise("settings")
    assert answer.code == 2
    assert answer.err.count("\n") == 1
    assert f": {problem}" in answer.err
    # The guide is still to be read, with our keys.
    guide.own_in_force.cache_clear()
    assert appraise("guide", "inspection").code == 0
    guide.own_in_force.cache_clear()


def test_every_key_of_ours_can_be_told_by_its_name_and_none_clashes():
    assert OwnSettings().own_keys == {}
    assert OwnSettings().clash() is None
    for command in COMMANDS:
        assert BY_NAME[f"keys.{command.action}"].taken(command.keys) == key_names(command.keys)


def test_two_keys_are_exchanged(own):
    own.write_text('[keys]\nsave = "F3"\nnext_check = "F2"\nnew_case = "F2"\n')
    settings, problems = read_settings(own)
    assert [problem.key for problem in problems] == ["keys.save"]  # F3 adds a record where F2 saves
    own.write_text('[keys]\nresult = "F6"\nparticulars = "F5"\noutcome = "F8"\n')
    settings, problems = read_settings(own)
    assert [(problem.key, problem.found) for problem in problems] == [
        ("keys.particulars", "F5, which is Charts as well (On the result)")
    ]
    own.write_text('[keys]\nwhy = "F5"\nresult = "F4"\n')
    settings, problems = read_settings(own)
    assert (problems, settings.own_keys) == ([], {"why": "f5", "result": "f4"})


def test_the_example_of_the_guide_is_taken(own):
    own.write_text(re.search(r"```toml\n(.*?)```", guide.topic_text("keys"), re.DOTALL).group(1))
    assert own_settings().own_keys == {"save": "ctrl+s,f2", "why": "f5", "result": "f4"}


SHOP = """
[new_case]
assessor = "R. Hale"
basis = "auction"
climate = "coastal"
labour_rate = "62,50"
parts_rate = 58
overhead_pct = 8
margin_pct = "35%"
carriage = 320
holding = "90.00"
preparation = 240
guarantee = 150.5
removal = 410
"""


def test_a_new_case_begins_with_the_terms_of_the_shop_and_says_so(own, appraise, tmp_path, tables):
    own.write_text(SHOP)
    path = tmp_path / "case.toml"
    answer = appraise("new", path, "--kind", "grand", "--holding", "75", "--date", "2026-11-02")
    assert answer.code == 0, answer.err
    case, problems = read_case(path, tables)
    assert problems == []
    assert (case.assignment.assessor, case.assignment.basis, case.circumstances.climate) == (
        "R. Hale",
        "auction",
        "coastal",
    )
    assert case.costs == Costs(
        labour_rate=Decimal("62.50"), parts_rate=Decimal(58), overhead_pct=8.0, margin_pct=35.0, carriage=Decimal(320),
        preparation=Decimal(240), guarantee=Decimal("150.5"), holding=Decimal(75), removal=Decimal(410),
    )  # fmt: skip
    said = answer.out.splitlines()
    assert said[1].startswith("From your settings: assessor R. Hale, basis auction, climate coastal, labour rate 62.5")
    assert "holding" not in said[1], "the option said it"
    assert said[2] == "Not told, so from the tables: contingency 10%."
    # The same case gives the same bytes elsewhere: nothing is read from the settings afterwards.
    here = appraise("value", path, "--json").out
    own.unlink()
    assert appraise("value", path, "--json").out == here
    # In another currency no amount is taken over, shares are.
    own.write_text(SHOP)
    other = tmp_path / "other.toml"
    assert appraise("new", other, "--kind", "grand", "--currency", "CHF", "--date", "2026-11-02").code == 0
    assert read_case(other, tables)[0].costs == Costs(overhead_pct=8.0, margin_pct=35.0)
    # A case of the same shop stands before the settings.
    third = tmp_path / "third.toml"
    assert appraise("new", third, "--kind", "grand", "--like", path, "--date", "2026-11-02").code == 0
    assert read_case(third, tables)[0].costs == case.costs


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ('labour_rate = "-3"', 'new_case.labour_rate: found "-3", expected an amount from 0, such as 62.00'),
        ("labour_rate = true", "new_case.labour_rate: found true, expected a number, or one in quotes"),
        ("margin_pct = 95", "new_case.margin_pct: found 95, expected a percentage from 0 to 90, such as 12.5"),
        ("margin_pct = nan", "new_case.margin_pct: found nan, expected a number, or one in quotes"),
        ('overhead_pct = "much"', 'new_case.overhead_pct: found "much", expected a percentage from 0 to 1000'),
        (
            'basis = "aution"',
            "new_case.basis of the settings: found “aution”, expected a row of the table bases; did",
        ),
        ('climate = "hot"', "new_case.climate of the settings: found “hot”, expected a row of the table climates"),
    ],
)
def test_terms_that_make_no_sense_are_refused_in_one_line(own, appraise, tmp_path, text, problem):
    own.write_text(f"[new_case]\n{text}\n")
    answer = appraise("new", tmp_path / "case.toml", "--kind", "grand")
    assert answer.code == 2
    assert answer.err.count("\n") == 1
    assert f": {problem}" in answer.err
    assert not (tmp_path / "case.toml").exists()


def test_tables_of_the_settings_are_laid_over_ours_unless_others_are_told(own, tmp_path, appraise, good):
    theirs = tmp_path / "tables of the house"
    theirs.mkdir()
    (theirs / "settings.toml").write_text(OVERLAY)
    ours = appraise("value", good, "--json")
    own.write_text(f'schema = 1\n[tables]\nfolder = "{theirs.name}"\n')
    with_theirs = appraise("value", good, "--json")
    assert with_theirs.code == 0
    assert with_theirs.out == appraise("value", good, "--json", "--tables", theirs).out
    assert with_theirs.out != ours.out
    own.write_text('schema = 1\n[tables]\nfolder = "not there"\n')
    assert appraise("value", good).code == 2
    assert appraise("value", good, "--tables", theirs).code == 0


def test_paper_of_the_settings_is_that_of_documents_unless_another_is_told(own, tmp_path, appraise, good):
    def size(*options: str) -> tuple[int, int]:
        target = tmp_path / "order.pdf"
        answer = appraise("report", good, "--kind", "workorder", "--draws", "100", "--force", "-o", target, *options)
        assert answer.code == 0, answer.err
        box = PdfReader(target).pages[0].mediabox
        return round(float(box.width)), round(float(box.height))

    a4, letter = (595, 842), (612, 792)
    assert size() == a4
    own.write_text('schema = 1\n[documents]\npaper = "letter"\n')
    assert size() == letter
    assert size("--paper", "a4") == a4


def test_without_a_terminal_they_are_printed_as_with_show(own, appraise):
    assert appraise("settings").out == appraise("settings", "--show").out


def test_at_a_terminal_they_are_a_screen_of_their_own(own, monkeypatch, appraise):
    opened = []
    monkeypatch.setattr("appraise.cli.open.interactive", lambda: True)
    monkeypatch.setattr("appraise.app.run_settings", lambda: opened.append(True) or 0)
    assert (appraise("settings").code, opened) == (0, [True])
    for told in ("--show", "--json"):
        assert appraise("settings", told).out
    assert opened == [True]
