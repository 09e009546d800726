"""Every row that ships keeps the rules, and every rule refuses a user's table that breaks it."""

import shutil
import tomllib
from dataclasses import fields
from pathlib import Path

import pytest

from appraise.model.case import STATIONS, Kind
from appraise.model.problem import Problem, Unreadable
from appraise.model.quantities import UNITS
from appraise.tables.folder import data_folder
from appraise.tables.layout import FILES
from appraise.tables.load import load_from, load_tables
from appraise.tables.rows import CheckKind, Standing, Tables

OURS = 'standing = "our assumption"\nsource = "none"\n'

HAMMERS = """[[row]]
key = "hammers"
label = "Hammers"
station = "action"
kinds = ["grand", "upright"]
share_grand = 0.055
share_upright = 0.055
visibility = 0.4
standing = "our assumption"
source = "none"
"""

PLATE = """[[row]]
key = "plate"
label = "Plate"
station = "structure"
kinds = ["grand", "upright"]
share_grand = 0.06
share_upright = 0.055
critical = true
visibility = 0.15
gate = [[3, 1], [5, 0.1]]
standing = "our assumption"
source = "none"
"""

FELT = """[[row]]
key = "my_felt"
component = "hammers"
kinds = ["grand"]
label = "Felt"
kind = "measured"
unit = "mm"
anchors = [[1, 4], [3, 1]]
plausible = [0, 10]
minutes = 2
standing = "our assumption"
source = "none"
"""

JOB = """[[row]]
key = "my_job"
label = "My job"
kinds = ["grand"]
hours_low = 1
hours_typical = 2
hours_high = 3
improves = { hammers = 2 }
standing = "our assumption"
source = "none"
"""

CLIMATE = """[[row]]
key = "cellar"
label = "Cellar"
default = 0.8
factors = { hammers = 0.7 }
standing = "our assumption"
source = "none"
"""

CLUE = """[[row]]
key = "my_clue"
label = "A clue"
components = ["hammers"]
low = 2
high = 9
reliability = 0.5
standing = "our assumption"
source = "none"
"""

DRYING = """[[row]]
key = "my_drying"
label = "A clue"
section = "pins"
role = "damage"
strength = 3
seen_if_dried = 0.5
ratios = { cycling = 1.2, untuned = 2, poor_work = 2, age = 2 }
checks = ["pin_torque"]
from_grade = 3
below = 5
climates = ["dry_heated"]
verdict = "seasonal"
standing = "our assumption"
source = "none"
"""

STORY = """[[row]]
key = "age"
label = "Age"
odds = 3
means = "Old."
advice = "Wait."
standing = "our assumption"
source = "none"
"""

LAW = """[[row]]
key = "schedule"
label = "Schedule"
how = "Mine."
schedule = [80, 60]
standing = "our assumption"
source = "none"
"""

BASIS = """[[row]]
key = "my_basis"
label = "Mine"
definition = "Mine."
method = "market"
low = 0.4
typical = 0.5
high = 0.6
standing = "our assumption"
source = "none"
"""

FACTOR = """[[row]]
key = "my_size"
factor = "size"
kinds = ["grand"]
label = "Mine"
above_cm = 290
low = 0.4
typical = 0.5
high = 0.6
standing = "our assumption"
source = "none"
"""

CAUTION = """[[row]]
key = "mine"
text = "Take care."
checks = ["pin_torque"]
standing = "our assumption"
source = "none"
"""

SOURCE = """[[row]]
key = "my_book"
author = "Me"
title = "Mine"
"""

LIVES = "key,component,variant,low,typical,high,heavy_low,heavy_typical,heavy_high,standing,source,where,note\n"
LIFE = LIVES + "hammers,hammers,,10,20,30,3,6,9,our assumption,none,,\n"

SOUND = {
    "components.toml": HAMMERS + PLATE,
    "checks/action.toml": FELT,
    "remedies.toml": JOB,
    "climates.toml": CLIMATE,
    "dating_clues.toml": CLUE,
    "drying_clues.toml": DRYING,
    "drying_stories.toml": STORY,
    "laws.toml": LAW,
    "bases.toml": BASIS,
    "market_factors.toml": FACTOR,
    "cautions.toml": CAUTION,
    "lives.csv": LIFE,
}


