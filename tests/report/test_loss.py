"""The page, the object and the dossier of a loss: the same figures in all three, hostile text literal."""

from __future__ import annotations

import hashlib
import io
import json
import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest
from markdown_it import MarkdownIt
from rich.console import Console

from appraise.engine.valuation import value_case
from appraise.model.case import Case, Market, Origin, PhotoFile, Remark
from appraise.model.loss import Terms
from appraise.model.problem import InputError
from appraise.report.cautions import PLATE, applicable
from appraise.report.document import FillInLines, PhotoGrid, Table
from appraise.report.json_text import dumps
from appraise.report.kinds import ReportKind, document_for
from appraise.report.loss import parts
from appraise.report.loss.compared import DEFER, NO_LOSS, Compared, StateFile
from appraise.report.loss.dossier import SIGNED, dossier
from appraise.report.loss.page import loss_page
from appraise.report.markdown import render
from appraise.report.outputs.loss import LOSS
from appraise.services.loss import Consignment, compared, state_of
from appraise.store.read import read_case
from appraise.tables.load import load_tables
from tests.helpers.golden import golden
from tests.helpers.report_cases import HOSTILE_TEXT
from tests.helpers.report_text import words_of

FOLDER = Path(__file__).parents[2] / "sample_cases"
TABLES = load_tables()
TERMS = Terms(sum_insured=Decimal(15000), excess=Decimal(250))


def sample(name: str) -> Case:
    case, _ = read_case(FOLDER / f"removal_{name}.toml", TABLES, today=date(2026, 11, 25))
    assert case is not None
    return case


def found(before: Case, after: Case, terms: Terms = TERMS) -> Compared:
    states = (StateFile("before.toml", "ab" * 32, before), StateFile("after.toml", "cd" * 32, after))
    return compared(*states, TABLES, terms=terms, consignment=Consignment(480.0, 4.0), draws=300)


@cache
def moved() -> Compared:
    item = found(sample("before"), sample("after"))
    # Any row of any table changes the version; a snapshot need not know.
    return replace(item, loss=replace(item.loss, tables_version="0" * 12))


@cache
def hostile() -> Compared:
    """Hostile words wherever a person writes."""
    text = HOSTILE_TEXT.replace("\x1b", "").replace("\u202e", "")
    states = []
    for name in ("before", "after"):
        case = sample(name)
        names = dict.fromkeys(("maker", "model", "serial", "made_evidence"), text)
        asked = dict.fromkeys(("purpose", "place", "assessor", "client", "intended_users", "limits"), text)
        remarks = (*case.remarks, Remark("finish", text, text, Origin.UNKNOWN, (3,), f"{name}|`x`.jpg", "ef" * 32))
        identity, assignment = replace(case.identity, **names), replace(case.assignment, **asked)
        renewals = tuple(replace(each, by=text) for each in case.renewals)
        states.append(
            replace(case, identity=identity, assignment=assignment, remarks=remarks, renewals=renewals, invented=text)
        )
    states[1] = replace(states[1], remarks=(*states[1].remarks, Remark("plate", text, origin=Origin.TRANSIT)))
    return found(*states)


def printed(item: Compared, width: int = 120) -> str:
    out = io.StringIO()
    console = Console(file=out, width=width, markup=False, emoji=False, highlight=False)
    for part in loss_page(item):
        console.print(part)
    return out.getvalue()


def test_the_page(text_snapshot):
    assert printed(moved()) == text_snapshot


def test_the_dossier(markdown_snapshot):
    assert render(dossier(moved())) == markdown_snapshot


def test_damage_of_the_move_that_counts_for_nothing_stands_in_the_summary():
    before, after = sample("before"), sample("after")
    worse = {part.component for part in moved().loss.components}
    place = next(key for key in TABLES.components if key not in worse)
    told = Remark(place, "torn off", origin=Origin.TRANSIT)
    item = found(before, replace(after, remarks=(*after.remarks, told)))
    assert item.place(place) in parts.uncounted(item)
    summary = render(dossier(item)).split("## The instrument")[0]
    assert "| Attributed to the move, not counted | " in summary
    assert "Attributed to the move, not counted" not in render(dossier(moved()))


