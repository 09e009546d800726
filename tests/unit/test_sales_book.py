"""The book of sales: what is written comes back to the cent, and a foreign file is taken line by line or refused."""

from __future__ import annotations

import csv
import io
import json
import sqlite3
import tracemalloc
from datetime import date
from decimal import Decimal

import duckdb
import polars
import pytest

from appraise.cli.parser import main
from appraise.evidence import cells
from appraise.evidence.book import book
from appraise.evidence.cells import Refused
from appraise.evidence.exchange import parquet, write_csv
from appraise.evidence.imports import Said, headed, sales
from appraise.evidence.rates import read_rates
from appraise.model.problem import Unreadable
from appraise.tables.load import load_tables
from tests.helpers.sales import HEAD, sale, write_many

TABLES = load_tables()


@pytest.fixture
def kept(tmp_path):
    return tmp_path / "sales.sqlite3"


def taken(path, text: str | bytes, **told):
    """Return the sales of a file and the lines that say what was refused."""
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    said = Said(**({"currency": "EUR"} | told))
    refused = []
    return list(sales(headed(path, said), said, TABLES, lambda problem: refused.append(str(problem)))), refused


def test_sales_come_back_to_the_cent(kept):
    one, other = sale(note="=1+1\nnew"), sale(price=Decimal("0.10"), date=date(2020, 1, 1), days=12, low=None)
    with book(kept, create=True) as found:
        assert found.add([one, other]) == 2
    with book(kept) as found:
        assert list(found.sales()) == [other, one]
        assert list(found.sales(newest=1)) == [one]
        assert found.faults() == []


def test_a_line_imported_before_is_passed_over(kept, tmp_path):
    path = tmp_path / "sold.csv"
    rows, refused = taken(path, HEAD + "2026-01-02,grand,9000,EUR,1990,good,3,38000,retail,\n" * 2)
    assert not refused
    with book(kept, create=True) as found:
        assert found.add(rows) == 2
        assert found.add(rows) == 0


@pytest.mark.parametrize(
    ("cell", "mark", "amount"),
    [
        ("12500", "", "12500"),
        ("12.500,00", "", "12500.00"),
        ("12,500.00", "", "12500.00"),
        ("12.500", "", "12500"),
        ("12,50", "", "12.50"),
        ("1.234.567", "", "1234567"),
        ("12'500.5", "", "12500.5"),
        ("12 500,5", "", "12500.5"),
        ("12.500", ".", "12.500"),
        ("12,500", ",", "12.500"),
    ],
)
def test_numbers_as_people_write_them(cell, mark, amount):
    assert cells.number(cell, mark) == Decimal(amount)


@pytest.mark.parametrize("cell", ["", "1,2,3", "12.50.00", "=1+1", "1e5", "NaN", "12,500,00", "--5", "५"])
def test_what_is_no_number_is_refused(cell):
    if cell == "५":
        assert cells.number(cell) == 5  # a digit of another script is a digit
        return
    with pytest.raises(Refused):
        cells.number(cell)


def test_days_in_three_orders():
    for cell in ("2026-04-03", "2026/04/03", "03.04.2026", "2026-04-03T12:00:00"):
        assert cells.day(cell) == date(2026, 4, 3)
    assert cells.day("25/12/2026") == cells.day("12/25/2026") == date(2026, 12, 25)
    assert cells.day("03/04/2026", "dmy") == date(2026, 4, 3)
    assert cells.day("03/04/2026", "mdy") == date(2026, 3, 4)
    for cell in ("03/04/2026", "03/04/26", "31.02.2026", "2026-13-01", "yesterday"):
        with pytest.raises(Refused):
            cells.day(cell)


def test_each_bad_line_is_refused_by_itself_and_the_good_are_kept(tmp_path):
    rows, refused = taken(
        tmp_path / "sold.csv",
        HEAD
        + "2026-01-02,grand,0,EUR,1990,good,3,38000,retail,\n"
        + "03/04/2026,grand,9000,EUR,1990,good,3,38000,retail,\n"
        + "2026-01-02,harp,9000,EUR,1990,good,3,38000,retail,\n"
        + "2026-01-02,grand,9000,EUR,2030,good,3,38000,retail,\n"
        + "2026-01-02,grand,=A1,EUR,1990,good,3,38000,retail,\n"
        + "2026-01-02,grand,9000,EUR,1990,good,9,38000,retail,\n"
        + "2026-01-02,grand,9000\n"
        + '2026-01-02,grand,9000,EUR,1990,good,3,38000 USD,retail,"two\nlines"\n'
        + '2026-01-02,grand,9000,EUR,1990,good,3,38000,retail,"=HYPERLINK(""x"")"\n',
    )
    assert [each.note for each in rows] == ['=HYPERLINK("x")']
    assert [line.split(": ", 1)[0].rpartition(":")[2] for line in refused] == [str(n) for n in range(2, 10)]
    assert 'price: found "0", expected an amount above 0' in refused[0]
    assert "--dates" in refused[1]
    assert rows[0].line == 11


