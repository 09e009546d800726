"""The offer to a seller and the buying sheet: what adds up, and what a seller is never told."""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from appraise.cli.parser import main
from appraise.model.locale_format import MINUS
from appraise.report.document import Table
from appraise.report.json_text import dumps
from appraise.report.kinds import document_for
from appraise.report.markdown import render
from appraise.report.offer import ranked
from appraise.report.outputs.sheets import OFFER, WORK_ORDER
from appraise.report.ranking import TAKEN
from appraise.report.workorder import in_turn
from tests.cli.test_schema import wrong
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


def hidden(item) -> dict[str, str]:
    """Return what a seller must not read, as a document would write it."""
    row = ranked(item)
    amounts = {key: row[key] for key in ("offer", "resale", "margin", *TAKEN)}
    found = {key: item.manner.whole(abs(amount)) for key, amount in amounts.items() if abs(amount) >= 100}
    return found | {"value": item.figures.shown("value").split()[-1]}


def offered(item, **changes):
    return replace(item, case=replace(item.case, offer=replace(item.case.offer, **changes)))


@pytest.mark.parametrize("name", ["grand", "unwanted"])
@pytest.mark.parametrize("amount", [None, "4321.50", "0", "-175"])
def test_a_seller_reads_no_figure_but_the_offer(name, amount):
    plain = valued(name)
    item = offered(plain, amount=None if amount is None else Decimal(amount), counts_on="The stool goes along.")
    outputs = (render(document_for("offer", item)), dumps(OFFER.dump(item)))
    for text in outputs:
        told = {key for key, shown in hidden(item).items() if re.search(rf"(?<![\d.,]){shown}(?![\d.,]*\d)", text)}
        assert told == set()
        assert not re.search(r"resale|margin|profit|best estimate|holding|labour_rate", text, re.IGNORECASE)
        assert "The stool goes along." in text
    amounts = re.findall(r"(?:EUR|CHF|GBP) (\d[\d,.]*\d)", outputs[0])
    assert amounts == {None: [], "0": [], "-175": ["175"], "4321.50": ["4,321.50"]}[amount]
    assert ("We offer for it, as inspected: ...." in outputs[0]) == (amount is None)


def test_a_day_that_is_stated_is_printed_and_else_a_line():
    item = valued("grand")
    assert "The offer stands until: ...." in render(document_for("offer", item))
    text = render(document_for("offer", offered(item, until=date(2026, 12, 18))))
    assert f"The offer stands until {item.manner.day(date(2026, 12, 18))}." in text
    assert "until: ...." not in text


@pytest.mark.parametrize(("more", "word"), [(250, "above"), (-250, "below")])
def test_a_buying_sheet_says_how_the_offer_stands_to_the_highest(more, word):
    item = valued("grand")
    text = render(document_for("buying", offered(item, amount=Decimal(ranked(item)["offer"] + more))))
    assert re.search(rf"EUR [\d,]+, EUR 250 {word} the highest", text)


def test_the_json_of_an_offer_is_known_by_the_trail(tmp_path, capsys):
    case = tmp_path / "grand.toml"
    shutil.copy(SAMPLES / "trade_in_grand.toml", case)
    target = tmp_path / "offer.json"
    assert main(["report", str(case), "--kind", "offer", "--draws", "200", "-o", str(target)]) == 0
    assert wrong("offer", json.loads(target.read_text("utf-8"))) == []
    capsys.readouterr()
    main(["check", str(target)])
    told = capsys.readouterr().out
    target.write_text(target.read_text("utf-8").replace("Offer", "Offers", 1), "utf-8")
    assert main(["check", str(target)]) == 1
    assert told != capsys.readouterr().out


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


@pytest.mark.parametrize("name", ["grand", "unwanted"])
def test_nor_does_its_json(name):
    item = valued(name)
    made = WORK_ORDER.dump(item)
    assert [job["remedy"] for job in made["jobs"]] == [job.remedy for job in in_turn(item)]
    text = dumps(made)
    keys = set(re.findall(r'^ *"(\w+)":', text, re.MULTILINE))
    assert "jobs" in keys
    assert not [key for key in keys if re.search(r"value|margin|resale|replacement|percentile|salvage|recompute", key)]
    for key in ("value", "exact"):
        span = getattr(item.valuation, key)
        assert span is None or f"{span.mid:.2f}" not in text


def test_the_json_of_a_work_order_is_known_by_the_trail(tmp_path, capsys):
    case = tmp_path / "grand.toml"
    shutil.copy(SAMPLES / "trade_in_grand.toml", case)
    target = tmp_path / "jobs.json"
    assert main(["report", str(case), "--kind", "workorder", "--draws", "200", "-o", str(target)]) == 0
    capsys.readouterr()
    assert main(["check", str(target)]) == 0
    told = capsys.readouterr().out
    target.write_text(target.read_text("utf-8").replace("Work order", "Work orders", 1), "utf-8")
    assert main(["check", str(target)]) == 1
    assert told != capsys.readouterr().out


def test_an_offer_is_made_from_the_command_line(tmp_path, capsys):
    case = str(shutil.copy(SAMPLES / "trade_in_grand.toml", tmp_path))
    before = (tmp_path / "trade_in_grand.toml").read_bytes()
    words = ["report", case, "--draws", "200", "-o", str(tmp_path / "offer.md"), "--force", "--kind"]
    given = ["--offer", "4,321.50", "--until", "2099-12-18", "--counts-on", "The stool goes along."]
    assert main([*words, "offer", *given]) == 0
    text = (tmp_path / "offer.md").read_text("utf-8")
    assert re.search(r"GBP 4,321\.50", text)
    assert "18 December 2099" in text
    assert "The stool goes along." in text
    assert (tmp_path / "trade_in_grand.toml").read_bytes() == before
    assert main([*words, "buying", *given]) == 0
    capsys.readouterr()
    for more, told in (
        (["offer", "--offer", "much"], "appraise report: --offer: found"),
        (["offer", "--until", "2001-01-01"], "appraise report: --until: found"),
        (["full", "--offer", "5"], "appraise report: found --offer with --kind full, expected it with offer or buying"),
    ):
        assert main([*words, *more]) == 2
        err = capsys.readouterr().err
        assert err.startswith(told), err
        assert err.count("\n") == 1
