"""`appraise sales add`: one sale, of a case or typed."""

from __future__ import annotations

import secrets
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from appraise.cli import inputs
from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.inputs import tables_for
from appraise.cli.options import add_tables, amount, day, price
from appraise.cli.output import say
from appraise.model.problem import InputError
from appraise.model.unsafe import sanitize_line

if TYPE_CHECKING:
    import argparse
    from datetime import date

    from appraise.evidence.sale import Sale
    from appraise.tables.rows import Tables

HELP = "record one sale: of the instrument of a case, or of one without a case"
MORE = (
    "Of a case its facts, its hash and its range on that kind of sale are written beside the price, so that "
    "`appraise sales score` can say how often the range held. A case with a finished [outcome] needs no option; added "
    "again after the outcome was changed, the sale is corrected."
)
_TYPED = ("kind", "made", "maker", "maker_class", "size", "grade", "new", "currency")


def options(parser: argparse.ArgumentParser) -> None:
    """Add the options."""
    parser.add_argument("case", nargs="?", type=Path, metavar="CASE", help="the case of the instrument sold")
    parser.add_argument("--sold", type=price, metavar="MONEY", help="what it was sold for (else [outcome] of the case)")
    parser.add_argument("--on", type=day, metavar="DAY", help="the day of the sale")
    text = "kind of sale: a market row of the table `bases` (retail where not given)"
    parser.add_argument("--as", dest="sale", metavar="KEY", help=text)
    add_facts(parser, "without a case: ")
    add_tables(parser)


def add_facts(parser: argparse.ArgumentParser, when: str = "") -> None:
    """Add the options that say what was sold.

    Args:
        parser: Of `sales add` or `sales correct`.
        when: Put before the help of those that a case says by itself.
    """
    parser.add_argument("--bought", type=price, metavar="MONEY", help="what was paid for it")
    parser.add_argument("--costs", type=price, metavar="MONEY", help="work and carriage that went into it")
    parser.add_argument("--note", metavar="TEXT", help="anything else")
    parser.add_argument("--kind", choices=("grand", "upright"), help=f"{when}what it is")
    parser.add_argument("--made", metavar="YEAR", help=f"{when}when it was made")
    parser.add_argument("--maker", metavar="NAME", help=f"{when}its maker")
    text = f"{when}a class of maker of the table `market_factors`"
    parser.add_argument("--class", dest="maker_class", metavar="KEY", help=text)
    parser.add_argument("--size", type=amount, metavar="CM", help=f"{when}length or height")
    parser.add_argument("--grade", type=amount, metavar="GRADE", help=f"{when}condition, 1 as new to 5 spent")
    parser.add_argument("--new", type=price, metavar="MONEY", help=f"{when}price new of the like on that day")
    parser.add_argument("--currency", metavar="CODE", help=f"{when}EUR, GBP …")


def run(args: argparse.Namespace) -> int:
    """Write it down.

    Raises:
        WrongUse: The options do not fit.
        Unreadable: The book, the case or the tables cannot be used.
    """
    from appraise.services.sales import entered, same_case

    tables = tables_for(args.tables)
    if args.case is not None and not any((args.sold, args.on, args.sale, args.bought, args.costs, args.note)):
        return _as_it_says(args, tables)
    for option, given in (("--sold", args.sold), ("--on", args.on)):
        if given is None:
            raise WrongUse(f"appraise sales add: found no {option}, expected it, or a case with a finished [outcome]")
    args.sale = args.sale or "retail"
    if args.on > inputs.today():
        raise WrongUse(f"appraise sales add: --on: found {args.on}, expected a day that has been")
    sale = _of_case(args, tables) if args.case is not None else _typed(args, tables)
    own = None
    if args.case is not None:
        own = same_case(inputs.usable_case(args.case, tables), args.case)
    there, count = entered(sale, args.book, own)
    if there is not None:
        known = f"this case as sold on {there.date} for {there.price:,f}"
        raise WrongUse(f"appraise sales add: found {known} in the book already, expected a sale that is new")
    within = ""
    if sale.low is not None and sale.high is not None:
        side = "below" if sale.price < sale.low else "above" if sale.price > sale.high else "within"
        within = f", {side} the range of {sale.low:,.0f} to {sale.high:,.0f}"
    say(f"{sale.price:,f} {sale.currency} on {sale.date}{within}: {count:,} sales in {args.book.name}")
    return ExitCode.DONE