@pytest.fixture(scope="module")
def tables() -> Tables:
    return load_tables()


def write(folder: Path, files: dict[str, str]) -> Path:
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(content, encoding="utf-8")
    return folder


def problems_of(folder: Path) -> tuple[Problem, ...]:
    with pytest.raises(Unreadable) as caught:
        load_tables(folder)
    return caught.value.problems


def test_counts_of_what_ships(tables):
    assert len(tables.components) == 34
    assert len(tables.checks) >= 150
    assert len(tables.remedies) >= 140
    assert {check.station for check in tables.checks.values()} == set(STATIONS)
    for kind in Kind:
        graded = [c for c in tables.checks.values() if kind in c.kinds and c.kind is not CheckKind.RECORD]
        assert len(graded) >= 100
    assert {"probable_life", "fixed_life", "straight_line", "ross", "declining_balance", "schedule"} == set(tables.laws)
    assert {"steady", "seasonal", "dry_heated", "tropical", "coastal"} <= set(tables.climates)
    assert {"light", "domestic", "teaching", "institutional"} <= set(tables.uses)
    assert {
        "replacement_new", "like_for_like", "retail", "private_sale", "trade_in", "auction", "forced_sale",
    } <= set(tables.bases)  # fmt: skip


def test_shares_of_what_ships_sum_to_one(tables):
    for kind in Kind:
        assert sum(row.share(kind) for row in tables.components.values()) == pytest.approx(1, abs=1e-9)


def test_station_shares_of_a_grand(tables):
    # From memory: shares of replacement cost new by station, percent.
    expected = dict(zip(STATIONS, (15, 17, 7, 7, 24, 6, 8, 16), strict=True))
    for station, percent in expected.items():
        found = sum(row.share_grand for row in tables.components.values() if row.station == station)
        assert found == pytest.approx(percent / 100)


def test_every_component_can_be_mended_in_both_kinds(tables):
    for component in tables.components.values():
        for kind in component.kinds:
            jobs = [r for r in tables.remedies.values() if kind in r.kinds and component.key in r.improves]
            assert jobs, (component.key, kind)
            assert max(job.up_to for job in jobs) >= 4, component.key


def test_new_parts_only_where_a_job_leaves_them_nearly_new(tables):
    for remedy in tables.remedies.values():
        if remedy.resets:
            assert max(remedy.improves.values()) <= 1.5, remedy.key
    assert tables.remedies["plate_weld_grand"].improves["plate"] == 3.5  # a mended plate is never as new


def test_published_rows_name_a_source_and_a_place(tables):
    published = [
        row
        for name in ("components", "lives", "checks", "remedies", "bases", "market_factors", "laws", "cautions")
        for row in getattr(tables, name).values()
        if row.standing is Standing.PUBLISHED
    ]
    assert published
    for row in published:
        assert row.source in tables.sources
        assert row.where


def test_readings_are_in_base_units_with_a_plausible_range(tables):
    for check in tables.checks.values():
        if check.kind is CheckKind.MEASURED:
            assert UNITS[check.unit].base == check.unit
        if check.anchors:
            assert check.plausible is not None
            assert check.plausible[0] <= check.anchors[0][0] < check.anchors[-1][0] <= check.plausible[1]


def test_every_check_says_how_and_what_is_seen(tables):
    for check in tables.checks.values():
        assert check.how, check.key
        assert check.words or check.kind is CheckKind.RECORD, check.key


def test_headers_describe_every_column_used():
    for name in FILES:
        path = data_folder("reference_tables") / name
        if path.suffix == ".csv":
            continue
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        used = {column for row in data["row"] for column in row}
        assert used - {"key", "standing", "source", "where", "note"} <= set(data["columns"]), name
        for column, says in data["columns"].items():
            assert set(says) == {"unit", "means"}, (name, column)


def test_condition_classes_are_heideckes(tables):
    # Heidecke's depreciation [%] as printed at age 0 in the Ross–Heidecke tables of appraisal practice.
    printed = (0, 0.032, 2.52, 8.09, 18.10, 33.20, 52.60, 75.20, 100)
    assert tuple(row.c_pct for row in tables.condition_classes.values()) == printed


