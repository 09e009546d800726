"""`value --json`, `why --json`, `report -o FILE.json`: the same case, tables and seed give the same bytes anywhere."""

from __future__ import annotations

from dataclasses import replace
from operator import itemgetter
from typing import TYPE_CHECKING, Any

from appraise import __version__
from appraise.engine.economic_life import economic_life
from appraise.engine.work import groups
from appraise.explain.terms import APPROACHES, FEATURES, driver_label, weighting
from appraise.model.result import WorkList
from appraise.report.cautions import applicable
from appraise.report.kinds import OF_A_LOSS, WITHOUT_VALUE, ReportKind, document_for
from appraise.report.outputs.document import DOCUMENT, ROWS, STANDING
from appraise.report.outputs.fields import (
    ANY,
    DAY,
    FACTOR,
    GRADE,
    LITERAL,
    MONEY,
    NUMBER,
    PCT,
    SHA256,
    SHARE,
    TENTHS,
    TEXT,
    VERSION,
    WHOLE,
    YES_NO,
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
    one_of,
    optional,
    range_of,
    recursive,
    stated,
)
from appraise.report.preliminary import undecided
from appraise.report.value_texts import market_standing
from appraise.tables.rows import Standing

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from appraise.model.case import Assignment, Identity
    from appraise.model.reason import Reason, Reference, Sentence
    from appraise.model.result import (
        Approach,
        CheckResult,
        ComponentResult,
        Driver,
        DuePart,
        EconomicLife,
        GridLine,
        NextCheck,
        NextIntervention,
        StationResult,
        Suspected,
        Valuation,
        WorkItem,
    )
    from appraise.model.visit import Asking, Decisive, Visit, VisitCheck
    from appraise.report.appraisal import Appraisal, Asked
    from appraise.tables.rows import Caution, Tables

_RANGE = nullable(range_of(MONEY))
_SHARES = range_of(SHARE)

