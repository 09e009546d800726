"""`appraise rank`: candidates side by side, bad files left out, nothing valued twice."""

from __future__ import annotations

import csv
import io
import json
import os
import pty
import re
import shutil
import stat
import subprocess
import sys
import tracemalloc

import polars
import pytest

from appraise.model.ranking import COURSES
from appraise.report.ranking import TAKEN
from appraise.services import trade_in
from appraise.services.ordering import SORTS
from appraise.services.ranking import found, ranked
from appraise.services.trade_in import Skipped, Terms
from appraise.store.result_cache import ResultCache
from appraise.store.write import writing
from appraise.tables.folder import data_folder
from tests.cli.conftest import GOOD
from tests.helpers.candidates import fill
from tests.helpers.depth import whole
from tests.helpers.samples import look_only

SAMPLES = ("recent_grand", "practice_upright", "trade_in_grand", "removal_before", "removal_after")
FEW = ("--draws", 128)


@pytest.fixture
def mixed(tmp_path):
    """A folder with five candidates, one of them in a folder below and in another currency."""
    folder = tmp_path / "candidates"
    (folder / "later").mkdir(parents=True)
    for name in SAMPLES:
        place = folder / "later" if name == "trade_in_grand" else folder
        shutil.copy(data_folder("sample_cases") / f"{name}.toml", place)
    return folder


@pytest.fixture
def shelf(mixed):
    """The same, all of them in one currency."""
    other = mixed / "later" / "trade_in_grand.toml"
    other.write_text(other.read_text(encoding="utf-8").replace('"GBP"', '"EUR"'), encoding="utf-8")
    return mixed


@pytest.fixture
def rates(tmp_path, monkeypatch):
    """Settings with rates of exchange; figures and source are invented."""
    path = tmp_path / "settings.toml"
    path.write_text(
        '[currencies]\nreference = "EUR"\ndate = 2026-11-27\nsource = "an example, invented"\nrates = { GBP = 1.16 }\n'
    )
    monkeypatch.setenv("APPRAISE_SETTINGS", str(path))
    return path


@pytest.fixture
def cache(tmp_path):
    return tmp_path / "kept"


@pytest.fixture(scope="module")
def common(tmp_path_factory):
    """Where the samples are kept, as valued, by every test that does not ask whether they are valued again."""
    return tmp_path_factory.mktemp("common")


@pytest.fixture
def valued(monkeypatch):
    """The cases valued so far, by maker and model."""
    seen = []
    real = trade_in.value

    def counting(case, terms):
        seen.append(f"{case.identity.maker} {case.identity.model}")
        return real(case, terms)

    monkeypatch.setattr(trade_in, "value", counting)
    return seen


def lines(answer):
    return [json.loads(line) for line in answer.out.splitlines()]


def test_a_table_for_people(appraise, shelf, common):
    done = appraise("rank", shelf, *FEW, "--cache", common)
    assert done.code == 0
    assert re.search(r"^ *1 +Ostravell OV 188 +EUR", done.out, re.MULTILINE)
    assert "Offer up to" in done.out
    assert done.err == ""


def test_without_rates_each_currency_has_a_table_and_a_line_says_so(appraise, mixed):
    done = appraise("rank", mixed, *FEW, "--no-cache")
    assert "amounts in EUR and GBP: each has a group of its own, for the settings have no rates" in done.err
    assert done.err.count("\n") == 1
    assert done.out.index("In EUR\n") < done.out.index("removal_after.toml") < done.out.index("In GBP\n")
    rows = lines(appraise("rank", mixed, *FEW, "--no-cache", "--best", 1, "--jsonl", "-"))
    assert [row["currency"] for row in rows] == ["EUR", "GBP"]
    assert rows[0]["rate"] is rows[0]["rate_source"] is None


