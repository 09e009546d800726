"""JSON of `sales` and `lives`."""

from __future__ import annotations

from operator import attrgetter
from typing import TYPE_CHECKING, Any

from appraise.evidence.sale import COLUMNS, LATER
from appraise.model.result import Range
from appraise.report.outputs.fields import (
    DAY,
    FACTOR,
    NUMBER,
    PCT,
    SHARE,
    TENTHS,
    TEXT,
    WHOLE,
    YES_NO,
    Field,
    Object,
    Output,
    Type,
    added,
    ends,
    in_order,
    leaf,
    list_of,
    map_of,
    nullable,
    number,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from decimal import Decimal

    from appraise.evidence.learn import Learned, LearnedRow
    from appraise.evidence.levels import Unused
    from appraise.evidence.like import Like, Likes
    from appraise.evidence.lives import LearnedLife
    from appraise.evidence.sale import Sale
    from appraise.evidence.score import Group
    from appraise.model.result import Outlying

_AMOUNT: Type[Decimal] = leaf({"type": "string", "pattern": r"^[0-9]+(\.[0-9]+)?$"}, str)
_TYPES: dict[str, Type[Any]] = {"date": DAY, "Decimal": _AMOUNT, "float": NUMBER, "int": WHOLE, "str": TEXT}


def _column(name: str, kind: Type[Any], *, empty: bool) -> Type[Any] | Field[Sale]:
    found = nullable(kind) if empty else kind
    return added(found, attrgetter(name)) if name in LATER else found


SALE: Object[Sale] = Object(
    **{name: _column(name, _TYPES[kind], empty=empty) for name, (kind, empty) in COLUMNS.items()}
)
"""Money is text, in the currency of its line."""
NUMBERED: Object[tuple[int, Sale]] = Object(number=added(WHOLE, lambda one: one[0]), **SALE.within(lambda one: one[1]))
"""With its number in the book at hand; file digest and line tell it in every book."""
SALES_LIST: Output[tuple[str, Iterable[tuple[int, Sale]]]] = Output(
    "sales_list", **in_order(book=TEXT, sales=list_of(NUMBERED))
)

_SPAN: Object[Range] = ends(NUMBER)
_CURVE = list_of(list_of(NUMBER).doc("age [years] and factor"))
_UNUSED: Object[Unused] = Object(reason=TEXT, sales=WHOLE.of(lambda one: one.count))
_ROW: Object[LearnedRow] = Object(
    row=TEXT.of(lambda one: one.row.ref),
    label=TEXT.of(lambda one: one.row.label),
    n=WHOLE,
    before=_SPAN,
    after=_SPAN,
    by_age_before=_CURVE.of(lambda one: getattr(one.row, "by_age", ())),
    by_age_after=_CURVE.of(lambda one: one.curve),
)
_LEARNED: Object[Learned] = Object(
    sales=WHOLE.of(lambda learned: learned.n),
    to=DAY.of(lambda learned: learned.until),
    drift_pct_a_year=SHARE.of(lambda learned: learned.drift),
    drift_sd_pct_a_year=SHARE.of(lambda learned: learned.drift_sd),
    scatter=FACTOR.of(lambda learned: learned.sd),
    outlying=WHOLE,
    price_new_looked_up=added(WHOLE, lambda learned: learned.assumed),
)
SALES_LEARN: Output[tuple[Learned, Sequence[Unused], bool, Sequence[str]]] = Output(
    "sales_learn",
    **_LEARNED.within(lambda told: told[0]),
    unused=list_of(_UNUSED).of(lambda told: told[1]),
    rows=list_of(_ROW).of(lambda told: told[0].rows),
    taken=YES_NO.of(lambda told: told[2]),
    left_out=list_of(TEXT).of(lambda told: told[3]),
)
"""Learned rows, unused sales, whether the rows were written, rows left out for the user's own."""

_OUTLYING: Object[Outlying] = Object(against=TEXT, score=NUMBER, times=FACTOR)
_LIKE: Object[Like] = Object(
    distance=FACTOR,
    steps=map_of(FACTOR).doc("feature, and its share of the price").of(lambda one: dict(one.steps)),
    sale=SALE,
    outlying=added(nullable(_OUTLYING), lambda one: one.outlying),
)
SALES_LIKE: Output[tuple[Likes, Sequence[Like]]] = Output(
    "sales_like",
    book=TEXT.of(lambda told: told[0].book),
    found=list_of(_LIKE).of(lambda told: told[0].found),
    proposed=WHOLE.of(lambda told: told[0].proposed),
    comparables_already=WHOLE.of(lambda told: told[0].there),
    unused=list_of(_UNUSED).of(lambda told: told[0].unused),
    taken=WHOLE.of(lambda told: len(told[1])),
)
"""Like sales, the nearest first, with those of them that were taken."""

_TENTH_PCT: Type[float] = leaf(PCT.schema({}), lambda share: TENTHS.dump(100 * share))
_SCORED: Object[Group] = Object(
    name=TEXT,
    n=WHOLE,
    within=WHOLE,
    below=WHOLE,
    above=WHOLE,
    within_low_pct=_TENTH_PCT.of(lambda group: group.interval[0]),
    within_high_pct=_TENTH_PCT.of(lambda group: group.interval[1]),
    price_over_middle=FACTOR.of(lambda group: group.ratio),
    above_middle=WHOLE,
    pinball=FACTOR,
    wider=number(3),
    pit=list_of(FACTOR),
)
_GROUP: Object[tuple[Group, Sequence[str]]] = Object(
    **_SCORED.within(lambda told: told[0]),
    advice=list_of(TEXT).of(lambda told: told[1]),
)
SALES_SCORE: Output[Sequence[tuple[Group, Sequence[str]]]] = Output(
    "sales_score", groups=list_of(_GROUP).of(lambda groups: groups)
)
"""Each group with its advice: all sales first, then by kind, class and kind of sale."""

_LIFE: Object[LearnedLife] = Object(
    row=TEXT.of(lambda one: one.row.ref),
    renewals=WHOLE.of(lambda one: one.events),
    in_service=WHOLE.of(lambda one: one.censored),
    factor=FACTOR,
    factor_sd=FACTOR.of(lambda one: one.sd),
    before_years=_SPAN.of(lambda one: Range(one.row.low, one.row.typical, one.row.high)),
    after_years=_SPAN.of(lambda one: one.after),
    after_heavy_years=_SPAN.of(lambda one: one.heavy),
)
LIVES: Output[tuple[int, Sequence[LearnedLife], bool, Sequence[str]]] = Output(
    "lives", **in_order(cases=WHOLE, rows=list_of(_LIFE), taken=YES_NO, left_out=list_of(TEXT))
)
"""Service lives [years] before and after."""
