"""A ranking's files in general-purpose readers, and valuations mapped by a general-purpose engine.

Sources:
    DuckDB's readers of newline-delimited JSON and of CSV (RFC 4180), Polars' of both, and the Dask bag: the examples of
    the guide, run as they stand there.
"""

from __future__ import annotations

import contextlib
import io
import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import duckdb
import polars
import pytest

import appraise
from appraise.cli.parser import main
from appraise.report.ranking import KEYS, TAKEN
from appraise.tables.folder import data_folder

NUMBERS = [key for key in KEYS if key.endswith(("_pct", "_low", "_high", "_cm", "_months"))]
NUMBERS += ["offer", "resale", *TAKEN, "margin", "expected_profit", "share_of_retail", "seed", "draws"]
GUIDE = Path(appraise.__file__).parent / "guide" / "candidates.md"


def examples(word):
    """The guide's Python examples that hold a word."""
    blocks = re.findall(r"```python\n(.*?)```", GUIDE.read_text(encoding="utf-8"), re.DOTALL)
    found = [block for block in blocks if word in block]
    assert found
    return found


@pytest.fixture(scope="module")
def ranked(tmp_path_factory):
    """A folder with candidates, one bad file among them, and its ranking in both forms; the rows as they were."""
    folder = tmp_path_factory.mktemp("firm")
    (folder / "candidates" / "branch").mkdir(parents=True)
    for at, path in enumerate(sorted(data_folder("sample_cases").glob("*.toml"))):
        shutil.copy(path, folder / "candidates" / ("branch" if at % 3 else ""))
    (folder / "candidates" / "broken.toml").write_text("schema = 1\n")
    hostile = (folder / "candidates" / "attic_upright.toml").read_text(encoding="utf-8")
    hostile = re.sub(r'(?m)^maker = ".*"$', r'maker = "=1+1, \\"twice\\" [b]"', hostile, count=1)
    (folder / "candidates" / "attic_upright.toml").write_text(hostile, encoding="utf-8")
    words = ["rank", str(folder / "candidates"), "--sort", "file", "--no-cache", "--processes", "1"]
    with contextlib.redirect_stderr(io.StringIO()):
        assert main([*words, "--jsonl", str(folder / "rank.jsonl"), "--csv", str(folder / "rank.csv")]) == 1
    rows = [json.loads(line) for line in (folder / "rank.jsonl").read_text(encoding="utf-8").splitlines()]
    assert len(rows) == len(list(data_folder("sample_cases").glob("*.toml")))
    return folder, rows


@pytest.mark.parametrize("ending", ["jsonl", "csv"])
def test_duckdb_takes_every_row_with_its_types(ranked, ending):
    folder, rows = ranked
    with duckdb.connect() as base:
        table = base.sql(f"SELECT * FROM '{folder}/rank.{ending}'")  # noqa: S608 - a name of ours
        assert tuple(table.columns) == KEYS
        kinds = dict(zip(table.columns, map(str, table.types), strict=True))
        # DuckDB takes whole numbers of JSON for unsigned, and those with a minus among them for HUGEINT.
        assert {kinds[key] for key in NUMBERS} <= {"DOUBLE", "BIGINT", "HUGEINT"}
        assert {kinds[key] for key in ("file", "maker", "currency", "plan")} == {"VARCHAR"}
        read = [dict(zip(KEYS, row, strict=True)) for row in table.fetchall()]
    for key in (*NUMBERS, "file", "kind", "currency", "next_intervention_part"):
        assert [row[key] for row in read] == [row[key] for row in rows], key


@pytest.mark.parametrize("ending", ["jsonl", "csv"])
def test_polars_takes_every_row_with_its_types(ranked, ending):
    folder, rows = ranked
    read = {"jsonl": polars.read_ndjson, "csv": polars.read_csv}[ending](folder / f"rank.{ending}")
    if ending == "csv":
        assert tuple(read.columns) == KEYS
    assert set(read.columns) == set(KEYS)  # of JSON lines of more than 32 keys Polars keeps no order
    for key in (*NUMBERS, "file", "kind", "currency", "next_intervention_part"):
        assert read[key].to_list() == [row[key] for row in rows], key


@pytest.mark.parametrize("word", ["import duckdb", "import polars"])
def test_the_examples_of_the_guide_run(ranked, word, monkeypatch, capsys):
    folder, _ = ranked
    monkeypatch.chdir(folder)
    for block in examples(word):
        exec(compile(block, "candidates.md", "exec"), {})  # noqa: S102 - our own guide
    if "duckdb" in word:
        assert "grand" in capsys.readouterr().out


def test_a_dask_bag_makes_the_rows_of_the_command(ranked):
    folder, rows = ranked
    (block,) = examples("dask.bag")
    (folder / "map.py").write_text(block, encoding="utf-8")
    environment = {"PYTHONPATH": str(Path(appraise.__file__).parents[1]), "PATH": ""}
    subprocess.run([sys.executable, "map.py"], cwd=folder, env=environment, check=True, timeout=300)
    parts = sorted((folder / "ranked").glob("*.jsonl"))
    mapped = [json.loads(line) for part in parts for line in part.read_text(encoding="utf-8").splitlines() if line]
    assert len(parts) > 1
    # Each ends its last line, so that they can be put one behind the other: POSIX on what a line is.
    assert all(not (text := part.read_text(encoding="utf-8")) or text.endswith("}\n") for part in parts)
    for row in mapped:
        row["file"] = str(folder / row["file"])
    # What is known of all rows together is not known to one of them.
    rows = [{**row, "twins": "", "unlike": ""} for row in rows]
    assert sorted(mapped, key=lambda row: row["file"]) == rows