def test_the_same_tables_have_the_same_version(tables, tmp_path):
    copy = shutil.copytree(data_folder("reference_tables"), tmp_path / "copy")
    again = load_from(copy)
    assert again.version == tables.version
    assert again.checks == tables.checks
    assert len(tables.version) == 12
    assert int(tables.version, 16) >= 0


def test_a_sound_overlay_replaces_and_adds_rows_and_marks_them(tables, tmp_path):
    mine = load_tables(write(tmp_path, SOUND))
    assert mine.components["hammers"].yours
    assert not mine.components["knuckles"].yours
    assert mine.lives["hammers"].typical == 20
    assert mine.lives["hammers"].yours
    assert mine.checks["my_felt"].station == "action"
    assert mine.climates["cellar"].factors == {"hammers": 0.7}
    assert set(mine.checks) - set(tables.checks) == {"my_felt"}
    assert mine.version != tables.version


def test_an_empty_overlay_changes_nothing(tables, tmp_path):
    ours = load_tables(tmp_path)
    assert [getattr(ours, one.name) for one in fields(ours)] == [getattr(tables, one.name) for one in fields(tables)]


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_csv_with_either_line_end_and_remarks_on_top(tmp_path, line_end):
    content = "# mine\n\n" + LIFE
    (tmp_path / "lives.csv").write_bytes(content.replace("\n", line_end).encode())
    assert load_tables(tmp_path).lives["hammers"].heavy_high == 9