def test_formulas_are_never_written_out_unescaped():
    out = io.StringIO()
    write_csv(out, [sale(note=f"{sign}1+1", maker="@x") for sign in "=+-@"])
    for row in csv.DictReader(io.StringIO(out.getvalue())):
        assert row["note"][:2] in ("'=", "'+", "'-", "'@")
        assert row["maker"] == "'@x"


def test_encodings(tmp_path):
    line = "2026-01-02;grand;9000;1990;Flügelbauer Ärm\n"
    head = "Datum;Art;Preis;Baujahr;Hersteller\n"
    path = tmp_path / "sold.csv"
    for encoding in ("utf-8", "utf-8-sig", "utf-16"):
        (row,), refused = taken(path, (head + line).encode(encoding))
        assert (row.maker, refused) == ("Flügelbauer Ärm", [])
    with pytest.raises(Unreadable, match=r"sold.csv:2: found byte 0xfc, expected text in UTF-8; --encoding"):
        taken(path, (head + line).encode("cp1252"))
    (row,), _ = taken(path, (head + line).encode("cp1252"), encoding="cp1252")
    assert row.maker == "Flügelbauer Ärm"


def test_other_encodings_are_known_by_their_marks_or_named(tmp_path):
    line = "Datum;Art;Preis;Baujahr;Hersteller\n2026-01-02;grand;9000;1990;Flügelbauer Ärm\n"
    path = tmp_path / "sold.csv"
    for encoding in ("utf-16", "utf-32", "utf-8-sig"):
        assert [row.maker for row in taken(path, line.encode(encoding))[0]] == ["Flügelbauer Ärm"]
    for encoding in ("utf-16-le", "utf-16-be"):
        with pytest.raises(Unreadable, match=f"without its mark, expected text in UTF-8; --encoding {encoding} reads"):
            taken(path, line.encode(encoding))
        assert len(taken(path, line.encode(encoding), encoding=encoding)[0]) == 1
    with pytest.raises(Unreadable, match=r"sold.csv:3: found byte 0xfc"):  # two encodings in one file
        taken(path, line.encode() + "2026-01-03;grand;9000;1990;ü\n".encode("latin-1"))


def test_currencies_mixed_in_a_file_stay_each_its_own(tmp_path):
    lines = ("9000;EUR", "£9000;", "9000 USD;", "$9000;CAD", "9000 USD;EUR", "9000;XYZ", "$9000;EUR", "9000;")
    text = "date;kind;price;currency\n" + "".join(f"2026-01-02;grand;{line}\n" for line in lines)
    rows, refused = taken(tmp_path / "sold.csv", text, currency="")
    assert [row.currency for row in rows] == ["EUR", "GBP", "USD", "CAD"]
    assert [line.split("currency: ")[1][:30] for line in refused] == [
        "found EUR and USD, expected on",
        'found "XYZ", expected a curren',
        "found a dollar sign and EUR, e",
        "found nothing, expected a curr",
    ]


@pytest.mark.parametrize(
    ("cell", "says"),
    [
        ("0", "an amount above 0"),
        ("0,00", "an amount above 0"),
        ("-5", "an amount above 0"),
        ("9000000000000000", "below a million million"),
        ("1e4", "a number such as"),
        ("n/a", "a number such as"),
        ("9\x0000", "a number such as"),
        ("9.000.00", "a number such as"),
    ],
)
def test_prices_that_are_none_name_line_and_column(tmp_path, cell, says):
    rows, (line,) = taken(tmp_path / "sold.csv", f"date;kind;price\n2026-01-02;grand;{cell}\n")
    assert rows == []
    assert "sold.csv:2: price: found " in line
    assert says in line


def test_a_sale_of_a_day_to_come_is_refused(tmp_path):
    text = "date;kind;price\n2026-01-02;grand;9000\n2026-01-03;grand;9000\n"
    rows, (line,) = taken(tmp_path / "sold.csv", text, today=date(2026, 1, 2))
    assert [row.date for row in rows] == [date(2026, 1, 2)]
    assert line.endswith("sold.csv:3: date: found 2026-01-03, expected a day that has been")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (b"PK\x03\x04" + bytes(200), "a ZIP archive, as spreadsheets save"),
        ("", "an empty file"),
        ("a,b\n1,2\n", "0 columns for it"),
        ("date,day,kind,price\n", "2 columns for it"),
        (HEAD + '2026-01-02,grand,"9000\n' * 3, "nothing of the file was taken"),
        ("x" * 1_100_000, "a line of more than"),
    ],
)
def test_files_that_are_none_of_sales(tmp_path, text, says):
    with pytest.raises(Unreadable, match=says):
        taken(tmp_path / "sold.csv", text)


