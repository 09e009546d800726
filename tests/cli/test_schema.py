"""The published schemas: every JSON output fits its own, and the case schema takes what the reader takes."""

from __future__ import annotations

import copy
import json
import math
import shutil
from datetime import date, datetime, time
from functools import cache
from pathlib import Path
from random import Random

import pytest
import tomli
import tomli_w
from jsonschema import Draft202012Validator

from appraise.cli.examples import EXAMPLES
from appraise.cli.schema import SCHEMAS, schema
from appraise.model.case import SCHEMA
from appraise.services.instruments.tools import TOOLS
from appraise.store.findings import Diagnostics
from appraise.store.read import parse_case
from appraise.store.sections import LISTS, SECTIONS, TOP_LEVEL
from appraise.tables.folder import data_folder
from tests.fuzz import mutate, samples

CASES = sorted(data_folder("sample_cases").glob("*.toml"))
DRAWS = ("--draws", "100")


def closed(node):
    """Return a schema that allows no key it does not describe, so that an undocumented one is noticed."""
    if isinstance(node, list):
        return [closed(item) for item in node]
    if not isinstance(node, dict):
        return node
    inner = {key: closed(value) for key, value in node.items()}
    if inner.get("type") == "object" and "properties" in inner:
        inner.setdefault("additionalProperties", False)
    return inner


@cache
def closing(name: str) -> Draft202012Validator:
    """Return what tells what does not fit a schema, keys that it does not describe among it."""
    return Draft202012Validator(closed(schema(name)), format_checker=Draft202012Validator.FORMAT_CHECKER)


@cache
def open_to_more(name: str) -> Draft202012Validator:
    """Return what tells what does not fit a schema as it is published."""
    return Draft202012Validator(schema(name), format_checker=Draft202012Validator.FORMAT_CHECKER)


def wrong(name: str, value: object) -> list[str]:
    """Return what does not fit a schema."""
    return [f"{error.json_path}: {error.message[:200]}" for error in closing(name).iter_errors(value)]


@pytest.mark.parametrize("name", SCHEMAS)
def test_every_schema_is_one_and_says_its_version(appraise, name):
    answer = appraise("schema", name)
    assert (answer.code, answer.err) == (0, "")
    given = json.loads(answer.out)
    Draft202012Validator.check_schema(given)
    assert given["$id"] == f"urn:appraise:schema:{name}:{SCHEMAS[name].version}"
    said = {part["properties"]["schema"]["const"] for part in given.get("anyOf", [given]) if name != "rank_row"}
    assert said <= {SCHEMAS[name].version}


def test_schemas_are_listed_and_near_names_proposed(appraise):
    listed = appraise("schema").out.splitlines()
    assert [line.split()[0] for line in listed] == list(SCHEMAS)
    answer = appraise("schema", "valeu")
    assert answer.code == 2
    assert 'did you mean "value"?' in answer.err


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_outputs_of_every_sample_fit(appraise, path, tmp_path):
    path = Path(shutil.copyfile(path, tmp_path / path.name))  # a report leaves its mark beside the case
    target = tmp_path / "report.json"
    for name, words in {
        "value": ("value", path, *DRAWS, "--json"),
        "why": ("why", path, "value", *DRAWS, "--json"),
        "check": ("check", path, "--json"),
        "rank": ("rank", path, *DRAWS, "--no-cache", "--json"),
    }.items():
        answer = appraise(*words)
        if name == "rank" and answer.code == 2:
            assert "replacement_cost_new" in answer.err
            continue
        assert wrong(name, json.loads(answer.out)) == []
    for kind, name in (("full", "report"), ("summary", "report"), ("workorder", "work_order")):
        assert appraise("report", path, *DRAWS, "--kind", kind, "-o", target, "--force").code == 0
        assert wrong(name, json.loads(target.read_text(encoding="utf-8"))) == []


