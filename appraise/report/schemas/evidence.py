"""What `sales` prints as JSON."""

from __future__ import annotations

from appraise.evidence.sale import COLUMNS
from appraise.report.schemas.build import DAY, NUMBER, TEXT, WHOLE, Schema, listed, maybe, obj, version

LISTED = 1
"""Version of what `sales list --json` prints."""

_AMOUNT: Schema = {"type": "string", "pattern": r"^[0-9]+(\.[0-9]+)?$"}
_TYPES: dict[str, Schema] = {"date": DAY, "Decimal": _AMOUNT, "float": NUMBER, "int": WHOLE, "str": TEXT}


def sales_list() -> Schema:
    """Return the schema of what `sales list --json` prints; money is text, in the currency of its line."""
    columns = {name: maybe(_TYPES[kind]) if empty else _TYPES[kind] for name, (kind, empty) in COLUMNS.items()}
    return obj(schema=version(LISTED), book=TEXT, sales=listed(obj(**columns)))