def test_the_delivery_stands_in_the_timeline():
    item = replace(moved(), delivered=date(2026, 10, 23))
    lines = render(dossier(item)).split("## Timeline")[1].split("## ")[0]
    assert "| 23 October 2026 | delivered |" in lines


def test_the_object(json_snapshot):
    assert golden(dumps(LOSS.dump(moved()))) == json_snapshot


@pytest.mark.parametrize(
    ("terms", "last"),
    [
        (TERMS, None),
        (Terms(sum_insured=Decimal(90000), excess=Decimal(100)), None),
        (Terms(excess=Decimal(50000)), Decimal(0)),
        (Terms(sum_insured=Decimal(500), value_at_risk=Decimal(400)), Decimal(500)),
    ],
)
def test_a_pocket_calculator_arrives_at_what_is_payable(terms, last):
    """Every step of the working is worked again with the very figures shown, to a cent."""
    item = found(sample("before"), sample("after"), terms)
    text = parts.working(item).replace(",", "")
    steps = re.findall(r"[\d.]+(?: [×/−] [\d.]+)* = −?[\d.]+", text)
    for step in steps:
        sum_, shown = step.split(" = ")
        answer = eval(re.sub(r"([\d.]+)", r"Decimal('\1')", sum_).replace("×", "*").replace("−", "-"))  # noqa: S307 - figures only
        assert answer == pytest.approx(Decimal(shown.replace("−", "-")), abs=Decimal("0.02"))
    assert Decimal(re.findall(r"[\d.]+", text)[0]) == pytest.approx(
        Decimal(item.proposed.loss.mid), abs=Decimal("0.01")
    )
    payable = Decimal(re.findall(r"[\d.]+", text)[-1])
    assert payable == pytest.approx(Decimal(item.proposed.payable.mid), abs=Decimal("0.01"))
    assert last is None or payable == last
    assert len(steps) == (terms.sum_insured == 15000) + (terms.excess is not None)
    assert text in render(dossier(item)).replace(",", "")


def test_nothing_is_worked_without_a_policy():
    assert parts.working(found(sample("before"), sample("after"), Terms())) == ""


@pytest.mark.parametrize("item", [moved, hostile])
def test_the_dossier_is_whole(item):
    document = dossier(item())
    titles = [section.title for section in document.sections]
    for wanted in (
        "Summary", "The instrument and the assignment", "Timeline", "Defects", "Grades and readings that changed",
        "Parts that got worse", "Repair", "Measures and alternatives", "From the loss to the amount payable", "Photos",
        "Rules of carriage", "Notice dates and time limits, from the delivery", "Fresh damage and old", "Later",
        "Cautions", "Assumptions", "Statement", "Chain of custody", "How both values came about",
    ):  # fmt: skip
        assert wanted in titles
    for section in document.sections:
        for block in section.blocks:
            if isinstance(block, Table):
                assert {len(row) for row in block.rows} == {len(block.columns)}, section.title


def test_hostile_text_is_literal():
    text = render(dossier(hostile()))
    tokens = MarkdownIt("commonmark").enable("table").parse(text)
    kinds = {child.type for token in tokens for child in token.children or ()}
    assert kinds <= {"text", "softbreak", "text_special"}
    assert "html_block" not in {token.type for token in tokens}
    plain = "".join(child.content for token in tokens for child in token.children or ())
    assert "[bold]d[/bold] &amp;" in plain
    assert "[bold]d[/bold] &amp;" in re.sub(r"\s+", " ", printed(hostile(), 4000))
    assert "[bold]d[/bold] &amp;" in json.dumps(LOSS.dump(hostile()))


def test_figures_agree():
    item = moved()
    page, text, value = printed(item), render(dossier(item)), LOSS.dump(item)
    middle = round(float(value["loss"]["mid"]), -1)
    assert f"EUR {middle:,.0f}" in page
    assert f"EUR {middle:,.0f}" in text
    assert value["scenarios"][0]["loss"] == value["loss"]
    for amount in ("3,998.40", "960.00", "2,480.00", "634.93"):
        assert amount in page
        assert amount in text
        assert amount.replace(",", "") in json.dumps(value)


def test_every_rule_defers():
    text = render(dossier(moved()))
    assert text.count(DEFER) == 1
    # At the head of every table of rules, which stands on every page of it.
    assert "Source; check the current edition and the policy" in text
    assert " ".join(printed(moved()).split()).count(DEFER) == 1
    assert LOSS.dump(moved())["carriage"]["note"] == DEFER


