"""The book for other engines: CSV, Parquet, and the same table in a PostgreSQL server that a firm shares."""

from __future__ import annotations

import csv
from contextlib import closing
from importlib import import_module
from itertools import islice
from typing import TYPE_CHECKING, Any, BinaryIO, TextIO

from appraise.evidence.imports import guarded
from appraise.evidence.sale import COLUMNS, REPLACE, SELECT, Sale, additions, of_plain, plain, schema

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

_GROUP = 50_000
"""Rows that are in memory together."""
_DIGITS = (20, 4)
"""Digits of a decimal in Parquet, and those behind the point: no currency has more."""


class MissingLibrary(Exception):
    """An optional library is not installed; says which and how to get it."""


def _library(name: str) -> Any:  # noqa: ANN401 - a module without types
    try:
        return import_module(name)
    except ImportError:
        package = name.partition(".")[0]
        raise MissingLibrary(f"found no {package}, expected it; `pip install 'appraise[practice]'` brings it") from None


def write_csv(stream: TextIO, sales: Iterable[Sale]) -> int:
    """Write sales as CSV with headings; `imports` reads them back.

    Returns:
        How many.
    """
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(COLUMNS)
    count = 0
    for sale in sales:
        writer.writerow([guarded(value) for value in plain(sale)])
        count += 1
    return count


def parquet(stream: BinaryIO, sales: Iterable[Sale]) -> int:
    """Write sales as Parquet: days as dates, money as decimals.

    Returns:
        How many.

    Raises:
        MissingLibrary: pyarrow is not installed.
    """
    arrow, files = _library("pyarrow"), _library("pyarrow.parquet")
    types = {"date": arrow.date32(), "Decimal": arrow.decimal128(*_DIGITS), "float": arrow.float64()}
    types |= {"int": arrow.int64(), "str": arrow.string()}
    layout = arrow.schema([arrow.field(name, types[kind], nullable=empty) for name, (kind, empty) in COLUMNS.items()])
    count, rest = 0, iter(sales)
    with files.ParquetWriter(stream, layout, compression="zstd") as writer:
        while group := list(islice(rest, _GROUP)):
            columns = {name: [getattr(sale, name) for sale in group] for name in COLUMNS}
            writer.write_table(arrow.table(columns, schema=layout))
            count += len(group)
    return count


def hand_in(server: str, sales: Iterable[Sale]) -> tuple[int, int]:
    """Write sales into the shared table of a PostgreSQL server, in one transaction; it is made where there is none.

    File digest and line tell a sale from all others, wherever it is copied. One that is there already is passed over,
    unless this copy is of a later revision: corrected, struck out, or taken back.

    Args:
        server: How to reach it, as libpq takes it: `postgresql://…` or `host=… dbname=…`.
        sales: Those struck out included.

    Returns:
        How many were new, and how many took the place of an earlier revision.

    Raises:
        MissingLibrary: psycopg is not installed.
        ConnectionError: The server cannot be reached or refuses; nothing was written.
    """
    psycopg = _library("psycopg")
    try:
        with closing(psycopg.connect(server)) as base, base.transaction(), base.cursor() as cursor:
            _make_table(cursor)
            cursor.execute("LOCK TABLE sale IN SHARE ROW EXCLUSIVE MODE")  # one writer, so that both counts are true
            before = _count(cursor)
            cursor.executemany(REPLACE.replace("?", "%s"), [_values(sale) for sale in sales])
            written = int(max(0, cursor.rowcount))
            new = _count(cursor) - before
            return new, written - new
    except psycopg.Error as error:
        raise ConnectionError(_line(error)) from None


def _make_table(cursor: Any) -> None:  # noqa: ANN401 - of a library without types
    """Make the table, or add the columns that it lacks; who may only write to one that is whole needs no more."""
    words = "SELECT attname FROM pg_attribute WHERE attrelid = to_regclass('sale') AND attnum > 0 AND NOT attisdropped"
    there = {name for (name,) in cursor.execute(words)}
    for statement in additions(there, "postgresql") if there else [schema("postgresql")]:
        cursor.execute(statement)


def _count(cursor: Any) -> int:  # noqa: ANN401 - of a library without types
    return int(cursor.execute("SELECT count(*) FROM sale").fetchone()[0])


def fetched(server: str) -> Iterator[Sale]:
    """Yield the sales of the shared table, by day, those struck out included.

    Raises:
        MissingLibrary: psycopg is not installed.
        ConnectionError: The server cannot be reached, or holds no such table.
        ValueError: A row is not what it should be.
    """
    psycopg = _library("psycopg")
    try:
        with closing(psycopg.connect(server)) as base, base.transaction(), base.cursor(name="sales") as cursor:
            for row in cursor.execute(f"{SELECT} ORDER BY date, number"):
                yield of_plain(row)
    except psycopg.Error as error:
        raise ConnectionError(_line(error)) from None


def _values(sale: Sale) -> tuple[Any, ...]:
    return tuple(getattr(sale, name) for name in COLUMNS)


def _line(error: Exception) -> str:
    return " ".join(str(error).split())[:200]
