"""Keys are written in one way: footer, help, palette, hints and README."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from textual.binding import Binding

import appraise
from appraise import commands
from appraise.app import AppraiseApp
from appraise.cli import guide
from appraise.commands import BY_ID, COMMANDS, key_name, key_names, told
from appraise.writing_keys import BY_SCOPE
from tests.helpers.literals import literals

PACKAGE = Path(appraise.__file__).parent
PAGES = [PACKAGE.parent / "README.md", *sorted((PACKAGE / "guide").glob("*.md"))]

OTHER_WAYS = re.compile(
    r"""\b(?: f(?:[1-9]|1[0-2])\b | ctrl[+-] | Ctrl- | CTRL | Control[+-] | C-[a-z]\b | shift\+ | ESC\b | Escape\b
        | Delete[ ][a-z]+s\b | DEL\b | Insert\b | INS\b | Return\b | ENTER\b | Page[ ]?Up\b | Page[ ]?Down\b | PageDn\b
        | Spacebar\b | Space[ ]bar\b ) | \^[a-zA-Z]\b | \b(?:Ctrl|Shift)\+[a-z]\b | ⏎""",
    re.VERBOSE,
)
"""Ways in which keys are written elsewhere."""

NAMED = re.compile(r"\b(?:Ctrl\+[A-Z]|F(?:[1-9]|1[0-2]))\b")


def texts_told():
    """Yield every text of the worksheet that a person reads, with its file; names of keys in bindings have no space."""
    for path in sorted(PACKAGE.rglob("*.py")):
        if path.parent == PACKAGE or path.parent.name in ("screens", "widgets", "services"):
            for text in literals(path):
                styled = "{" in text and ";" in text  # a style sheet
                if (" " in text.strip() or text[:1].isupper()) and not styled:
                    yield path.name, text


@pytest.mark.parametrize(
    ("key", "name"),
    [
        ("f3", "F3"),
        ("ctrl+s", "Ctrl+S"),
        ("escape", "Esc"),
        ("insert", "Ins"),
        ("delete", "Del"),
        ("enter", "Enter"),
        ("space", "Space"),
        ("pageup", "PgUp"),
        ("shift+left", "Shift+←"),
        ("question_mark", "?"),
    ],
)
def test_the_way(key, name):
    assert key_name(key) == name


def test_the_footer_writes_as_the_help_does(tmp_path):
    app = AppraiseApp(tmp_path)
    for command in COMMANDS:
        for key in command.keys.split(","):
            assert app.get_key_display(Binding(key, command.action)) == key_name(key)
    assert key_names("f2,ctrl+s") == "F2 Ctrl+S"


def test_no_text_of_the_worksheet_writes_them_otherwise():
    texts = list(texts_told())
    assert len(texts) > 500
    assert [(file, text) for file, text in texts if OTHER_WAYS.search(text)] == []


def test_readme_and_guide_write_them_so_too():
    text = "\n".join(page.read_text(encoding="utf-8") for page in PAGES)
    assert NAMED.findall(text)
    assert OTHER_WAYS.findall(text) == []


def test_every_key_that_a_text_names_is_bound_to_something():
    bound = {key_name(key) for command in COMMANDS for key in command.keys.split(",")}
    bound |= {name for group in BY_SCOPE.values() for keys, _ in group for name in keys.split()}
    texts = [*texts_told(), *((page.name, page.read_text(encoding="utf-8")) for page in PAGES)]
    unbound = {(file, key) for file, text in texts for key in NAMED.findall(text) if key not in bound}
    assert unbound == set()


def test_other_ways_are_found():
    for text in ("f3 New case", "press ctrl+s", "^s Save", "Delete strikes out", "⏎ Open", "Ctrl+s"):
        assert OTHER_WAYS.search(text), text
    for text in ("F3 New case", "Ctrl+S saves", "Del strikes out", "5^2"):
        assert not OTHER_WAYS.search(text), text


HELD = re.compile(r"\{([a-z]+(?:-[a-z]+)*)\}")


def test_no_text_of_the_worksheet_names_a_key_that_somebody_may_have_moved():
    moved = {key_name(key) for command in COMMANDS for key in command.keys.split(",")}
    named = {(file, key) for file, text in texts_told() for key in NAMED.findall(text) if key in moved}
    named -= {("keymap.py", key) for key in moved}  # how keys are written there
    assert named == set()


def test_every_command_that_a_text_names_is_there():
    named = {id for _, text in texts_told() for id in HELD.findall(text) if "-" in id}
    assert len(named) > 2
    assert named - {*BY_ID} == set()


def test_a_text_names_the_key_in_force(monkeypatch):
    monkeypatch.setitem(commands._own, "save", "f7,ctrl+b")
    assert told("{save} saves; {save-as} elsewhere; {} {0}") == "F7 saves; Ctrl+E elsewhere; {} {0}"
    assert told("{save}", every=True) == "F7 Ctrl+B"
    assert commands.key_of("save") == "F7"


def test_every_key_of_the_guide_stands_with_its_command():
    """So that a page names the keys in force, and ours where none were moved."""
    left = []
    for page in sorted((PACKAGE / "guide").glob("*.md")):
        text = re.sub(r"^```.*?^```$", "", page.read_text(encoding="utf-8"), flags=re.DOTALL | re.MULTILINE)
        for found in guide.NAMED.finditer(text):
            assert found["key"] == key_name(BY_ID[found["id"]].keys.partition(",")[0]), (page.name, found.group())
        left += [(page.name, key) for key in NAMED.findall(guide.NAMED.sub("", text))]
    assert left == [("keys.md", "F1")], "of “Function keys F1 to F24”, which are no command's"


def test_the_guide_names_the_keys_in_force():
    text = "Press F2<!--save-->, then F3<!--next-check--> (or Ctrl+Z<!--undo-->)."
    assert guide.with_keys(text, {}) == "Press F2, then F3 (or Ctrl+Z)."
    assert guide.with_keys(text, {"save": "ctrl+s,f2"}) == "Press Ctrl+S, then F3 (or Ctrl+Z)."
