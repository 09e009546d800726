"""`appraise schema [NAME]`: the JSON Schema of the case file and of everything printed as JSON."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.output import say, say_json
from appraise.model.case import SCHEMA as CASE
from appraise.model.unsafe import shorten
from appraise.report.outputs.catalogue import OUTPUTS, Published
from appraise.store.findings import did_you_mean

if TYPE_CHECKING:
    import argparse

    from appraise.report.outputs.fields import Schema

_CASE = Published(CASE, "a case file, its TOML as JSON: days are texts", "appraise.store.case_schema")
SCHEMAS = {"case": _CASE, **OUTPUTS}

MORE = " (draft 2020-12)."


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    parser.add_argument("name", nargs="?", metavar="NAME", help=f"{', '.join(SCHEMAS)}; without one, all are listed")


def run(args: argparse.Namespace) -> int:
    """Print a schema, or what there is.

    Raises:
        WrongUse: There is no such schema.
    """
    if args.name is None:
        width = max(map(len, SCHEMAS))
        for name, row in SCHEMAS.items():
            say(f"{name:{width}}  version {row.version}  {row.printed_by}")
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
    from appraise.report.outputs.fields import leaf, published

    row = SCHEMAS[name]
    module = import_module(row.module)
    kind = leaf(module.case()) if name == "case" else getattr(module, name.upper())
    return published(name, row.version, row.printed_by, kind)
