"""`appraise schema [NAME]`: the JSON Schema of the case file and of everything printed as JSON."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.output import say, say_json
from appraise.cli.summaries import COMMANDS
from appraise.model.case import SCHEMA as CASE
from appraise.report.words import capital
from appraise.store.findings import did_you_mean, shorten

if TYPE_CHECKING:
    import argparse

SCHEMAS: dict[str, tuple[int, str, str]] = {
    "case": (CASE, "a case file, its TOML as JSON: days are texts", "appraise.store.case_schema"),
    "value": (2, "value CASE --json", "appraise.report.schemas.value"),
    "values": (2, "value CASE CASE… --json", "appraise.report.schemas.value"),
    "why": (2, "why CASE FIGURE --json", "appraise.report.schemas.value"),
    "report": (2, "report CASE -o FILE.json", "appraise.report.schemas.value"),
    "rank": (2, "rank … --json", "appraise.report.schemas.others"),
    "rank_row": (2, "a line of rank … --jsonl FILE", "appraise.report.schemas.others"),
    "rank_why": (2, "rank --why A B --json", "appraise.report.schemas.others"),
    "look": (1, "look CASE [PART=GRADE …] --json", "appraise.report.schemas.others"),
    "missing": (1, "missing CASE… --json", "appraise.report.schemas.others"),
    "loss": (1, "loss BEFORE AFTER --json", "appraise.report.schemas.loss"),
    "dossier": (1, "loss BEFORE AFTER -o FILE.json", "appraise.report.schemas.loss"),
    "set_before": (1, "loss --set-before PURPOSE CASE --json", "appraise.report.schemas.loss"),
    "check": (1, "check CASE… --json", "appraise.report.schemas.others"),
    "photos": (1, "photos CASE --json", "appraise.report.schemas.others"),
    "measure": (1, "measure MEASUREMENT … --json", "appraise.report.schemas.others"),
    "sales_list": (1, "sales list --json", "appraise.report.schemas.evidence"),
    "sales_learn": (1, "sales learn --json", "appraise.report.schemas.evidence"),
    "sales_score": (1, "sales score --json", "appraise.report.schemas.evidence"),
    "lives": (1, "lives CASE-or-FOLDER… --json", "appraise.report.schemas.evidence"),
    "settings": (1, "settings --json", "appraise.report.schemas.others"),
    "sources": (1, "sources [TABLE] --json", "appraise.report.schemas.others"),
}
"""Name → version, what it describes, the module whose function of that name makes it."""


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the command."""
    text = COMMANDS["schema"]
    parser = subparsers.add_parser("schema", help=text, description=f"{capital(text)} (draft 2020-12).")
    parser.add_argument("name", nargs="?", metavar="NAME", help=f"{', '.join(SCHEMAS)}; without one, all are listed")


def run(args: argparse.Namespace) -> int:
    """Print a schema, or what there is.

    Raises:
        WrongUse: There is no such schema.
    """
    if args.name is None:
        width = max(map(len, SCHEMAS))
        for name, (number, what, _) in SCHEMAS.items():
            say(f"{name:{width}}  version {number}  {what}")
        return ExitCode.DONE
    if args.name not in SCHEMAS:
        mend = did_you_mean(args.name, SCHEMAS) or f"there are {', '.join(SCHEMAS)}"
        raise WrongUse(f'appraise schema: found "{shorten(args.name)}", expected the name of one; {mend}')
    say_json(schema(args.name))
    return ExitCode.DONE


def schema(name: str) -> dict[str, Any]:
    """Return one schema as it is given out.

    Raises:
        KeyError: There is none of this name.
    """
    from appraise.report.schemas.build import published

    number, what, module = SCHEMAS[name]
    return published(name, number, what, getattr(import_module(module), name)())