BROKEN = [
    # file, text to change, what it becomes, key of the problem, words in found + expected + mend
    ("components.toml", "visibility = 0.4", "visibilty = 0.4", "visibilty", "did you mean visibility?"),
    ("components.toml", "visibility = 0.4", "visibility = 0.5", "visibility", "from 0.15 to 0.4"),
    ("components.toml", "visibility = 0.4", "visibility = 0.1", "visibility", "from 0.15 to 0.4"),
    ("components.toml", "visibility = 0.4", "visibility = true", "visibility", "a number"),
    ("components.toml", "visibility = 0.4", "visibility = nan", "visibility", "a finite number"),
    ("components.toml", "visibility = 0.4", "", "", "no visibility"),
    ("components.toml", '"action"', '"actoin"', "station", "did you mean action?"),
    ("components.toml", '"Hammers"', '"Ham\\u001b[2Jmers"', "label", "without control characters"),
    ("components.toml", '"Hammers"', '""', "label", "some words"),
    ("components.toml", 'key = "hammers"', 'key = "Hammers!"', "key", "small letters"),
    ("components.toml", "share_grand = 0.055", "share_grand = 0.155", "share_grand", "a sum of 1"),
    ("components.toml", "share_grand = 0.055", "share_grand = 0", "share_grand", "a share above 0"),
    ("components.toml", 'kinds = ["grand", "upright"]', 'kinds = ["grand"]', "share_upright", "no share"),
    ("components.toml", 'kinds = ["grand", "upright"]', 'kinds = ["harp"]', "kinds", "one of grand, upright"),
    ("components.toml", 'kinds = ["grand", "upright"]', "kinds = []", "kinds", "at least one of"),
    ("components.toml", "gate = [[3, 1], [5, 0.1]]", "", "", "no gate"),
    ("components.toml", "[5, 0.1]", "[4, 0.1], [5, 0.2]", "gate", "never rise"),
    ("components.toml", "[5, 0.1]", "[5, 1.1]", "gate", "from 0 to 1"),
    ("components.toml", "[5, 0.1]", "[2, 0.1]", "gate", "first numbers rise"),
    ("components.toml", '"our assumption"', '"hearsay"', "standing", "published, own evidence"),
    ("components.toml", '"our assumption"', '"published"', "source", "a source, since"),
    ("components.toml", 'source = "none"', 'source = "ross_heideke"', "source", "did you mean ross_heidecke?"),
    (
        "components.toml",
        '"our assumption"\nsource = "none"',
        '"published"\nsource = "ivs"',
        "where",
        "the place in the source",
    ),
    ("checks/action.toml", "[[1, 4], [3, 1]]", "[[3, 4], [1, 1]]", "anchors", "first numbers rise"),
    ("checks/action.toml", "[[1, 4], [3, 1]]", "[[1, 1], [2, 3], [3, 2]]", "anchors", "fall and then rise"),
    ("checks/action.toml", "[[1, 4], [3, 1]]", "[[1, 6], [3, 1]]", "anchors", "grades from 1 to 5"),
    ("checks/action.toml", "[[1, 4], [3, 1]]", "[[1, 4]]", "anchors", "two or more points"),
    ("checks/action.toml", "[[1, 4], [3, 1]]", "[[1], [3, 1]]", "anchors", "two numbers"),
    ("checks/action.toml", "anchors = [[1, 4], [3, 1]]", "", "", "0 anchors"),
    ("checks/action.toml", 'unit = "mm"', 'unit = "in"', "unit", "one of"),
    ("checks/action.toml", 'unit = "mm"', "", "", "no unit"),
    ("checks/action.toml", 'kind = "measured"', 'kind = "count"', "unit", "not measured"),
    ("checks/action.toml", 'kind = "measured"', 'kind = "guessed"', "kind", "graded, measured"),
    ("checks/action.toml", "plausible = [0, 10]", "", "", "no plausible range"),
    ("checks/action.toml", "plausible = [0, 10]", "plausible = [2, 10]", "plausible", "holds the anchors"),
    ("checks/action.toml", "plausible = [0, 10]", "plausible = [10, 0]", "plausible", "the smaller first"),
    ("checks/action.toml", "minutes = 2", "minutes = 0", "minutes", "from 0.05 to"),
    ("checks/action.toml", "minutes = 2", "minutes = 2\nweight = 0", "weight", "above 0"),
    ("checks/action.toml", "minutes = 2", "minutes = 2\ncap = 6", "cap", "from 1 to 5"),
    ("checks/action.toml", "minutes = 2", 'minutes = 2\nwords = [[6, "x"]]', "words", "from 1 to 5"),
    ("checks/action.toml", "minutes = 2", 'minutes = 2\nwords = [[2, "x"], [1, "y"]]', "words", "that rise"),
    ("checks/action.toml", "minutes = 2", 'minutes = 2\nstatistic = "median"', "statistic", "mean, worst"),
    ("checks/action.toml", '"hammers"', '"hamers"', "component", "did you mean hammers?"),
    ("checks/action.toml", '"hammers"', '"plate"', "component", "a component of action"),
    ("checks/action.toml", 'key = "my_felt"', 'key = "pin_torque"', "key", "checks/pin_block.toml"),
    ("remedies.toml", "hours_typical = 2", "hours_typical = 4", "hours_typical", "at most hours_high"),
    ("remedies.toml", "hammers = 2", "hammers = 6", "improves", "a grade from 1 to 5"),
    ("remedies.toml", "hammers = 2", "hamers = 2", "improves", "did you mean hammers?"),
    ("remedies.toml", "improves = { hammers = 2 }", "resets = true", "resets", "improves nothing"),
    ("remedies.toml", "hours_low = 1", 'hours_low = 1\nrequires = ["regulat_grand"]', "requires", "regulate_grand?"),
    ("remedies.toml", "hours_low = 1", 'hours_low = 1\nrequires = ["my_job"]', "requires", "do not lead back"),
    ("remedies.toml", "hours_low = 1", 'hours_low = 1\nrequires = ["back_reglue"]', "requires", "a step for every"),
    ("remedies.toml", "hours_low = 1", "hours_low = 1\nparts_low = 0.5", "parts_low", "at most parts_high"),
    ("remedies.toml", "hours_low = 1", "hours_low = 0", "hours_low", "0 in all three"),
    ("remedies.toml", "hours_low = 1", 'hours_low = 1\ncauses = ["hammer_tne"]', "causes", "did you mean hammer_tone?"),
    ("remedies.toml", "hours_low = 1", 'hours_low = 1\ncauses = ["butt_leather"]', "causes", "made on a grand"),
    ("remedies.toml", "hours_low = 1", 'hours_low = 1\ncauses = ["pin_torque"]', "causes", "that it improves"),
    ("remedies.toml", "hours_low = 1", 'hours_low = 1\ncauses = ["humidity_visit"]', "causes", "carries a grade"),
    ("remedies.toml", "hours_low = 1", 'hours_low = 1\ncauses = ["plate_repair"]', "causes", "why no job is made"),
    ("remedies.toml", "hours_low = 1", 'hours_low = 1\nper = "key"', "per", '"note", or nothing'),
    ("remedies.toml", "hours_low = 1", 'hours_low = 1\nper = "note"', "per", "how many pieces"),
    ("remedies.toml", "hours_low = 1", 'hours_low = 1\nper = "note"\ncauses = ["hammer_tone"]', "causes", "counts"),
    ("remedies.toml", "hours_low = 1", "hours_low = 1\nsetup_hours = 2", "setup_hours", "for the whole job"),
    ("remedies.toml", "hours_low = 1", 'hours_low = 1\nrequires = ["strings_mend"]', "requires", "whatever is counted"),
    ("remedies.toml", "hours_low = 1", "hours_low = 1\nsize_grand = [[2, 1], [1, 1]]", "size_grand", "numbers rise"),
    ("remedies.toml", "hours_low = 1", "hours_low = 1\nsize_grand = [[150, 0], [180, 1]]", "size_grand", "above 0"),
    ("remedies.toml", "hours_low = 1", "hours_low = 1\nsize_upright = [[120, 1]]", "size_upright", "no job for"),
    ("market_factors.toml", "low = 0.4", "low = 0.4\nparts = 0", "parts", "from 0.001 to 100"),
    ("climates.toml", "hammers = 0.7", "hammers = 0", "factors", "above 0"),
    ("climates.toml", "hammers = 0.7", "hamers = 0.7", "factors", "did you mean hammers?"),
    ("climates.toml", "default = 0.8", "default = -1", "default", "from 0.05 to 20"),
    ("dating_clues.toml", "low = 2", "low = 9", "low", "less than high"),
    ("dating_clues.toml", "reliability = 0.5", "reliability = 1.5", "reliability", "from 0 to 1"),
    ("dating_clues.toml", '["hammers"]', '["hamers"]', "components", "did you mean hammers?"),
    ("drying_clues.toml", '"damage"', '"harm"', "role", "damage, history, context, damp"),
    ("drying_clues.toml", "strength = 3", "strength = 6", "strength", "from 1 to 5"),
    ("drying_clues.toml", "= 0.5", "= 1", "seen_if_dried", "from 0.001 to 0.999"),
    ("drying_clues.toml", ", age = 2", "", "ratios", "one against every rival"),
    ("drying_clues.toml", "age = 2", "age = 0.3", "ratios", "certain or impossible"),
    ("drying_clues.toml", "age = 2", "aeg = 2", "ratios", "did you mean age?"),
    ("drying_clues.toml", "pin_torque", "pin_torqe", "checks", "did you mean pin_torque?"),
    ("drying_clues.toml", "from_grade = 3\n", "", "checks", "both, or neither"),
    ("drying_clues.toml", 'checks = ["pin_torque"]\n', "", "from_grade", "both, or neither"),
    ("drying_clues.toml", "pin_torque", "block_cracks", "checks", "measured or counted"),
    ("drying_clues.toml", "pin_torque", "humidity_visit", "checks", "carries a grade"),
    ("drying_clues.toml", "dry_heated", "dry_heatd", "climates", "did you mean dry_heated?"),
    ("drying_clues.toml", '"seasonal"', '"seasnal"', "verdict", "did you mean seasonal?"),
    ("drying_stories.toml", '"age"', '"aeg"', "key", "did you mean age?"),
    ("drying_stories.toml", "odds = 3", "odds = 0", "odds", "from 1e-06 to"),
    ("laws.toml", "[80, 60]", "[80, 90]", "schedule", "never rise"),
    ("laws.toml", "schedule = [80, 60]", "", "", "no schedule"),
    ("laws.toml", '"schedule"', '"my_law"', "key", "one of"),
    ("bases.toml", "typical = 0.5", "typical = 0.7", "typical", "at most high"),
    ("bases.toml", '"market"', '"guess"', "method", "replacement, depreciated"),
    ("market_factors.toml", "low = 0.4", "low = 0", "low", "from 0.001 to 100"),
    ("bases.toml", "typical = 0.5", "typical = 0", "typical", "from 0.001 to 100"),
    ("market_factors.toml", "low = 0.4", "low = 0.55", "low", "at most typical"),
    ("market_factors.toml", '"size"', '"tier"', "factor", "only there"),
    ("market_factors.toml", 'factor = "size"', 'factor = "sise"', "factor", "did you mean size?"),
    ("market_factors.toml", "above_cm = 290", "above_cm = 290\nbelow_cm = 200", "above_cm", "less than below_cm"),
    ("market_factors.toml", 'factor = "size"', 'factor = "base"', "factor", "only there"),
    ("cautions.toml", '"pin_torque"', '"pin_torqe"', "checks", "did you mean pin_torque?"),
    ("cautions.toml", "checks =", "stations =", "stations", "one of structure"),
    ("lives.csv", ",10,20,30,", ",25,20,30,", "low", "at most typical"),
    ("lives.csv", ",3,6,9,", ",3,12,9,", "heavy_typical", "at most heavy_high"),
    ("lives.csv", ",10,20,30,", ",0,20,30,", "low", "from 0.1 to 5000"),
    ("lives.csv", ",10,20,30,", ",19.9,20,20,", "low", "by a twentieth"),
    ("lives.csv", ",10,20,30,", ",1,20,3000,", "low", "a thousandth of high"),
    ("lives.csv", ",10,20,30,", ",ten,20,30,", "low", "a number"),
    ("lives.csv", ",10,20,30,", ",20,20,20,", "low", "less than high"),
    ("lives.csv", "hammers,hammers", "hammers,hamers", "component", "did you mean hammers?"),
    ("lives.csv", "hammers,hammers", "mine,hammers", "variant", "one row for each"),
    ("lives.csv", ",10,20,30,", ",10,20,", "", "13, one a column"),
]


