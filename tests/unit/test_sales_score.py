"""The score of past valuations, against statsmodels and SciPy; and a firm's shared book in a real PostgreSQL server."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import tempfile
import time
from dataclasses import replace
from decimal import Decimal
from math import exp, log
from pathlib import Path
from random import Random

import polars
import psycopg
import pytest
from scipy.stats import kstest
from statsmodels.stats.proportion import proportion_confint

from appraise.cli.parser import main
from appraise.evidence.book import book
from appraise.evidence.exchange import fetched, hand_in
from appraise.evidence.score import advice, calibration, place, score
from tests.helpers.sales import sale

Z90 = 1.2815515655446004


def valued(count: int, *, shift: float = 0.0, sd: float = 0.2, told: float = 0.2, seed: int = 3) -> list:
    """Return sales that were valued, prices lognormal about the middle moved by `shift`, ranges of `told`."""
    chance = Random(seed)
    found = []
    for k in range(count):
        middle = chance.uniform(1_000, 40_000)
        price = middle * exp(shift + chance.gauss(0, sd))
        ends = [Decimal(round(middle * exp(z * told), 2)).quantize(Decimal("0.01")) for z in (-Z90, 0, Z90)]
        made = {"price": Decimal(round(price, 2)).quantize(Decimal("0.01")), "kind": ("grand", "upright")[k % 2]}
        found.append(sale(**made, low=ends[0], middle=ends[1], high=ends[2], file_sha256=f"{seed}/{k}", line=0))
    return found


def test_counts_and_wilson_interval():
    """Wilson's interval against statsmodels."""
    (group, *others) = score([*valued(90), sale()])
    assert group.n == group.within + group.below + group.above == 90
    low, high = proportion_confint(group.within, 90, alpha=0.05, method="wilson")
    assert group.interval == pytest.approx((low, high), abs=1e-9)
    assert [other.name for other in others] == ["grand", "upright"]
    assert sum(other.n for other in others[:2]) == 90


def test_places_are_even_where_ranges_are_calibrated():
    """Probability integral transform against SciPy's Kolmogorov test."""
    (group, *_) = score(valued(2000))
    assert kstest(group.pit, "uniform").pvalue > 0.01
    assert group.wider == pytest.approx(1.0, abs=0.06)
    (narrow, *_) = score(valued(2000, told=0.1))
    assert kstest(narrow.pit, "uniform").pvalue < 1e-6
    assert narrow.wider == pytest.approx(2.0, abs=0.12)


def test_a_price_at_an_end_of_its_range_has_that_percentile():
    (one,) = valued(1)
    assert place(replace(one, price=one.low)) == pytest.approx(-Z90, abs=1e-3)
    assert place(replace(one, price=one.middle)) == pytest.approx(0.0, abs=1e-9)
    assert place(replace(one, price=one.high)) == pytest.approx(Z90, abs=1e-3)


def test_advice_in_words():
    (sound, *_) = score(valued(100, seed=3))
    assert "hold what they promise" in advice(sound)[0]
    (high, *_) = score(valued(60, shift=-0.3, seed=3))
    assert "too high" in advice(high)[0]
    assert log(high.ratio) == pytest.approx(-0.3, abs=0.1)
    (narrow, *_) = score(valued(100, told=0.08))
    assert "too narrow" in advice(narrow)[0]
    (wide, *_) = score(valued(100, told=0.6))
    assert "wider than they need be" in advice(wide)[0]
    (few, *_) = score(valued(4))
    assert advice(few)[0].startswith("4 of 10 sales")


def test_the_chart_shows_every_sale():
    (group, *_) = score(valued(25))
    chart = calibration(group)
    assert len(chart.series[0].points) == 25
    assert [y for _, y in chart.series[0].points] == sorted(y for _, y in chart.series[0].points)


def test_command(tmp_path, capsys):
    kept, picture = tmp_path / "sales.sqlite3", tmp_path / "score.svg"
    with book(kept, create=True) as found:
        found.add(valued(40, shift=-0.3))
    assert main(["sales", "score", "--book", str(kept), "--svg", str(picture)]) == 0
    out = capsys.readouterr().out
    assert "too high" in out
    assert "Calibration of past ranges" in out
    assert picture.read_text().rstrip().endswith("</svg>")
    assert main(["sales", "score", "--book", str(kept), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["groups"][0]["n"] == 40


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
