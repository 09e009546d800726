"""`appraise measure sample`: a sample of notes for the whole compass."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.cli.instruments.options import add_compass, add_file, add_unit, from_file, meant

if TYPE_CHECKING:
    import argparse

    from appraise.model.measurement import Measurement
    from appraise.services.instruments.note_values import Quantity
    from appraise.tables.rows import Check, Tables

HELP = "what a sample of notes says about the whole compass"
MORE = (
    "Readings are given as note=value (A4=52, 46-58=51) or in a file with columns of notes and readings, or one "
    "column alone, a line a note."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add what this instrument asks for."""
    parser.add_argument("readings", nargs="*", metavar="NOTE=VALUE", help="readings: A4=52, 49=52,5, 46-58=51")
    add_file(parser, "columns note and value, or one column")
    parser.add_argument("--column", metavar="NAME", help="the column of the readings, where it is not called value")
    parser.add_argument("--check", metavar="CHECK", help="a check of the tables: its unit, tolerance and statistic")
    parser.add_argument("--low", metavar="VALUE", help="least value in tolerance, without a check")
    parser.add_argument("--high", metavar="VALUE", help="greatest value in tolerance, without a check")
    add_unit(parser, "as the check has it and --units gives it, or another of its kind")
    parser.add_argument("--statistic", choices=("mean", "share"), help="what is held against the tolerance")
    parser.add_argument("--allowed", metavar="PERCENT", help="share of notes that may be out of tolerance")
    add_compass(parser)


def measure(args: argparse.Namespace, tables: Tables) -> Measurement:
    """Measure.

    Raises:
        InputError: A figure cannot be.
        Unreadable: The file cannot be used.
    """
    from appraise.services.instruments.note_values import Quantity, amount, note_columns, typed
    from appraise.services.instruments.sampling import sample_measurement
    from appraise.services.refused import InputError

    check = _check(args.check, tables)
    if check is not None and (args.low or args.high):
        raise InputError("found --check beside --low or --high, expected one or the other")
    what = _quantity(check, args)
    unit = meant(args, what.unit)
    values = typed(args.readings, what, unit)
    if from_file(args, values, "readings"):
        values = note_columns(args.csv, (what,), {what.key: unit}, most=args.compass)[what.key]
    limit = Quantity("limit", what.unit)
    share = Quantity("allowed", "", (0.0, 100.0))
    return sample_measurement(
        values,
        tables,
        check=check,
        low=amount(args.low, limit, unit) if args.low else None,
        high=amount(args.high, limit, unit) if args.high else None,
        unit=what.unit,
        by_mean=None if args.statistic is None else args.statistic == "mean",
        allowed_pct=amount(args.allowed.rstrip("%"), share) if args.allowed else None,
        population=args.compass,
        level=args.level,
    )


def _check(key: str | None, tables: Tables) -> Check | None:
    from appraise.services.refused import InputError
    from appraise.store.findings import did_you_mean

    if key is None:
        return None
    check = tables.checks.get(key)
    fitting = [row.key for row in tables.checks.values() if row.per_note and row.anchors]
    if check is None or not check.anchors:
        mend = did_you_mean(key, fitting) or "`appraise sources checks` lists them"
        raise InputError(f'found the check "{key}", expected one with anchors; {mend}')
    return check


def _quantity(check: Check | None, args: argparse.Namespace) -> Quantity:
    from appraise.model.units import UNITS
    from appraise.services.instruments.note_values import Quantity, quantity_of
    from appraise.services.refused import InputError

    others = (args.column,) if args.column else ()
    if check is not None:
        return quantity_of(check, "value", others)
    known = {key.casefold(): unit for key, unit in UNITS.items()}
    unit = known.get(args.unit.casefold())
    if unit is None:
        raise InputError(f"found the unit “{args.unit[:20]}”, expected one of {', '.join(key for key in UNITS if key)}")
    return Quantity("value", unit.base, None, others)