@pytest.mark.parametrize(("file", "old", "new", "key", "words"), BROKEN)
def test_a_broken_row_is_refused(tmp_path, file, old, new, key, words):
    assert old in SOUND[file], "the test changes nothing"
    folder = write(tmp_path, {file: SOUND[file].replace(old, new, 1)})
    problems = problems_of(folder)
    wanted = [
        problem
        for problem in problems
        if words in f"{problem.found} {problem.expected} {problem.mend}"
        and (problem.key.rpartition("].")[2] == key if key else problem.key.endswith("]"))
    ]
    assert wanted, [str(problem) for problem in problems]
    assert all(str(folder) in problem.file for problem in wanted)


def test_the_line_is_that_of_the_wrong_cell(tmp_path):
    folder = write(tmp_path, {"components.toml": PLATE.replace("[5, 0.1]", "[6, 0.1]")})
    (problem,) = problems_of(folder)
    assert problem.line == 10
    assert problem.key == "row[1].gate"
    folder = write(tmp_path, {"components.toml": "", "lives.csv": "# one\n# two\n" + LIFE.replace(",10,", ",-1,")})
    (problem,) = problems_of(folder)
    assert (problem.line, problem.key) == (4, "row[1].low")


def test_every_problem_is_told_at_once(tmp_path):
    folder = write(
        tmp_path,
        {
            "components.toml": HAMMERS.replace("visibility = 0.4", "visibility = 0.9"),
            "remedies.toml": JOB.replace("hours_low = 1", 'hours_low = "one"'),
            "nonsense.toml": "",
        },
    )
    assert {Path(problem.file).name for problem in problems_of(folder)} == {
        "components.toml",
        "remedies.toml",
        "nonsense.toml",
    }