def test_with_rates_there_is_one_order_and_every_converted_row_names_them(appraise, mixed, rates):
    done = appraise("rank", mixed, *FEW, "--no-cache")
    assert done.err == ""
    assert "In EUR" not in done.out
    told = " ".join(done.out.split())
    assert "GBP 1 = EUR 1.16" in told
    rows = lines(appraise("rank", mixed, *FEW, "--no-cache", "--jsonl", "-"))
    offers = [row["offer_converted"] for row in rows]
    assert offers == sorted(offers, reverse=True)
    (other,) = (row for row in rows if row["currency"] == "GBP")
    assert (other["rate"], other["rate_date"]) == (1.16, "2026-11-27")
    case = mixed / "later" / "trade_in_grand.toml"
    why = appraise("why", case, "offer", *FEW).out
    assert "GBP 1 = EUR 1.16 of" in " ".join(why.split())
    beside = appraise("rank", "--why", mixed / "recent_grand.toml", case, *FEW, "--no-cache")
    assert beside.code == 0
    assert "Converted at GBP 1 = EUR 1.16 of" in beside.out


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("rates = { GBP = 0 }", ":2: currencies.rates.GBP: found 0, expected a rate above 0"),
        ("rates = { GBP = -1.2 }", ":2: currencies.rates.GBP: found -1.2, expected a rate above 0"),
        ("rates = { GBP = nan }", ":2: currencies.rates.GBP: found nan, expected a rate above 0"),
        ('rates = { GBP = "a lot" }', ':2: currencies.rates.GBP: found "a lot", expected a rate above 0'),
        ("rates = { GPB = 0.86 }", ":2: currencies.rates.GPB: found 0.86, expected a currency of ISO 4217 in use"),
        ('rates = "GBP 0,86"', ':2: currencies.rates.GBP: found "GBP 0,86", expected rates such as USD 0.92'),
        ("rates = [0.86]", ":2: currencies.rates: found a list of 1, expected a table of rates"),
        ("rates = { GBP = 0.86 }", ": currencies.reference: found nothing, expected the currency that the rates"),
        ('reference = "EUR"\nrates = { GBP = 0.86 }', ": currencies.date: found nothing, expected the day"),
        ("date = 2026-11-27T12:00:00", ":2: currencies.date: found 2026-11-27T12:00:00, expected a day such as"),
        ('date = "27.11.2026"', ':2: currencies.date: found "27.11.2026", expected a day such as 2026-11-27'),
        (
            'reference = "EUR"\ndate = 2026-11-27\nsource = "s"\nrates = { EUR = 1.2 }',
            ": currencies.rates.EUR: found another rate, expected 1, or no such rate: EUR is the reference",
        ),
    ],
)
def test_bad_rates_are_refused_in_one_line(appraise, good, rates, text, problem):
    rates.write_text(f"[currencies]\n{text}\n")
    done = appraise("rank", good, *FEW, "--no-cache")
    assert done.code == 2
    assert done.err.startswith(f"{rates}{problem}")
    assert done.err.count("\n") == 1


def test_twins_and_what_is_unlike_are_marked_in_every_output(appraise, shelf, tmp_path):
    other = shelf / "practice_upright.toml"
    assert 'serial = "' in other.read_text(encoding="utf-8")
    copy = shelf / "seen_again.toml"
    copy.write_text(other.read_text(encoding="utf-8") + "\n# seen again\n", encoding="utf-8")
    found = {row["file"]: row for row in lines(appraise("rank", shelf, *FEW, "--no-cache", "--jsonl", "-"))}
    assert found[str(other)]["twins"] == str(copy)
    assert found[str(copy)]["twins"] == str(other)
    assert found[str(shelf / "recent_grand.toml")]["twins"] == ""
    cells = list(csv.DictReader(io.StringIO(appraise("rank", shelf, *FEW, "--no-cache", "--csv", "-").out)))
    assert {row["file"]: row["twins"] for row in cells} == {file: row["twins"] for file, row in found.items()}
    assert {row["unlike"] for row in found.values()} == {"", "basis"}
    bases = [row["basis"] for row in found.values()]
    (usual,) = {row["basis"] for row in found.values() if not row["unlike"]}
    assert all(bases.count(usual) >= bases.count(other) for other in bases)
    table = appraise("rank", shelf, *FEW, "--no-cache").out
    assert "twin · " in table
    assert "another basis · " in table
    assert "Twin: another file here has the same maker and serial number" in table


