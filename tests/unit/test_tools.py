"""The declarations of the measuring tools: what options, form and files are made from holds together."""

from __future__ import annotations

from pathlib import Path

import pytest

import appraise.services.instruments as package
from appraise.cli.parser import build_parser
from appraise.model.case import Kind
from appraise.model.quantities import Units
from appraise.services.instruments.tools import BESIDE_A_CASE, TOOLS, tool

FOLDER = Path(package.__file__).parent


def test_every_module_with_a_tool_is_listed():
    declared = {path.stem for path in FOLDER.glob("*.py") if "\nTOOL = Tool(" in path.read_text(encoding="utf-8")}
    assert declared == set(TOOLS)
    assert set(BESIDE_A_CASE) < set(TOOLS)
    assert all(tool(name).key == name for name in TOOLS)


@pytest.mark.parametrize("name", TOOLS)
def test_a_field_is_an_option_or_stands_in_the_form(name, tables):
    fields = tool(name).fields
    assert len({field.key for field in fields}) == len(fields)
    for field in fields:
        assert field.help or field.label
        assert bool(field.label) == bool(field.hint)
        assert not field.row or field.row in tables.reading_ranges
        if field.row and field.unit:
            assert tables.reading_ranges[field.row].unit == field.unit


@pytest.mark.parametrize("name", TOOLS)
def test_options_are_the_fields_in_their_order(name):
    commands = build_parser(("measure",))._subparsers._group_actions[0].choices
    parser = commands["measure"]._subparsers._group_actions[0].choices[name]
    wanted = [field.key for field in tool(name).fields if field.help]
    assert [action.dest for action in parser._actions if action.dest != "help"][: len(wanted)] == wanted


@pytest.mark.parametrize("name", BESIDE_A_CASE)
def test_a_form_has_a_field_to_type_in_or_a_check_to_go_to(name, tables):
    one = tool(name)
    assert one.form or one.of_case
    assert all(key in tables.checks for key in one.feeds)
    for kind in Kind:
        assert not one.feeds or any(kind in tables.checks[key].kinds for key in one.feeds)


def test_a_number_alone_in_the_form_is_in_the_units_of_the_case():
    length = next(field for field in tool("string").form if field.key == "length")
    assert length.start_in(Units.METRIC) == "400 mm"
    assert length.start_in(Units.INCH) == "15.75 in"
    assert length.meant("16", Units.INCH) == "16 in"
    assert length.meant("400 mm", Units.INCH) == "400 mm"
    assert length.hint_in(Units.INCH).endswith("a number alone is in in")