def test_currencies_by_a_dated_table(tmp_path):
    rates = tmp_path / "rates.csv"
    rates.write_text("date,currency,rate\n2026-01-01,USD,0.90\n2026-02-01,USD,0.85\n")
    rows, refused = taken(
        tmp_path / "sold.csv",
        HEAD
        + "".join(
            f"{day},grand,1000,USD,1990,good,3,9000,retail,\n" for day in ("2026-01-31", "2026-02-01", "2026-05-01")
        ),
        rates=read_rates(rates, "EUR"),
    )
    assert [(row.price, row.currency, row.note[:9]) for row in rows] == [
        (Decimal("900.00"), "EUR", "paid 1000"),
        (Decimal("850.00"), "EUR", "paid 1000"),
    ]
    assert len(refused) == 1
    assert "a rate into EUR" in refused[0]


def test_memory_stays_flat(kept, tmp_path):
    path = tmp_path / "sold.csv"
    said, peaks = Said(currency="EUR"), []
    for count in (1_000, 6_000):
        write_many(path, count)
        tracemalloc.start()
        with book(kept, create=True) as found:
            assert found.add(sales(headed(path, said), said, TABLES, print)) == count
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert peaks[1] < 1.5 * peaks[0] + 500_000


@pytest.mark.parametrize(
    "content", [b"hello", b"SQLite format 3\x00" + b"\x00" * 5000, b"SQLite format 3\x00" + b"x" * 5000]
)
def test_what_is_no_book_is_told_in_one_line(kept, content):
    kept.write_bytes(content)
    with pytest.raises(Unreadable) as told, book(kept):
        pass
    assert len(told.value.problems) == 1
    assert kept.read_bytes() == content


def test_other_databases_and_newer_layouts_are_left_alone(kept):
    base = sqlite3.connect(kept)
    base.execute("CREATE TABLE other (x)")
    base.commit()
    base.close()
    with pytest.raises(Unreadable, match="a database of something else"), book(kept, create=True):
        pass
    kept.unlink()
    with book(kept, create=True):
        pass
    base = sqlite3.connect(kept)
    base.execute("PRAGMA user_version = 3")
    base.close()
    with pytest.raises(Unreadable, match="layout 3"), book(kept):
        pass


def test_a_damaged_book_is_told(kept, tmp_path):
    write_many(tmp_path / "sold.csv", 500)
    said = Said()
    with book(kept, create=True) as found:
        found.add(sales(headed(tmp_path / "sold.csv", said), said, TABLES, print))
    content = bytearray(kept.read_bytes())
    content[8192:12288] = bytes(4096)
    kept.write_bytes(content)
    with pytest.raises(Unreadable) as told, book(kept) as found:
        assert found.faults()
        list(found.sales())
    assert "malformed" in str(told.value)


def test_one_writer_at_a_time(kept, monkeypatch):
    monkeypatch.setattr("appraise.evidence.book.WAIT", 0.05)
    refused = pytest.raises(Unreadable, match="another process writing")
    with book(kept, create=True) as first, first.writing(), refused, book(kept) as second:
        second.add([sale()])
    with book(kept) as found:
        assert found.count() == 0


def test_other_engines_read_the_book(tmp_path):
    several = [sale(), sale(price=Decimal("0.07"), price_new=None, note="=x")]
    with (tmp_path / "book.parquet").open("wb") as out:
        assert parquet(out, several) == 2
    with (tmp_path / "book.csv").open("w") as out:
        write_csv(out, several)
    table = polars.read_parquet(tmp_path / "book.parquet")
    assert table["price"].to_list() == [Decimal("12500.5000"), Decimal("0.0700")]
    assert table["date"].to_list() == [date(2026, 3, 14)] * 2
    for name in ("book.parquet", "book.csv"):
        total = duckdb.read_parquet if name.endswith("t") else duckdb.read_csv
        (found,) = total(str(tmp_path / name)).aggregate("sum(price)::DECIMAL(12, 2)").fetchall()
        assert found == (Decimal("12500.57"),)
    again, refused = taken(tmp_path / "again.csv", (tmp_path / "book.csv").read_text())
    assert not refused
    assert [(row.price, row.note, row.price_new) for row in again] == [
        (row.price, row.note, row.price_new) for row in several
    ]


def test_a_case_is_written_down_with_its_range_and_once(kept, tmp_path, capsys):
    case = tmp_path / "case.toml"
    case.write_text(
        'schema = 1\n[identity]\nkind = "grand"\nmade = 1985\n[assignment]\ninspected = 2026-11-20\n'
        '[market]\nreplacement_cost_new = "48000.00"\n'
    )
    words = ["sales", "add", str(case), "--sold", "9000", "--on", "2026-11-25", "--as", "auction", "--book", str(kept)]
    assert main(words) == 0
    assert main(words) == 2
    assert "already" in capsys.readouterr().err
    assert main(["sales", "list", "--book", str(kept), "--json"]) == 0
    (found,) = json.loads(capsys.readouterr().out)["sales"]
    assert float(found["low"]) < float(found["middle"]) < float(found["high"])
    assert (found["price"], found["sale"], len(found["case_sha256"])) == ("9000.00", "auction", 64)