@pytest.mark.parametrize("order", ["offer", "margin"])
@pytest.mark.parametrize("columns", [60, 80, 100, 120, 160, 200])
def test_no_figure_is_cut_off_at_any_width(appraise, shelf, common, monkeypatch, columns, order):
    monkeypatch.setenv("COLUMNS", str(columns))
    done = appraise("rank", shelf, *FEW, "--cache", common, "--sort", order)
    words = ["Offer up to", "Resale", "Work", "Carriage", "Preparation", "Guarantee", "Holding", "Margin"]
    words += ["Usual share", "Risk", "large job"]
    row = json.loads(appraise("rank", shelf, *FEW, "--cache", common, "--best", 1, "--sort", order, "--jsonl", "-").out)
    figures = [f"{row[key]:,}" for key in ("offer", "resale", *TAKEN, "margin", "share_of_retail")]
    months = f"{row['next_intervention_months']:,.0f}"
    shown = done.out.split("Offer up to: the highest")[0]
    for text in (*words, *figures, months, COURSES[row["course"]]):
        assert re.search(rf"(?<![\w,]){re.escape(text)}(?![\w])", shown), text
    assert "…" not in shown
    assert max(map(len, shown.splitlines())) <= columns


def test_the_rest_is_named_and_not_lost(appraise, shelf, monkeypatch, common):
    monkeypatch.setattr("appraise.cli.rank.SHOWN", 2)
    done = appraise("rank", shelf, *FEW, "--cache", common)
    assert "3 more: --best N" in done.out


def test_one_object(appraise, shelf, common):
    found = json.loads(appraise("rank", shelf, *FEW, "--cache", common, "--json").out)
    assert (found["schema"], found["sorted_by"], len(found["candidates"])) == (2, "offer", 5)
    offers = [row["offer"] for row in found["candidates"]]
    assert offers == sorted(offers, reverse=True)


@pytest.mark.parametrize("key", SORTS)
def test_every_order(appraise, shelf, common, key):
    down = lines(appraise("rank", shelf, *FEW, "--cache", common, "--jsonl", "-", "--sort", key))
    up = lines(appraise("rank", shelf, *FEW, "--cache", common, "--jsonl", "-", "--sort", key, "--reverse"))
    column = [row[SORTS[key].column] for row in down]
    assert column == sorted(column, reverse=SORTS[key].most_first)
    assert [row[SORTS[key].column] for row in up] == column[::-1]


def test_filters(appraise, shelf, common):
    rows = lines(appraise("rank", shelf, *FEW, "--cache", common, "--jsonl", "-"))
    least = sorted(row["offer"] for row in rows)[2]
    options = ("--kind", "grand", "--above", least, "--risk", "10%", "--months", 60)
    some = lines(appraise("rank", shelf, *FEW, "--cache", common, "--jsonl", "-", *options))
    expected = [
        row
        for row in rows
        if row["kind"] == "grand"
        and row["offer"] >= least
        and row["loss_risk_pct"] <= 10
        and row["next_intervention_months"] >= 60
    ]
    assert some == expected != []
    none = appraise("rank", shelf, *FEW, "--cache", common, "--above", 10_000_000)
    assert (none.code, none.out) == (0, "No candidate fits what was asked for.\n")


