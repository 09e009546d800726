"""`appraise rank CASE-or-FOLDER…`: trade-in candidates side by side."""

from __future__ import annotations

from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any

from appraise.cli.diagnostics import ExitCode, WrongUse, advancing, complain
from appraise.cli.inputs import tables_for
from appraise.cli.options import add_draws, add_json, add_manner, add_tables, amount, manner_asked, share, whole
from appraise.cli.output import console, say, say_json, say_json_list, show, stream
from appraise.cli.terms import add_terms, terms_of
from appraise.model.locale_format import PLAIN
from appraise.services.ordering import SORTS, Filter, ordered

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator

    from appraise.model.currency import Rates
    from appraise.services.ordering import Ordered
    from appraise.services.trade_in import Skipped, Terms
    from appraise.store.result_cache import ResultCache

SHOWN = 50
"""Rows of the table for people where `--best` says nothing."""

MORE = (
    ". A folder is walked with those below it; a file that cannot be used is named "
    "on standard error and left out. The residual method: resale after the best work, less work, carriage, "
    "preparation, guarantee, holding and margin, on the joint draws; every row adds up to the unit. Money stays in "
    "each case's currency; rates in the settings put several currencies in one order, without them each has its "
    "own. The same instrument in two files is marked."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    parser.add_argument("places", nargs="*", type=Path, metavar="CASE-or-FOLDER", help="case files and folders of them")
    parser.add_argument("--why", nargs=2, type=Path, metavar=("A", "B"), help="two sentences why A beats B")
    orders = "; ".join(f"{word}: {key.means}" for word, key in SORTS.items())
    parser.add_argument("--sort", choices=tuple(SORTS), default="offer", metavar="KEY", help=orders)
    parser.add_argument("--reverse", action="store_true", help="in reverse order")
    parser.add_argument("--best", type=whole(1, 10**9), metavar="N", help="the first N only, of each group")
    parser.add_argument("--kind", choices=("grand", "upright"), help="only pianos of this kind")
    parser.add_argument("--above", type=amount, metavar="MONEY", help="only those with an offer of at least this")
    parser.add_argument(
        "--risk", type=share, metavar="SHARE", help="only those with at most this risk of a loss: 0.05 or 5%%"
    )
    parser.add_argument(
        "--months", type=amount, metavar="N", help="only those with at least so many months to the next large job"
    )
    add_terms(parser)
    text = "keep results here (usually below the user's cache folder)"
    parser.add_argument("--cache", type=Path, metavar="FOLDER", help=text)
    parser.add_argument("--no-cache", action="store_true", help="value everything again and keep nothing")
    text = "how many processes value what is not kept (one a processor where not given); the answers are the same"
    parser.add_argument("--processes", type=whole(1, 256), metavar="N", help=text)
    parser.add_argument("--csv", metavar="FILE", help="a CSV file, - for standard output")
    parser.add_argument("--jsonl", metavar="FILE", help="one JSON object a line, - for standard output")
    add_draws(parser)
    add_tables(parser)
    add_manner(parser)
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Rank the candidates.

    Returns:
        0 where every file could be used, 1 where some were left out, 2 where none was of use.

    Raises:
        WrongUse: The options do not fit together, or the tables.
        Unreadable: The tables or the settings cannot be used.
    """
    from appraise.store.own_settings import own_settings

    if not args.places and not args.why:
        raise WrongUse("appraise rank: found no case, expected case files, folders, or --why A B")
    if [args.json, args.csv == "-", args.jsonl == "-"].count(True) > 1:
        raise WrongUse("appraise rank: --json, --csv - and --jsonl - all want standard output; name a file for others")
    tables = tables_for(args.tables)
    terms = terms_of(args, tables)
    cache = _cache(args)
    rates = own_settings().exchange()
    code = ExitCode.DONE
    if args.places:
        with ordered() as ranking:
            code = _collect(args, terms, cache, rates, ranking)
            if code is not ExitCode.UNUSABLE:
                _write(args, ranking)
    if args.why:
        code = max(code, _explain(args, terms, cache, rates))
    if cache is not None and cache.unwritable:
        complain(f"appraise rank: results could not be kept ({cache.unwritable}); --cache FOLDER names another place")
    return code


def _cache(args: argparse.Namespace) -> ResultCache | None:
    from appraise.store.result_cache import ResultCache, usual_folder

    if args.no_cache:
        if args.cache is not None:
            raise WrongUse("appraise rank: found --cache and --no-cache, expected one of them")
        return None
    try:
        return ResultCache(usual_folder() if args.cache is None else args.cache)
    except RuntimeError:
        return None  # no home, nowhere to keep anything


def _collect(
    args: argparse.Namespace, terms: Terms, cache: ResultCache | None, rates: Rates | None, ranking: Ordered
) -> ExitCode:
    from appraise.report.ranking import flat
    from appraise.services.process_pool import processors
    from appraise.services.ranking import found, ranked
    from appraise.services.trade_in import Skipped

    processes = args.processes or processors()
    good = bad = 0
    with advancing("valuing", lambda: sum(1 for _ in found(args.places))) as advance:
        for item in ranked(found(args.places), terms, cache, processes=processes):
            if isinstance(item, Skipped):
                bad += 1
                _leave_out(item)
            else:
                good += 1
                ranking.add(flat(item, rates))
            advance()
    coins, open_coins = ranking.currencies(_wanted(args)), ranking.unconverted(_wanted(args))
    if len(coins) > 1 and open_coins:
        each = "each has a group of its own" if SORTS[args.sort].money else "amounts stay unconverted"
        why = "the settings have no rates" if rates is None else f"no rate for {PLAIN.listed(open_coins)}"
        complain(f"appraise rank: amounts in {PLAIN.listed(coins)}: {each}, for {why} ([currencies])")
    if not good:
        if not bad:
            complain("appraise rank: found no case file in these folders, expected files that end in .toml")
        return ExitCode.UNUSABLE
    return ExitCode.PROBLEMS if bad else ExitCode.DONE


def _wanted(args: argparse.Namespace) -> Filter:
    return Filter(args.kind or "", args.above, None if args.risk is None else 100.0 * args.risk, args.months)


def _rows(args: argparse.Namespace, ranking: Ordered, most: int | None) -> Iterator[dict[str, Any]]:
    return ranking.rows(SORTS[args.sort], backwards=args.reverse, wanted=_wanted(args), most=most)


def _leave_out(item: Skipped) -> None:
    more = f" (and {item.more} more: `appraise check` lists them)" if item.more else ""
    complain(f"left out: {item.problem}{more}")


def _write(args: argparse.Namespace, ranking: Ordered) -> None:
    from appraise.report.outputs.rank import RANK
    from appraise.report.ranking import write_csv, write_json_lines

    if args.csv:
        with stream(args.csv) as out:
            write_csv(out, _rows(args, ranking, args.best))
    if args.jsonl:
        with stream(args.jsonl) as out:
            write_json_lines(out, _rows(args, ranking, args.best))
    if args.json:
        say_json_list(RANK.dump((SORTS[args.sort].column, _rows(args, ranking, args.best))), "candidates")
    elif not args.csv and not args.jsonl:
        _show(args, ranking)


def _show(args: argparse.Namespace, ranking: Ordered) -> None:
    from appraise.report.ranking_table import footnotes, table

    count = ranking.count(_wanted(args))
    if not count:
        say("No candidate fits what was asked for.")
        return
    rows = list(_rows(args, ranking, args.best or SHOWN))
    manner = manner_asked(args)
    grouped = bool(ranking.groups(SORTS[args.sort], _wanted(args)))
    for coin, group in groupby(rows, key=lambda row: grouped and (row["reference_currency"] or row["currency"])):
        if coin:
            say(f"In {coin}")
        show(table(list(group), manner, width=console().width))
        say()
    for note in footnotes(rows, manner):
        say(note)
    if args.best is None and count > len(rows):
        say(f"{count - len(rows)} more: --best N shows as many as you like, --csv and --jsonl all of them.")


def _explain(args: argparse.Namespace, terms: Terms, cache: ResultCache | None, rates: Rates | None) -> ExitCode:
    from appraise.report.outputs.rank import RANK_WHY
    from appraise.report.ranking import apart, called, flat
    from appraise.report.ranking_explanation import why
    from appraise.services.trade_in import Skipped, one

    rows = []
    for path in args.why:
        item = one(path, terms, cache)
        if isinstance(item, Skipped):
            _leave_out(item)
        else:
            rows.append(flat(item, rates))
    if len(rows) < len(args.why):
        return ExitCode.UNUSABLE
    try:
        first, second = rows
        manner = manner_asked(args)
        sentences = [*why(first, second, manner)]
        sentences += [f"{called(row, manner)}: {manner.small(said)}" for row in rows if (said := apart(row, manner))]
    except ValueError as error:
        raise WrongUse(f"appraise rank: --why: {error}") from None
    if args.json or "-" in (args.csv, args.jsonl):
        if args.places:  # standard output holds the ranking as data
            complain(" ".join(sentences))
        else:
            say_json(RANK_WHY.dump(sentences))
    else:
        if args.places:
            say()
        say(" ".join(sentences))
    return ExitCode.DONE
