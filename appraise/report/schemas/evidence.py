"""What `sales` prints as JSON."""

from __future__ import annotations

from appraise.evidence.sale import COLUMNS
from appraise.report.schemas.build import (
    DAY,
    NUMBER,
    PCT,
    TEXT,
    WHOLE,
    YES_NO,
    Schema,
    listed,
    maybe,
    obj,
    span,
    version,
)

LISTED = 1
"""Version of what `sales list --json` prints."""
LEARNED = 1
"""Version of what `sales learn --json` prints."""
LIVED = 1
"""Version of what `lives --json` prints."""
SCORED = 1
"""Version of what `sales score --json` prints."""

_AMOUNT: Schema = {"type": "string", "pattern": r"^[0-9]+(\.[0-9]+)?$"}
_TYPES: dict[str, Schema] = {"date": DAY, "Decimal": _AMOUNT, "float": NUMBER, "int": WHOLE, "str": TEXT}


def sales_list() -> Schema:
    """Return the schema of what `sales list --json` prints; money is text, in the currency of its line."""
    columns = {name: maybe(_TYPES[kind]) if empty else _TYPES[kind] for name, (kind, empty) in COLUMNS.items()}
    return obj(schema=version(LISTED), book=TEXT, sales=listed(obj(**columns)))


_CURVE = listed({**listed(NUMBER), "description": "age [years] and factor"})


def sales_learn() -> Schema:
    """Return the schema of what `sales learn --json` prints."""
    row = obj(
        row=TEXT,
        label=TEXT,
        n=WHOLE,
        before=span(NUMBER),
        after=span(NUMBER),
        by_age_before=_CURVE,
        by_age_after=_CURVE,
    )
    return obj(
        schema=version(LEARNED),
        sales=WHOLE,
        to=DAY,
        drift_pct_a_year=PCT,
        drift_sd_pct_a_year=PCT,
        scatter=NUMBER,
        outlying=WHOLE,
        unused=listed(obj(reason=TEXT, sales=WHOLE)),
        rows=listed(row),
        taken=YES_NO,
        left_out=listed(TEXT),
    )


def sales_score() -> Schema:
    """Return the schema of what `sales score --json` prints: all sales first, then by kind, class and kind of sale."""
    counts = dict.fromkeys(("n", "within", "below", "above", "above_middle"), WHOLE)
    figures = dict.fromkeys(("price_over_middle", "pinball", "wider"), NUMBER)
    shares = {"within_low_pct": PCT, "within_high_pct": PCT}
    group = obj(name=TEXT, **counts, **shares, **figures, pit=listed(NUMBER), advice=listed(TEXT))
    return obj(schema=version(SCORED), groups=listed(group))


def lives() -> Schema:
    """Return the schema of what `lives --json` prints: service lives [years] before and after."""
    years = {f"{name}_years": span(NUMBER) for name in ("before", "after", "after_heavy")}
    row = obj(row=TEXT, renewals=WHOLE, in_service=WHOLE, factor=NUMBER, factor_sd=NUMBER, **years)
    return obj(schema=version(LIVED), cases=WHOLE, rows=listed(row), taken=YES_NO, left_out=listed(TEXT))