def test_bad_files_are_left_out_with_a_line_each(appraise, shelf, tmp_path, common):
    (shelf / "broken.toml").write_bytes(b"\xff\xfe not a case")
    (shelf / "empty.toml").write_bytes(b"")
    (shelf / "wrong.toml").write_text(GOOD.replace("1985", '"long ago"').replace('"grand"', '"organ"'))
    (shelf / "unpriced.toml").write_text(GOOD[: GOOD.index("[market]")])
    (shelf / "a_folder.toml").mkdir()
    (shelf / "notes.txt").write_text("passed over")
    (shelf / ".hidden.toml").write_text("passed over")
    done = appraise("rank", shelf, tmp_path / "missing.toml", *FEW, "--cache", common, "--jsonl", "-")
    assert done.code == 1
    assert len(lines(done)) == 5
    told = [line for line in done.err.splitlines() if line.startswith("left out: ")]
    assert [
        next(name for name in ("broken", "empty", "unpriced", "wrong", "missing") if name in line) for line in told
    ] == [
        "broken",
        "empty",
        "unpriced",
        "wrong",
        "missing",
    ]
    assert "(and 1 more" in told[3]
    assert "replacement_cost_new" in told[2]


def test_nothing_of_use(appraise, tmp_path, good):
    (tmp_path / "case.toml").write_text("schema = 1\n")
    assert appraise("rank", tmp_path, "--no-cache").code == 2
    (tmp_path / "void").mkdir()
    none = appraise("rank", tmp_path / "void", "--no-cache")
    assert (none.code, none.out) == (2, "")
    assert none.err.count("\n") == 1


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["x", "--json", "--csv", "-"],
        ["x", "--csv", "-", "--jsonl", "-"],
        ["x", "--cache", "y", "--no-cache"],
        ["x", "--probability", "1"],
        ["x", "--probability", "nan"],
        ["x", "--probability", "120%"],
        ["x", "--resale", "like_for_like"],
        ["x", "--resale", "used_replacement"],
        ["x", "--sort", "colour"],
        ["x", "--above", "inf"],
        ["x", "--above", "much"],
        ["x", "--best", "0"],
        ["x", "--margin", "1"],
        ["x", "--processes", "0"],
    ],
)
def test_wrong_use(appraise, words):
    done = appraise("rank", *words)
    assert (done.code, done.out) == (2, "")
    assert done.err.count("\n") == 1


def test_a_second_run_values_only_what_changed(appraise, shelf, cache, valued):
    run = ("rank", shelf, *FEW, "--cache", cache, "--jsonl", "-")
    first = appraise(*run)
    assert len(valued) == 5
    assert appraise(*run) == first
    assert len(valued) == 5
    changed = shelf / "practice_upright.toml"
    changed.write_text(
        changed.read_text(encoding="utf-8").replace("basis =", "# looked at again\nbasis ="), encoding="utf-8"
    )
    shutil.move(shelf / "recent_grand.toml", shelf / "moved.toml")
    again = lines(appraise(*run))
    assert len(valued) == 6
    assert valued[-1] == "Calverosse CV 121"
    assert str(shelf / "moved.toml") in {row["file"] for row in again}


@pytest.mark.parametrize(
    "other", [("--seed", 7), ("--draws", 129), ("--probability", 0.9), ("--resale", "private_sale")], ids=lambda o: o[0]
)
def test_other_terms_are_valued_anew(appraise, good, cache, valued, other):
    appraise("rank", good, *FEW, "--cache", cache)
    appraise("rank", good, *FEW, "--cache", cache, *other)
    assert len(valued) == 2


def test_other_tables_and_versions_are_valued_anew(appraise, good, cache, valued, tmp_path, monkeypatch):
    appraise("rank", good, *FEW, "--cache", cache)
    mine = tmp_path / "mine"
    mine.mkdir()
    settings = (data_folder("reference_tables") / "settings.toml").read_text(encoding="utf-8")
    row = next(part for part in settings.split("[[row]]") if 'key = "margin_pct"' in part)
    (mine / "settings.toml").write_text("[[row]]" + row.replace("value = 30", "value = 45"), encoding="utf-8")
    dearer = appraise("rank", good, *FEW, "--cache", cache, "--tables", mine, "--jsonl", "-")
    assert lines(dearer)[0]["least_margin_pct"] == 45
    monkeypatch.setattr(trade_in, "__version__", "999.0")
    appraise("rank", good, *FEW, "--cache", cache)
    assert len(valued) == 3


