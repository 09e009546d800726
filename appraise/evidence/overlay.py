"""Learned rows as files of an overlay: the rows of a user's own stay, ours lie below a line that says what they are."""

from __future__ import annotations

import csv
import io
from dataclasses import MISSING, fields, replace
from typing import TYPE_CHECKING, Any

import tomli

from appraise.model.problem import Problem, Unreadable
from appraise.tables.rows import Source, Standing

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from appraise.evidence.learn import Learned
    from appraise.tables.rows import Row

MARK = "# Learned from own evidence"
"""Begins the line above learned rows; the source they name follows it."""
SOURCE = "own_sales"
LIVES_SOURCE = "own_cases"


def sales_rows(learned: Learned) -> tuple[tuple[Row, ...], Source]:
    """Return the learned rows as rows of the tables, and the source that they name."""
    rows = []
    for one in learned.rows:
        changes: dict[str, Any] = {"low": one.after.low, "typical": one.after.mid, "high": one.after.high}
        if one.curve:
            changes["by_age"] = one.curve
        where = f"own sales, n = {one.n}, to {learned.until:%Y-%m}"
        note = f"in place of {one.before.low:g}, {one.before.mid:g}, {one.before.high:g}"
        rows.append(
            replace(one.row, **changes, standing=Standing.OWN_EVIDENCE, source=SOURCE, where=where, row_note=note)
        )
    some = f", {learned.assumed} of them with a price new of the table prices_new" if learned.assumed else ""
    title = f"Own sales, n = {learned.n}{some}, to {learned.until:%Y-%m}"
    return tuple(rows), Source(key=SOURCE, author="the practice", title=title, seen=learned.until)


def texts(rows: Iterable[Row], source: Source, there: Mapping[str, str]) -> tuple[dict[str, str], list[str]]:
    """Return the files of an overlay with learned rows in them.

    Args:
        rows: The learned rows.
        source: That they name.
        there: Files of the overlay as they are, by name; none: it is new.

    Returns:
        Files by name, and the addresses of rows that were left out, for the user has one of that key already.

    Raises:
        Unreadable: A file that is there is no TOML.
    """
    by_file: dict[str, list[Row | Source]] = {"sources.toml": [source]}
    for row in rows:
        by_file.setdefault("lives.csv" if row.table == "lives" else f"{row.table}.toml", []).append(row)
    found, left = {}, []
    for name, ours in by_file.items():
        theirs, *learned = (part.rstrip() for part in there.get(name, "").split(MARK))
        others = [f"{MARK}{part}" for part in learned if not part.startswith(f", {source.key}:")]
        taken = _keys(name, theirs)
        new = [row for row in ours if row.key not in taken]
        left += [row.ref for row in ours if row.key in taken and not isinstance(row, Source)]
        below = _csv(new, theirs) if name.endswith(".csv") else "\n".join(map(_toml, new))
        block = f"{MARK}, {source.key}: what stands below is written anew each time.\n\n{below}"
        found[name] = "\n\n".join(part for part in (theirs, *others, block) if part)
    return found, left


def _keys(name: str, text: str) -> set[str]:
    if not text:
        return set()
    if name.endswith(".csv"):
        lines = [line for line in text.splitlines() if not line.startswith("#")]
        return {row.get("key", "") for row in csv.DictReader(lines)}
    try:
        rows = tomli.loads(text).get("row", [])
    except tomli.TOMLDecodeError as error:
        raise Unreadable(Problem(name, None, "", f"“{error}”", "a table as TOML")) from None
    return {str(row.get("key", "")) for row in rows if isinstance(row, dict)}


def _cells(row: Row | Source) -> dict[str, Any]:
    """Return what a row says, its own defaults left out, under the names of the columns."""
    cells: dict[str, Any] = {}
    for each in fields(row):
        value = getattr(row, each.name)
        default = each.default_factory() if each.default_factory is not MISSING else each.default
        if each.name not in ("table", "yours") and value != default:
            cells["note" if each.name == "row_note" else each.name] = value
    return cells


def _toml(row: Row | Source) -> str:
    import tomli_w

    return f"[[row]]\n{tomli_w.dumps({key: _plain(value) for key, value in _cells(row).items()})}"


def _plain(value: Any) -> Any:  # noqa: ANN401 - any cell of any table
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return str(value) if isinstance(value, str) else value


def _csv(rows: Iterable[Row | Source], theirs: str) -> str:
    cells = [_cells(row) for row in rows]
    heads = next((line for line in theirs.splitlines() if line and not line.startswith("#")), "")
    names = next(csv.reader([heads]), []) or list(dict.fromkeys(name for row in cells for name in row))
    out = io.StringIO()
    writer = csv.DictWriter(out, names, lineterminator="\n", extrasaction="ignore")
    if not heads:
        writer.writeheader()
    writer.writerows(cells)
    return out.getvalue()
