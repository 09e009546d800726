"""`value --json`, `report -o FILE.json` and `why --json`."""

from __future__ import annotations

from appraise.model.result import WorkList
from appraise.report.json_out import SCHEMA
from appraise.report.kinds import ReportKind
from appraise.report.schemas.build import (
    DAY,
    GRADE,
    MONEY,
    NUMBER,
    PCT,
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
    span,
    version,
)
from appraise.report.schemas.documents import AGAIN, DOCUMENT, STANDING
from appraise.tables.row import Standing

_IDENTITY = obj(
    kind=one_of("grand", "upright"),
    maker=TEXT,
    model=TEXT,
    size_cm=maybe(NUMBER),
    serial=TEXT,
    made=maybe(TEXT),
    compass=WHOLE,
    overdamper=maybe(YES_NO),
    drop_action=maybe(YES_NO),
    straight_strung=maybe(YES_NO),
    player=TEXT,
    last_tuned=maybe(TEXT),
    stairs=maybe(WHOLE),
    owners=maybe(WHOLE),
)
_WORTH = obj(low=MONEY, mid=MONEY, high=MONEY, percentiles=keyed(MONEY), step=MONEY)
_WORK = obj(
    remedy=TEXT,
    label=TEXT,
    cost_low=MONEY,
    cost_mid=MONEY,
    cost_high=MONEY,
    hours=span(NUMBER),
    value_added=MONEY,
    curable=YES_NO,
    step=YES_NO,
    chosen=YES_NO,
    safety=YES_NO,
    pieces=WHOLE,
    if_left=TEXT,
)
_MARKET = obj(level=TEXT, exposure=TEXT, standing=maybe(one_of(*(each.value for each in Standing))))
_CHECK = obj(
    check=TEXT,
    grade=GRADE,
    value=maybe(NUMBER),
    value_low=maybe(NUMBER),
    value_high=maybe(NUMBER),
    readings=WHOLE,
    capped=YES_NO,
)
_COMPONENT = obj(
    component=TEXT,
    label=TEXT,
    share_pct=PCT,
    inspected_pct=PCT,
    grade=GRADE,
    grade_low=GRADE,
    grade_high=GRADE,
    derived_grade=maybe(GRADE),
    expected_grade=GRADE,
    governing=maybe(TEXT),
    overruled=YES_NO,
    age_years=span(NUMBER),
    age_evidence=TEXT,
    life_years=span(NUMBER),
    consumed_pct=PCT,
    depreciation_pct=PCT,
    depreciation_low_pct=PCT,
    depreciation_high_pct=PCT,
    effective_age_years=NUMBER,
    remaining_years=span(NUMBER),
    variance_share_pct=PCT,
    usability_pct=PCT,
    due=YES_NO,
    checks=listed(_CHECK),
)
_STATION = obj(
    station=TEXT,
    label=TEXT,
    grade=GRADE,
    grade_low=GRADE,
    grade_high=GRADE,
    inspected=YES_NO,
    inspected_pct=PCT,
    checks_done=WHOLE,
    checks_total=WHOLE,
    depreciation_pct=PCT,
    depreciation_low_pct=PCT,
    depreciation_high_pct=PCT,
    effective_age_years=NUMBER,
    remaining_years=span(NUMBER),
    variance_share_pct=PCT,
    components=listed(_COMPONENT),
)
_APPROACH = obj(
    approach=TEXT,
    label=TEXT,
    used=YES_NO,
    low=MONEY,
    mid=MONEY,
    high=MONEY,
    relative_uncertainty_pct=PCT,
    weight_pct=PCT,
    reason=TEXT,
)
_COMPARABLE = obj(
    label=TEXT,
    price=MONEY,
    steps=listed(obj(feature=TEXT, added=MONEY)),
    adjusted=MONEY,
    gross_pct=PCT,
    net_pct=PCT,
    weight_pct=PCT,
    flagged=YES_NO,
    market_factor=NUMBER,
)
_NEXT = obj(check=TEXT, label=TEXT, station=TEXT, component=TEXT, narrows_pct=PCT, minutes=NUMBER)
_VISIT_CHECK = obj(
    check=TEXT,
    label=TEXT,
    station=TEXT,
    component=TEXT,
    minutes=NUMBER,
    narrows_pct=PCT,
    cumulative_pct=PCT,
    narrows_pct_per_minute=NUMBER,
    knock_out=YES_NO,
    changes_course=YES_NO,
    changes_purchase=YES_NO,
)
_DECISIVE = obj(
    check=TEXT, station=TEXT, component=TEXT, chance_moves_pct=PCT, worth=MONEY, work=maybe(MONEY), swing=MONEY
)
_ASKING = obj(price=MONEY, chance_pct=PCT, most=MONEY, most_sure=MONEY, sure_pct=PCT, decisive=maybe(_DECISIVE))
_VISIT = obj(
    minutes=NUMBER,
    takes_minutes=NUMBER,
    narrows_pct=PCT,
    comparable_narrows_pct=maybe(PCT),
    checks=listed(_VISIT_CHECK),
    asking=maybe(_ASKING),
)
_FACTOR = span(NUMBER)

