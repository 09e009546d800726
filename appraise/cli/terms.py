"""The terms of an offer on the command line, as `rank` and `why` take them: confidence, margin, kind of resale."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.cli.diagnostics import WrongUse
from appraise.cli.options import share

if TYPE_CHECKING:
    import argparse

    from appraise.services.trade_in import Terms
    from appraise.tables.rows import Tables


def add_terms(parser: argparse.ArgumentParser | argparse._ArgumentGroup) -> None:
    """Add `--probability`, `--margin` and `--resale`."""
    text = "confidence that the margin is kept: 0.8 or 80%% (the settings table's where not given)"
    parser.add_argument("--probability", type=share, metavar="SHARE", help=text)
    text = "margin on resale in place of each case's own: 0.3 or 30%%"
    parser.add_argument("--margin", type=share, metavar="SHARE", help=text)
    text = "kind of sale at which it is resold: a market row of the table `bases`"
    parser.add_argument("--resale", default="retail", metavar="KEY", help=text)


def terms_of(args: argparse.Namespace, tables: Tables) -> Terms:
    """Return the terms that the options ask for.

    Raises:
        WrongUse: One of them is out of bounds, or no kind of sale.
    """
    from appraise.services.trade_in import Terms, sale_kinds

    command = f"appraise {args.command}"
    if args.probability is not None and not 0.0 < args.probability < 1.0:
        raise WrongUse(f"{command}: --probability: found 0 or 1, expected a share between, such as 0.8")
    if args.margin == 1.0:
        raise WrongUse(f"{command}: --margin: found 1, expected a share below, such as 0.3")
    markets = sale_kinds(tables)
    if args.resale not in markets:
        expected = f"a kind of sale on a market: {', '.join(markets)}"
        raise WrongUse(f'{command}: --resale: found "{args.resale}", expected {expected}')
    margin = None if args.margin is None else 100.0 * args.margin
    return Terms(tables, args.resale, args.probability, args.draws, args.seed, margin)