def test_a_key_twice_in_one_file_is_refused(tmp_path):
    folder = write(tmp_path, {"remedies.toml": JOB + JOB})
    (problem,) = problems_of(folder)
    assert problem.key == "row[2].key"
    assert "remedies.toml:2" in problem.mend


def test_a_key_twice_across_the_files_of_checks_is_refused(tmp_path):
    other = FELT.replace("hammers", "finish")
    folder = write(tmp_path, {"checks/action.toml": FELT, "checks/case.toml": other})
    (problem,) = problems_of(folder)
    assert problem.found == "'my_felt'"
    assert "checks/action.toml" in problem.mend


def test_steps_that_lead_around_in_a_circle_are_refused(tmp_path):
    one = JOB.replace("hours_low", 'requires = ["other_job"]\nhours_low')
    two = one.replace('"my_job"', '"other_job"').replace('["other_job"]', '["my_job"]')
    problems = problems_of(write(tmp_path, {"remedies.toml": one + two}))
    assert len(problems) == 2
    assert all("do not lead back" in problem.expected for problem in problems)


def test_a_source_of_the_user_must_be_used(tmp_path):
    folder = write(tmp_path, {"sources.toml": SOURCE})
    (problem,) = problems_of(folder)
    assert "no row uses" in problem.found
    used = JOB.replace('source = "none"', 'source = "my_book"').replace("our assumption", "published")
    write(folder, {"remedies.toml": used + 'where = "p. 3"\n'})
    assert load_tables(folder).remedies["my_job"].where == "p. 3"


