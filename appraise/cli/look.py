"""`appraise look CASE [PART=GRADE …]`: one grade a part at a quick look, preliminary until a check of it is made."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse, complain
from appraise.cli.inputs import tables_for, usable_case
from appraise.cli.options import add_json, add_tables
from appraise.cli.output import say, say_json, show_table
from appraise.model.case import STATIONS
from appraise.model.problem import InputError
from appraise.model.quantities import grade_typed
from appraise.model.unsafe import sanitize_line, shorten
from appraise.store.findings import did_you_mean

if TYPE_CHECKING:
    import argparse

    from appraise.model.case import Case
    from appraise.tables.rows import Tables

NONE = "-"
"""In place of a grade: take it back."""

MORE = (
    ". PART is a component, or a station for all its parts that have not been checked, "
    "faults of the whole such as flood left out; a part named by itself goes before its station. GRADE is 1 as new "
    f"… 5 worn out in half steps, or {NONE} to take it back. Without any, every part is listed."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    parser.add_argument("case", type=Path, metavar="CASE", help="a case file")
    parser.add_argument("grades", nargs="*", metavar="PART=GRADE", help="as hammers=3 or action=2.5")
    add_tables(parser)
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Grade, or list the parts.

    Raises:
        Unreadable: The case cannot be read or written.
        WrongUse: A part or a grade is none, or the part has been checked.
    """
    from appraise.services.opening import alone

    tables = tables_for(args.tables)
    case = usable_case(args.case, tables)
    if args.grades:
        shown = f"appraise look: {sanitize_line(str(args.case))}"
        try:
            grades = _grades(args.grades, case, tables)
            with alone(args.case, tables) as sheet:
                sheet.look(grades)
                sheet.save()
                case = sheet.case
        except InputError as refused:
            raise WrongUse(f"{shown}: {refused}") from None
        if sheet.trouble:
            complain(f"{shown} has its grades, but not in its trail: {sheet.trouble}")
    _tell(args, case, tables)
    return ExitCode.DONE


def _grades(words: list[str], case: Case, tables: Tables) -> dict[str, float | None]:
    """Return the grade of each component that the words name.

    Raises:
        InputError: A word is no part with a grade.
    """
    from appraise.services.quick_look import open_parts

    kind = case.identity.kind
    known = {key: row for key, row in tables.components.items() if kind in row.kinds}
    stations: dict[str, float | None] = {}
    found: dict[str, float | None] = {}
    for word in words:
        part, _, text = word.partition("=")
        grade = None if text == NONE else grade_typed(text)
        if grade is None and text != NONE:
            raise InputError(f'"{shorten(word)}"', "PART=GRADE, the grade from 1 to 5 in half steps")
        if part not in known and part not in STATIONS:
            mend = did_you_mean(part, (*known, *STATIONS)) or "`appraise look CASE` lists them"
            raise InputError(f'"{shorten(part)}"', f"a part of {kind.named} or a station", mend)
        if part in STATIONS:  # where a component has the name of its station, the station is meant
            stations |= dict.fromkeys(open_parts(case, tables, part), grade)
        else:
            found[part] = grade
    return stations | found


def _tell(args: argparse.Namespace, case: Case, tables: Tables) -> None:
    from appraise.services.quick_look import look_rows

    rows = [row for row in look_rows(case, tables) if row.component is not None]
    if args.json:
        from appraise.cli.listings import LOOK

        say_json(LOOK.dump((args.case.name, rows)))
        return
    told = [
        (row.station, row.key, row.label, "" if row.grade is None else f"{row.grade:g} preliminary", row.closed)
        for row in rows
    ]
    columns = ("station", "part", "label", "quick look", "closed")
    show_table(columns, [(*row[:4], "checked" if row[4] else "") for row in told])
    graded = sum(row.grade is not None for row in rows)
    say(f"{graded} of {len(rows)} parts graded at a quick look: preliminary until a check of the part is made")
