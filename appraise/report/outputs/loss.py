"""`loss --json` and `loss -o FILE.json`: the same files, tables and seed give the same bytes on every machine."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise import __version__
from appraise.engine.loss.arithmetic import total_share
from appraise.engine.loss.limits import converted
from appraise.explain.terms import PERIOD_NOTES, PERIODS, answers_text, limit_text
from appraise.model.claim import Finding
from appraise.model.locale_format import PLAIN
from appraise.model.loss import Doubt, Measure, QuotationUse, RemarkClass
from appraise.report.kinds import OF_A_LOSS, document_for
from appraise.report.loss.compared import DEFER
from appraise.report.loss.costing import billed
from appraise.report.outputs.document import DOCUMENT, ROWS, STANDING
from appraise.report.outputs.fields import (
    DAY,
    EXACT_MONEY,
    GRADE,
    LITERAL,
    MONEY,
    NUMBER,
    SHA256,
    SHARE,
    STATED_MONEY,
    TENTHS,
    TEXT,
    VERSION,
    WHOLE,
    YES_NO,
    Object,
    Output,
    added,
    leaf,
    list_of,
    nullable,
    number,
    one_of,
    range_of,
    stated,
)

if TYPE_CHECKING:
    from decimal import Decimal

    from appraise.engine.loss.itemised import Bill
    from appraise.engine.loss.itemised import Line as BillLine
    from appraise.engine.loss.limits import Converted
    from appraise.model.case import Identity
    from appraise.model.claim import Claim, Notice, SalvageBid
    from appraise.model.loss import (
        Alternative,
        CarriageLimit,
        CheckChange,
        Dated,
        Deadline,
        Loss,
        QuotedWork,
        RemarkLine,
        RemarkScenario,
        RepairItem,
        Scenario,
        Terms,
        WorseComponent,
    )
    from appraise.report.document import Photo
    from appraise.report.loss.compared import Compared, PhotoPair, StateFile
    from appraise.report.outputs.fields import Type
    from appraise.tables.rows_carriage import CarriageRule

_RANGE = nullable(range_of(MONEY))
_MEASURE = one_of(*Measure)

_FILE: Object[StateFile] = Object(
    file=LITERAL,
    sha256=SHA256,
    inspected=DAY.of(lambda state: state.case.assignment.inspected),
    preliminary_parts=list_of(TEXT)
    .doc("parts graded at a quick look, on which the figures rest")
    .of(lambda state: sorted(state.case.preliminary)),
)
_BEFORE: Object[Compared] = Object(
    **_FILE.within(lambda i: i.before),
    remembered=YES_NO.doc("the earlier state that the later case keeps").of(lambda i: i.remembered is not None),
)
_IDENTITY: Object[Identity] = Object(kind=one_of("grand", "upright"), maker=LITERAL, model=LITERAL, serial=LITERAL)
_PHOTO: Object[Photo] = Object(file=LITERAL, sha256=stated(SHA256), taken=stated(LITERAL), problem=stated(LITERAL))
_PAIR: Object[PhotoPair] = Object(
    place=TEXT,
    before=nullable(_PHOTO).of(lambda pair: pair.before if pair.before.file else None),
    after=nullable(_PHOTO).of(lambda pair: pair.after if pair.after.file else None),
)

_JOB: Object[RepairItem] = Object(
    remedy=TEXT,
    label=LITERAL,
    components=list_of(TEXT),
    hours=range_of(number(2)),
    cost=_RANGE,
    replaces=YES_NO,
    depreciation_pct=SHARE.of(lambda job: job.depreciation),
    betterment=_RANGE,
    by_table=_RANGE,
)
_ALTERNATIVE: Object[Alternative] = Object(measure=TEXT, loss=_RANGE, payable=_RANGE)
_QUOTATION: Object[QuotedWork] = Object(
    firm=LITERAL.of(lambda work: work.quotation.firm),
    number=LITERAL.of(lambda work: work.quotation.number),
    day=DAY.of(lambda work: work.quotation.day),
    valid_until=nullable(DAY).of(lambda work: work.quotation.valid_until),
    jobs=list_of(TEXT).of(lambda work: work.quotation.jobs),
    scope=LITERAL.of(lambda work: work.quotation.scope),
    amount=STATED_MONEY.of(lambda work: work.quotation.amount),
    tax=STATED_MONEY.of(lambda work: work.quotation.tax),
    counted=STATED_MONEY,
    by_table=_RANGE,
    use=one_of(*QuotationUse),
    file=stated(LITERAL).of(lambda work: work.quotation.file),
    sha256=stated(SHA256).of(lambda work: work.quotation.sha256),
)
_DECIMAL: Type[Decimal] = leaf(NUMBER.schema({}), float)
_BILL_LINE: Object[BillLine] = Object(
    remedy=TEXT.of(lambda line: line.job.remedy),
    hours=nullable(_DECIMAL),
    labour=nullable(EXACT_MONEY),
    parts_pct=nullable(_DECIMAL),
    parts=nullable(EXACT_MONEY),
    overhead=nullable(EXACT_MONEY),
    contingency=nullable(EXACT_MONEY),
    cost=EXACT_MONEY,
    depreciation_pct=_DECIMAL.of(lambda line: line.worn_pct),
    betterment=EXACT_MONEY,
)
_BILL: Object[Bill] = Object(
    labour_rate=TEXT.of(lambda bill: str(bill.rate)),
    parts_rate=TEXT.of(lambda bill: str(bill.parts_rate)),
    overhead_pct=_DECIMAL,
    contingency_pct=_DECIMAL,
    lines=list_of(_BILL_LINE),
    cost=EXACT_MONEY,
    betterment=EXACT_MONEY,
    net=EXACT_MONEY,
)
_READING: Object[Scenario] = Object(
    counting=TEXT.doc("established counts what is known to come from the move, all_unknown adds all of unknown origin"),
    components=list_of(TEXT),
    repair_items=list_of(_JOB).of(lambda each: each.items),
    unrestored=list_of(TEXT),
    repair=_RANGE,
    betterment=_RANGE,
    net_repair=_RANGE,
    value_after=_RANGE,
    diminution=_RANGE,
    residual=_RANGE.doc("what a repair leaves of the fall in value"),
    repair_route=_RANGE.doc("net repair and residual"),
    salvage=_RANGE,
    repair_share_pct=nullable(SHARE).of(lambda each: each.repair_share),
    total_loss=YES_NO,
    constructive_total_loss=nullable(YES_NO).of(lambda each: each.constructive),
    measure=_MEASURE,
    loss=_RANGE,
    payable=_RANGE,
    alternatives=list_of(_ALTERNATIVE).doc("every measure, with its loss and what is payable"),
    apportioned_pct=SHARE.of(lambda each: each.apportioned),
    quotations=list_of(_QUOTATION),
)
_SCENARIO: Object[tuple[Compared, Scenario]] = Object(
    **_READING.within(lambda both: both[1]),
    bill=nullable(_BILL).doc("the repair line by line, at its typical figures").of(lambda both: billed(*both)),
)

_DOUBTFUL: Object[RemarkScenario] = Object(
    place=TEXT.of(lambda each: each.line.latest.place),
    text=LITERAL.of(lambda each: each.line.latest.text),
    doubt=one_of(*Doubt),
    check=stated(TEXT).of(lambda each: each.line.latest.check),
    probability_pct=nullable(SHARE).of(lambda each: each.probability),
    costed=YES_NO,
    loss_without=_RANGE.of(lambda each: each.without),
    loss_with=_RANGE.of(lambda each: each.counted),
    payable_without=_RANGE,
    payable_with=_RANGE.of(lambda each: each.payable_counted),
)
_NOTICE: Object[Notice] = Object(day=DAY, how=LITERAL, to=stated(LITERAL), reservations=stated(LITERAL))
_BID: Object[SalvageBid] = Object(
    bidder=LITERAL, day=DAY, amount=STATED_MONEY, file=stated(LITERAL), sha256=stated(SHA256)
)
_LIMIT: Object[tuple[CarriageLimit, Converted]] = Object(
    rule=TEXT.of(lambda both: both[0].rule),
    amount=MONEY.of(lambda both: both[1].amount),
    rate=nullable(NUMBER).of(lambda both: both[1].rate.rate if both[1].rate else None),
    rate_day=nullable(DAY).of(lambda both: both[1].rate.day if both[1].rate else None),
    rate_source=stated(LITERAL).of(lambda both: both[1].rate.source if both[1].rate else None),
)
_CLAIM: Object[Claim] = Object(
    regime=stated(LITERAL),
    carrier=stated(LITERAL),
    insurer=stated(LITERAL),
    mover=stated(LITERAL),
    contract_number=stated(LITERAL),
    consignment_number=stated(LITERAL),
    claim_number=stated(LITERAL),
    policy_number=stated(LITERAL),
    declared_value=nullable(STATED_MONEY),
    handed_over=nullable(DAY),
    lost=nullable(DAY),
    notices=list_of(_NOTICE),
    salvage_bids=list_of(_BID),
)


def _limits(item: Compared) -> list[tuple[CarriageLimit, Converted]]:
    """Return the limits of carriage that come to an amount in the currency of the case."""
    rates = item.after.case.claim.rates
    limits = ((limit, converted(limit, item.loss.currency, rates)) for limit in item.limits)
    return [(limit, mine) for limit, mine in limits if mine is not None]


_CLAIMED: Object[Compared] = Object(**_CLAIM.within(lambda i: i.after.case.claim), limits=list_of(_LIMIT).of(_limits))

_REMARK: Object[RemarkLine] = Object(
    class_=one_of(*RemarkClass).of(lambda line: line.outcome),
    place=TEXT.of(lambda line: line.latest.place),
    origin=TEXT,
    cause=LITERAL.of(lambda line: line.latest.cause),
    finding=one_of(*Finding).of(lambda line: line.latest.finding),
    peril=added(stated(TEXT), lambda line: line.latest.peril),
    stage=added(stated(TEXT), lambda line: line.latest.stage),
    exclusion=added(stated(TEXT), lambda line: line.latest.exclusion),
    sign_for=added(stated(LITERAL), lambda line: line.latest.exclusion_for),
    sign_against=added(stated(LITERAL), lambda line: line.latest.exclusion_against),
    share_pct=added(nullable(NUMBER), lambda line: line.latest.share_pct),
    share_reason=added(stated(LITERAL), lambda line: line.latest.share_reason),
    notes=list_of(WHOLE).of(lambda line: line.latest.notes),
    before=nullable(LITERAL).of(lambda line: line.before.text if line.before else None),
    after=nullable(LITERAL).of(lambda line: line.after.text if line.after else None),
    likeness_pct=SHARE.of(lambda line: line.likeness),
    ticked=YES_NO.doc("the assessor said so"),
)
_CHANGE: Object[CheckChange] = Object(
    check=TEXT,
    component=TEXT,
    before=stated(LITERAL).of(lambda change: answers_text(change.before, change.unit, PLAIN)),
    after=stated(LITERAL).of(lambda change: answers_text(change.after, change.unit, PLAIN)),
    grade_before=nullable(GRADE),
    grade_after=nullable(GRADE),
)
_WORSE: Object[WorseComponent] = Object(
    component=TEXT,
    station=TEXT,
    grade_before=GRADE,
    grade_after=GRADE,
    checks=list_of(TEXT),
    checks_only_after=list_of(TEXT).of(lambda part: part.only_after),
    origin=TEXT,
)
_TERMS: Object[Compared] = Object(
    betterment_deducted=YES_NO.of(lambda i: i.loss.terms.betterment),
    sum_insured=nullable(STATED_MONEY).of(lambda i: i.loss.terms.sum_insured),
    value_at_risk=nullable(MONEY).of(lambda i: i.loss.value_at_risk),
    value_at_risk_stated=YES_NO.of(lambda i: i.loss.terms.value_at_risk is not None),
    average_pct=nullable(SHARE).of(lambda i: i.loss.average),
    special_condition_of_average=YES_NO.of(lambda i: i.loss.terms.special_condition),
    excess=nullable(STATED_MONEY).of(lambda i: i.loss.terms.excess),
    surrendered=YES_NO.of(lambda i: i.loss.terms.surrendered),
    total_loss_share_pct=TENTHS.of(lambda i: 100.0 * total_share(i.loss.terms, i.tables)),
    residual_stated=YES_NO.of(lambda i: i.loss.terms.residual is not None),
    marine_partial=_RANGE.of(lambda i: i.loss.marine_partial),
)
_RULE: Object[tuple[CarriageRule, CarriageLimit | None]] = Object(
    rule=TEXT.of(lambda both: both[0].key),
    regime=LITERAL.of(lambda both: both[0].regime),
    topic=TEXT.of(lambda both: both[0].topic),
    text=LITERAL.of(lambda both: both[0].text),
    unit=stated(TEXT).of(lambda both: both[0].unit),
    at_most=nullable(MONEY.doc("money, in the unit beside it")).of(lambda both: both[1].amount if both[1] else None),
    how=nullable(TEXT).of(lambda both: limit_text(both[1], PLAIN) if both[1] else None),
    standing=TEXT.of(lambda both: both[0].standing),
    source=TEXT.of(lambda both: both[0].source),
    where=LITERAL.of(lambda both: both[0].where),
)


def _rules(item: Compared) -> list[tuple[CarriageRule, CarriageLimit | None]]:
    """Return every rule of carriage, with its limit where it has one."""
    limits = {limit.rule: limit for limit in item.limits}
    return [(rule, limits.get(key)) for key, rule in item.tables.carriage_rules.items()]


_CARRIAGE: Object[Compared] = Object(
    weight_kg=nullable(NUMBER),
    volume_m3=nullable(NUMBER),
    note=TEXT.of(lambda _: DEFER),
    rules=list_of(_RULE).of(_rules),
)
_DEADLINE: Object[Deadline] = Object(
    rule=TEXT,
    for_=TEXT.of(lambda each: PERIODS[each.concerns]),
    last_day=DAY.of(lambda each: each.last),
    passed=YES_NO,
    roughly=stated(TEXT).of(lambda each: PERIOD_NOTES[each.roughly]),
)
_DATED: Object[Dated] = Object(when=TEXT, what=LITERAL, file=TEXT)

_FOUND: Object[Loss] = Object(
    remarks=list_of(_REMARK),
    checks=list_of(_CHANGE).doc("those that changed"),
    components=list_of(_WORSE).doc("those that got worse"),
    checks_unchanged=list_of(TEXT).of(lambda loss: loss.unchanged),
)
_RUN: Object[Loss] = Object(tables_version=VERSION, seed=WHOLE, draws=WHOLE)
_COMPARED: Object[Compared] = Object(
    before=_BEFORE.of(lambda i: i),
    after=_FILE,
    identity=_IDENTITY.of(lambda i: i.after.case.identity),
    currency=TEXT.of(lambda i: i.loss.currency),
    basis=TEXT.of(lambda i: i.loss.basis),
    valued_on=DAY.of(lambda i: i.loss.day),
    value_before=_RANGE.of(lambda i: i.loss.value_before),
    measure=_MEASURE.doc("of the first scenario, as are loss and payable").of(lambda i: i.proposed.measure),
    loss=_RANGE.of(lambda i: i.proposed.loss),
    payable=_RANGE.of(lambda i: i.proposed.payable),
    scenarios=list_of(_SCENARIO).of(lambda i: [(i, each) for each in i.loss.scenarios]),
    doubtful=list_of(_DOUBTFUL).doc("each remark in doubt, with and without it").of(lambda i: i.loss.doubtful),
    claim=_CLAIMED.of(lambda i: i),
    **_FOUND.within(lambda i: i.loss),
    terms=_TERMS.of(lambda i: i),
    carriage=_CARRIAGE.of(lambda i: i),
    delivered=nullable(DAY),
    deadlines=list_of(_DEADLINE),
    timeline=list_of(_DATED).of(lambda i: i.timeline),
    photos=list_of(_PAIR),
    cautions=list_of(LITERAL).of(lambda i: [*i.limitations, *(row.text for row in i.cautions)]),
    assumptions=list_of(LITERAL),
    **_RUN.within(lambda i: i.loss),
)

LOSS: Output[Compared] = Output("loss", **_COMPARED.fields)

_GIVEN = nullable(leaf(TEXT.schema({}), str))
_AGREED: Object[Terms] = Object(
    betterment=YES_NO,
    sum_insured=_GIVEN,
    value_at_risk=_GIVEN,
    excess=_GIVEN,
    special_condition=YES_NO,
    surrendered=YES_NO,
    residual=_GIVEN,
    total_loss_pct=_GIVEN,
)
_RECOMPUTE: Object[Compared] = Object(
    program=TEXT.of(lambda _: __version__),
    before_text=TEXT.of(lambda i: i.before.text),
    after_text=TEXT.of(lambda i: i.after.text),
    terms=_AGREED.of(lambda i: i.loss.terms),
    weight_kg=nullable(NUMBER),
    volume_m3=nullable(NUMBER),
    delivered=_GIVEN,
    rows=ROWS.of(lambda i: i.tables),
)
_AGAIN = nullable(_RECOMPUTE).doc("what it takes to compute it again; null for states without files")

DOSSIER: Output[tuple[Compared, str]] = Output(
    "dossier",
    **_COMPARED.within(lambda r: r[0]),
    kind=one_of(*OF_A_LOSS).of(lambda r: r[1]),
    **STANDING.within(lambda r: r[0].standing),
    recompute=_AGAIN.of(lambda r: r[0] if r[0].before.text and r[0].after.text else None),
    document=DOCUMENT.of(lambda r: document_for(r[1], r[0])),
)