def test_replacing_the_rows_that_use_our_source_is_no_mistake(tables, tmp_path):
    row = tables.laws["declining_balance"]
    assert sum(r.source == row.source for r in tables.laws.values()) == 1
    mine = LAW.replace('key = "schedule"', 'key = "declining_balance"').replace("schedule = [80, 60]", "rate = 0.1")
    assert load_tables(write(tmp_path, {"laws.toml": mine})).laws["declining_balance"].rate == 0.1


def test_a_component_added_needs_life_check_and_room_in_the_shares(tmp_path):
    mine = HAMMERS.replace('"hammers"', '"player_unit"').replace("0.055", "0.01")
    told = " ".join(f"{p.found} {p.expected}" for p in problems_of(write(tmp_path, {"components.toml": mine})))
    assert "without a service life" in told
    assert "no check that grades it in a grand" in told
    assert "no check that grades it in an upright" in told
    assert "a sum of 1" in told


def test_only_the_nine_condition_classes(tmp_path):
    row = '[[row]]\nkey = "class_9"\ngrade = 4.75\nc_pct = 80\nlabel = "x"\nwords = "y"\n' + OURS
    (problem,) = problems_of(write(tmp_path, {"condition_classes.toml": row}))
    assert "the nine classes" in problem.expected


def test_priors_must_rise(tmp_path):
    row = '[[row]]\nkey = "late"\nconsumed = 0.2\ngrade = 1.2\n' + OURS
    (problem,) = problems_of(write(tmp_path, {"priors.toml": row}))
    assert "rise in consumed" in problem.expected


def test_the_other_class_1_5_may_be_chosen(tmp_path):
    row = '[[row]]\nkey = "class_1_5"\ngrade = 1.5\nc_pct = 0.32\nlabel = "x"\nwords = "y"\n' + OURS
    assert load_tables(write(tmp_path, {"condition_classes.toml": row})).condition_classes["class_1_5"].c_pct == 0.32


@pytest.mark.parametrize(
    ("name", "content", "words", "line"),
    [
        ("components.toml", b"[[row]\n", "TOML", 1),
        ("components.toml", b"key = 1\nkey = 2\n", "TOML", 2),
        ("components.toml", b"\xff\xfe", "UTF-8", None),
        ("components.toml", b"a = " + b"[" * 5000, "", None),
        ("components.toml", b"rows = 1\n", "did you mean row?", 1),
        ("components.toml", b"row = 3\n", "each under [[row]]", 1),
        ("components.toml", b'[table]\nid = "lives"\n', '"components"', 2),
        ("components.toml", b"[table]\nchecked = 3\n", "a date", 2),
        ("components.toml", b'[table]\ntitel = "x"\n', "did you mean title?", 2),
        ("components.toml", b"[columns]\nvisibilty = {}\n", "did you mean visibility?", 2),
        ("lives.csv", b'key,component\n"a', "comma-separated values", 2),
        ("lives.csv", b"key,component\na,b\nc\n", "2, one a column", 3),
        ("component.toml", b"", "did you mean components.toml?", None),
        ("checks/attic.toml", b"", "the name of a table", None),
    ],
)
def test_files_that_are_no_table(tmp_path, name, content, words, line):
    path = tmp_path / name
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(content)
    problems = problems_of(tmp_path)
    told = [p for p in problems if words in f"{p.found} {p.expected} {p.mend}"]
    assert told, [str(problem) for problem in problems]
    assert told[0].file == str(path)
    if line is not None:
        assert told[0].line == line


def test_an_overlay_that_is_not_there(tmp_path):
    (problem,) = problems_of(tmp_path / "nowhere")
    assert (problem.found, problem.expected) == ("nothing", "a folder of tables")


def test_a_file_of_many_megabytes_is_not_read(tmp_path):
    (tmp_path / "laws.toml").write_bytes(b"#" * 4_000_001)
    (problem,) = problems_of(tmp_path)
    assert "MB" in problem.found
