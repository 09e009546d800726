"""`rank`, `check`, `sources` and `measure`, each with `--json`, and the lines of `rank --jsonl`."""

from __future__ import annotations

from appraise.model.ranking import COURSES
from appraise.report.measured import SCHEMA as MEASURED
from appraise.report.ranking import KEYS
from appraise.report.ranking import SCHEMA as RANKED
from appraise.report.schemas.build import (
    NUMBER,
    SHA256,
    TEXT,
    VALUE,
    VERSION,
    WHOLE,
    YES_NO,
    Schema,
    keyed,
    listed,
    maybe,
    obj,
    one_of,
    version,
)
from appraise.tables.row import Standing

CHECKED = 1
"""Version of what `check --json` prints."""
LACKING = 1
"""Version of what `missing --json` prints."""
LOOKED = 1
"""Version of what `look --json` prints."""
SET = 1
"""Version of what `settings --json` prints."""
PHOTOS = 1
"""Version of what `photos --json` prints."""
SOURCED = 1
"""Version of what `sources --json` prints."""

_TEXTS = ("file", "maker", "model", "currency", "plan", "not_stated", "resale_basis", "program_version")
_WHOLE = (
    "offer",
    *(f"{key}{end}" for key in ("resale", "work") for end in ("_low", "", "_high")),
    *("carriage", "preparation", "guarantee", "holding", "margin", "expected_profit"),
)
"""Amounts of money, each to the unit."""
_OTHERS: dict[str, Schema] = {
    **dict.fromkeys(_TEXTS, TEXT),
    "kind": one_of("grand", "upright"),
    "size_cm": maybe(NUMBER),
    "made": maybe(TEXT),
    **dict.fromkeys(_WHOLE, WHOLE),
    "share_of_retail": maybe(WHOLE),
    "next_intervention_months": maybe(NUMBER),
    "next_intervention_part": maybe(TEXT),
    "course": one_of(*COURSES),
    "case_sha256": SHA256,
    "tables_version": VERSION,
    "seed": WHOLE,
    "draws": WHOLE,
}


def rank_row() -> Schema:
    """Return the schema of one candidate: a line of `rank --jsonl`. Money is in whole units of its `currency`."""
    return obj(**{key: _OTHERS.get(key, NUMBER) for key in KEYS})


def rank() -> Schema:
    """Return the schema of what `rank --json` prints."""
    return obj(schema=version(RANKED), sorted_by=one_of(*KEYS), candidates=listed(rank_row()))


def rank_why() -> Schema:
    """Return the schema of what `rank --why A B --json` prints: why the better of two beats the other, in sentences."""
    return obj(schema=version(RANKED), why=listed(TEXT))


def check() -> Schema:
    """Return the schema of what `check --json` prints."""
    problem = obj(
        file=TEXT,
        line=maybe(WHOLE),
        key=TEXT,
        found=TEXT,
        expected=TEXT,
        mend=TEXT,
        grave=YES_NO,
    )
    trail = obj(lines=WHOLE, head=TEXT, matches_file=maybe(YES_NO), unsaved_steps=WHOLE)
    return obj(
        schema=version(CHECKED),
        files=listed(obj(file=TEXT, readable=YES_NO, problems=listed(problem), trail=maybe(trail))),
    )


def missing() -> Schema:
    """Return the schema of what `missing --json` prints: what is missing of each case, and the row to enter it at."""
    one = obj(lack=TEXT, what=TEXT, where=TEXT, row=TEXT)
    return obj(schema=version(LACKING), cases=listed(obj(case=TEXT, missing=listed(one))))


def look() -> Schema:
    """Return the schema of what `look --json` prints: every part, and what a quick look said of it."""
    part = obj(component=TEXT, label=TEXT, station=TEXT, preliminary_grade=maybe(NUMBER), closed=YES_NO)
    return obj(schema=version(LOOKED), case=TEXT, parts=listed(part))


def settings() -> Schema:
    """Return the schema of what `settings --json` prints: where the file is, and what holds."""
    return obj(schema=version(SET), file=TEXT, there=YES_NO, settings=keyed(keyed(VALUE)))


def photos() -> Schema:
    """Return the schema of what `photos --json` prints."""
    photo = obj(
        file=TEXT,
        size_bytes=maybe(WHOLE),
        taken=maybe(TEXT),
        sha256=maybe(SHA256),
        shows=listed(TEXT),
        problem=maybe(TEXT),
    )
    return obj(schema=version(PHOTOS), photos=listed(photo), unused=listed(obj(file=TEXT, size_bytes=WHOLE)))


def sources() -> Schema:
    """Return the schema of what `sources --json` prints, of all tables or of one."""
    counts = {each.value: WHOLE for each in Standing}
    every = obj(
        schema=version(SOURCED),
        tables_version=VERSION,
        tables=listed(obj(table=TEXT, rows=WHOLE, standing=obj(**counts), yours=WHOLE)),
    )
    one = obj(schema=version(SOURCED), table=TEXT, tables_version=VERSION, rows=listed(keyed({})))
    return {"anyOf": [every, one]}


def measure() -> Schema:
    """Return the schema of what `measure INSTRUMENT --json` prints; units stand in the keys."""
    point = {"type": "array", "items": {"type": ["number", "null"]}}
    spans = {"label": TEXT, "from": {"type": ["number", "null"]}, "to": {"type": ["number", "null"]}}
    shaded = {"type": "object", "properties": spans, "required": list(spans)}
    return obj(
        schema=version(MEASURED),
        instrument=TEXT,
        inputs=keyed(VALUE),
        outputs=keyed(VALUE),
        tables=keyed(listed(keyed(VALUE))),
        plots=keyed(obj(x=TEXT, y=TEXT, points=listed(point), spans=listed(shaded))),
        notes=keyed(TEXT),
        says=listed(TEXT),
        cautions=listed(TEXT),
        sources=listed(obj(what=TEXT, standing=TEXT, source=TEXT, where=TEXT)),
    )