@pytest.mark.parametrize(
    "damage",
    [
        b"",
        b"{",
        b"\xff\x00",
        b"[" * 40_000,
        b"null",
        b"x" * 100_000,
        "nan",
        "text",
        "key",
        "missing",
    ],
    ids=str,
)
def test_a_damaged_result_is_valued_again(appraise, good, cache, valued, damage):
    first = appraise("rank", good, *FEW, "--cache", cache, "--jsonl", "-")
    (kept,) = cache.rglob("*.json")
    if isinstance(damage, bytes):
        kept.write_bytes(damage)
    else:
        document = json.loads(kept.read_text())
        trade = document["candidate"]["trade"]
        if damage == "missing":
            del trade["offer"]
        elif damage == "key":
            document["key"] = "0" * 64
        else:
            trade["offer"] = float("nan") if damage == "nan" else "9"
        kept.write_text(json.dumps(document))
    assert appraise("rank", good, *FEW, "--cache", cache, "--jsonl", "-") == first
    assert len(valued) == 2
    assert appraise("rank", good, *FEW, "--cache", cache, "--jsonl", "-") == first
    assert len(valued) == 2


def test_results_that_cannot_be_kept_do_no_harm(appraise, good, tmp_path):
    (tmp_path / "file").write_text("in the way")
    done = appraise("rank", good, *FEW, "--cache", tmp_path / "file", "--jsonl", "-")
    assert done.code == 0
    assert len(lines(done)) == 1
    assert "could not be kept" in done.err


def test_the_usual_folder(appraise, good, tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "xdg"))
    appraise("rank", good, *FEW)
    assert len(list((tmp_path / "xdg" / "appraise" / "rank").rglob("*.json"))) == 1
    appraise("rank", good, "--draws", 200, "--no-cache")
    assert len(list((tmp_path / "xdg").rglob("*.json"))) == 1


HOSTILE = ["=1+1", "+cmd|x!A1", "-2+3", "@SUM(A1)", "[bold]x[/bold]", 'a,"b";c', "<b>&", "\\u001b[2J\\u202e"]


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_comes_out_literally(appraise, good, text, common):
    quoted = text.replace('"', '\\"')
    good.write_text(GOOD.replace("Oskelmoor [/b] [bold]", quoted), encoding="utf-8")
    shown = text.replace("\\u001b", "\ufffd").replace("\\u202e", "\ufffd")
    (row,) = lines(appraise("rank", good, *FEW, "--cache", common, "--jsonl", "-"))
    assert row["maker"] == shown
    (heads, cells) = csv.reader(io.StringIO(appraise("rank", good, *FEW, "--cache", common, "--csv", "-").out))
    cell = dict(zip(heads, cells, strict=True))["maker"]
    assert cell == (f"'{shown}" if text[0] in "=+-@" else shown)
    assert shown in appraise("rank", good, *FEW, "--cache", common).out


def test_a_negative_number_stays_a_number(appraise, shelf, common):
    shutil.copy(data_folder("sample_cases") / "attic_upright.toml", shelf)
    rows = list(csv.DictReader(io.StringIO(appraise("rank", shelf, *FEW, "--cache", common, "--csv", "-").out)))
    assert float(rows[-1]["offer"]) < 0
    table = appraise("rank", shelf, *FEW, "--cache", common).out
    assert "the owner would have to pay" in table