IDENTITY: Object[Identity] = Object(
    kind=one_of("grand", "upright"),
    maker=LITERAL,
    model=LITERAL,
    size_cm=nullable(NUMBER),
    serial=LITERAL,
    made=nullable(TEXT).of(lambda it: None if it.made is None else str(it.made)),
    compass=WHOLE,
    overdamper=nullable(YES_NO),
    drop_action=nullable(YES_NO),
    straight_strung=nullable(YES_NO),
    player=LITERAL,
    last_tuned=nullable(TEXT).of(lambda it: None if it.last_tuned is None else str(it.last_tuned)),
    stairs=nullable(WHOLE),
    owners=nullable(WHOLE),
)
_WORTH: Object[Valuation] = Object(
    **ends(MONEY).within(lambda v: v.value),
    percentiles=map_of(MONEY).of(lambda v: {f"p{percent}": amount for percent, amount in v.percentiles}),
    step=MONEY,
)
_VALUE = nullable(_WORTH).doc("as it stands, rounded outward; null without a replacement cost new")
_WORK: Object[WorkItem] = Object(
    remedy=TEXT,
    label=TEXT,
    cost_low=MONEY.of(lambda job: job.cost.low),
    cost_mid=MONEY.of(lambda job: job.cost.mid),
    cost_high=MONEY.of(lambda job: job.cost.high),
    hours=range_of(number(2)),
    value_added=MONEY,
    curable=YES_NO,
    step=YES_NO,
    chosen=YES_NO,
    safety=YES_NO,
    pieces=WHOLE,
    if_left=LITERAL,
)
_WORK_LISTS: Object[Mapping[WorkList, Sequence[WorkItem]]] = Object(
    needed=list_of(_WORK).of(lambda lists: lists[WorkList.NEEDED]),
    pays=list_of(_WORK).of(lambda lists: lists[WorkList.PAYS]),
    player=list_of(_WORK).of(lambda lists: lists[WorkList.PLAYER]),
)
_MARKET: Object[Appraisal] = Object(
    level=LITERAL.of(lambda i: i.tables.bases[i.valuation.basis].market_level),
    exposure=LITERAL.of(lambda i: i.tables.bases[i.valuation.basis].exposure),
    standing=nullable(one_of(*Standing)).of(lambda i: market_standing(i.case, i.tables, i.valuation)),
)
_CHECK: Object[CheckResult] = Object(
    check=TEXT,
    grade=GRADE,
    value=nullable(FACTOR),
    value_low=nullable(FACTOR),
    value_high=nullable(FACTOR),
    readings=WHOLE,
    capped=YES_NO,
    suspected_pct=added(
        nullable(SHARE).doc("of a suspected fault, how likely it is there"), lambda check: check.chance or None
    ),
    grade_there=added(
        nullable(GRADE).doc("of a suspected fault, the grade where it is there; grade is where it is not"),
        lambda check: check.grade_there,
    ),
)
_GRADES: Object[Any] = Object(
    grade=GRADE.of(lambda part: part.grade.mid),
    grade_low=GRADE.of(lambda part: part.grade.low),
    grade_high=GRADE.of(lambda part: part.grade.high),
)
_WEAR: Object[Any] = Object(
    depreciation_pct=SHARE.of(lambda part: part.depreciation.mid),
    depreciation_low_pct=SHARE.of(lambda part: part.depreciation.low),
    depreciation_high_pct=SHARE.of(lambda part: part.depreciation.high),
    effective_age_years=TENTHS,
    remaining_years=range_of(TENTHS),
    variance_share_pct=SHARE.of(lambda part: part.variance_share),
)
"""Alike of a component and of a station."""
_COMPONENT: Object[ComponentResult] = Object(
    component=TEXT,
    label=TEXT,
    share_pct=SHARE.of(lambda part: part.share),
    inspected_pct=SHARE.of(lambda part: part.inspected),
    **_GRADES.fields,
    derived_grade=nullable(GRADE),
    expected_grade=GRADE,
    governing=stated(TEXT),
    overruled=YES_NO,
    age_years=range_of(TENTHS),
    age_evidence=TEXT,
    life_years=range_of(TENTHS),
    consumed_pct=SHARE.of(lambda part: part.consumed),
    **_WEAR.fields,
    usability_pct=SHARE.of(lambda part: part.usability),
    due=YES_NO,
    checks=list_of(_CHECK),
)
_STATION: Object[StationResult] = Object(
    station=TEXT,
    label=TEXT,
    **_GRADES.fields,
    inspected=YES_NO.of(lambda station: station.inspected > 0),
    inspected_pct=SHARE.of(lambda station: station.inspected),
    checks_done=WHOLE,
    checks_total=WHOLE,
    **_WEAR.fields,
    components=list_of(_COMPONENT),
)
_DUE: Object[DuePart] = Object(component=TEXT, label=TEXT, station=TEXT, grade=GRADE, large=YES_NO, inspected=YES_NO)
_ECONOMIC_LIFE: Object[EconomicLife] = Object(
    years=range_of(TENTHS),
    longest_years=TENTHS.of(lambda life: life.longest),
    by_disposal_pct=SHARE.of(lambda life: life.by_value),
    by_work_pct=SHARE.of(lambda life: life.by_work),
    component=stated(TEXT).of(lambda life: life.part),
    basis=TEXT,
)
_INTERVENTION: Object[NextIntervention] = Object(
    component=TEXT, probability_pct=SHARE.of(lambda job: job.probability), years=range_of(TENTHS)
)
_NEXT: Object[NextCheck] = Object(check=TEXT, label=TEXT, station=TEXT, component=TEXT, narrows_pct=PCT, minutes=TENTHS)
_SUSPECTED: Object[Suspected] = Object(
    check=TEXT,
    label=TEXT,
    probability_pct=SHARE.of(lambda one: one.chance),
    value_without=MONEY.of(lambda one: one.without),
    value_counted=MONEY.of(lambda one: one.counted),
)
_APPROACH: Object[Approach] = Object(
    approach=TEXT,
    label=TEXT.of(lambda approach: APPROACHES[approach.approach]),
    used=YES_NO,
    **ends(MONEY).within(lambda approach: approach.value),
    relative_uncertainty_pct=SHARE.of(lambda approach: approach.relative_uncertainty),
    weight_pct=SHARE.of(lambda approach: approach.weight),
    reason=LITERAL.of(weighting),
)
_STEP: Object[tuple[str, float]] = Object(
    feature=TEXT.of(lambda step: FEATURES[step[0]]), added=MONEY.of(itemgetter(1))
)
_COMPARABLE: Object[GridLine] = Object(
    label=LITERAL,
    price=MONEY,
    steps=list_of(_STEP),
    adjusted=MONEY,
    gross_pct=PCT,
    net_pct=PCT,
    weight_pct=SHARE.of(lambda line: line.weight),
    flagged=YES_NO,
    market_factor=FACTOR,
    outlying=added(nullable(Object(against=TEXT, score=NUMBER, times=FACTOR)), lambda line: line.outlying),
)
_LAW: Object[tuple[str, float]] = Object(**in_order(law=TEXT, share_of_new_pct=SHARE))
_SENTENCE: Object[Sentence] = Object(topic=TEXT, text=TEXT, figures=list_of(TEXT))
_CAUTION: Object[Caution] = Object(caution=TEXT.of(lambda row: row.key), text=LITERAL, standing=TEXT)
_VISIT_CHECK: Object[VisitCheck] = Object(
    check=TEXT,
    label=TEXT,
    station=TEXT,
    component=TEXT,
    minutes=TENTHS,
    narrows_pct=PCT,
    cumulative_pct=PCT,
    narrows_pct_per_minute=number(3).of(lambda check: check.per_minute),
    knock_out=YES_NO,
    changes_course=YES_NO,
    changes_purchase=YES_NO,
)
_DECISIVE: Object[Decisive] = Object(
    check=TEXT, station=TEXT, component=TEXT, chance_moves_pct=PCT, worth=MONEY, work=nullable(MONEY), swing=MONEY
)
_ASKING: Object[Asking] = Object(
    price=MONEY,
    chance_pct=SHARE.of(lambda asking: asking.chance),
    most=MONEY,
    most_sure=MONEY,
    sure_pct=SHARE.of(lambda asking: asking.confidence),
    decisive=nullable(_DECISIVE),
)
_VISIT: Object[Visit] = Object(
    minutes=TENTHS,
    takes_minutes=TENTHS.of(lambda visit: visit.takes),
    narrows_pct=PCT,
    comparable_narrows_pct=nullable(PCT).of(lambda visit: visit.comparable_pct),
    checks=list_of(_VISIT_CHECK),
    asking=nullable(_ASKING),
)

