"""`appraise settings`: where the settings file is, and what holds."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.options import add_json
from appraise.cli.output import say, say_json
from appraise.model.unsafe import sanitize_line

if TYPE_CHECKING:
    import argparse

MORE = (
    ". The file is TOML: [walk] move_on = false keeps the cursor on the row after an "
    "answer, [new_case] says what a new case begins with, [sales] book where your sales book is, [screen] pictures "
    "how photos are drawn, [keys] "
    "which key does what; Ctrl+X in the worksheet changes each. APPRAISE_SETTINGS names another file."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Print it.

    Raises:
        Unreadable: The file has problems.
        WrongUse: There is no home to look for one in.
    """
    from appraise.store.document import document_text
    from appraise.store.own_settings import own_settings, settings_file

    try:
        path = settings_file()
    except RuntimeError:
        expected = "a home folder, or APPRAISE_SETTINGS with the name of a file"
        raise WrongUse(f"appraise settings: found neither, expected {expected}") from None
    settings = own_settings()
    there, shown = path.is_file(), sanitize_line(str(path))
    if args.json:
        from appraise.cli.listings import SETTINGS

        say_json(SETTINGS.dump((path, asdict(settings))))
        return ExitCode.DONE
    say(f"# {shown}{'' if there else ' is not there: these are the defaults'}")
    say(document_text(settings.document()).rstrip("\n"))
    return ExitCode.DONE
