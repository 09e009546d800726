"""`appraise loss BEFORE AFTER`: what a move did to one instrument, and what a claim for it comes to."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from appraise.cli.diagnostics import WrongUse, complain_of
from appraise.cli.documents import add_output, refuse, write_out
from appraise.cli.inputs import tables_for, usable_case
from appraise.cli.options import add_draws, add_json, add_manner, add_tables
from appraise.cli.output import say_json, show
from appraise.report.kinds import ReportKind
from appraise.store.characters import one_line

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable

    from appraise.model.loss import Terms
    from appraise.report.loss.compared import Compared, StateFile
    from appraise.tables.rows import Tables

_Read = TypeVar("_Read")


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the command."""
    text = "compare two states of one instrument, before and after a move, and reckon the loss"
    parser = subparsers.add_parser(
        "loss",
        help=text,
        description=f"{text.capitalize()}: repair less betterment against diminution in value, both on the later day. "
        "Rules of carriage are information: check the current edition and the policy; no legal advice.",
    )
    parser.add_argument("before", type=Path, metavar="BEFORE", help="the case file of the state before")
    parser.add_argument("after", type=Path, metavar="AFTER", help="the case file of the state after")
    add_terms(parser)
    add_output(parser)
    add_draws(parser)
    add_tables(parser)
    add_manner(parser)
    add_json(parser)


def add_terms(parser: argparse.ArgumentParser | argparse._ArgumentGroup) -> None:
    """Add what the policy and the contract of carriage say."""
    parser.add_argument("--sum-insured", metavar="AMOUNT", help="for average where it is less than the value at risk")
    parser.add_argument(
        "--value-at-risk", metavar="AMOUNT", help="full value to be insured, instead of the value before"
    )
    parser.add_argument("--excess", metavar="AMOUNT", help="first part of a loss, borne by the insured")
    share = "no average where the sum insured reaches the table's share (75%%) of the value at risk"
    parser.add_argument("--special-condition", action="store_true", help=share)
    no_new = "deduct no new for old; some jurisdictions bar it on a partial loss"
    parser.add_argument("--no-betterment", action="store_true", help=no_new)
    parser.add_argument("--weight", metavar="WEIGHT", help='gross weight for the limits of carriage: "480 kg"')
    parser.add_argument("--volume", metavar="VOLUME", help='load space for the limits of carriage: "4 m³"')


def run(args: argparse.Namespace) -> int:
    """Compare, and print or write.

    Raises:
        Unreadable: A case or the tables cannot be used.
        WrongUse: The two are not one instrument, an option makes no sense, or the file cannot be written.
    """
    refuse(args)
    item = compared_states(args.before, args.after, args, tables_for(args.tables))
    code = write_out(args, ReportKind.LOSS, item, quiet=args.json)
    if args.json:
        from appraise.model.manner import PLAIN
        from appraise.report.loss.json_out import loss_object
        from appraise.services.loss import in_manner

        say_json(loss_object(in_manner(item, PLAIN)))
    elif not args.output:
        from appraise.report.loss.page import loss_page

        show(*loss_page(item))
    return code


def compared_states(before: Path, after: Path, args: argparse.Namespace, tables: Tables) -> Compared:
    """Read two states and compare them as the command line asks.

    Args:
        before: The case file of the state before.
        after: Of the state after.
        args: With the options of `add_terms`, `add_draws` and `add_manner`.
        tables: The rows to value both with.

    Raises:
        Unreadable: A case cannot be used.
        WrongUse: The two are not one instrument, or an option makes no sense.
    """
    from appraise.report.wording import manner_of
    from appraise.services.loss import Consignment, compared, in_manner, volume, weight
    from appraise.services.quantity import Refused

    terms = _terms(args)
    consignment = Consignment(_option(args, "weight", weight), _option(args, "volume", volume))
    states = _state(before, tables), _state(after, tables)
    try:
        item = compared(*states, tables, terms=terms, consignment=consignment, draws=args.draws, seed=args.seed)
    except Refused as refused:
        raise WrongUse(f"appraise {args.command}: {refused}") from None
    return in_manner(item, manner_of(states[1].case.assignment, args.locale, args.units, "loss"))


def _state(path: Path, tables: Tables) -> StateFile:
    import hashlib

    from appraise.report.loss.compared import StateFile
    from appraise.store.photos import check_photos

    case = usable_case(path, tables)
    complain_of(check_photos(path, case))
    content = path.read_bytes()
    digest = hashlib.sha256(content).hexdigest()
    return StateFile(one_line(path.name), digest, case, content.decode("utf-8", "replace"))


def _terms(args: argparse.Namespace) -> Terms:
    from appraise.model.loss import Terms
    from appraise.services.loss import above_zero, not_negative

    for name in ("value_at_risk", "special_condition"):
        if getattr(args, name) and args.sum_insured is None:
            option = name.replace("_", "-")
            raise WrongUse(
                f"appraise {args.command}: found --{option} without --sum-insured, expected both, for average"
            )
    return Terms(
        betterment=not args.no_betterment,
        sum_insured=_option(args, "sum_insured", above_zero),
        value_at_risk=_option(args, "value_at_risk", above_zero),
        excess=_option(args, "excess", not_negative),
        special_condition=args.special_condition,
    )


def _option(args: argparse.Namespace, name: str, read: Callable[[str], _Read]) -> _Read | None:
    """Read an option that a service understands.

    Raises:
        WrongUse: It was refused.
    """
    from appraise.services.quantity import Refused

    text = getattr(args, name)
    if text is None:
        return None
    try:
        return read(text)
    except Refused as refused:
        raise WrongUse(f"appraise {args.command}: --{name.replace('_', '-')}: {refused}") from None