def _as_it_says(args: argparse.Namespace, tables: Tables) -> int:
    """Write down what the outcome of the case says, or correct what is there."""
    from appraise.services.sales import write_outcome

    told = _without_a_case(args)
    if told:
        raise WrongUse(told)
    try:
        say(write_outcome(args.case, tables, args.book))
    except InputError as refused:
        raise WrongUse(f"appraise sales add: {refused}") from None
    return ExitCode.DONE


def _without_a_case(args: argparse.Namespace) -> str:
    told = [name for name in _TYPED if getattr(args, name) is not None]
    if not told:
        return ""
    option = "--class" if told[0] == "maker_class" else f"--{told[0]}"
    return f"appraise sales add: {option}: found with a case, expected one of them: the case says it"


def _of_case(args: argparse.Namespace, tables: Tables) -> Sale:
    from appraise.services.sales import outcome, sold_too_early

    if told := _without_a_case(args):
        raise WrongUse(told)
    case, content = inputs.usable_file(args.case, tables)
    try:
        sale = outcome(case, content, args.case, _money(args.sold), args.on, _kind_of_sale(args, tables), tables)
    except InputError as refused:
        raise WrongUse(f"appraise sales add: --as: {refused}") from None
    if wrong := sold_too_early(case, args.on):
        raise WrongUse(f"appraise sales add: --on: {wrong}")
    return replace(sale, bought=_maybe(args.bought), costs=_maybe(args.costs), note=args.note or "")


def _typed(args: argparse.Namespace, tables: Tables) -> Sale:
    from appraise.evidence.sale import Sale

    if args.kind is None:
        raise WrongUse("appraise sales add: found neither a case nor --kind, expected one of them")
    given = {"currency": "EUR"} | facts(args, tables, "add", args.on)
    return Sale(**given, file_sha256=secrets.token_hex(32), line=0)


def facts(args: argparse.Namespace, tables: Tables, action: str, sold: date) -> dict[str, Any]:
    """Return what the options say of a sale, by column; what is not said is not there.

    Args:
        args: As parsed.
        tables: Classes of makers and kinds of sale.
        action: Names the command in what is refused.
        sold: The day of the sale.

    Raises:
        WrongUse: An option does not fit.
    """
    from appraise.evidence.cells import Refused, made
    from appraise.model.currency import DIGITS

    said = f"appraise sales {action}"
    currency = None if args.currency is None else args.currency.upper()
    if currency is not None and currency not in DIGITS:
        raise WrongUse(f'{said}: --currency: found "{currency[:20]}", expected a code of ISO 4217')
    classes = [row.key for row in tables.market_factors.values() if row.factor == "tier"]
    if args.maker_class is not None and args.maker_class not in classes:
        found = f'found "{args.maker_class[:40]}", expected one of {", ".join(classes)}'
        raise WrongUse(f"{said}: --class: {found}")
    for name, low, high in (("grade", 1.0, 5.0), ("size", 80.0, 320.0)):
        value = getattr(args, name)
        if value is not None and not low <= value <= high:
            raise WrongUse(f"{said}: --{name}: found {value:g}, expected {low:g} to {high:g}")
    try:
        year = None if args.made is None else made(args.made, sold)
    except Refused as refused:
        raise WrongUse(f"{said}: --made: {refused}") from None
    given = {
        "date": args.on,
        "kind": args.kind,
        "price": _maybe(args.sold),
        "currency": currency,
        "sale": None if args.sale is None else _kind_of_sale(args, tables, said),
        "made": year,
        "maker": None if args.maker is None else sanitize_line(args.maker),
        "maker_class": args.maker_class,
        "size_cm": args.size,
        "grade": args.grade,
        "price_new": _maybe(args.new),
        "bought": _maybe(args.bought),
        "costs": _maybe(args.costs),
        "note": None if args.note is None else sanitize_line(args.note),
    }
    return {name: value for name, value in given.items() if value is not None}


def _kind_of_sale(args: argparse.Namespace, tables: Tables, said: str = "appraise sales add") -> str:
    kinds = [key for key, row in tables.bases.items() if row.method in ("market", "residual")]
    if args.sale not in kinds:
        raise WrongUse(f'{said}: --as: found "{args.sale[:40]}", expected one of {", ".join(kinds)}')
    return str(args.sale)


def _money(amount: float) -> Decimal:
    return Decimal(repr(amount)).quantize(Decimal("0.01"))


def _maybe(amount: float | None) -> Decimal | None:
    return None if amount is None else _money(amount)