def test_photo_pairs():
    shot = {"place": "finish", "text": "Scratch at the tail, photo taken"}
    before, after = (sample(name) for name in ("before", "after"))
    before = replace(before, remarks=(*before.remarks, Remark(**shot, photos=("a.jpg",))))
    after = replace(after, remarks=(*after.remarks, Remark(**shot, photos=("b.jpg",))))
    before = replace(before, photos=(*before.photos, PhotoFile("a.jpg", "12" * 32)))
    item = found(before, after)
    (photo,) = (each for each in LOSS.dump(item)["photos"] if each["place"] == "finish")
    assert photo == {
        "place": "finish",
        "before": {"file": "a.jpg", "sha256": "12" * 32, "taken": None, "problem": "not looked for"},
        "after": {"file": "b.jpg", "sha256": None, "taken": None, "problem": "not looked for"},
    }
    text = render(dossier(item))
    caption = "kept: Finish: Scratch at the tail, photo taken"
    assert f"- Before: {caption}: a.jpg · capture time not recorded · SHA-256 {'12' * 32} (not looked for)" in text
    assert f"- After: {caption}: b.jpg · no SHA-256 recorded (not looked for)" in text


PNG = b"\x89PNG\r\n\x1a\n" + b"\0" * 20


def pictured(folder: Path, before: dict[str, str], after: dict[str, str]) -> Compared:
    """Compare the pair, its own photos left out and one more remark in each, in a folder where photos are looked up."""
    states = []
    for name, photo in (("before", before), ("after", after)):
        case = sample(name)
        shot = Remark("finish", "Scratch at the tail, photo taken", photos=(photo["photo"],))
        plain = (replace(remark, photos=()) for remark in case.remarks)
        case = replace(case, remarks=(*plain, shot), photos=(PhotoFile(photo["photo"], photo.get("sha256", "")),))
        states.append(StateFile(f"{name}.toml", "ab" * 32, case, folder=folder))
    return compared(*states, TABLES, terms=TERMS, consignment=Consignment(), draws=100)


def test_photos_stand_in_pairs_where_they_are_what_was_recorded(tmp_path):
    (tmp_path / "a.png").write_bytes(PNG)
    (tmp_path / "b.png").write_bytes(PNG + b"later")
    digest = hashlib.sha256(PNG).hexdigest()
    item = pictured(tmp_path, {"photo": "a.png", "sha256": digest}, {"photo": "b.png"})
    plates = next(
        block for section in dossier(item).sections for block in section.blocks if isinstance(block, PhotoGrid)
    )
    ((first, second),) = plates.rows
    assert (first.path, first.problem) == (tmp_path / "a.png", "")
    assert first.caption.startswith("Before: kept: Finish: Scratch")
    assert (second.path, second.problem, second.sha256) == (tmp_path / "b.png", "", "")


def test_the_photos_of_the_sample_pair_are_there_and_what_was_recorded():
    files = [FOLDER / f"removal_{name}.toml" for name in ("before", "after")]
    states = (state_of(file, sample(file.stem.removeprefix("removal_")), file.read_bytes()) for file in files)
    item = compared(*states, TABLES, terms=TERMS, consignment=Consignment(), draws=100)
    shown = [photo for pair in item.photos for photo in (pair.before, pair.after) if photo.file]
    assert len(shown) == len(list((FOLDER / "photos").iterdir())) == 4
    assert all(photo.path is not None and photo.sha256 and not photo.problem for photo in shown)
    kept = next(pair for pair in item.photos if pair.outcome == "kept")
    assert kept.before.path != kept.after.path


@pytest.mark.parametrize(
    ("photo", "words"),
    [
        ({"photo": "gone.png"}, "found no such file"),
        ({"photo": "a.png", "sha256": "0" * 64}, "expected the photo whose SHA-256 is 000000000000"),
        ({"photo": "words.txt"}, "found no picture"),
        ({"photo": "../a.png"}, "found a link out of the folder"),
        ({"photo": "link.png"}, "found a link out of the folder"),
        ({"photo": "folder"}, "found a folder"),
    ],
)
def test_a_photo_that_cannot_be_shown_is_told_and_the_rest_is_made(tmp_path, photo, words):
    home = tmp_path / "home"
    home.mkdir()
    (home / "a.png").write_bytes(PNG)
    (home / "folder").mkdir()
    (home / "words.txt").write_text("no picture")
    (tmp_path / "outside.png").write_bytes(PNG)
    (home / "link.png").symlink_to(tmp_path / "outside.png")
    item = pictured(home, photo, {"photo": "a.png"})
    (pair,) = item.photos
    assert pair.before.path is None
    assert words in pair.before.problem
    assert pair.after.path is not None
    (line,) = [line for line in render(dossier(item)).splitlines() if line.startswith("- Before: kept: Finish")]
    assert words in line


