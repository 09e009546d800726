"""`appraise measure MEASUREMENT …`: one measurement alone, without a case; its options are the tool's fields."""

from __future__ import annotations

import argparse
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from appraise.cli import inputs
from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.inputs import tables_for, usable_case
from appraise.cli.options import LateParser, add_json, add_manner, add_tables, day, manner_asked, units_of, whole
from appraise.cli.output import console, say_json, show
from appraise.model.problem import InputError
from appraise.model.unsafe import shorten
from appraise.report.words import capital
from appraise.services.instruments.tools import TOOLS, tool

if TYPE_CHECKING:
    from appraise.services.instruments.inputs import Field

MORE = ". No case is needed."


def options(parser: LateParser) -> None:
    """Add its measurements."""
    below = parser.add_subparsers(dest="instrument", metavar="MEASUREMENT", title="measurements", required=True)
    for name, help_line in TOOLS.items():
        one = below.add_parser(name, help=help_line)
        one.later = partial(_add_fields, one, name)


def _add_fields(parser: argparse.ArgumentParser, name: str) -> None:
    declared = tool(name)
    parser.description = f"{capital(TOOLS[name])}. {declared.more}"
    group: argparse._ActionsContainer = parser
    for field in declared.fields:
        if field.alternative and group is parser:
            group = parser.add_mutually_exclusive_group()
        if field.help:
            (group if field.alternative else parser).add_argument(field.name, **_argument(field))
    add_tables(parser)
    add_manner(parser, asks=True)
    add_json(parser)


_KINDS: dict[str, dict[str, Any]] = {
    "text": {},
    "words": {"nargs": "+", "default": []},
    "groups": {"nargs": "+", "action": "append", "default": []},
    "again": {"action": "append"},
    "any": {"nargs": "*"},
    "flag": {"action": "store_true"},
    "file": {"type": Path},
    "day": {"type": day},
}


def _argument(field: Field) -> dict[str, Any]:
    """Return a field as the words of `add_argument`."""
    result: dict[str, Any] = {"help": field.help}
    result |= {"type": _share} if field.kind == "share" else _KINDS[field.kind]
    if field.metavar is not None:
        result["metavar"] = field.metavar
    if field.whole is not None:
        result["type"] = whole(*field.whole)
    if field.choices:
        result["choices"] = field.choices
    if field.default is not None:
        result["default"] = field.default
    return result


def _share(text: str) -> float:
    """Read a percentage between 50 and 99.9 as a share.

    Raises:
        argparse.ArgumentTypeError: It is not one.
    """
    try:
        value = float(text.rstrip("%").replace(",", "."))
    except ValueError:
        value = 0.0
    if not 50.0 <= value <= 99.9:
        raise argparse.ArgumentTypeError(f'found "{shorten(text)}", expected a percentage from 50 to 99.9')
    return value / 100.0


def run(args: argparse.Namespace) -> int:
    """Measure.

    Raises:
        WrongUse: A figure cannot be.
        Unreadable: A file or the tables cannot be used.
    """
    from appraise.services.instruments.inputs import Given

    declared = tool(args.instrument)
    values = vars(args)
    values |= {field.key: values[field.key] or inputs.today() for field in declared.fields if field.kind == "day"}
    given = Given(tables_for(args.tables), values, declared.rows, units_of(args), read_case=usable_case)
    try:
        answer = declared.answer(given)
    except InputError as refused:
        raise WrongUse(f"appraise measure {args.instrument}: {refused}") from None

    if args.json:
        from appraise.cli.listings import MEASURE

        say_json(MEASURE.dump(answer))
    else:
        from appraise.report.measured import measurement_page

        show(*measurement_page(answer, console().width, manner_asked(args)))
    return ExitCode.DONE
