"""`appraise sources`."""

from __future__ import annotations

import json
from dataclasses import fields

import pytest

from appraise.tables.load import load_tables
from appraise.tables.rows import Tables

NAMES = [item.name for item in fields(Tables) if item.name != "version"]


def test_the_list(appraise):
    answer = appraise("sources")
    assert (answer.code, answer.err) == (0, "")
    tables = load_tables()
    lines = [line.split() for line in answer.out.splitlines()]
    assert [line[0] for line in lines[1 : len(NAMES) + 1]] == NAMES
    assert [int(line[1]) for line in lines[1 : len(NAMES) + 1]] == [len(getattr(tables, name)) for name in NAMES]
    assert tables.version in answer.out


def test_the_list_as_json(appraise):
    found = json.loads(appraise("sources", "--json").out)
    assert [table["table"] for table in found["tables"]] == NAMES
    for table in found["tables"]:
        if table["table"] != "sources":
            assert sum(table["standing"].values()) == table["rows"]


@pytest.mark.parametrize("name", NAMES)
def test_every_row_with_standing_and_source(appraise, name):
    answer = appraise("sources", name)
    assert (answer.code, answer.err) == (0, "")
    lines = answer.out.splitlines()
    heads = [line for line in lines if not line.startswith(" ")]
    rows = getattr(load_tables(), name)
    if name == "sources":
        assert heads == [f"sources/{key}" for key in rows]
    else:
        assert heads == [f"{name}/{key}  [{row.standing.value}]" for key, row in rows.items()]
        assert sum(line.startswith("    source: ") for line in lines) == len(rows)
    assert len(json.loads(appraise("sources", name, "--json").out)["rows"]) == len(rows)


def test_rows_of_the_user_are_marked(appraise, tmp_path):
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / "uses.toml").write_text(
        '[[row]]\nkey = "domestic"\nlabel = "Home"\nweight = 0.1\nstanding = "our assumption"\nsource = "none"\n'
    )
    answer = appraise("sources", "uses", "--tables", folder)
    assert answer.code == 0, answer.err
    assert "uses/domestic  [our assumption, yours]" in answer.out
    assert answer.out.count("yours") == 1
