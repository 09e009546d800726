from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from appraise.model.case import DryingClueSeen, PitchReading, Remark, Renewal
from appraise.model.problem import InputError
from appraise.model.span import Span
from appraise.services.case_session import CaseSession
from appraise.services.fields import get, parse, replace_at, shown
from appraise.services.particulars import COMPARABLES, DRYING_CLUES, PITCH_LOG, RECORDS, SECTIONS
from appraise.services.walk import answered, checks_of, first_unfinished, form_rows, grade_given, progress
from appraise.store.document import case_text
from appraise.store.read import parse_case, read_case
from appraise.tables.rows import CheckKind
from tests.helpers import worksheet_cases

FIELDS = {field.path: field for _, fields in SECTIONS for field in fields}


def a_check(tables, kind):
    return next(check.key for check in tables.checks.values() if check.kind is kind and "grand" in check.kinds)


@pytest.fixture
def sheet(tmp_path, tables):
    return CaseSession(tmp_path / "case.toml", worksheet_cases.grand(tables), tables)


def test_grade_replaces_and_clears(sheet, tables):
    key = a_check(tables, CheckKind.GRADED)
    sheet.set_grade(key, 2.5, "seen in daylight")
    sheet.set_grade(key, 3)
    assert grade_given(sheet.case, key).grade == 3
    assert grade_given(sheet.case, key).reason == ""  # it was given for another grade
    assert sum(grade.check == key for grade in sheet.case.grades) == 1
    sheet.set_grade(key, None)
    assert key not in answered(sheet.case)


@pytest.mark.parametrize("grade", [0, 0.5, 2.25, 5.5, float("nan")])
def test_only_the_nine_grades(sheet, tables, grade):
    before = sheet.case
    with pytest.raises(InputError):
        sheet.set_grade(a_check(tables, CheckKind.GRADED), grade)
    assert sheet.case is before


def test_overruling_needs_a_reason(sheet):
    with pytest.raises(InputError, match="reason"):
        sheet.overrule("hammers", 2.0, "  ")
    sheet.overrule("hammers", 2.0, "voiced last week")
    assert [grade.component for grade in sheet.case.grades if grade.component] == ["hammers"]
    sheet.overrule("hammers", None)
    assert not [grade for grade in sheet.case.grades if grade.component]


def test_readings_by_note_replace_only_their_own(sheet):
    sheet.clear("pin_torque")
    for note, value in ((40, 7.4), (41, 6.0), (40, 7.0)):
        sheet.set_reading("pin_torque", value, note=note)
    found = [(reading.note, reading.value) for reading in sheet.case.readings if reading.check == "pin_torque"]
    assert found == [(40, 7.0), (41, 6.0)]
    sheet.set_reading("pin_torque", None, note=40)
    assert [reading.note for reading in sheet.case.readings if reading.check == "pin_torque"] == [41]


def test_what_does_not_fit_changes_nothing(sheet, tables):
    before = sheet.case
    for key, value, note in (
        ("pin_torque", 4000.0, 40),
        ("pin_torque", 7.0, 89),
        ("pin_torque", True, None),
        (a_check(tables, CheckKind.YES_NO), 1.0, None),
        (a_check(tables, CheckKind.RECORD), " ", None),
        (a_check(tables, CheckKind.GRADED), 2.0, None),
    ):
        with pytest.raises(InputError):
            sheet.set_reading(key, value, note=note)
    assert sheet.case is before
    assert not sheet.dirty


def test_undo_and_redo_go_all_the_way(sheet):
    cases = [sheet.case]
    for at in range(50):
        sheet.put(("identity", "serial"), f"no. {at}")
        cases.append(sheet.case)
    for case in reversed(cases[:-1]):
        assert sheet.undo()
        assert sheet.case is case
    assert sheet.undo() is None
    assert not sheet.dirty
    for case in cases[1:]:
        assert sheet.redo()
        assert sheet.case is case
    assert sheet.redo() is None


