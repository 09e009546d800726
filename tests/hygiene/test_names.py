"""Every name that a person meets, in one list, to be read as a practitioner would: is any set of them anybody's own?

The list is a snapshot, so that a new name shows in the change that brings it.
"""

from __future__ import annotations

import argparse
import importlib
import inspect
import pkgutil
from dataclasses import fields
from pathlib import Path

import pytest
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode
from textual.screen import Screen

import appraise
from appraise.cli.diagnostics import ExitCode
from appraise.cli.parser import build_parser
from appraise.cli.schema import SCHEMAS, schema
from appraise.commands import COMMANDS, ENTRY_KEYS, NOTE_KEYS, SCOPES
from appraise.model.case import STATION_LABELS, Extent, Kind, Origin
from appraise.model.ranking import COURSES
from appraise.services.instruments.tools import BESIDE_A_CASE, tool
from appraise.services.particulars import RECORDS, SECTIONS
from appraise.store.sections import LISTS
from appraise.store.sections import SECTIONS as FILE_SECTIONS
from appraise.tables.layout import LAYOUTS
from appraise.tables.rows import CheckKind, Standing, Tables
from appraise.themes import ORDER
from tests.helpers.literals import literals

PACKAGE = Path(appraise.__file__).parent


class Names(SingleFileSnapshotExtension):
    """One text file."""

    _write_mode = WriteMode.TEXT
    file_extension = "txt"


def _options(parser: argparse.ArgumentParser):
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for inner in action.choices.values():
                yield from _options(inner)
        elif not isinstance(action, argparse._HelpAction):
            names = ", ".join(action.option_strings) or "argument"
            choices = f" {{{', '.join(map(str, action.choices))}}}" if action.choices else ""
            yield f"{parser.prog}: {names} {action.metavar or ''}{choices}".rstrip()


def _screens():
    for item in pkgutil.iter_modules([str(PACKAGE / "screens")]):
        module = importlib.import_module(f"appraise.screens.{item.name}")
        for name, kind in inspect.getmembers(module, inspect.isclass):
            if issubclass(kind, Screen) and kind.__module__ == module.__name__:
                title = getattr(kind, "PLACE", "") or getattr(kind, "TITLE", "") or ""
                yield f"{name}: {title}".rstrip(": ")


def _literals(*packages: str):
    """Yield every text in the code of some packages."""
    for package in packages:
        for path in sorted((PACKAGE / package).rglob("*.py")):
            yield from literals(path)


def _labels():
    """Yield what looks like words for people in screens and widgets."""
    for text in _literals("screens", "widgets"):
        words = text[:1].isupper() and any(letter.islower() for letter in text) and "\n" not in text
        if words and not text.isidentifier():
            yield text.strip()


def _glyphs():
    yield from {
        letter
        for text in _literals("screens", "widgets", "report", "cli", "services")
        for letter in text
        if ord(letter) > 126
    }
    forms = (*(items for _, items in SECTIONS), *(group.fields for group in RECORDS))
    yield from (letter for items in forms for item in items for letter in item.label + item.help if ord(letter) > 126)


def _json_keys(node):
    if isinstance(node, dict):
        yield from node.get("properties", {})
        for inner in node.values():
            yield from _json_keys(inner)
    elif isinstance(node, list):
        for inner in node:
            yield from _json_keys(inner)


def names() -> dict[str, list[str]]:
    """Return every name, by what it names."""
    conditions = importlib.import_module("appraise.tables.load").load_tables()
    return {
        "commands and options": list(_options(build_parser())),
        "exit codes": [f"{code.value} {code.name}" for code in ExitCode],
        "screens": sorted(set(_screens())),
        "places on the help page": [f"{key}: {label}" for key, label in SCOPES.items()],
        "commands of the worksheet": [f"{item.keys}: {item.label} ({item.id})" for item in COMMANDS],
        "keys for findings": [key for key, _ in (*ENTRY_KEYS, *NOTE_KEYS)],
        "stations": [f"{key}: {label}" for key, label in STATION_LABELS.items()],
        "instruments": [f"{name}: {tool(name).label}" for name in BESIDE_A_CASE],
        "fields": [f"{title.strip()}: {item.label.strip()}" for title, items in SECTIONS for item in items],
        "records": [f"{group.title}: {item.label.strip()}" for group in RECORDS for item in group.fields],
        "words of state": [
            f"{kind.__name__}: {', '.join(item.value for item in kind)}"
            for kind in (Kind, Extent, Origin, CheckKind, Standing)
        ],
        "courses": [f"{key}: {label}" for key, label in COURSES.items()],
        "grades": [f"{row.key}: {row.label}" for row in conditions.condition_classes.values()],
        "colours": list(ORDER),
        "tables": [item.name for item in fields(Tables) if item.name != "version"],
        "columns of tables": sorted({f"{layout.name}: {', '.join(layout.columns)}" for layout in LAYOUTS}),
        "keys of the case file": [
            f"{'.'.join(path)}: {', '.join(model.keys)}" for path, model in (*FILE_SECTIONS.items(), *LISTS.items())
        ],
        "keys of the JSON": [
            f"{name}: {', '.join(sorted(set(_json_keys(schema(name)))))}" for name in SCHEMAS if name != "case"
        ],
        "words on screens": sorted(set(_labels())),
        "signs": ["".join(sorted(set(_glyphs())))],
    }


@pytest.fixture
def listed() -> str:
    return "\n\n".join(f"# {title}\n" + "\n".join(lines) for title, lines in names().items()) + "\n"


def test_every_name_is_on_the_list(listed, snapshot):
    assert listed == snapshot.use_extension(Names)


def test_no_list_is_empty():
    assert [title for title, lines in names().items() if not lines] == []