def delivered(on: date) -> Compared:
    states = (StateFile("b.toml", "ab" * 32, sample("before")), StateFile("a.toml", "cd" * 32, sample("after")))
    return compared(*states, TABLES, terms=TERMS, consignment=Consignment(delivered=on), draws=100)


def test_periods_are_counted_from_the_delivery():
    item = delivered(date(2026, 10, 23))
    text = render(dossier(item))
    assert "Counted from the delivery on 23 October 2026; open or passed as of 5 November 2026." in text
    assert "| German removals, HGB | notice of concealed damage | 6 November 2026 | open |" in text
    assert "| CMR | notice of concealed damage | 31 October 2026 (public holidays" in text
    assert "5 November 2026" in printed(item)
    found_ = {(each["rule"], each["for"]): each for each in LOSS.dump(item)["deadlines"]}
    assert found_["hgb_451f", "notice of apparent damage"]["passed"] is True
    assert "no time limit is counted" in render(dossier(moved()))


@pytest.mark.parametrize("on", [date(2026, 10, 5), date(2026, 11, 6)])
def test_a_delivery_outside_the_two_inspections_is_refused(on):
    with pytest.raises(InputError, match="expected a day from 2026-10-06 to 2026-11-05"):
        delivered(on)


def test_practice_is_marked_as_such():
    text = render(dossier(moved()))
    assert "Common practice, no source" in text
    assert "Bright wood, sharp edges" in text
    for row in TABLES.move_steps.values():
        assert (row.text.split(",")[0] in text) == (row.when == "later"), row.key  # the rest is over
    assert {row.source for row in (*TABLES.move_steps.values(), *TABLES.damage_signs.values())} == {"none"}


def test_nothing_lost_is_said():
    item = found(sample("before"), sample("before"))
    assert NO_LOSS in printed(item)
    assert NO_LOSS in render(dossier(item))


def test_the_statement_is_never_signed():
    document = dossier(moved())
    (statement,) = [section for section in document.sections if section.title == "Statement"]
    assert statement.blocks[-1] == FillInLines(tuple(SIGNED))
    assert statement.whole
    assert {label.split(",")[0] for label in SIGNED} >= {"Assessor", "Owner", "Carrier"}


@pytest.mark.parametrize("name", ["labour_rate", "replacement_cost_new"])
def test_what_cannot_be_known_is_a_dash_and_null(name):
    before, after = sample("before"), sample("after")
    if name == "labour_rate":
        after = replace(after, costs=replace(after.costs, labour_rate=None))
    else:
        after = replace(after, market=Market())
    item = found(before, after)
    fall = ("diminution", "Diminution in value: before less after, or repair less betterment if more")
    key, label = ("repair", "Repair") if name == "labour_rate" else fall
    assert LOSS.dump(item)["scenarios"][0][key] is None
    assert f"| {label} | – | – |" in render(dossier(item))
    assert printed(item)


def test_a_claim_warns_of_the_plate_whatever_its_grade():
    """A jolt can crack it unseen, and a job of the claim may raise the pitch; without such damage nothing warns."""
    item = moved()
    assert any(remark.origin is Origin.TRANSIT for remark in item.after.case.remarks)
    assert PLATE in item.cautions[0].components
    told = " ".join(words_of(document_for(ReportKind.LOSS, item)))
    assert item.cautions[0].text in told
    assert told.endswith("Local codes and licensed practice come first.")
    kept = tuple(replace(remark, origin=Origin.WEAR) for remark in item.after.case.remarks)
    worn = replace(item.after.case, remarks=kept)
    plain = applicable(worn, item.tables, value_case(worn, item.tables, draws=64))
    assert all(PLATE not in row.components for row in plain)