def test_files_load_into_a_general_reader(appraise, shelf, tmp_path, common):
    one, other = tmp_path / "rank.jsonl", tmp_path / "rank.csv"
    done = appraise("rank", shelf, *FEW, "--cache", common, "--jsonl", one, "--csv", other)
    assert (done.code, done.out) == (0, "")
    from_lines, from_cells = polars.read_ndjson(one), polars.read_csv(other)
    assert set(from_lines.columns) == set(from_cells.columns)  # of lines of many keys Polars keeps no order
    assert from_lines.height == from_cells.height == 5
    for name in ("offer", "resale", "work", "margin", "loss_risk_pct", "next_intervention_months"):
        assert from_lines[name].dtype.is_numeric()
        assert from_lines[name].to_list() == from_cells[name].to_list()
    best = from_lines.filter(polars.col("kind") == "grand").sort("offer", descending=True)
    assert best["model"][0] == "OV 188"


def test_an_offer_that_rests_on_a_quick_look_is_marked_everywhere(appraise, shelf, tables, tmp_path, common):
    quick, closely = shelf / "practice_upright.toml", shelf / "recent_grand.toml"
    look_only(quick, tables)
    terms = (*FEW, "--cache", common)
    rows = lines(appraise("rank", shelf, *terms, "--jsonl", "-"))
    assert [row["file"].rpartition("/")[2] for row in rows if row["preliminary"]] == [quick.name]
    appraise("rank", shelf, *terms, "--csv", tmp_path / "rank.csv")
    assert polars.read_csv(tmp_path / "rank.csv")["preliminary"].sum() == 1
    table = appraise("rank", shelf, *terms).out
    assert re.search(rf"preliminary · .*{quick.name}", table)
    assert table.count("preliminary ·") == 1
    assert "Preliminary, graded in part at a quick look: " in table
    told = appraise("rank", "--why", closely, quick, *terms).out
    assert "Preliminary: the offer for " in told
    assert "Preliminary" not in appraise("rank", "--why", closely, closely, *terms).out


def test_every_row_adds_up(appraise, shelf, common):
    rows = lines(appraise("rank", shelf, *FEW, "--cache", common, "--jsonl", "-"))
    assert len(rows) == 5
    for row in rows:
        assert row["offer"] == row["resale"] - sum(row[key] for key in TAKEN) - row["margin"]
        assert row["resale_low"] <= row["resale"] <= row["resale_high"]
        assert row["margin_kept_pct"] >= row["probability_pct"] == 80.0


def test_work_that_cannot_be_costed_is_a_dash_and_costs_of_the_tables_are_named(appraise, shelf, common):
    shutil.copy(data_folder("sample_cases") / "flooded_hall_grand.toml", shelf)
    done = appraise("rank", shelf, *FEW, "--cache", common)
    at = next(at for at, line in enumerate(done.out.splitlines()) if "Pellardine 208" in line)
    # Work, and the usual share of one that is parted out.
    assert " ".join(done.out.splitlines()[at : at + 3]).split().count("–") == 2
    assert "Work –: the case states no rate to cost it by" in done.out
    said = " ".join(done.out.split())
    assert re.search(r"Not stated in the cases: [^.]*preparation from the tables \(", said)
    assert "holding from the tables (" in said
    row = next(
        row for row in lines(appraise("rank", shelf, *FEW, "--cache", common, "--jsonl", "-")) if "208" in row["model"]
    )
    assert row["not_stated"] == "labour_rate; carriage; preparation; guarantee; holding"


def test_an_unwritable_file_is_one_line(appraise, good, tmp_path):
    done = appraise("rank", good, *FEW, "--no-cache", "--csv", tmp_path / "none" / "x.csv")
    assert done.code == 2
    assert done.err.count("\n") == 1


@pytest.mark.skipif(os.name != "posix", reason="named pipes are POSIX")
@pytest.mark.parametrize("option", ["--csv", "--jsonl"])
def test_a_pipe_is_written_to_and_never_replaced(good, tmp_path, option):
    # A pipe of our own stands for every device: a test must not come near a real one.
    pipe, link = tmp_path / "pipe", tmp_path / "link"
    os.mkfifo(pipe)
    link.symlink_to(pipe)
    words = [sys.executable, "-m", "appraise", "rank", str(good), "--no-cache", "--draws", "128", option, str(link)]
    with subprocess.Popen(words) as process:
        content = pipe.read_text(encoding="utf-8")
        assert process.wait() == 0
    assert "case.toml" in content
    assert stat.S_ISFIFO(pipe.stat().st_mode)
    assert link.is_symlink()


