"""Files of every layout there has been open for ever: a case of each schema, a trail of each layout."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from appraise.model.case import SCHEMA
from appraise.services.history import open_steps, replayed, saved_state
from appraise.services.opening import open_sheet
from appraise.store.document import to_document
from appraise.store.read import OLDEST, read_case
from appraise.store.trail import LAYOUT, parse_trail
from appraise.tables.load import load_tables

FIXTURES = Path(__file__).parent / "fixtures"


@pytest.mark.parametrize("version", range(OLDEST, SCHEMA + 1))
def test_a_case_of_each_schema_opens(version, snapshot):
    path = FIXTURES / f"schema_{version}.toml"
    assert f"schema = {version}\n" in path.read_text(encoding="utf-8")
    case, problems = read_case(path, load_tables())
    assert problems == []
    document = to_document(case)
    assert document["schema"] == SCHEMA
    assert json.dumps(document, default=str, ensure_ascii=False, indent=1) == snapshot


@pytest.mark.parametrize("layout", range(1, LAYOUT + 1))
def test_a_trail_of_each_layout_can_be_followed(layout, tmp_path):
    """The session it is of was cut off after two steps that were not saved."""
    tables = load_tables()
    trail = parse_trail((FIXTURES / f"trail_{layout}.jsonl").read_bytes())
    assert not trail.breaks
    path = tmp_path / "schema_1.toml"
    shutil.copyfile(FIXTURES / f"trail_{layout}_saved.toml", path)
    shutil.copyfile(FIXTURES / f"trail_{layout}.jsonl", tmp_path / "schema_1.trail.jsonl")
    saved, _ = read_case(path, tables)
    assert to_document(saved_state(trail.records)) == to_document(saved)
    left = replayed(saved, open_steps(trail.records)).case
    assert (left.identity.serial, left.remarks[1].text) == ("48218", "")
    opened = open_sheet(path, tables)
    assert opened.unsaved.left.case == left
    opened.worksheet.release()
