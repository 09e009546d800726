"""The inspection on arrival: as before is a finding of today, ticks of remarks, and that nothing is copied unseen."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from appraise.model.case import Origin, Reading
from appraise.model.loss import RemarkClass
from appraise.model.problem import InputError, Unreadable
from appraise.services.arrival import AS_BEFORE, Arrival, arrival_of, begin, remembering, set_before, signs_at
from appraise.services.case_session import CaseSession
from appraise.services.loss import of_worksheet
from appraise.services.walk import answered, form_rows, readings_of
from appraise.store.baseline import freeze
from appraise.store.read import read_case
from appraise.tables.load import load_tables

TABLES = load_tables()
BEFORE = Path(__file__).parents[2] / "sample_cases" / "removal_before.toml"
ARRIVED = date(2026, 11, 3)


@pytest.fixture
def sheet(tmp_path) -> CaseSession:
    path = tmp_path / "grand.toml"
    path.write_bytes(BEFORE.read_bytes())
    case, _ = read_case(path, TABLES)
    assert case is not None
    found = CaseSession(path, case, TABLES)
    found.change(remembering(case, freeze(path, case, "removal")), "setting")
    return found


@pytest.fixture
def arrival(sheet) -> Arrival:
    found = arrival_of(sheet)
    assert found is not None
    return found


def test_beginning_makes_room_and_can_be_taken_back(sheet, arrival):
    assert not arrival.begun(sheet.case)
    begin(sheet, ARRIVED, "A. Later")
    assert arrival.begun(sheet.case)
    assert (sheet.case.grades, sheet.case.readings, sheet.case.remarks) == ((), (), ())
    assert sheet.case.assignment.inspected == ARRIVED
    assert (sheet.case.assignment.place, sheet.case.assignment.limits) == ("", ""), "those of the earlier visit"
    assert sheet.case.market == arrival.before.market
    sheet.undo()
    assert sheet.case.grades == arrival.before.grades


def test_beginning_before_the_earlier_state_is_refused(sheet):
    with pytest.raises(InputError, match="inspected before 2026-10-06"):
        begin(sheet, date(2026, 10, 5), "A. Later")


def test_beginning_without_an_earlier_state_is_refused(sheet):
    sheet.undo()
    with pytest.raises(InputError, match="keep the condition before the move first"):
        begin(sheet, ARRIVED, "A. Later")


@pytest.mark.parametrize("check", ["lyre", "plate_crack", "crown", "plate_serial_record", "pin_torque", "legs_grand"])
def test_as_before_is_a_finding_of_today(sheet, arrival, check):
    begin(sheet, ARRIVED, "A. Later")
    assert check not in answered(sheet.case)
    arrival.confirm(sheet, check)
    assert check in answered(sheet.case)
    for now, was in zip(readings_of(sheet.case, check), readings_of(arrival.before, check), strict=True):
        assert (now.value, now.unit, now.note, now.place) == (was.value, was.unit, was.note, was.place)
        assert now.remark == f"{was.remark} {AS_BEFORE}".strip()
    for now in sheet.case.grades:
        assert now.reason.endswith(AS_BEFORE)
    once = sheet.case
    arrival.confirm(sheet, check)
    assert sheet.case == once
    sheet.undo()
    assert check not in answered(sheet.case)


def test_what_was_not_looked_at_cannot_be_as_before(sheet, arrival):
    begin(sheet, ARRIVED, "A. Later")
    with pytest.raises(InputError, match="not inspected before the move"):
        arrival.confirm(sheet, "bridge_roll")
    with pytest.raises(InputError, match="stand on a check"):
        arrival.confirm_overruling(sheet, "plate")


def test_rows_show_how_it_was_and_what_got_worse(sheet, arrival):
    begin(sheet, ARRIVED, "A. Later")
    sheet.set_grade("legs_grand", 4.5)
    arrival.confirm(sheet, "casters")
    plain = form_rows(sheet.case, TABLES, "case", (sheet.case, sheet.valuation))
    rows = {row.key: row for row in arrival.beside(plain)}
    legs, casters, scratches = rows["legs_grand"], rows["casters"], rows["scratches"]
    assert (legs.was, legs.was_grade, legs.grade, legs.worse) == ("Nearly new", 1.5, 4.5, True)
    assert (casters.was, casters.answer, casters.worse) == ("Sound", "Sound", False)
    assert (scratches.was, scratches.answer, scratches.worse) == ("2", "", False)
    assert rows["component.legs_and_casters"].worse
    assert all(row.was == "" for row in plain)


def test_the_detail_tells_the_earlier_words(sheet, arrival):
    begin(sheet, ARRIVED, "A. Later")
    lines = arrival.told(TABLES.checks["legs_grand"], sheet.case)
    assert lines == (
        "Before, 6 October 2026: grade 1.5, Nearly new. Bolts tight, plates flat.",
        "Space: inspected again, as before; on to the next",
    )
    arrival.confirm(sheet, "legs_grand")
    assert len(arrival.told(TABLES.checks["legs_grand"], sheet.case)) == 1


def test_ticks_of_the_earlier_remarks(sheet, arrival):
    begin(sheet, ARRIVED, "A. Later")
    assert [arrival.became(sheet.case, number) for number in (1, 2, 3)] == [None, None, None]
    for number, became in ((1, RemarkClass.KEPT), (2, RemarkClass.WORSE), (3, RemarkClass.MENDED)):
        arrival.tick(sheet, number, became)
        assert arrival.became(sheet.case, number) is became
    kept, worse = sheet.case.remarks
    assert (kept.earlier, kept.worse, kept.origin, kept.photos) == (1, False, Origin.BEFORE, ())
    assert (worse.earlier, worse.worse, worse.origin) == (2, True, Origin.UNKNOWN)
    arrival.tick(sheet, 2, RemarkClass.KEPT)
    assert sheet.case.remarks[-1].origin is Origin.BEFORE
    arrival.tick(sheet, 2, RemarkClass.WORSE)
    worse = sheet.case.remarks[-1]
    said = tuple(replace(each, origin=Origin.TRANSIT) if each is worse else each for each in sheet.case.remarks)
    sheet.change(replace(sheet.case, remarks=said), "origin")
    arrival.tick(sheet, 2, RemarkClass.WORSE)
    assert sheet.case.remarks[-1].origin is Origin.TRANSIT
    assert sheet.case.earlier_state.mended == (3,)
    arrival.tick(sheet, 3, RemarkClass.KEPT)
    assert (sheet.case.earlier_state.mended, len(sheet.case.remarks)) == ((), 3)
    arrival.tick(sheet, 1, None)
    assert arrival.became(sheet.case, 1) is None
    sheet.save()
    again, problems = read_case(sheet.path, TABLES)
    assert problems == []
    assert again == sheet.case


def test_what_got_worse_of_an_old_mark_is_not_left_out_unasked(sheet, arrival):
    begin(sheet, ARRIVED, "A. Later")
    scratches = next(n for n, remark in enumerate(arrival.before.remarks, 1) if remark.place == "finish")
    sheet.change(replace(sheet.case, readings=(Reading("scratches", 9.0),)), "scratches")
    arrival.tick(sheet, scratches, RemarkClass.WORSE)
    loss = of_worksheet(sheet.path, sheet.case, TABLES).loss
    assert [(part.component, part.origin) for part in loss.components] == [("finish", Origin.UNKNOWN)]
    assert loss.scenarios[-1].components == ("finish",)
    assert loss.scenarios[-1].loss.mid > 0.0


def test_the_outcome_goes_by_the_ticks(sheet, arrival):
    begin(sheet, ARRIVED, "A. Later")
    for number, became in ((1, RemarkClass.KEPT), (2, RemarkClass.WORSE), (3, RemarkClass.MENDED)):
        arrival.tick(sheet, number, became)
    item = of_worksheet(sheet.path, sheet.case, TABLES)
    assert item.remembered is not None
    assert [(line.outcome, line.ticked) for line in item.loss.remarks] == [
        (RemarkClass.KEPT, True),
        (RemarkClass.WORSE, True),
        (RemarkClass.MENDED, True),
    ]


def test_setting_writes_the_copy_and_the_case(tmp_path):
    path = tmp_path / "grand.toml"
    path.write_bytes(BEFORE.read_bytes())
    kept, wrong = set_before(path, TABLES, " removal ")
    assert wrong == ""
    again, problems = read_case(path, TABLES)
    assert problems == []
    assert again.earlier_state == kept
    assert kept.purpose == "removal"
    with pytest.raises(InputError, match="found an earlier state of 2026-10-06 in it"):
        set_before(path, TABLES, "x")


def test_a_copy_that_changes_while_the_worksheet_is_open_is_found(sheet, arrival):
    assert arrival_of(sheet) is arrival
    copy = sheet.path.with_name(sheet.case.earlier_state.file)
    copy.chmod(0o644)
    copy.write_bytes(copy.read_bytes() + b"\n")
    with pytest.raises(Unreadable, match="found another content"):
        arrival_of(sheet)


@pytest.mark.parametrize(("place", "words"), [("plate", "Grey granular iron"), ("dampers", "One group of neighbours")])
def test_signs_are_told_at_a_component_and_at_its_station(sheet, place, words):
    assert any(words in line for line in signs_at(sheet.case, TABLES, place))