def test_a_file_is_replaced_whole_or_not_at_all(tmp_path):
    target = tmp_path / "rank.csv"
    target.write_text("before")
    target.chmod(0o640)
    with pytest.raises(RuntimeError, match="halfway"), writing(target) as stream:
        stream.write("half")
        raise RuntimeError("halfway")
    assert target.read_text() == "before"
    with writing(target) as stream:
        stream.write("after")
    assert target.read_text() == "after"
    assert stat.S_IMODE(target.stat().st_mode) == 0o640
    assert [path.name for path in tmp_path.iterdir()] == ["rank.csv"]


def test_a_margin_stands_in_for_each_cases_own(appraise, shelf, common):
    own = lines(appraise("rank", shelf, *FEW, "--cache", common, "--jsonl", "-", "--sort", "file"))
    all_alike = lines(
        appraise("rank", shelf, *FEW, "--cache", common, "--jsonl", "-", "--sort", "file", "--margin", "45%")
    )
    assert {row["least_margin_pct"] for row in all_alike} == {45}
    # A job that does not pay at that margin is left out of the plan, and the resale is less by what it adds.
    # One that is worth more in parts at that margin is sold for what its parts bring.
    kept = [(dear, row) for dear, row in zip(all_alike, own, strict=True) if dear["course"] == row["course"]]
    assert len(kept) >= len(own) - 1
    assert [dear["resale"] for dear, _ in kept] == pytest.approx([row["resale"] for _, row in kept], rel=0.1)
    assert all(dear["offer"] < row["offer"] for dear, row in zip(all_alike, own, strict=True))
    assert lines(appraise("rank", shelf, *FEW, "--cache", common, "--jsonl", "-", "--sort", "file")) == own


def test_one_process_or_several_write_the_same_bytes(appraise, tmp_path):
    count, several = whole((40, 3), (12, 2))
    fill(tmp_path / "many", count)
    written = []
    for processes in (1, several):
        appraise("rank", tmp_path / "many", "--no-cache", *FEW, "--processes", processes, "--csv", tmp_path / "x.csv")
        written.append((tmp_path / "x.csv").read_bytes())
    assert written[0] == written[1]
    assert written[0].count(b"\n") == count + 1


def test_why_one_beats_another(appraise, shelf, common):
    better, worse = shelf / "removal_before.toml", shelf / "removal_after.toml"
    said = appraise("rank", "--why", better, worse, *FEW, "--cache", common).out
    assert said.count(". ") == 1
    rows = lines(appraise("rank", better, worse, *FEW, "--cache", common, "--jsonl", "-"))
    gap = rows[0]["offer"] - rows[1]["offer"]
    assert f"EUR {gap:,.0f} more than Ostravell OV 178" in said
    shown = rows[0]["resale"] - rows[1]["resale"]
    assert f"it resells for EUR {shown:,.0f} more" in said
    turned = appraise("rank", "--why", worse, better, *FEW, "--cache", common).out
    assert "does not beat" in turned
    assert f"EUR {gap:,.0f} less" in turned
    same = appraise("rank", "--why", better, better, *FEW, "--cache", common).out
    assert "both support" in same


def test_why_across_currencies_without_a_rate_is_refused(appraise, mixed):
    done = appraise(
        "rank", "--why", mixed / "recent_grand.toml", mixed / "later" / "trade_in_grand.toml", *FEW, "--no-cache"
    )
    assert done.code == 2
    assert "cannot be compared" in done.err


