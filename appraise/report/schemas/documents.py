"""What a report as JSON holds beside its figures: the page itself as data, and what it takes to compute it again."""

from __future__ import annotations

from appraise.report.schemas.build import (
    DAY,
    NUMBER,
    SHA256,
    TEXT,
    WHOLE,
    YES_NO,
    Schema,
    keyed,
    listed,
    maybe,
    obj,
    one_of,
)

_PHOTO = obj(file=TEXT, sha256=maybe(SHA256), taken=maybe(TEXT), caption=TEXT, problem=maybe(TEXT))
_COLUMN = obj(heading=TEXT, numeric=YES_NO)
_CHART = {**obj(kind=TEXT), "additionalProperties": True}

_BLOCKS: dict[str, dict[str, Schema]] = {
    "paragraph": {"text": TEXT},
    "bullets": {"items": listed(TEXT)},
    "ticks": {"items": listed(TEXT)},
    "facts": {"rows": listed(listed(TEXT))},
    "table": {"columns": listed(_COLUMN), "rows": listed(listed(TEXT))},
    "outline": {"entries": listed(obj(depth=WHOLE, text=TEXT))},
    "blanks": {"labels": listed(TEXT)},
    "drawing": {"caption": TEXT, "says": TEXT, "chart": _CHART},
    "plates": {"rows": listed(listed(_PHOTO))},
}

DOCUMENT = obj(
    title=TEXT,
    subtitle=TEXT,
    author=TEXT,
    footer=TEXT,
    made_from=TEXT,
    sections=listed(
        obj(
            key=maybe(TEXT),
            title=TEXT,
            level=WHOLE,
            blocks=listed({"anyOf": [obj(kind=one_of(kind), **parts) for kind, parts in _BLOCKS.items()]}),
        )
    ),
)

STANDING: dict[str, Schema] = {
    "amends": maybe(obj(day=DAY, sha256=TEXT)),
    "trail": maybe(obj(line=WHOLE, hash=TEXT)),
}
"""Where a report stands among those before it, and in the trail of its case."""

ROWS = keyed({"type": "string", "description": "a digest of the row"})

AGAIN = obj(program=TEXT, case_text=TEXT, date=maybe(TEXT), basis=maybe(TEXT), rows=ROWS)
"""What it takes to compute a report again."""

LOSS_AGAIN = obj(
    program=TEXT,
    before_text=TEXT,
    after_text=TEXT,
    terms=obj(
        betterment=YES_NO,
        sum_insured=maybe(TEXT),
        value_at_risk=maybe(TEXT),
        excess=maybe(TEXT),
        special_condition=YES_NO,
        surrendered=YES_NO,
        residual=maybe(TEXT),
        total_loss_pct=maybe(TEXT),
    ),
    delivered=maybe(TEXT),
    weight_kg=maybe(NUMBER),
    volume_m3=maybe(NUMBER),
    rows=ROWS,
)
"""What it takes to compute a dossier again."""
