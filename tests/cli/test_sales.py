"""The commands of the practice at the command line: outputs fit their schemas, wrong use earns one line."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal

import pytest

from appraise.evidence.book import book
from appraise.store.read import read_case
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
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
        (("correct", "1", "--sold", "5"), "found nothing, expected a book of sales"),
        (("strike", "1"), "expected one of --why TEXT and --undo"),
        (("strike", "1", "--why", " "), "expected one of --why TEXT and --undo"),
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


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("correct", "99", "--sold", "5"), "found no sale 99"),
        (("correct", "1"), "found nothing that differs"),
        (("correct", "1", "--sold", "9000"), "found nothing that differs"),
        (("correct", "1", "--on", "2199-01-01"), "a day that has been"),
        (("correct", "1", "--on", "1950-01-01"), "--made: found"),
        (("correct", "1", "--grade", "7"), "expected 1 to 5"),
        (("strike", "99", "--why", "twice"), "found no sale 99"),
        (("strike", "1", "--undo"), "sale 1 is not struck out"),
    ],
)
def test_a_correction_that_does_not_fit_changes_nothing(words, says, kept, appraise):
    before = kept.read_bytes()
    answer = appraise("sales", *words, "--book", kept)
    assert (answer.code, answer.out) == (2, "")
    assert says in answer.err
    assert answer.err.count("\n") == 1
    assert kept.read_bytes() == before


def test_struck_out_sales_are_listed_when_asked_and_leave_score_and_export(kept, tmp_path, appraise):
    assert appraise("sales", "strike", 3, "--why", "twice", "--book", kept).code == 0
    assert "struck out" in appraise("sales", "strike", 3, "--why", "again", "--book", kept).err
    assert "11 of 11 sales" in appraise("sales", "list", "--book", kept).out
    listed = json.loads(appraise("sales", "list", "--struck", "--json", "--book", kept).out)
    assert wrong("sales_list", listed) == []
    assert [(one["number"], one["withdrawn"]) for one in listed["sales"] if one["withdrawn"]] == [(3, "twice")]
    assert json.loads(appraise("sales", "score", "--book", kept, "--json").out)["groups"][0]["n"] == 11
    assert "11 sales in" in appraise("sales", "export", tmp_path / "book.csv", "--book", kept).out
    earlier = json.loads(appraise("sales", "list", "--earlier", "--json", "--book", kept).out)["sales"]
    assert [(one["number"], one["revision"]) for one in earlier] == [(3, 0)]


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


@pytest.fixture
def sold_grand(tmp_path):
    """A sample of a grand in euro, and a book with four like ones."""
    path, kept = tmp_path / "cases" / "grand.toml", tmp_path / "like.sqlite3"
    path.parent.mkdir()
    text = (data_folder("sample_cases") / "renewed_grand.toml").read_text()
    path.write_text(text)
    case, _ = read_case(path, load_tables())
    like = sale(kind="grand", currency=case.assignment.currency, maker_class=case.identity.tier, grade=2.5)
    with book(kept, create=True) as found:
        found.add(
            replace(like, price=Decimal(9_000 + 500 * k), made=str(case.identity.made.earliest.year + k), line=k)
            for k in range(4)
        )
    return path, kept


def test_like_sales_are_shown_and_taken_only_when_told(sold_grand, appraise):
    path, kept = sold_grand
    before = path.read_bytes()
    answer = appraise("sales", "like", path, "--book", kept, "--json")
    assert answer.code == 0
    shown = json.loads(answer.out)
    assert wrong("sales_like", shown) == []
    assert (len(shown["found"]), shown["taken"]) == (4, 0)
    distances = [one["distance"] for one in shown["found"]]
    assert distances == sorted(distances)
    assert path.read_bytes() == before
    answer = appraise("sales", "like", path, "--book", kept, "--take", 2, "--strike", 1)
    assert "2 taken as comparables" in answer.out
    case, problems = read_case(path, load_tables())
    assert problems == []
    new = [one for one in case.market.comparables if "like.sqlite3" in one.source]
    assert [f"{one.price:f}" for one in new] == [one["sale"]["price"] for one in shown["found"][1:3]]
    assert appraise("check", path).code == 0
    answer = appraise("sales", "like", path, "--book", kept, "--take", 3)
    assert answer.err.splitlines()[-1].endswith("--take: found 3, expected at most the 2 like sales that there are")


def test_an_outcome_goes_into_the_book_and_the_score(sold_grand, appraise, tmp_path):
    path, _ = sold_grand
    kept = tmp_path / "own.sqlite3"
    answer = appraise("sales", "add", path, "--book", kept)
    assert "expected outcome.sold, outcome.day and outcome.sale" in answer.err
    path.write_text(path.read_text() + '\n[outcome]\nsold = "9000.00"\nday = 2026-11-25\nsale = "private_sale"\n')
    scored = appraise("sales", "score", path.parent, "--book", kept, "--json")
    assert json.loads(scored.out)["groups"][0]["n"] == 1
    assert not kept.exists()
    assert "1 sales in it" in appraise("sales", "add", path, "--book", kept).out
    assert "in the book already" in appraise("sales", "add", path, "--book", kept).err
    path.write_text(path.read_text().replace('"9000.00"', '"8800.00"'))
    assert appraise("sales", "add", path, "--book", kept).out.startswith("Corrected in the sales book: ")
    scored = appraise("sales", "score", path.parent, "--book", kept, "--json")
    assert json.loads(scored.out)["groups"][0]["n"] == 1