@pytest.mark.usefixtures("value_anew")
def test_memory_does_not_grow_with_the_folder(tmp_path, tables):
    def peak(count):
        folder = tmp_path / str(count)
        for n in range(count):
            part = folder / f"{n // 50:03d}"
            part.mkdir(parents=True, exist_ok=True)
            (part / f"{n}.toml").write_text(GOOD.replace("Oskelmoor", f"No. {n % 5}"), encoding="utf-8")
        kept = ResultCache(tmp_path / "kept")
        tracemalloc.start()
        total = sum(not isinstance(item, Skipped) for item in ranked(found([folder]), Terms(tables, draws=64), kept))
        _, most = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        assert total == count
        return most

    peak(50)  # what is made once
    many = whole(600, 240)
    # Some 200 bytes a row are its name and its outcome; a case or a valuation that were kept would be thousands. Of two
    # runs the smaller counts: once in a while Python makes room for more names, two megabytes at once.
    assert min(peak(many), peak(many)) < peak(60) + 500 * (many - 60)


@pytest.mark.skipif(not hasattr(os, "wait4"), reason="the system does not say what a process took")
@pytest.mark.parametrize("processes", [1, 2])
def test_peak_memory_of_the_whole_command_does_not_grow(tmp_path, processes):
    def peak(count):
        """Resident set of the command, or of the greatest of its processes, at its greatest [MB]."""
        folder = tmp_path / str(count)
        folder.mkdir()
        for n in range(count):
            text = GOOD.replace("Oskelmoor", f"No. {n}").replace("1985", str(1900 + n % 97))
            (folder / f"{n}.toml").write_text(text, encoding="utf-8")
        words = ["rank", str(folder), "--no-cache", "--draws", "100", "--processes", str(processes), "--jsonl"]
        done = subprocess.Popen([sys.executable, "-m", "appraise", *words, str(tmp_path / "rank.jsonl")])
        _, status, used = os.wait4(done.pid, 0)
        done.returncode = os.waitstatus_to_exitcode(status)
        assert done.returncode == 0
        assert len((tmp_path / "rank.jsonl").read_text(encoding="utf-8").splitlines()) == count
        return used.ru_maxrss / (1024.0**2 if sys.platform == "darwin" else 1024.0)

    # What is shared between cases fills up first, some megabytes; a row alone takes 1.5 kB, a case some 60.
    assert peak(whole(600, 200)) - peak(60) < 8.0


def test_a_folder_that_cannot_be_listed_is_one_line_and_the_rest_is_ranked(appraise, shelf, monkeypatch, common):
    real = os.scandir

    def scandir(place):
        if str(place).endswith("later"):
            raise PermissionError(13, "Permission denied", str(place))
        return real(place)

    monkeypatch.setattr(os, "scandir", scandir)
    done = appraise("rank", shelf, *FEW, "--cache", common, "--jsonl", "-")
    assert done.code == 1
    assert len(lines(done)) == 4
    expected = f"left out: {shelf / 'later'}: found a folder that cannot be listed (Permission denied)"
    assert done.err.startswith(expected)
    assert done.err.count("\n") == 1


def test_the_walk_does_not_follow_a_link_back(tmp_path, good):
    (tmp_path / "again").symlink_to(tmp_path, target_is_directory=True)
    assert list(found([tmp_path])) == [good]


@pytest.mark.skipif(os.name != "posix", reason="pseudo-terminals are POSIX")
def test_a_bar_on_a_terminal_only(good):
    words = [sys.executable, "-m", "appraise", "rank", str(good), "--no-cache", "--draws", "128", "--jsonl", "-"]
    ours, theirs = pty.openpty()
    done = subprocess.run(words, stdout=subprocess.PIPE, stderr=theirs, check=True, env={**os.environ, "TERM": "xterm"})
    os.close(theirs)
    shown = os.read(ours, 65536).decode()
    os.close(ours)
    assert "valuing" in shown
    assert len(done.stdout.splitlines()) == 1
    quiet = subprocess.run(words, capture_output=True, check=True)
    assert quiet.stderr == b""
    assert quiet.stdout == done.stdout
