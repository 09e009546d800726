"""The kinds of report: each from the right item, every figure from the tree, the same in Markdown and as data."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import get_args

import pytest

from appraise.model.case import PhotoFile, Remark
from appraise.report.document import Block, Facts, FillInLines, Outline, Photo, PhotoGrid, Table, Ticks
from appraise.report.json_text import dumps
from appraise.report.kinds import OF_A_LOSS, ReportKind, document_for
from appraise.report.markdown import escape, render
from appraise.report.offer import ranked
from appraise.report.outputs.document import BLOCKS, DOCUMENT
from appraise.report.outputs.loss import DOSSIER
from appraise.report.outputs.value import REPORT
from appraise.report.words import literal
from tests.report.conftest import valued
from tests.report.test_loss import moved

OF_A_CASE = tuple(kind for kind in ReportKind if kind not in OF_A_LOSS)
NUMBER = r"−?\d+(?:,\d{3})*(?:\.\d\d)?"


@pytest.fixture(params=OF_A_CASE)
def kind(request) -> ReportKind:
    """Every kind that is made from one case."""
    return request.param


def steady(document, item) -> str:
    """Return a document as Markdown without what any row of any table changes."""
    return render(document).replace(item.valuation.tables_version, "TABLES")


@pytest.mark.parametrize("kind", ["summary", "workorder", "offer", "buying"])
@pytest.mark.parametrize("name", ["grand", "unwanted"])
def test_the_page_of_two_cases(kind, name, markdown_snapshot):
    item = valued(name)
    assert steady(document_for(kind, item), item) == markdown_snapshot


def test_a_kind_that_is_none():
    with pytest.raises(ValueError, match="invoice"):
        document_for("invoice", valued("grand"))


def test_a_kind_from_the_wrong_item(kind):
    with pytest.raises(TypeError, match="two states compared, not from Appraisal"):
        document_for("loss", valued("grand"))
    with pytest.raises(TypeError, match="a valued case, not from Compared"):
        document_for(kind, moved())


def test_who_answers_and_what_a_loose_page_belongs_to(kind):
    document = document_for(kind, valued("grand"))
    assert document.author == "R. Invented"
    assert "48 217" in document.footer
    assert "20 November 2026" in document.footer


def test_hashes_stand_once_at_the_end(kind):
    item = valued("grand")
    document = document_for(kind, item)
    assert "abab" not in document.footer
    text = render(document)
    assert text.count("abababababab" if document.made_from else item.sha256) == 1
    assert text.count(item.valuation.tables_version) == 1
    if document.made_from:
        assert document.made_from == f"grand.toml abababababab · tables {item.valuation.tables_version}"
        assert text.rstrip().endswith(item.valuation.tables_version)


def test_a_dossier_names_both_files_once():
    document = document_for("loss", moved())
    assert document.author
    assert "abab" not in document.footer
    text = render(document)
    files = [("before.toml", "ab" * 32), ("after.toml", "cd" * 32)]
    at = [text.index(f"| {name} | {digest} |") for name, digest in files]
    assert at == sorted(at)
    assert all(text.count(digest) == 1 for _, digest in files)


def test_tables_are_rectangular_and_no_column_is_empty(kind, item):
    for section in document_for(kind, item).sections:
        for block in section.blocks:
            if isinstance(block, Table):
                assert {len(row) for row in block.rows} == {len(block.columns)}, section.title
                assert all(column.heading for column in block.columns), section.title
                for place, column in enumerate(block.columns):
                    cells = {row[place] for row in block.rows}
                    assert cells - {"", "–"} or place == 0, f"{section.title}: {column.heading}"


def test_every_amount_is_a_figure_of_the_tree(kind, item):
    known = {amount for node in item.tree.walk() for amount in re.findall(NUMBER, literal(node.shown))}
    if kind in (ReportKind.OFFER, ReportKind.BUYING) and (row := ranked(item)):  # its source is the ranking's row
        known = {item.manner.whole(row[key]) for key in ("offer", "share_of_retail") if row[key] is not None}
        known |= {item.manner.whole(-row["offer"])}
    document = document_for(kind, item)
    for section in document.sections:
        for block in section.blocks:
            if not isinstance(block, Outline):
                shown = json.dumps(DOCUMENT.dump(alone(document, block)), ensure_ascii=False)
                assert set(re.findall(f"(?:EUR|CHF) ({NUMBER})", shown)) <= known, section.title


def alone(document, block):
    """Return a document of one block."""
    return replace(document, sections=(replace(document.sections[0], blocks=(block,)),))


def test_markdown_and_data_hold_the_same(kind, item):
    document = document_for(kind, item)
    page = render(document)
    data = DOCUMENT.dump(document)
    for section in data["sections"]:
        assert escape(section["title"]) in page
        for block in section["blocks"]:
            for text in texts(block):
                assert escape(text).lstrip("\\") in page, text


def texts(block) -> list[str]:
    """Return every text that a block shows in a page."""
    match block["kind"]:
        case "paragraph":
            return [block["text"]]
        case "bullets" | "ticks":
            return block["items"]
        case "facts":
            return [cell for row in block["rows"] for cell in row]
        case "table":
            return [column["heading"] for column in block["columns"]] + [c for row in block["rows"] for c in row]
        case "outline":
            return [entry["text"] for entry in block["entries"]]
        case "blanks":
            return block["labels"]
        case "drawing":
            return [block["says"]]  # the caption is of what is drawn, and Markdown draws nothing
        case "plates":
            return [photo[key] for row in block["rows"] for photo in row for key in ("file", "caption")]
        case other:
            raise AssertionError(other)


def test_the_object_of_each_kind(kind):
    found = REPORT.dump((valued("grand"), kind))
    assert (found["kind"], found["schema"]) == (str(kind), 2)
    assert ("reasons" in found) == (kind is ReportKind.FULL)
    assert found["document"] == DOCUMENT.dump(document_for(kind, valued("grand")))
    assert found["recompute"] is None  # the case has no file
    assert json.loads(dumps(found)) == json.loads(json.dumps(found))


def test_the_object_of_a_loss():
    found = DOSSIER.dump((moved(), "loss"))
    assert (found["kind"], found["recompute"]) == ("loss", None)
    assert found["document"]["sections"][0]["title"] == "Summary"


def test_every_block_is_declared_as_data():
    assert set(BLOCKS) == set(get_args(Block))


def test_photos_stand_in_plates():
    item = valued("grand")
    remarks = tuple(Remark("case", f"scratch {n}", photos=(f"{n}.jpg",)) for n in range(3))
    files = tuple(PhotoFile(f"{n}.jpg", "ab" * 32, "2026-11-20T10:23:45") for n in range(3))
    with_photos = replace(item, case=replace(item.case, remarks=remarks, photos=files))
    (plates,) = [
        block
        for section in document_for("full", with_photos).sections
        for block in section.blocks
        if isinstance(block, PhotoGrid)
    ]
    assert [[photo.file for photo in row] for row in plates.rows] == [["0.jpg", "1.jpg"], ["2.jpg"]]
    assert plates.rows[1][0] == Photo("2.jpg", "ab" * 32, "Case: scratch 2", None, "not looked for", files[2].taken)
    seen = Photo("0.jpg", "ab" * 32, "Case: scratch 0", Path("/somewhere/0.jpg"))
    found = DOCUMENT.dump(document_for("full", replace(with_photos, photos=(seen,))))
    assert "somewhere" not in json.dumps(found)


@pytest.mark.parametrize("block", [Facts((("a|b", "[x]"),)), Ticks(("*x*",)), FillInLines(("`x`",))])
def test_blocks_are_data(block):
    document = document_for("summary", valued("grand"))
    found = DOCUMENT.dump(alone(document, block))["sections"][0]["blocks"][0]
    assert found["kind"] == BLOCKS[type(block)][0]
    assert any("|" in text or "*" in text or "`" in text for text in texts(found))
