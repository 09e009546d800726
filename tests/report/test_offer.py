"""The offer to a seller and the buying sheet: what adds up, and what a seller is never told."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from appraise.cli.parser import main
from appraise.model.locale_format import MINUS
from appraise.report.document import Table
from appraise.report.kinds import document_for
from appraise.report.markdown import render
from appraise.report.offer import ranked
from appraise.report.ranking import TAKEN
from tests.report.conftest import valued

SAMPLES = Path(__file__).parents[2] / "sample_cases"


def figure(cell: str) -> int:
    """Return a cell as the whole number that it writes."""
    return int(cell.replace(MINUS, "-").replace(",", ""))


@pytest.mark.parametrize("name", ["grand", "unwanted"])
def test_the_lines_of_a_buying_sheet_add_up_to_the_offer(name):
    item = valued(name)
    (section,) = (each for each in document_for("buying", item).sections if each.key == "lines")
    (table,) = (block for block in section.blocks if isinstance(block, Table))
    *lines, last = (figure(cells[1]) for cells in table.rows)
    assert sum(lines) == last == ranked(item)["offer"]


@pytest.mark.parametrize("name", ["grand", "unwanted"])
def test_a_seller_reads_no_figure_but_the_offer(name):
    item = valued(name)
    row, text = ranked(item), render(document_for("offer", item))
    amounts = re.findall(r"(?:EUR|CHF|GBP) (\d[\d,]*)", text)
    assert amounts == ([item.manner.whole(abs(row["offer"]))] if row["offer"] else [])
    secret = {key: item.manner.whole(abs(row[key])) for key in ("resale", "margin", *TAKEN) if abs(row[key]) >= 100}
    secret.update({key: item.figures.shown(key) for key in ("value",) if item.figures.get(key) is not None})
    named = item.manner.whole(abs(row["offer"]))
    assert {
        key for key, amount in secret.items() if amount != named and re.search(rf"(?<!\d){amount}(?!\d)", text)
    } == set()
    assert not re.search(r"resale|margin|profit|best estimate|holding", text, re.IGNORECASE)


def test_the_sheet_has_the_row_of_the_ranking(tmp_path, capsys):
    case = str(shutil.copy(SAMPLES / "trade_in_grand.toml", tmp_path))
    assert main(["rank", case, "--draws", "200", "--json", "--no-cache"]) == 0
    (row,) = json.loads(capsys.readouterr().out)["candidates"]
    target = tmp_path / "sheet.md"
    assert main(["report", case, "--kind", "buying", "--draws", "200", "-o", str(target)]) == 0
    for key in ("offer", "resale", "margin", "carriage", "holding"):
        assert f"{abs(row[key]):,}" in target.read_text("utf-8"), key


@pytest.mark.parametrize("name", ["grand", "unwanted"])
def test_a_work_order_says_nothing_of_the_worth(name):
    item = valued(name)
    text = render(document_for("workorder", item))
    assert not re.search(r"adds to the value|value as is|best estimate", text, re.IGNORECASE)
    assert item.figures.shown("value") not in text