_MARKET_FACTOR: Object[Valuation] = Object(
    **ends(FACTOR).within(lambda v: v.market_factor), from_=added(TEXT, lambda v: v.market_factor_from)
)
_FACTORS: Object[Valuation] = Object(
    share_of_new_pct=_SHARES.of(lambda v: v.share_of_new),
    left_alone=_RANGE.doc("the instrument as is"),
    after_work=_RANGE,
    salvage=_RANGE.doc("its disposal"),
    plan_cost=_RANGE,
    best=one_of("left_alone", "after_work", "salvage"),
    usability_pct=SHARE.of(lambda v: v.usability),
    market_factor=_MARKET_FACTOR.of(lambda v: v),
    basis_factor=range_of(FACTOR),
)
_PARTS: Object[Valuation] = Object(
    taking=nullable(MONEY).of(lambda v: None if v.value is None else v.taking),
    option=nullable(MONEY).of(lambda v: None if v.value is None else v.option),
    renewal_factor=FACTOR.of(lambda v: v.renewal),
    appearance_factor=FACTOR.of(lambda v: v.appearance),
    market_age_years=TENTHS.of(lambda v: v.market_age),
    work=_WORK_LISTS.of(lambda v: groups(v.work)),
    stations=list_of(_STATION),
    due=list_of(_DUE),
)
_COMPARISONS: Object[Valuation] = Object(
    next_intervention=nullable(_INTERVENTION),
    next_checks=list_of(_NEXT),
    suspected=added(
        list_of(_SUSPECTED).doc("best estimates where a suspected fault is not there, and where it is"),
        lambda v: v.suspected,
    ),
    approaches=list_of(_APPROACH),
    comparables=list_of(_COMPARABLE).of(lambda v: v.grid),
)
_RUN: Object[Valuation] = Object(tables_version=VERSION, seed=WHOLE, draws=WHOLE)
"""Inputs of the figures beside the case."""