def test_outputs_of_two_cases_fit(appraise, tmp_path):
    folder = Path(shutil.copytree(data_folder("sample_cases"), tmp_path / "cases"))
    answer = appraise("value", CASES[0], CASES[1], *DRAWS, "--json")
    assert wrong("values", json.loads(answer.out)) == []
    lines = tmp_path / "rank.jsonl"
    appraise("rank", *CASES, *DRAWS, "--no-cache", "--jsonl", lines)
    rows = lines.read_text(encoding="utf-8").splitlines()
    assert len(rows) > 5
    assert [wrong("rank_row", json.loads(row)) for row in rows] == [[]] * len(rows)
    for more in ((), ("--sum-insured", "15000", "--excess", "250", "--weight", "480 kg")):
        answer = appraise(
            "loss", folder / "removal_before.toml", folder / "removal_after.toml", *DRAWS, *more, "--json"
        )
        assert wrong("loss", json.loads(answer.out)) == []
    target = tmp_path / "claim.json"
    appraise("loss", folder / "removal_before.toml", folder / "removal_after.toml", *DRAWS, "-o", target)
    assert wrong("dossier", json.loads(target.read_text(encoding="utf-8"))) == []


def test_why_one_candidate_beats_another_fits(appraise):
    pair = [data_folder("sample_cases") / name for name in ("renewed_grand.toml", "recent_grand.toml")]
    answer = appraise("rank", "--why", *pair, *DRAWS, "--no-cache", "--json")
    found = json.loads(answer.out)
    assert wrong("rank_why", found) == []
    assert len(found["why"]) == 2


def test_a_state_set_before_a_move_fits(appraise, tmp_path):
    path = Path(shutil.copyfile(data_folder("sample_cases") / "recent_grand.toml", tmp_path / "grand.toml"))
    answer = appraise("loss", "--set-before", "a move", path, "--json")
    found = json.loads(answer.out)
    assert wrong("set_before", found) == []
    assert (tmp_path / found["file"]).exists()


def test_problems_fit(appraise, tmp_path):
    path = tmp_path / "bad.toml"
    path.write_text('schema = 1\n[identity]\nkind = "organ"\n', encoding="utf-8")
    answer = appraise("check", path, tmp_path / "none.toml", "--json")
    assert wrong("check", json.loads(answer.out)) == []


def test_sources_fit(appraise):
    found = json.loads(appraise("sources", "--json").out)
    assert wrong("sources", found) == []
    for table in found["tables"]:
        answer = appraise("sources", table["table"], "--json")
        assert wrong("sources", json.loads(answer.out)) == [], table["table"]


@pytest.mark.parametrize("name", TOOLS)
def test_measurements_fit(appraise, name, tmp_path):
    (tmp_path / "log.csv").write_text(
        "date,note,cents,humidity\n"
        + "".join(f"2025-{month:02}-01,A4,{-month},{40 + month}\n" for month in range(1, 13))
    )
    (tmp_path / "scale.csv").write_text("note,length_mm,diameter_mm,strings\nA4,400,1,3\nC5,340,0.95,3\n")
    (tmp_path / "room.csv").write_text(
        "time,temp C,rh\n" + "".join(f"2026-01-{day:02} 12:00,20,{30 + day}\n" for day in range(1, 29))
    )
    (tmp_path / "grand.toml").write_bytes((data_folder("sample_cases") / "renewed_grand.toml").read_bytes())
    for line in EXAMPLES[f"appraise measure {name}"]:
        words = [tmp_path / word if "." in word and (tmp_path / word).exists() else word for word in line.split()[1:]]
        answer = appraise(*words, "--json")
        assert answer.code == 0, answer.err
        assert wrong("measure", json.loads(answer.out)) == []


def test_what_does_not_fit_is_noticed():
    """The check can fail: a key too many, one too few, a wrong type at any depth."""
    assert wrong("rank_row", {}) != []
    good = schema("check")
    assert good["properties"]["files"]["items"]["properties"]["problems"]["items"]["required"]
    report = {"schema": 1, "files": [{"file": "x", "readable": True, "problems": [], "trail": None}]}
    assert wrong("check", report) == []
    assert wrong("check", {**report, "more": 1}) != []
    assert wrong("check", {"schema": 2, "files": []}) != []
    assert wrong("check", {"schema": 1, "files": [{"file": "x", "readable": "yes", "problems": []}]}) != []


# The case schema against the reader.


