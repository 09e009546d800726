"""Hostile words in everything that is written: terminal, Markdown, JSON, CSV, standard error."""

from __future__ import annotations

import ast
import csv
import io
import json
from pathlib import Path

import pytest
from markdown_it import MarkdownIt

import appraise
from appraise.cli.parser import COMMANDS
from appraise.model.unsafe import CONTROL_OR_HIDDEN
from appraise.report.ranking import KEYS, cells
from appraise.services.case_session import CaseSession
from appraise.store.write import write_case
from tests.fuzz.hostile import FORMULAS, TEXTS
from tests.security.hostile_case import everywhere


@pytest.fixture
def hostile(tmp_path, tables):
    """A case file that is hostile in every text, written in escapes as TOML allows."""
    path = tmp_path / "hostile.toml"
    write_case(path, everywhere("[/x] <b> | `c` *d* [l](javascript:a) ![i](http://h.invalid/p) =1"), tables)
    escaped = "\\u001b[2J\\u009b31m\\u202e\\u200b\\u2028\\u0007"
    raw = "\u202e\u200b\u2028\x9b31m"
    path.write_text(path.read_text(encoding="utf-8").replace("[/x]", f"=[/x] {escaped} {raw}"), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    "words",
    [
        ("value", "X"),
        ("value", "X", "--json"),
        ("why", "X"),
        ("why", "X", "--json"),
        ("check", "X"),
        ("check", "X", "--json"),
        ("photos", "X"),
        ("photos", "X", "--json"),
        ("look", "X"),
        ("look", "X", "--json"),
        ("missing", "X"),
        ("missing", "X", "--json"),
        ("settings",),
        ("sales", "list", "--book", "X"),
        ("sales", "import", "X", "--book", "\x1b[2J\u202e.sqlite"),
        ("lives", "X"),
        ("lives", "X", "--json"),
        ("loss", "X", "X"),
        ("loss", "X", "X", "--json"),
        ("rank", "X", "--no-cache"),
        ("rank", "X", "--no-cache", "--json"),
        ("rank", "X", "--no-cache", "--csv", "-"),
        ("rank", "X", "--no-cache", "--jsonl", "-"),
        ("measure", "drying", "--case", "X"),
        ("measure", "pitch", "X", "--json"),
        ("new", "X"),
        ("report", "X", "-o", "X"),
        ("value", "\x1b[2J\u202e.toml"),
        ("why", "X", "\x1b[2J\u202e"),
        ("sources", "\x1b[2J\u202e"),
        ("schema", "\x1b[2J\u202e"),
        ("completion", "\x1b[2J\u202e"),
        ("guide", "\x1b[2J\u202e"),
        ("look", "X"),
        ("look", "X", "--json"),
        ("missing", "X"),
        ("missing", "X", "--json"),
        ("\x1b[2J\u202e",),
        ("value", "X", "--basis", "\x1b[2J\u202e"),
        ("value", "X", "--date", "\x1b[2J\u202e"),
    ],
    ids=ascii,
)
def test_nothing_that_is_printed_controls_a_terminal(words, hostile, appraise):
    answer = appraise(*(hostile if word == "X" else word for word in words))
    said = answer.out + answer.err
    assert said
    assert not CONTROL_OR_HIDDEN.search(said)
    if "--json" in words and answer.code != 2:
        json.loads(answer.out)


def test_every_command_is_among_them():
    tried = {"value", "why", "check", "photos", "loss", "rank", "measure", "new", "report", "sources", "schema"}
    tried |= {"look", "missing", "settings", "sales", "lives"}
    assert tried | {"completion", "guide", "open", "demo"} >= set(COMMANDS)


@pytest.mark.parametrize("ending", [".md", ".json"])
def test_a_report_holds_words_and_no_more(ending, hostile, tmp_path, appraise):
    target = tmp_path / f"report{ending}"
    assert appraise("report", hostile, "-o", target, "--draws", "100").code == 0
    text = target.read_text(encoding="utf-8")
    assert not CONTROL_OR_HIDDEN.search(text)
    if ending == ".json":
        json.loads(text)
        return
    tokens = MarkdownIt("commonmark").enable("table").parse(text)
    children = [child for token in tokens for child in token.children or ()]
    assert not {"html_block", "fence", "code_block"} & {token.type for token in tokens}
    assert not {"html_inline", "link_open", "image", "code_inline"} & {child.type for child in children}


def test_a_cell_is_never_a_formula():
    row = dict.fromkeys(KEYS, 1.0)
    from appraise.report.words import literal

    assert set(FORMULAS) < set(TEXTS)
    for word in TEXTS:
        for key in ("file", "maker", "model", "plan", "next_intervention_part"):
            cell = cells({**row, key: literal(word)})[KEYS.index(key)]
            assert not cell.startswith(tuple("=+-@\t\r＝＋－＠")), (key, word, cell)
    assert cells({**row, "offer": -250.0})[KEYS.index("offer")] == "-250.0"


def test_a_hostile_ranking_opens_in_a_spreadsheet(hostile, appraise):
    answer = appraise("rank", hostile, "--no-cache", "--csv", "-", "--draws", "100")
    assert answer.code == 0
    heads, *rows = csv.reader(io.StringIO(answer.out))
    assert tuple(heads) == KEYS
    assert rows
    for row in rows:
        for key, cell in zip(heads, row, strict=True):
            try:
                float(cell or "0")
            except ValueError:
                assert cell[0] not in "=+-@", (key, cell)


def test_two_places_write_csv():
    """The ranking and the book of sales, each through its guard of cells; tables of rates are written for ourselves."""
    package = Path(appraise.__file__).parent
    found = {
        path.relative_to(package).as_posix()
        for path in package.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute) and node.attr == "writer" and getattr(node.value, "id", "") == "csv"
    }
    assert found == {"report/ranking.py", "evidence/exchange.py"}


def test_the_worksheet_writes_what_it_was_given(tmp_path, tables):
    """Marks that some scripts need are kept in the file, though they are not shown."""
    from dataclasses import replace

    from appraise.store.read import read_case
    from tests.helpers.worksheet_cases import grand

    case = grand(tables)
    word = "\u05d0\u200f! \u0645\u06cc\u200c\u062e 👩\u200d🔧"
    sheet = CaseSession(tmp_path / "x.toml", replace(case, identity=replace(case.identity, maker=word)), tables)
    write_case(sheet.path, sheet.case, tables)
    again, problems = read_case(sheet.path, tables)
    assert again is not None, problems
    assert again.identity.maker == word
