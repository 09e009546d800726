"""A short digest of every row, so that a reader of a report can tell which rows have changed since."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import fields
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from appraise.tables.rows import Row, Source, Tables

LENGTH = 10
"""Hexadecimal digits kept: rows are told apart, nobody is kept from forging them."""


def row_digests(tables: Tables) -> dict[str, str]:
    """Return the digest of every row by its address, `table/key`, in table order.

    Args:
        tables: All tables, the user's rows laid over ours; whose a row is does not enter its digest.
    """
    result = {}
    for table in fields(tables):
        rows = getattr(tables, table.name)
        if isinstance(rows, Mapping):
            result.update({f"{table.name}/{key}": _digest(row) for key, row in rows.items()})
    return result


def _digest(row: Row | Source) -> str:
    content = {each.name: getattr(row, each.name) for each in fields(row) if each.name != "yours"}
    text = json.dumps(content, sort_keys=True, ensure_ascii=False, default=_plain)
    return hashlib.sha256(text.encode()).hexdigest()[:LENGTH]


def _plain(value: Any) -> Any:  # noqa: ANN401 - any cell of any table
    return dict(value) if isinstance(value, Mapping) else str(value)
