"""`appraise why CASE [FIGURE]`: the tree behind one figure, down to readings, table rows and sources."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.inputs import tables_for
from appraise.cli.options import whole
from appraise.cli.output import say_json, show
from appraise.cli.terms import add_terms, terms_of
from appraise.cli.valued import add_valuing, valued
from appraise.model.unsafe import sanitize_line

if TYPE_CHECKING:
    import argparse


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    parser.add_argument("case", type=Path, metavar="CASE", help="a case file")
    parser.add_argument(
        "figure",
        nargs="?",
        default="value",
        metavar="FIGURE",
        help="such as value, offer, hammers.depreciation or station.soundboard.grade; without one: value",
    )
    parser.add_argument("--depth", type=whole(0, 50), metavar="N", help="levels below the figure; without: all")
    add_valuing(parser)
    add_terms(parser.add_argument_group("with offer, on which terms, as `rank` has them"))


def run(args: argparse.Namespace) -> int:
    """Show the tree below a figure.

    Raises:
        Unreadable: The case or the tables cannot be used.
        WrongUse: There is no such figure in this case.
    """
    of_offer = args.figure.partition(".")[0] == "offer"
    told = {"--probability": args.probability, "--margin": args.margin, "--resale": args.resale != "retail"}
    if not of_offer and any(told.values()):
        option = next(option for option, given in told.items() if given)
        raise WrongUse(f"appraise why: found {option} with {sanitize_line(args.figure)}, expected it with offer alone")
    item = valued(args.case, args, tables_for(args.tables))
    node = item.figures.get(args.figure)
    if node is None and of_offer:
        from appraise.report.offer import OfferTerms, offer_reason
        from appraise.store.own_settings import own_settings

        terms = terms_of(args, item.tables)
        if terms.margin_pct is not None:
            costs = replace(item.case.costs, margin_pct=terms.margin_pct)
            item = replace(item, case=replace(item.case, costs=costs))
        tree = offer_reason(item, OfferTerms(terms.resale, terms.probability, own_settings().exchange()))
        if tree is None:
            raise WrongUse("appraise why: found no replacement cost new, expected market.cost_new for an offer")
        node = next((each for each in tree.walk() if each.figure == args.figure), None)
    if node is None:
        near = item.figures.nearest(args.figure)
        mend = f"nearest are {', '.join(near)}" if near else "`appraise why CASE --depth 2` shows the largest"
        raise WrongUse(f'appraise why: found "{sanitize_line(args.figure)}", expected a figure of this case; {mend}')
    if args.json:
        from appraise.report.outputs.value import WHY

        say_json(WHY.dump((item, node, args.depth)))
        return ExitCode.DONE
    from appraise.report.terminal import why_tree

    show(why_tree(node, args.depth, item.manner))
    return ExitCode.DONE
