"""A firm's shared book in a real PostgreSQL server: new sales, corrections and sales struck out, and nothing lost."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import tempfile
import time
from contextlib import closing
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import polars
import psycopg
import pytest

from appraise.cli.parser import main
from appraise.evidence.book import book
from appraise.evidence.exchange import fetched, hand_in
from appraise.evidence.sale import LATER
from tests.helpers.sales import sale, valued


@pytest.fixture(scope="module")
def server():
    """Start PostgreSQL on a Unix socket as a user without privileges; give how to reach it."""
    places = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda path: int(path.parent.name))
    if not places:
        pytest.skip("no PostgreSQL server here: Debian's package postgresql brings it")
    who = {}
    if os.geteuid() == 0:
        who = {"user": "postgres", "group": "postgres"}
    folder = Path(tempfile.mkdtemp(prefix="pg-", dir="/tmp"))
    if who:
        shutil.chown(folder, "postgres", "postgres")
    data = folder / "data"
    silent = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "cwd": folder, **who}
    subprocess.run(
        [places[-1] / "initdb", "-D", data, "-A", "trust", "-U", "book", "-E", "UTF8", "--locale=C", "-N"],
        check=True,
        **silent,
    )
    words = [places[-1] / "postgres", "-D", data, "-k", folder, "-c", "listen_addresses=", "-F"]
    process = subprocess.Popen(words, **silent)
    told = f"host={folder} user=book dbname=postgres"
    for _ in range(100):
        try:
            psycopg.connect(told).close()
            break
        except psycopg.OperationalError:
            time.sleep(0.1)
    yield told
    process.terminate()
    process.wait()
    shutil.rmtree(folder)


def test_a_firm_shares_one_book(server, tmp_path, capsys):
    mine, theirs = valued(6, seed=1), valued(4, seed=2)
    for name, sales in (("mine", mine), ("theirs", theirs)):
        with book(tmp_path / name, create=True) as found:
            found.add(sales)
        assert main(["sales", "share", server, "--book", str(tmp_path / name)]) == 0
    assert "4 sales handed in, 6 fetched; 10 now" in capsys.readouterr().out
    assert main(["sales", "share", server, "--book", str(tmp_path / "mine")]) == 0
    assert "0 sales handed in, 4 fetched; 10 now" in capsys.readouterr().out
    assert sorted(each.file_sha256 for each in fetched(server)) == sorted(each.file_sha256 for each in mine + theirs)
    with book(tmp_path / "mine") as found:
        assert set(found.sales()) == set(mine + theirs)
    with psycopg.connect(server) as base:
        (types,) = base.execute(
            "SELECT pg_typeof(price)::text || ' ' || pg_typeof(date)::text FROM sale LIMIT 1"
        ).fetchall()
        assert types == ("numeric date",)
        total = base.execute("SELECT sum(price) FROM sale").fetchone()[0]
    assert total == sum(each.price for each in mine + theirs)
    with psycopg.connect(server) as base:
        table = polars.read_database("SELECT kind, price FROM sale", base)
    assert table.height == 10


def test_half_of_it_is_never_handed_in(server):
    bad = [*valued(2, seed=9), replace(valued(1, seed=10)[0], kind="gr\x00and")]
    before = len(list(fetched(server)))
    with pytest.raises(ConnectionError):
        hand_in(server, bad)
    assert len(list(fetched(server))) == before
    with pytest.raises(ConnectionError):
        hand_in("host=/nowhere dbname=x", bad)


@pytest.fixture
def shops(server, tmp_path):
    """Two books that share a server which holds nothing else, and what sharing one of them says."""
    with psycopg.connect(server) as base:
        base.execute("DROP TABLE IF EXISTS sale")
    places = {name: tmp_path / name for name in ("mine", "theirs")}
    with book(places["mine"], create=True) as found:
        found.add([sale(file_sha256="a", line=2), sale(file_sha256="a", line=3, kind="upright", price=Decimal(900))])

    def share(name, code=0):
        assert main(["sales", "share", server, "--book", str(places[name])]) == code

    share("mine")
    share("theirs")
    return places, share


def sold(place, *, withdrawn=False):
    with book(place) as found:
        return {one.line: one for one in found.sales(withdrawn=withdrawn)}


def test_a_correction_travels_and_the_state_before_it_is_kept(shops, capsys):
    places, share = shops
    words = ["sales", "correct", "1", "--sold", "13000", "--grade", "2.5", "--book", str(places["theirs"])]
    assert main(words) == 0
    assert "price 12500.50 → 13000.00, grade 3.0 → 2.5" in capsys.readouterr().out.replace("\n", " ")
    share("theirs")
    assert "1 corrections handed in, 0 fetched" in capsys.readouterr().out
    share("mine")
    assert "0 corrections handed in, 1 fetched" in capsys.readouterr().out
    assert sold(places["mine"]) == sold(places["theirs"])
    one = sold(places["mine"])[2]
    assert (one.price, one.grade, one.revision) == (Decimal("13000.00"), 2.5, 1)
    with book(places["mine"]) as found:
        assert [(number, each.price) for number, each in found.earlier()] == [(1, Decimal("12500.50"))]
        assert found.faults() == []
    share("mine")
    assert "corrections" not in capsys.readouterr().out


def test_a_sale_struck_out_counts_nowhere_and_comes_back(shops, server, capsys):
    places, share = shops
    words = ["sales", "strike", "2", "--book", str(places["mine"])]
    assert main([*words, "--why", "the wrong instrument"]) == 0
    share("mine")
    share("theirs")
    for place in places.values():
        assert list(sold(place)) == [2]
        assert sold(place, withdrawn=True)[3].withdrawn == "the wrong instrument"
    with psycopg.connect(server) as base:
        assert base.execute("SELECT line FROM sale WHERE withdrawn = ''").fetchall() == [(2,)]
    with book(places["theirs"]) as found:  # the file it came from, imported again, brings it back to nobody
        assert found.add([sale(file_sha256="a", line=3)]) == 0
    assert main(["sales", "strike", "2", "--undo", "--book", str(places["theirs"])]) == 0
    share("theirs")
    share("mine")
    assert sold(places["mine"]) == sold(places["theirs"])
    assert sorted(sold(places["mine"])) == [2, 3]
    capsys.readouterr()


def test_two_corrections_of_one_sale_come_to_one_and_both_are_kept(shops, capsys):
    places, share = shops
    for name, price in (("mine", "13000"), ("theirs", "14000")):
        assert main(["sales", "correct", "1", "--sold", price, "--book", str(places[name])]) == 0
    share("mine")
    capsys.readouterr()
    share("theirs", code=1)
    told = capsys.readouterr().err
    assert "found 14,000.00 EUR here and 13,000.00 EUR in the shared book" in told
    assert told.count("\n") == 1
    assert sold(places["mine"]) == sold(places["theirs"])
    with book(places["theirs"]) as found:
        assert [each.price for _, each in found.earlier()] == [Decimal("12500.50"), Decimal("14000.00")]
    share("theirs")
    assert main(["sales", "correct", "1", "--sold", "14500", "--book", str(places["theirs"])]) == 0
    share("theirs")
    share("mine")
    assert sold(places["mine"])[2].price == Decimal("14500.00")


def test_an_older_table_and_an_older_book_are_brought_up(server, tmp_path):
    with psycopg.connect(server) as base:
        base.execute("DROP TABLE IF EXISTS sale")
    hand_in(server, [sale(file_sha256="b", line=2)])
    place = tmp_path / "old"
    with book(place, create=True) as found:
        found.add([sale(file_sha256="b", line=3)])
    with psycopg.connect(server) as base, closing(sqlite3.connect(place)) as kept:
        for name in LATER:
            base.execute(f"ALTER TABLE sale DROP COLUMN {name}")
            kept.execute(f"ALTER TABLE sale DROP COLUMN {name}")
        kept.execute("DROP TABLE earlier")
        kept.execute("PRAGMA user_version = 1")
        kept.commit()
    assert main(["sales", "share", server, "--book", str(place)]) == 0
    assert set(sold(place)) == {2, 3}
    assert {one.line: one.revision for one in fetched(server)} == {2: 0, 3: 0}


def test_who_may_only_read_and_write_the_table_needs_no_more(server):
    with psycopg.connect(server) as base:
        base.execute("DROP TABLE IF EXISTS sale")
    assert hand_in(server, [sale(file_sha256="c", line=2)]) == (1, 0)
    with psycopg.connect(server) as base:
        base.execute("CREATE ROLE clerk LOGIN")
        base.execute("GRANT SELECT, INSERT, UPDATE ON sale TO clerk")
    clerk = server.replace("user=book", "user=clerk")
    assert hand_in(clerk, [sale(file_sha256="c", line=2, revision=1), sale(file_sha256="c", line=4)]) == (1, 1)
    assert {one.line: one.revision for one in fetched(clerk)} == {2: 1, 4: 0}
