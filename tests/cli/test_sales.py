"""The commands of the practice at the command line: outputs fit their schemas, wrong use earns one line."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal

import pytest

from appraise.evidence.book import book
from tests.cli.test_schema import wrong
from tests.helpers.sales import HEAD, sale
from tests.helpers.samples import copied_samples


@pytest.fixture
def kept(tmp_path):
    path = tmp_path / "sales.sqlite3"
    ends = {"low": Decimal(11_000), "middle": Decimal(12_000), "high": Decimal(13_000)}
    with book(path, create=True) as found:
        found.add(
            [replace(sale(**ends), price=Decimal(9_000 + 200 * k), file_sha256=str(k), line=0) for k in range(12)]
        )
    return path


@pytest.mark.parametrize("action", ["list", "learn", "score"])
def test_outputs_fit_their_schemas(action, kept, appraise):
    answer = appraise("sales", action, "--book", kept, "--json")
    assert (answer.code, answer.err) == (0, "")
    assert wrong(f"sales_{action}", json.loads(answer.out)) == []


def test_the_book_of_the_settings_is_used_and_an_option_goes_before_it(kept, tmp_path, appraise, monkeypatch):
    own = tmp_path / "mine" / "settings.toml"
    own.parent.mkdir()
    own.write_text('[sales]\nbook = "../sales.sqlite3"\n')
    monkeypatch.setenv("APPRAISE_SETTINGS", str(own))
    assert "12 sales, all sound" in appraise("sales", "check").out
    assert appraise("sales", "check", "--book", tmp_path / "none").code != 0
    own.write_text("[sales]\nbook = 3\n")
    answer = appraise("sales", "check")
    assert answer.code != 0
    assert "expected a text in quotes" in answer.err
    assert answer.err.count("\n") == 1


def test_lives_fit_their_schema(appraise):
    answer = appraise("lives", copied_samples(), "--json")
    assert answer.code == 0
    assert wrong("lives", json.loads(answer.out)) == []


def test_learned_rows_are_named_by_every_why(kept, good, tmp_path, appraise):
    shown = appraise("sales", "learn", "--book", kept)
    assert "Not taken yet" in shown.out
    assert not (tmp_path / "ours").exists()
    assert appraise("sales", "learn", "--book", kept, "--take", tmp_path / "ours").code == 0
    why = appraise("why", good, "value", "--tables", tmp_path / "ours", "--depth", "9", "--draws", "100")
    told = " ".join(why.out.replace("│", " ").split())
    assert (
        "market_factors/base_grand · own evidence · your own table · the practice, Own sales, n = 12, to 2026-03"
        in told
    )
    again = appraise("sales", "learn", "--book", kept, "--tables", tmp_path / "ours")
    assert again.code == 2
    assert "leave --tables out" in again.err


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("list", "--book", "nowhere"), "found nothing, expected a book of sales"),
        (("add", "--sold", "5", "--on", "2026-01-01"), "neither a case nor --kind"),
        (("add", "--kind", "grand", "--sold", "0", "--on", "2026-01-01"), "a price above 0"),
        (("add", "--kind", "grand", "--sold", "5", "--on", "2199-01-01"), "a day that has been"),
        (("add", "--kind", "grand", "--sold", "5", "--on", "2020-01-01", "--made", "2021"), "not after the sale"),
        (("add", "--kind", "grand", "--sold", "5", "--on", "2020-01-01", "--as", "gift"), "expected one of retail"),
        (("import", "x.csv", "--map", "price"), "HEADING=COLUMN"),
        (("import", "x.csv", "--encoding", "base64"), "expected one such as cp1252"),
        (("import", "x.csv", "--rates", "r.csv"), "expected both"),
        (("import", "nowhere.csv"), "a file of sales"),
        (("export", "book.xls"), ".csv or .parquet"),
        (("share", "host=/nowhere dbname=x"), "sales share:"),
    ],
)
def test_wrong_use_earns_one_line(words, says, tmp_path, appraise, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("APPRAISE_SETTINGS", str(tmp_path / "settings.toml"))
    answer = appraise("sales", *words)
    assert (answer.code, answer.out) == (2, "")
    assert says in answer.err
    assert answer.err.count("\n") == 1


def test_an_import_says_what_it_made_of_the_columns_and_tries_without_writing(tmp_path, appraise):
    path, kept = tmp_path / "sold.csv", tmp_path / "new" / "sales.sqlite3"
    path.write_text(HEAD.replace("price,", "hammer,", 1) + "2026-01-02,grand,9000,EUR,1990,good,3,38000,retail,\n")
    words = ("sales", "import", path, "--book", kept, "--map", "hammer=price")
    tried = appraise(*words, "--try")
    assert "hammer → price" in tried.out
    assert "1 sales could be taken" in tried.out
    assert not kept.exists()
    assert appraise(*words).code == 0
    assert "0 sales taken" in appraise(*words).out
