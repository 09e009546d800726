"""`appraise sources [TABLE]`: the reference tables, every row with its source and standing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import fields
from datetime import date
from typing import TYPE_CHECKING, Any

from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.inputs import tables_for
from appraise.cli.options import add_json, add_tables
from appraise.cli.output import say, say_json, show_table
from appraise.model.unsafe import shorten
from appraise.store.findings import did_you_mean
from appraise.tables.rows import Row, Source, Standing, Tables

if TYPE_CHECKING:
    import argparse

_PROVENANCE = frozenset({"table", "key", "standing", "source", "where", "row_note", "yours"})
_SHORT = 40


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    parser.add_argument("table", nargs="?", metavar="TABLE", help="a table; without one, all are listed")
    add_tables(parser)
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Show the tables.

    Raises:
        WrongUse: There is no such table.
        Unreadable: The tables cannot be used.
    """
    tables = tables_for(args.tables)
    named = {item.name: getattr(tables, item.name) for item in fields(Tables) if item.name != "version"}
    if args.table is None:
        _list(named, tables.version, as_json=args.json)
        return ExitCode.DONE
    rows = named.get(args.table)
    if rows is None:
        mend = did_you_mean(args.table, named) or f"there are {', '.join(named)}"
        raise WrongUse(f'appraise sources: found "{shorten(args.table)}", expected a table; {mend}')
    if args.json:
        from appraise.cli.listings import ROWS

        say_json(ROWS.dump((args.table, tables.version, [_plain_row(row) for row in rows.values()])))
        return ExitCode.DONE
    for row in rows.values():
        for line in _lines(row, tables):
            say(line)
    return ExitCode.DONE


def _list(named: Mapping[str, Mapping[str, Row | Source]], version: str, *, as_json: bool) -> None:
    counts = []
    for name, rows in named.items():
        standing = Counter(row.standing for row in rows.values() if isinstance(row, Row))
        yours = sum(row.yours for row in rows.values() if isinstance(row, Row))
        counts.append((name, len(rows), standing, yours))
    if as_json:
        from appraise.cli.listings import TABLES

        say_json(TABLES.dump((version, counts)))
        return
    heads = ("table", "rows", *(each.value for each in Standing), "yours")
    cells = (
        (name, str(total), *(str(standing[each] or "") for each in Standing), str(yours or ""))
        for name, total, standing, yours in counts
    )
    show_table(heads, cells, right=frozenset(heads[1:]))
    say()
    say(f"version {version}; `appraise sources TABLE` shows every row of one")


def _plain_row(row: Row | Source) -> dict[str, Any]:
    return {item.name: _plain(getattr(row, item.name)) for item in fields(row)}


def _plain(value: Any) -> Any:  # noqa: ANN401 - any column
    if isinstance(value, Mapping):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return value.isoformat() if isinstance(value, date) else value


def _lines(row: Row | Source, tables: Tables) -> list[str]:
    """Return one row as text: its address and standing, then its columns, long ones on lines of their own."""
    lines = []
    if isinstance(row, Row):
        yours = ", yours" if row.yours else ""
        lines.append(f"{row.ref}  [{row.standing.value}{yours}]")
        lines.append(f"    source: {_source(row, tables)}")
    else:
        lines.append(f"sources/{row.key}")
    short = []
    for item in fields(row):
        value = getattr(row, item.name)
        if item.name in _PROVENANCE or value is None or value in ("", (), {}):
            continue
        words = f"{item.name}: {_words(value)}"
        if len(words) <= _SHORT:
            short.append(words)
        else:
            lines.append(f"    {words}")
    if short:
        lines.insert(2 if isinstance(row, Row) else 1, "    " + " · ".join(short))
    if isinstance(row, Row) and row.row_note:
        lines.append(f"    note: {row.row_note}")
    return lines


def _source(row: Row, tables: Tables) -> str:
    source = tables.sources.get(row.source)
    if source is None:
        return "none"
    year = f" ({source.year})" if source.year else ""
    where = f", {row.where}" if row.where else ""
    return f"{source.author}, {source.title}{year}{where}"


def _words(value: Any) -> str:  # noqa: ANN401 - any column
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {_words(item)}" for key, item in value.items())
    if isinstance(value, tuple):
        pairs = bool(value) and all(isinstance(item, tuple) for item in value)
        return ", ".join(" → ".join(_words(part) for part in item) if pairs else _words(item) for item in value)
    return str(value)
