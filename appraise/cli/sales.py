"""`appraise sales …`: the book of one's own sales, and what it says."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import WrongUse
from appraise.report.words import capital

if TYPE_CHECKING:
    import argparse

ACTIONS: dict[str, str] = {
    "add": "entry",
    "import": "intake",
    "list": "listing",
    "correct": "correcting",
    "strike": "striking",
    "like": "likeness",
    "learn": "learning",
    "score": "scoring",
    "share": "sharing",
    "export": "export",
    "check": "soundness",
}
"""What can be done → the module of `appraise.cli.evidence` that does it, as help lists them."""


def options(parser: argparse.ArgumentParser) -> None:
    """Add its actions, each with its options."""
    below = parser.add_subparsers(dest="action", metavar="ACTION", title="actions", required=True)
    for name, place in ACTIONS.items():
        module = import_module(f"appraise.cli.evidence.{place}")
        one = below.add_parser(name, help=module.HELP, description=f"{capital(module.HELP)}. {module.MORE}")
        one.add_argument(
            "--book",
            type=Path,
            metavar="FILE",
            help="the book (else [sales] book of the settings, else sales.sqlite3 beside the settings file)",
        )
        module.options(one)


def run(args: argparse.Namespace) -> int:
    """Do it.

    Raises:
        WrongUse: The options do not fit.
        Unreadable: The book, a file or the tables cannot be used.
    """
    if args.book is None:
        from appraise.services.sales import usual_book

        try:
            args.book = usual_book()
        except RuntimeError:
            raise WrongUse("appraise sales: found no home, expected one, or --book FILE") from None
    code: int = import_module(f"appraise.cli.evidence.{ACTIONS[args.action]}").run(args)
    return code
