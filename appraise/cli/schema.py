"""`appraise schema [NAME]`: the JSON Schema of the case file and of everything printed as JSON."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.output import say, say_json
from appraise.model.case import SCHEMA as CASE
from appraise.report.words import capital
from appraise.store.findings import did_you_mean, shorten

if TYPE_CHECKING:
    import argparse

    from appraise.report.outputs.fields import Output, Schema

SCHEMAS = {
    "case": "appraise.store.case_schema",
    **dict.fromkeys(("value", "values", "why", "report"), "appraise.report.outputs.value"),
    **dict.fromkeys(("rank", "rank_row", "rank_why"), "appraise.report.outputs.rank"),
    **dict.fromkeys(("look", "missing"), "appraise.cli.listings"),
    **dict.fromkeys(("loss", "dossier"), "appraise.report.outputs.loss"),
    **dict.fromkeys(("set_before", "check", "photos", "measure", "settings", "sources"), "appraise.cli.listings"),
}
"""Name → the module that declares it by its name in capitals; of the case, by the layout of its file."""


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the command."""
    text = "print the JSON Schema of the case file, or of a command's JSON"
    parser = subparsers.add_parser("schema", help=text, description=f"{capital(text)} (draft 2020-12).")
    parser.add_argument("name", nargs="?", metavar="NAME", help=f"{', '.join(SCHEMAS)}; without one, all are listed")


def run(args: argparse.Namespace) -> int:
    """Print a schema, or what there is.

    Raises:
        WrongUse: There is no such schema.
    """
    if args.name is None:
        width = max(map(len, SCHEMAS))
        for name in SCHEMAS:
            version, what = _about(name)
            say(f"{name:{width}}  version {version}  {what}")
        return ExitCode.DONE
    if args.name not in SCHEMAS:
        mend = did_you_mean(args.name, SCHEMAS) or f"there are {', '.join(SCHEMAS)}"
        raise WrongUse(f'appraise schema: found "{shorten(args.name)}", expected the name of one; {mend}')
    say_json(schema(args.name))
    return ExitCode.DONE


def schema(name: str) -> Schema:
    """Return one schema as it is given out.

    Raises:
        KeyError: There is none of this name.
    """
    if name != "case":
        return _output(name).published()
    from appraise.report.outputs.fields import published
    from appraise.store.case_schema import case

    return published(name, *_about(name), case())


def _about(name: str) -> tuple[int, str]:
    """Return the version of a schema and what it describes."""
    if name == "case":
        return CASE, "a case file, its TOML as JSON: days are texts"
    output = _output(name)
    return output.version, output.printed_by


def _output(name: str) -> Output[Any]:
    output: Output[Any] = getattr(import_module(SCHEMAS[name]), name.upper())
    return output