REFERENCE = obj(ref=TEXT, standing=TEXT, source=TEXT, where=TEXT, yours=YES_NO)


def reason() -> Schema:
    """Return the schema of a figure with what it rests on; figures hold figures."""
    inner = obj(
        figure=TEXT,
        label=TEXT,
        value=VALUE,
        unit=TEXT,
        shown=TEXT,
        how=TEXT,
        references=listed(REFERENCE),
        parts=listed({"$ref": "#/$defs/reason"}),
    )
    return {"$defs": {"reason": inner}}


def value() -> Schema:
    """Return the schema of what `value --json` prints for one case; `visit` is there where one was asked for."""
    whole = _value()
    return {**whole, "properties": {**whole["properties"], "visit": _VISIT}}


def _value() -> Schema:
    return obj(
        schema=version(SCHEMA),
        case=TEXT,
        identity=_IDENTITY,
        inspected=DAY,
        preliminary=obj(parts=listed(TEXT), stations_not_inspected=listed(TEXT)),
        currency=TEXT,
        basis=TEXT,
        value=maybe(_WORTH),
        share_of_new_pct=span(PCT),
        left_alone=maybe(span(MONEY)),
        after_work=maybe(span(MONEY)),
        salvage=maybe(span(MONEY)),
        plan_cost=maybe(span(MONEY)),
        best=one_of("left_alone", "after_work", "salvage"),
        usability_pct=PCT,
        market_factor={**_FACTOR, "properties": {**_FACTOR["properties"], "from": TEXT}},
        basis_factor=_FACTOR,
        market=_MARKET,
        taking=maybe(MONEY),
        option=maybe(MONEY),
        renewal_factor=NUMBER,
        appearance_factor=NUMBER,
        market_age_years=NUMBER,
        work=obj(**{group.value: listed(_WORK) for group in WorkList}),
        stations=listed(_STATION),
        due=listed(
            obj(component=TEXT, label=TEXT, station=TEXT, grade=GRADE, large=YES_NO, inspected=YES_NO),
        ),
        economic_life=maybe(
            obj(
                years=span(NUMBER),
                longest_years=NUMBER,
                by_disposal_pct=PCT,
                by_work_pct=PCT,
                component=maybe(TEXT),
                basis=TEXT,
            )
        ),
        next_intervention=maybe(obj(component=TEXT, probability_pct=PCT, years=span(NUMBER))),
        next_checks=listed(_NEXT),
        approaches=listed(_APPROACH),
        comparables=listed(_COMPARABLE),
        drivers=listed(obj(input=TEXT, label=TEXT, share_pct=PCT)),
        laws=listed(obj(law=TEXT, share_of_new_pct=PCT)),
        rationale=listed(obj(topic=TEXT, text=TEXT, figures=listed(TEXT))),
        cautions=listed(obj(caution=TEXT, text=TEXT, standing=TEXT)),
        tables_version=VERSION,
        seed=WHOLE,
        draws=WHOLE,
    )


def values() -> Schema:
    """Return the schema of what `value --json` prints for several cases."""
    return obj(schema=version(SCHEMA), cases=listed(value()))


def report() -> Schema:
    """Return the schema of what `report -o FILE.json` writes; `reasons` are in a full report alone."""
    whole = _value()
    texts = ("purpose", "client", "intended_users", "assessor", "place", "limits", "law")
    more = obj(
        kind=one_of(*(kind.value for kind in ReportKind if kind is not ReportKind.LOSS)),
        **STANDING,
        recompute=maybe(AGAIN),
        document=DOCUMENT,
        assignment=obj(**dict.fromkeys(texts, TEXT), reported=maybe(DAY)),
        case_sha256=SHA256,
        reasons={"$ref": "#/$defs/reason"},
    )
    both = {**whole["properties"], **more["properties"]}
    return {**whole, "properties": both, "required": [key for key in both if key != "reasons"], **reason()}


def why() -> Schema:
    """Return the schema of what `why --json` prints."""
    whole = obj(
        schema=version(SCHEMA),
        case=TEXT,
        currency=TEXT,
        tables_version=VERSION,
        seed=WHOLE,
        draws=WHOLE,
        reason={"$ref": "#/$defs/reason"},
    )
    return {**whole, **reason()}
