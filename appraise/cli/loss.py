"""`appraise loss [BEFORE] AFTER`: what a move did to one instrument, and what a claim for it comes to."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from appraise.cli.diagnostics import ExitCode, WrongUse, complain, complain_of
from appraise.cli.documents import add_output, refuse, write_out
from appraise.cli.inputs import tables_for, usable_case, usable_file
from appraise.cli.options import add_draws, add_json, add_manner, add_tables, day
from appraise.cli.output import say, say_json, show
from appraise.model.problem import InputError
from appraise.model.unsafe import sanitize_line
from appraise.report.kinds import ReportKind

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable

    from appraise.model.case import Case
    from appraise.model.claim import Claim
    from appraise.report.loss.compared import Compared, StateFile
    from appraise.tables.rows import Tables

_Read = TypeVar("_Read")

MORE = (
    ": repair less betterment against diminution in value, both on the later day. "
    "Rules of carriage are information: check the current edition and the policy, ask a lawyer; this is no legal advice."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    before = "the case file before the move; left out where AFTER remembers its earlier state"
    parser.add_argument("before", nargs="?", type=Path, metavar="BEFORE", help=before)
    parser.add_argument("after", type=Path, metavar="AFTER", help="the case file after the move")
    keep = "keep the present AFTER as its earlier state, a read-only copy beside it, and say what for"
    parser.add_argument("--set-before", metavar="PURPOSE", help=keep)
    parser.add_argument(
        "--in-place-of",
        type=day,
        metavar="DAY",
        help="with --set-before: the day of the earlier state that this one replaces",
    )
    add_terms(parser)
    add_output(parser)
    add_draws(parser)
    add_tables(parser)
    add_manner(parser)
    add_json(parser)


def add_terms(parser: argparse.ArgumentParser | argparse._ArgumentGroup) -> tuple[str, ...]:
    """Add what the policy and the contract of carriage say.

    Returns:
        What was added, as a namespace calls it.
    """
    add = parser.add_argument
    share = "no average where the sum insured reaches the table's share (75%%) of the value at risk"
    no_new = "deduct no betterment (new for old); some jurisdictions bar it on a partial loss"
    taken = "after a total loss salvage passes to the insurer: none is deducted"
    left = "residual diminution after a good repair, instead of the figure from the grades"
    wreck = "share of the value before from which a repair is a total loss, as the policy says: 80"
    added = (
        add("--delivered", type=day, metavar="DAY", help="day of the delivery, for the periods of notice"),
        add("--sum-insured", metavar="AMOUNT", help="for average where it is less than the value at risk"),
        add("--value-at-risk", metavar="AMOUNT", help="full value to be insured, instead of the value before"),
        add(
            "--excess",
            metavar="AMOUNT",
            help="excess (deductible): first part of a loss, borne by the insured",
        ),
        add("--special-condition", action="store_true", help=share),
        add("--no-betterment", action="store_true", help=no_new),
        add("--surrendered", action="store_true", help=taken),
        add("--residual", metavar="AMOUNT", help=left),
        add("--total-loss", metavar="PERCENT", help=wreck),
        add("--weight", metavar="WEIGHT", help='gross weight for the limits of carriage: "480 kg"'),
        add("--volume", metavar="VOLUME", help='load space for the limits of carriage: "4 m³"'),
    )
    return tuple(option.dest for option in added)


def run(args: argparse.Namespace) -> int:
    """Compare, and print or write; or set the earlier state.

    Raises:
        Unreadable: A case, its frozen earlier state or the tables cannot be used.
        WrongUse: The two are not one instrument, an option makes no sense, or the file cannot be written.
    """
    if args.set_before is not None:
        return _set_before(args)
    refuse(args)
    item = compared_states(args.before, args.after, args, tables_for(args.tables))
    code = write_out(args, ReportKind.LOSS, item, args.after, quiet=args.json)
    if args.json:
        from appraise.report.outputs.loss import LOSS

        say_json(LOSS.dump(item))
    elif not args.output:
        from appraise.report.loss.page import loss_page

        show(*loss_page(item))
    return code


def compared_states(
    before: Path | None, after: Path, args: argparse.Namespace, tables: Tables, kind: str = ReportKind.LOSS
) -> Compared:
    """Read two states and compare them as the command line asks.

    Args:
        before: The case file of the state before; none: the one that `after` remembers.
        after: Of the state after.
        args: With the options of `add_terms`, `add_draws` and `add_manner`.
        tables: The rows to value both with.
        kind: Of the document that is made from them, for its language.

    Raises:
        Unreadable: A case cannot be used, or its frozen earlier state.
        WrongUse: The two are not one instrument, or an option makes no sense.
    """
    from appraise.report.wording import manner_of
    from appraise.services.loss import compared, consignment_of, remembered_state, terms_of

    later = _state(after, tables)
    claim = _claim(args, later.case)
    terms, consignment = terms_of(claim), consignment_of(claim)
    try:
        earlier = remembered_state(after, later.case, tables) if before is None else _state(before, tables)
        item = compared(earlier, later, tables, terms=terms, consignment=consignment, draws=args.draws, seed=args.seed)
    except InputError as refused:
        raise WrongUse(f"appraise {args.command}: {refused}") from None
    return replace(item, manner=manner_of(later.case.assignment, args.locale, args.units, kind))


def _set_before(args: argparse.Namespace) -> int:
    """Keep a case as it stands as its own earlier state.

    Raises:
        Unreadable: The case cannot be read or written.
        WrongUse: There is one already, or two files are named.
    """
    from appraise.services.arrival import set_before

    if args.before is not None:
        raise WrongUse("appraise loss: found two files with --set-before, expected the one case whose state is kept")
    if args.output:
        raise WrongUse("appraise loss: found --output with --set-before, expected one of the two")
    tables, shown = tables_for(args.tables), f"appraise loss: {sanitize_line(str(args.after))}"
    usable_case(args.after, tables)
    try:
        kept, wrong = set_before(args.after, tables, args.set_before, in_place_of=args.in_place_of)
    except InputError as refused:
        raise WrongUse(f"{shown}: {refused}") from None
    if wrong:
        complain(f"{shown} keeps its state, but not in its trail: {wrong}")
    if args.json:
        from appraise.cli.listings import SET_BEFORE

        say_json(SET_BEFORE.dump(kept))
    else:
        say(f"kept the state of {kept.day.isoformat()} as {sanitize_line(kept.file)}, read-only, SHA-256 {kept.sha256}")
    return ExitCode.DONE


def _state(path: Path, tables: Tables) -> StateFile:
    from appraise.services.loss import state_of
    from appraise.store.photos import check_photos

    case, content = usable_file(path, tables)
    complain_of(check_photos(path, case))
    return state_of(path, case, content)


def _claim(args: argparse.Namespace, case: Case) -> Claim:
    """Return what the case says of the claim, with the options laid over it."""
    from appraise.services.loss import above_zero, not_negative, total_loss, volume, weight

    readers = {
        "sum_insured": above_zero,
        "value_at_risk": above_zero,
        "excess": not_negative,
        "residual": not_negative,
    }
    stated: dict[str, Any] = {name: _option(args, name, read) for name, read in readers.items()}
    stated |= {
        "weight_kg": _option(args, "weight", weight),
        "volume_m3": _option(args, "volume", volume),
        "total_loss_pct": _option(args, "total_loss", total_loss),
        "delivered": args.delivered,
        "special_condition": args.special_condition or None,
        "surrendered": args.surrendered or None,
        "betterment": False if args.no_betterment else None,
    }
    claim = replace(case.claim, **{name: value for name, value in stated.items() if value is not None})
    for name in ("value_at_risk", "special_condition"):
        if getattr(args, name) and claim.sum_insured is None:
            option = name.replace("_", "-")
            raise WrongUse(
                f"appraise {args.command}: found --{option} without --sum-insured, expected both, for average"
            )
    return claim


def _option(args: argparse.Namespace, name: str, read: Callable[[str], _Read]) -> _Read | None:
    """Read an option that a service understands.

    Raises:
        WrongUse: It was refused.
    """
    text = getattr(args, name)
    if text is None:
        return None
    try:
        return read(text)
    except InputError as refused:
        raise WrongUse(f"appraise {args.command}: --{name.replace('_', '-')}: {refused}") from None