def test_an_edit_after_undo_forgets_what_was_undone(sheet):
    sheet.put(("identity", "serial"), "a")
    sheet.undo()
    sheet.put(("identity", "serial"), "b")
    assert sheet.redo() is None


def test_an_edit_that_changes_nothing_is_no_edit(sheet):
    sheet.put(("identity", "maker"), sheet.case.identity.maker)
    assert not sheet.dirty
    assert sheet.undo() is None


def test_save_then_read_gives_the_same_case(sheet, tables):
    sheet.save()
    sheet.set_reading("pin_torque", 7.4, note=40)
    sheet.add(("remarks",), Remark("case", "Scratch [on] the lid"), "remark")
    sheet.add(("renewals",), Renewal(("damper_felt",), Span.parse("2001")), "renewal")
    sheet.put(("costs", "holding"), Decimal("120.50"))
    assert sheet.dirty
    sheet.save()
    assert not sheet.dirty
    case, problems = read_case(sheet.path, tables)
    assert not [problem for problem in problems if problem.grave]
    assert case == sheet.case


def test_a_file_changed_by_another_is_noticed(sheet):
    sheet.save()
    assert not sheet.on_disk.changed
    sheet.path.write_text(sheet.path.read_text() + "\n# somebody was here\n")
    assert sheet.on_disk.changed


def test_valuation_follows_the_case_and_is_kept(sheet, tables):
    first = sheet.valuation
    assert sheet.valuation is first
    assert sheet.start is first
    for check in checks_of(tables, sheet.case.identity.kind, "action"):
        if check.kind is CheckKind.GRADED:
            sheet.set_grade(check.key, 5)
    assert sheet.known_valuation is None
    assert sheet.valuation.station("action").grade.mid > first.station("action").grade.mid
    assert sheet.valuation.value.mid <= first.value.mid
    assert sheet.start is first


def test_a_valuation_of_an_older_case_is_not_taken(sheet):
    old, valuation = sheet.case, sheet.valuation
    sheet.put(("identity", "serial"), "other")
    assert not sheet.accept(old, valuation)
    assert sheet.known_valuation is None


def test_progress_counts_answers(sheet, tables):
    walked = progress(sheet.case, tables)
    assert walked["structure"].finished
    assert walked["action"].done == 9
    assert first_unfinished(sheet.case, tables) == "pin_block"


def test_form_has_every_check_of_the_station_once(sheet, tables):
    rows = form_rows(sheet.case, tables, "soundboard", None)
    keys = [row.key for row in rows if row.check is not None]
    assert keys == [check.key for check in checks_of(tables, sheet.case.identity.kind, "soundboard")]
    assert len({row.key for row in rows}) == len(rows)


def test_every_field_reads_and_takes_back_what_it_shows(sheet, tables):
    from appraise.services.fields import as_typed, get

    for field in FIELDS.values():
        text = as_typed(field, sheet.case)
        assert shown(field, sheet.case, tables)
        if text:
            assert parse(field, text, sheet.case, tables) == get(sheet.case, field.path), field.path


def test_a_new_record_holds_no_figure_and_says_what_it_needs(sheet, tables):
    needs = {}
    for records in RECORDS:
        blank = records.blank()
        found = get(sheet.case, records.path)
        beside = replace_at(sheet.case, records.path, (*found, blank))
        for field in records.fields:
            assert shown(field.at(*records.path, len(found)), beside, tables)
            now = get(blank, field.path)
            assert not isinstance(now, float | Decimal | date) or (field.path, now) == (("distance_km",), 0.0)
        needs[records.one] = records.lacking(blank)
    assert needs == {
        "renewal": ["Components"],
        "defect": [],
        "pitch reading": ["Day", "Note", "Deviation"],
        "clue to drying": ["Clue", "Seen"],
        "comparable": ["What it is", "Price", "Day", "Kind of sale", "Built", "General condition"],
        "adjustment": ["Name", "Reason"],
    }