def as_json(node):
    """Return TOML as JSON: days and times as texts."""
    if isinstance(node, dict):
        return {key: as_json(value) for key, value in node.items()}
    if isinstance(node, list):
        return [as_json(value) for value in node]
    return node.isoformat() if isinstance(node, date | time) else node


def case_fits(document) -> bool:
    return open_to_more("case").is_valid(as_json(document))


def models_take(document) -> bool:
    """Say whether the layout alone takes a document, names and sections not yet compared with anything."""
    if document.get("schema") != SCHEMA or type(document.get("schema")) is not int or set(document) - set(TOP_LEVEL):
        return False
    invented = document.get("invented", "")
    if not isinstance(invented, str) or len(invented) > 20_000:
        return False
    findings = Diagnostics("case.toml")
    for path, model in SECTIONS.items():
        if path[0] not in document and path[0] not in {"identity", "assignment"}:
            continue
        table = document.get(path[0], {})
        apart = {other[1] for other in LISTS if len(other) > 1 and other[0] == path[0]}
        if not isinstance(table, dict):
            return False
        model.read(findings, path, {key: value for key, value in table.items() if key not in apart})
    for path, model in LISTS.items():
        holder = document.get(path[0], {}) if len(path) > 1 else document
        items = holder.get(path[-1], [])
        if not isinstance(items, list) or not all(isinstance(item, dict) for item in items):
            return False
        for at, item in enumerate(items):
            model.read(findings, (*path, at), item)
    return not findings.problems


def told_apart(document) -> bool:
    """Say whether JSON can tell what TOML tells: not a day from a text, nor endless numbers, nor impossible days."""

    def leaves(node):
        if isinstance(node, dict | list):
            for inner in node.values() if isinstance(node, dict) else node:
                yield from leaves(inner)
        else:
            yield node

    def fine(leaf) -> bool:
        if isinstance(leaf, datetime | time):
            return False
        if isinstance(leaf, float) and (not math.isfinite(leaf) or abs(leaf) > 1e15):
            return False
        return not (isinstance(leaf, int) and abs(leaf) > 2**63)

    return all(map(fine, leaves(document)))


@cache
def others() -> list:
    return [value for value in samples.values() if not isinstance(value, date)]


def mutated(number: int):
    random = Random(f"schema:{number}")
    document = copy.deepcopy(samples.case(random))
    for _ in range(random.choice((0, 1, 1, 2))):
        mutate._one(random, document, others())
    return document


def whole_numbers(node):
    """Return a document without 60.0, which is the whole number 60 to JSON and none to TOML."""
    if isinstance(node, dict):
        return {key: whole_numbers(value) for key, value in node.items()}
    if isinstance(node, list):
        return [whole_numbers(value) for value in node]
    return int(node) if isinstance(node, float) and math.isfinite(node) and node.is_integer() else node


def dates_moved(document) -> bool:
    """Say whether a day stands where no day belongs, or a text like one where a day does."""
    days = {"inspected", "reported", "date", "made"}

    def walk(node, key=""):
        if isinstance(node, dict):
            return any(walk(value, name) for name, value in node.items())
        if isinstance(node, list):
            return any(walk(value, key) for value in node)
        if isinstance(node, date):
            return key not in days
        return isinstance(node, str) and key in days

    return walk(document)


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_the_schema_takes_every_sample(path):
    assert case_fits(tomli.loads(path.read_text(encoding="utf-8")))


def test_the_schema_takes_what_the_reader_takes(tables):
    taken = 0
    for number in range(1500):
        document = mutated(number)
        if not told_apart(document):
            continue
        try:
            case, _ = parse_case(tomli_w.dumps(document), tables, file="case.toml")
        except (ValueError, TypeError):
            continue
        if case is not None:
            taken += 1
            assert case_fits(document), number
    assert taken > 200


def test_the_schema_refuses_what_the_layout_refuses():
    refused = 0
    for number in range(3000):
        document = whole_numbers(mutated(number))
        if not told_apart(document) or dates_moved(document):
            continue
        takes = models_take(document)
        refused += not takes
        assert case_fits(document) == takes, (number, takes)
    assert refused > 400
