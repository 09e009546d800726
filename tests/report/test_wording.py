"""Every word of a report is a message of the one catalogue, or comes from the case, a table or a figure."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from html import unescape
from pathlib import Path

import pytest

from appraise.model.message import places
from appraise.model.notes import name_of
from appraise.report.appraisal import appraisal
from appraise.report.charts.svg import svg
from appraise.report.charts.text import lines
from appraise.report.document import Drawing
from appraise.report.kinds import OF_A_LOSS, document_for
from appraise.report.loss.page import loss_page
from appraise.report.provenance import Standing
from appraise.report.terminal import value_page, why_tree
from appraise.report.wording import manner_for
from appraise.report.wording.localised import covers, in_english_of
from appraise.store.read import read_case
from appraise.tables.load import load_tables
from tests.helpers.messages import FOLDER, is_translated, levelled, messages, read, written
from tests.helpers.pseudo import Explained, bracketed, pseudo_manner, shown_strings
from tests.helpers.report_cases import CASES
from tests.helpers.terminal_text import drawn
from tests.report.test_loss import moved

TABLES = load_tables()
NOTE_NAMES = [name_of(note) for note in range(1, 89)]


def unexplained(texts, *sources):
    """Return every text with a word that nothing explains."""
    explained = Explained(TABLES, *sources)
    return [(left, text) for text in texts if (left := explained.left(text))]


@pytest.mark.parametrize("name", ["grand", "watched", "unwanted", "bare"])
@pytest.mark.parametrize("kind", ["full", "summary", "workorder"])
def test_every_word_of_a_report_is_a_message_or_data(name, kind):
    item = appraisal(CASES[name](), TABLES, file="case.toml", sha256="ab" * 32, draws=100, manner=pseudo_manner())
    document = document_for(kind, item)
    texts = list(shown_strings(document))
    assert any("⟦" in text for text in texts)
    assert unexplained(texts, item.case, list(map(str, TABLES.components)), ["case.toml"]) == []


@pytest.mark.parametrize("name", ["grand", "watched"])
def test_every_word_of_the_charts_is_a_message_or_data(name):
    """In pictures and in letters; a chart may break a message over lines, so its lines are run together."""
    item = appraisal(CASES[name](), TABLES, file="case.toml", draws=100, manner=pseudo_manner())
    blocks = [block for section in document_for("full", item).sections for block in section.blocks]
    drawings = [block for block in blocks if isinstance(block, Drawing)]
    assert len(drawings) > 2
    for drawing in drawings:
        letters = re.sub(r"[A-H]{2,}", " ", " ".join(" ".join(lines(drawing, 4000)).split()))  # curves are letters
        words = [unescape(text) for text in re.findall(r">([^<>]+)<", svg(drawing, width_mm=4000.0))]
        assert unexplained([letters, *words], item.case, NOTE_NAMES) == []


def test_every_word_of_the_terminal_is_a_message_or_data():
    item = appraisal(CASES["grand"](), TABLES, file="case.toml", draws=100, manner=pseudo_manner())
    lines = drawn(*value_page(item), why_tree(item.figures.get("hammers.depreciation"), 2, pseudo_manner()))
    assert unexplained(lines, item.case, ["case.toml"], [reason.figure for reason in item.tree.walk()]) == []


def test_every_word_of_a_loss_is_a_message_or_data():
    item = replace(moved(), manner=pseudo_manner())
    states = item.before, item.after
    texts = [
        *(text for kind in OF_A_LOSS for text in shown_strings(document_for(kind, item))),
        *drawn(*loss_page(item)),
    ]
    assert unexplained(texts, *states, list(TABLES.components)) == []


def test_places_can_be_turned_round():
    assert bracketed("abc {one} de {two}") == "⟦abc ⟧{two}⟦ de ⟧{one}"  # of eighteen letters, a multiple of three
    assert bracketed("abc {one} d {two}") == "⟦abc ⟧{one}⟦ d ⟧{two}"
    said = pseudo_manner().say("The {part} is at grade", part="x")
    assert said == "The x is at grade"  # not in the catalogue, so not in brackets


def test_the_messages_are_found_and_can_be_handed_to_a_translator(tmp_path):
    assert len(messages()) > 1000
    path = tmp_path / "de.po"
    path.write_bytes(written(messages()))
    assert {entry.id for entry in read(path)} == {entry.id for entry in messages()}


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.po")), ids=lambda path: path.stem)
def test_a_translation_is_level_with_the_messages(path):
    """`python -m tests.helpers.messages` makes it so."""
    assert path.read_bytes() == levelled(path)
    assert all(is_translated(entry) for entry in read(path) if entry.id)


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.po")), ids=lambda path: path.stem)
def test_a_translation_keeps_every_place(path):
    known = {entry.id for entry in messages()}
    for entry in read(path):
        assert entry.id in known
        forms = entry.string if isinstance(entry.string, tuple) else (entry.string,)
        originals = entry.id if isinstance(entry.id, tuple) else (entry.id,)
        wanted = {name for text in originals for name in names_in(text)}
        for form in forms:
            if entry.id and form:
                assert set(names_in(form)) <= wanted, form
                assert set(names_in(originals[-1])) <= set(names_in(form)), form


@pytest.mark.parametrize(
    ("territory", "text", "said"),
    [
        ("US", "Excess (deductible)", "Deductible"),
        (
            "US",
            "The mould harbours odours; in excess of {colour} m.",
            "The mold harbors odors; in excess of {colour} m.",
        ),
        ("US", "Pin block", "Pinblock"),
        ("US", "Labour at {labour}", "Labor at {labour}"),
        ("GB", "Pin block", "Pin block (wrest plank)"),
        ("GB", "Labour", "Labour"),
        ("IE", "Excess (deductible)", "Excess (deductible)"),
    ],
)
def test_english_by_land(territory, text, said):
    assert in_english_of(territory, text) == said


BRITISH = re.compile(
    r"(?i)\b(?:col|lab|od|harb|neighb|fav|behavi|hon|rum|vap)our|\bgrey|\bmould|metres?\b|\bcentres?\b|[^v]ised\b|ysed\b"
)


def test_no_message_keeps_its_british_spelling_in_the_united_states():
    left = [
        text
        for entry in messages()
        for text in [entry.id if isinstance(entry.id, str) else entry.id[1]]
        if BRITISH.search(
            re.sub(r"\{\w+\}", "", in_english_of("US", text)).replace("advised", "").replace("raised", "")
        )
    ]
    assert left == []


def test_what_a_user_wrote_keeps_its_spelling():
    case = replace(CASES["grand"](), identity=replace(CASES["grand"]().identity, maker="Grey & Mould Colours"))
    item = appraisal(case, TABLES, file="case.toml", sha256="ab" * 32, draws=64, manner=manner_for("en_US"))
    said = "\n".join(shown_strings(document_for("full", item)))
    assert "Grey & Mould Colours" in said
    assert "bias toward the instrument" in said


AMENDING = Standing(date(2026, 11, 20), "cd" * 32, 7, "ef" * 32)
SAMPLES = sorted((Path(__file__).parents[2] / "sample_cases").glob("*.toml"))


@pytest.mark.parametrize("language", [path.stem for path in sorted(FOLDER.glob("*.po"))])
def test_a_translation_covers_the_kinds_that_it_says(language):
    """Every message that reaches such a report of any case is there."""
    translated = {entry.id for entry in read(FOLDER / f"{language}.po") if entry.string and all(entry.string)}
    cases = [case() for case in CASES.values()]
    cases += [read_case(path, TABLES, today=date(2026, 12, 1))[0] for path in SAMPLES]
    kinds = covers(language)
    assert kinds
    terms = {"file": "case.toml", "sha256": "ab" * 32, "draws": 64, "manner": pseudo_manner()}
    items = [replace(appraisal(case, TABLES, **terms), standing=AMENDING) for case in cases]
    for kind in kinds:
        said = set()
        for item in items:
            for text in shown_strings(document_for(kind, item)):
                said.update(re.findall(r"⟦([^⟦⟧]*)⟧", text))
        for entry in messages():
            forms = entry.id if isinstance(entry.id, tuple) else (entry.id,)
            words = [[words for words, _ in places(form) if words] for form in forms]
            if entry.id and any(pieces and all(piece in said for piece in pieces) for pieces in words):
                assert entry.id in translated


def names_in(text):
    """Return the names of the places of a message."""
    return [name for _, name in places(text) if name]