@pytest.mark.parametrize(
    ("path", "text", "message"),
    [
        (("identity", "made"), "yesterday", "1931"),
        (("identity", "made"), "2030", "^found 2030, expected a date up to the inspection"),
        (("assignment", "inspected"), "1990-01-01", ": found .*, expected a da(y|te) up to the inspection, 1990-01-01"),
        (("assignment", "inspected"), "11/20/2026", "2026-11-20"),
        (("assignment", "inspected"), "31.11.2026", "2026-11-20"),
        (("assignment", "inspected"), "20.11.26", "2026-11-20"),  # the century would be a guess
        (("assignment", "inspected"), "", "empty"),
        (("assignment", "reported"), "1990-01-01", "expected a day from the inspection on"),
        (("assignment", "currency"), "euro", "three"),
        (("identity", "compass"), "88.5", "whole"),
        (("identity", "compass"), "3", "not less"),
        (("identity", "overdamper"), "maybe", "expected one of yes, no"),
        (("identity", "player"), "jukebox", "expected one of pneumatic, electronic, silent"),
        (("identity", "last_tuned"), "2030", "expected a date up to the inspection"),
        (("identity", "last_tuned"), "1850", "expected a date after the instrument was made, 1931"),
        (("identity", "stairs"), "61", "not more"),
        (("identity", "owners"), "0", "not less"),
        (("costs", "labour_rate"), "-5", "not less"),
        (("market", "replacement_cost_new"), "48.000", "two ways"),
        (("assignment", "basis"), "robbery", "expected one of"),
    ],
)
def test_particulars_refuse_in_one_line(sheet, tables, path, text, message):
    with pytest.raises(InputError, match=message) as refused:
        parse(FIELDS[path], text, sheet.case, tables)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("name", ["overdamper", "drop_action", "straight_strung"])
def test_a_fact_is_stated_denied_and_left_open_again(sheet, tables, name):
    field = FIELDS[("identity", name)]
    assert shown(field, sheet.case, tables) == "—"
    for text, value, read in (("yes", True, "yes"), ("no", False, "no"), ("", None, "—"), ("no", False, "no")):
        sheet.put(field.path, parse(field, text, sheet.case, tables))
        assert getattr(sheet.case.identity, name) is value
        assert shown(field, sheet.case, tables) == read
    assert parse_case(case_text(sheet.case), tables, file="case.toml")[0] == sheet.case


def test_an_instrument_is_not_built_after_it_was_tuned(sheet, tables):
    made, tuned = FIELDS[("identity", "made")], FIELDS[("identity", "last_tuned")]
    sheet.put(tuned.path, parse(tuned, "2019/2021", sheet.case, tables))
    with pytest.raises(
        InputError, match="identity last tuned: found 2019/2021, expected a date after the instrument was made, 2022"
    ):
        parse(made, "2022", sheet.case, tables)
    sheet.put(tuned.path, parse(tuned, "2026-11-10", sheet.case, tables))
    with pytest.raises(
        InputError, match="identity last tuned: found 2026-11-10, expected a date up to the inspection, 2026-11-09"
    ):
        parse(FIELDS[("assignment", "inspected")], "2026-11-09", sheet.case, tables)


@pytest.mark.parametrize("text", ["2026-11-20", "20.11.2026"])
def test_a_day_is_read_as_it_is_written_on_letters(sheet, tables, text):
    from datetime import date

    assert parse(FIELDS[("assignment", "inspected")], text, sheet.case, tables) == date(2026, 11, 20)


def test_renewal_before_the_instrument_is_refused(sheet, tables):
    field = next(field for field in RECORDS[0].fields if field.path == ("date",)).at("renewals", 0)
    with pytest.raises(InputError, match="expected a date after the instrument was made"):
        parse(field, "1890", sheet.case, tables)


def test_an_instrument_is_not_built_after_its_renewal(sheet, tables):
    """A file that says so is refused when it is read, so that no form may bring it about."""
    with pytest.raises(
        InputError, match=r"renewals \d date: found .*, expected a date after the instrument was made, 2025"
    ):
        parse(FIELDS[("identity", "made")], "2025", sheet.case, tables)


