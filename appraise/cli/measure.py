"""`appraise measure MEASUREMENT …`: one measurement alone, without a case."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.inputs import tables_for
from appraise.cli.options import add_json, add_manner, add_tables, manner_asked
from appraise.cli.output import console, say_json, show
from appraise.report.words import capital

if TYPE_CHECKING:
    import argparse

INSTRUMENTS: tuple[str, ...] = (
    "sample",
    "touch",
    "regulation",
    "torque",
    "dampers",
    "string",
    "wood",
    "beats",
    "pitch",
    "dating",
    "drying",
)
"""Every instrument, as help lists them; each is the module of `appraise.cli.instruments` with its name."""


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the command and its instruments."""
    text = "one measurement alone: from readings to grades, diagnoses and remaining life"
    parser = subparsers.add_parser("measure", help=text, description=f"{capital(text)}. No case is needed.")
    below = parser.add_subparsers(dest="instrument", metavar="MEASUREMENT", title="measurements", required=True)
    for name in INSTRUMENTS:
        module = import_module(f"appraise.cli.instruments.{name}")
        one = below.add_parser(name, help=module.HELP, description=f"{capital(module.HELP)}. {module.MORE}")
        module.options(one)
        add_tables(one)
        add_manner(one, asks=True)
        add_json(one)


def run(args: argparse.Namespace) -> int:
    """Measure.

    Raises:
        WrongUse: A figure cannot be.
        Unreadable: A file or the tables cannot be used.
    """
    from appraise.report.measured import measurement_page
    from appraise.services.refused import InputError

    tables = tables_for(args.tables)
    try:
        answer = import_module(f"appraise.cli.instruments.{args.instrument}").measure(args, tables)
    except InputError as refused:
        raise WrongUse(f"appraise measure {args.instrument}: {refused}") from None

    if args.json:
        from appraise.cli.listings import MEASURE

        say_json(MEASURE.dump(answer))
    else:
        show(*measurement_page(answer, console().width, manner_asked(args)))
    return ExitCode.DONE
