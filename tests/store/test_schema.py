"""What the model declares of the case is whole, and the layout of the file, its forms and its schema follow from it."""

from __future__ import annotations

from dataclasses import MISSING, fields

import pytest

from appraise.model import case as model
from appraise.model.case import Case
from appraise.model.declaration import HalfStep, NoteNumber, Number, Quantity, declared, in_form, parts
from appraise.services.fields import form
from appraise.services.particulars import CLAIM, CLAIM_RECORDS, RECORDS, SECTIONS
from appraise.store import sections
from appraise.store.case_schema import case as published
from appraise.tables.choices import choices
from appraise.tables.load import load_tables

RECORDS_OF_THE_CASE = [one.type for one in parts(Case).values()]

EARLIER = {("remarks",): {"photo", "sha256"}}
"""Keys that are read as earlier layouts have them, and never written."""

every_record = pytest.mark.parametrize("record", RECORDS_OF_THE_CASE, ids=lambda record: record.__name__)


def test_every_part_of_the_case_is_a_table_of_the_file():
    assert {*sections.SECTIONS, *sections.LISTS} == set(parts(Case))
    assert set(sections.TOP_LEVEL) == {item.name for item in fields(model.Case)} | {"schema"}


@pytest.mark.parametrize(
    ("path", "table"),
    {**sections.SECTIONS, **sections.LISTS}.items(),
    ids=lambda part: ".".join(part) if isinstance(part, tuple) else part.record.__name__,
)
def test_keys_of_a_table_are_the_fields_of_its_record(path, table):
    lists = {inner[-1] for inner in sections.LISTS if inner[:-1] == path}
    names = {item.name: item for item in fields(table.record) if item.name not in lists}
    assert set(table.keys) == set(names) | EARLIER.get(path, set())
    for name, item in names.items():
        assert table.keys[name].missing == (item.default is MISSING), name


@every_record
def test_every_required_key_says_what_belongs_there(record):
    assert all(one.expected for one in declared(record).values() if one.missing)


@every_record
def test_every_number_that_can_run_away_has_bounds(record):
    """Notes of a remark and of a reading are compared with the compass, revisions of a list with its length."""
    compared = {"notes", "note"}
    for one in declared(record).values():
        if one.type in (int, float) and one.name not in compared:
            assert isinstance(one.rule, Number | Quantity | HalfStep | NoteNumber), one.name


@every_record
def test_every_form_has_each_field_once_behind_the_one_it_follows(record):
    names = [one.name for one in in_form(record)]
    assert sorted(names) == sorted(
        one.name for one in declared(record).values() if one.form is not None and not one.record
    )
    for one in in_form(record):
        if one.form.after:
            assert names.index(one.form.after) < names.index(one.name), one.name


@every_record
def test_every_row_is_of_something_there_is(record):
    for one in declared(record).values():
        if one.row is not None and one.row.of not in ("photos", "locales"):
            for kind in (None, *model.Kind):
                assert choices(one.row.of, load_tables(), kind), one.name


def test_a_choice_with_labels_labels_what_it_takes():
    for record in RECORDS_OF_THE_CASE:
        for one in declared(record).values():
            if one.form is not None and one.form.labels:
                keys = ["yes", "no"] if one.type is bool else [word.value for word in one.type]
                assert [key for key, _ in one.form.labels] == keys, one.name


def test_every_field_of_a_form_is_a_key_of_the_file_and_of_the_schema():
    properties = published()["properties"]
    count = 0
    for path, one in parts(Case).items():
        held = properties
        for at, step in enumerate(path):
            held = held[step]["properties"] if not one.many or at < len(path) - 1 else held[step]["items"]["properties"]
        for field in form(one.type):
            assert field.path[-1] in held, (path, field.path)
            count += 1
    shown = [*(field for _, items in SECTIONS for field in items), *CLAIM]
    shown += [field for records in (*RECORDS, *CLAIM_RECORDS) for field in records.fields]
    assert count == len(shown) > 120