@pytest.mark.parametrize(
    ("name", "text", "message"),
    [
        ("made", "2030", "expected a date before it was sold"),
        ("date", "2030-01-01", "expected a day up to the inspection"),
        ("date", "1700-01-01", "market comparables 1 made: found .*, expected a date before it was sold"),
    ],
)
def test_a_comparable_is_made_then_sold_then_compared(sheet, tables, name, text, message):
    field = next(field for field in COMPARABLES.fields if field.path == (name,)).at("market", "comparables", 0)
    with pytest.raises(InputError, match=message):
        parse(field, text, sheet.case, tables)


def test_notes_are_read_as_ranges(sheet, tables):
    field = next(field for field in RECORDS[1].fields if field.path == ("notes",)).at("remarks", 0)
    assert parse(field, "12, 40-43", sheet.case, tables) == (12, 40, 41, 42, 43)
    for text in ("0", "89", "44-40", "x"):
        with pytest.raises(InputError):
            parse(field, text, sheet.case, tables)


@pytest.mark.parametrize(
    ("path", "text", "value"),
    [
        (("pitch_log", 0, "note"), "C#3", 29),
        (("pitch_log", 0, "note"), "49", 49),
        (("pitch_log", 0, "cents"), "-4,5 cents", -4.5),
        (("pitch_log", 0, "temperature"), "68 °F", 20.0),
        (("pitch_log", 0, "humidity"), "41", 41.0),
        (("pitch_log", 0, "humidity"), "", None),
        (("drying_clues", 0, "seen"), "no", False),
        (("drying_clues", 0, "clue"), "rust", "rust"),
    ],
)
def test_pitch_and_drying_are_filled_in(sheet, tables, path, text, value):
    field = watched(sheet, tables, path)
    assert parse(field, text, sheet.case, tables) == value
    sheet.put(path, parse(field, text, sheet.case, tables))
    assert parse_case(case_text(sheet.case), tables, file="case.toml")[0] == sheet.case


@pytest.mark.parametrize(
    ("path", "text", "message"),
    [
        (("pitch_log", 0, "note"), "H4", "expected a note"),
        (("pitch_log", 0, "note"), "89", "expected one from 1"),
        (("pitch_log", 0, "cents"), "-4 Hz", "expected cents"),
        (("pitch_log", 0, "cents"), "-900", "not less"),
        (("pitch_log", 0, "temperature"), "70", "not more"),
        (("pitch_log", 0, "humidity"), "0.4", "not less"),
        (("pitch_log", 0, "date"), "2030-01-01", "expected a day up to the inspection"),
        (("pitch_log", 0, "date"), "1900-01-01", "expected a day after the instrument was made"),
        (("drying_clues", 0, "clue"), "pins_loose", "in the list already"),
        (("drying_clues", 0, "clue"), "nonsense", "expected one of"),
        (("drying_clues", 0, "seen"), "perhaps", "expected one of"),
    ],
)
def test_pitch_and_drying_refuse_in_one_line(sheet, tables, path, text, message):
    with pytest.raises(InputError, match=message) as refused:
        parse(watched(sheet, tables, path), text, sheet.case, tables)
    assert "\n" not in str(refused.value)


def watched(sheet, tables, path):
    """Put one reading of pitch and two clues into the case, and return the field at a path."""
    first = next(key for key in tables.drying_clues if key != "pins_loose")
    sheet.add(PITCH_LOG.path, PitchReading(sheet.case.assignment.inspected, 49, 0.0), PITCH_LOG.one)
    for clue in (first, "pins_loose"):
        sheet.add(DRYING_CLUES.path, DryingClueSeen(clue, True), DRYING_CLUES.one)
    records = next(one for one in RECORDS if one.path == path[:1])
    return next(field for field in records.fields if field.path == path[2:]).at(*path[:2])


def test_new_dates_reach_the_case(sheet):
    sheet.put(("assignment", "inspected"), date(2026, 12, 1))
    assert sheet.case == replace(sheet.case, assignment=replace(sheet.case.assignment, inspected=date(2026, 12, 1)))
    assert sheet.undo() == "inspected"