_PRELIMINARY: Object[Appraisal] = Object(
    parts=list_of(TEXT).of(lambda i: sorted(i.case.preliminary)),
    stations_not_inspected=list_of(TEXT).of(lambda i: undecided(i.case, i.valuation, i.tables)),
)
_DRIVER: Object[tuple[Driver, Appraisal]] = Object(
    input=TEXT.of(lambda d: d[0].name),
    label=TEXT.of(lambda d: driver_label(d[0].input, d[1].case, d[1].tables)),
    share_pct=SHARE.of(lambda d: d[0].share),
)
_CASE: Object[Appraisal] = Object(
    case=TEXT.of(lambda i: i.file),
    identity=IDENTITY.of(lambda i: i.case.identity),
    inspected=DAY.of(lambda i: i.case.assignment.inspected),
    currency=TEXT.of(lambda i: i.valuation.currency),
    basis=TEXT.of(lambda i: i.valuation.basis),
    preliminary=_PRELIMINARY.of(lambda i: i),
    value=_VALUE.of(lambda i: None if i.valuation.value is None else i.valuation),
    **_FACTORS.within(lambda i: i.valuation),
    market=_MARKET.of(lambda i: i),
    **_PARTS.within(lambda i: i.valuation),
    economic_life=nullable(_ECONOMIC_LIFE).of(lambda i: economic_life(i.case, i.tables, i.valuation.seed)),
    **_COMPARISONS.within(lambda i: i.valuation),
    drivers=list_of(_DRIVER).of(lambda i: [(driver, i) for driver in i.valuation.drivers]),
    laws=list_of(_LAW).of(lambda i: i.valuation.laws),
    rationale=list_of(_SENTENCE).of(lambda i: [each for chapter in i.chapters for each in chapter.sentences]),
    cautions=list_of(_CAUTION).of(lambda i: applicable(i.case, i.tables, i.valuation)),
    **_RUN.within(lambda i: i.valuation),
)

VALUE: Output[tuple[Appraisal, Visit | None]] = Output(
    "value", **_CASE.within(lambda v: v[0]), visit=optional(_VISIT, lambda v: v[1])
)

VALUES: Output[Sequence[tuple[Appraisal, Visit | None]]] = Output("values", cases=list_of(VALUE).of(lambda all_: all_))

_REFERENCE: Object[Reference] = Object(ref=TEXT, standing=TEXT, source=LITERAL, where=LITERAL, yours=YES_NO)

_FIGURE: Type[float | str | None] = Type(
    ANY.schema, lambda value: round(value, 6) + 0.0 if isinstance(value, float) else value
)
_TREE = recursive("reason", lambda: _REASON)
_REASON: Object[Reason] = Object(
    figure=TEXT,
    label=LITERAL,
    value=_FIGURE,
    unit=TEXT,
    shown=LITERAL,
    how=LITERAL,
    references=list_of(_REFERENCE),
    parts=list_of(_TREE),
)


def _cut(node: Reason, depth: int | None) -> Reason:
    """Return a figure with so many levels below it; none: all."""
    return node if depth is None else replace(node, parts=tuple(_cut(part, depth - 1) for part in node.parts if depth))


WHY: Output[tuple[Appraisal, Reason, int | None]] = Output(
    "why",
    case=TEXT.of(lambda f: f[0].file),
    currency=TEXT.of(lambda f: f[0].valuation.currency),
    **_RUN.within(lambda f: f[0].valuation),
    reason=_TREE.of(lambda f: _cut(*f[1:])),
)

_ASSIGNMENT: Object[Assignment] = Object(
    purpose=LITERAL,
    client=LITERAL,
    intended_users=LITERAL,
    assessor=LITERAL,
    place=LITERAL,
    reported=nullable(DAY),
    limits=LITERAL,
    law=TEXT,
)
_RECOMPUTE: Object[tuple[Asked, Tables]] = Object(
    program=TEXT.of(lambda _: __version__),
    case_text=TEXT.of(lambda it: it[0].text),
    date=stated(leaf(TEXT.schema({}), str)).of(lambda it: it[0].day),
    basis=stated(TEXT).of(lambda it: it[0].basis),
    rows=ROWS.of(lambda it: it[1]),
)
_AGAIN = nullable(_RECOMPUTE).doc("what it takes to compute it again; null for a case that has no file")

REPORT: Output[tuple[Appraisal, str]] = Output(
    "report",
    **_CASE.within(lambda r: r[0]),
    kind=one_of(*(kind for kind in ReportKind if kind not in (*OF_A_LOSS, *WITHOUT_VALUE))).of(lambda r: r[1]),
    assignment=_ASSIGNMENT.of(lambda r: r[0].case.assignment),
    case_sha256=SHA256.of(lambda r: r[0].sha256),
    **STANDING.within(lambda r: r[0].standing),
    recompute=_AGAIN.of(lambda r: None if r[0].asked is None else (r[0].asked, r[0].tables)),
    document=DOCUMENT.of(lambda r: document_for(r[1], r[0])),
    reasons=optional(_TREE, lambda r: r[0].tree if r[1] == ReportKind.FULL else None),
)
