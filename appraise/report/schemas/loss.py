"""`loss` with `--json`: the comparison, the dossier, the state set before a move."""

from __future__ import annotations

from appraise.report.kinds import OF_A_LOSS
from appraise.report.loss.json_out import SCHEMA
from appraise.report.schemas.build import (
    DAY,
    GRADE,
    MONEY,
    NUMBER,
    PCT,
    SHA256,
    TEXT,
    VERSION,
    WHOLE,
    YES_NO,
    Schema,
    listed,
    maybe,
    obj,
    one_of,
    span,
    version,
)
from appraise.report.schemas.documents import DOCUMENT, LOSS_AGAIN, STANDING

KEPT_STATE = 1
"""Version of what `loss --set-before --json` prints."""

_MEASURE = one_of("repair", "diminution", "total_loss", "none")
_RANGE = maybe(span(MONEY))
_FILE = obj(file=TEXT, sha256=SHA256, inspected=DAY, preliminary_parts=listed(TEXT))
_PHOTO = maybe(obj(file=TEXT, sha256=maybe(SHA256), taken=maybe(TEXT), problem=maybe(TEXT)))
_JOB = obj(
    remedy=TEXT,
    label=TEXT,
    components=listed(TEXT),
    hours=span(NUMBER),
    cost=_RANGE,
    replaces=YES_NO,
    depreciation_pct=PCT,
    betterment=_RANGE,
    by_table=_RANGE,
)
_QUOTATION = obj(
    firm=TEXT,
    number=TEXT,
    day=DAY,
    valid_until=maybe(DAY),
    jobs=listed(TEXT),
    scope=TEXT,
    amount=MONEY,
    tax=MONEY,
    counted=MONEY,
    by_table=_RANGE,
    use=one_of("taken", "expired", "beyond", "overlaps"),
    file=maybe(TEXT),
    sha256=maybe(SHA256),
)
_LINE = obj(
    remedy=TEXT,
    hours=maybe(NUMBER),
    labour=maybe(MONEY),
    parts_pct=maybe(NUMBER),
    parts=maybe(MONEY),
    overhead=maybe(MONEY),
    contingency=maybe(MONEY),
    cost=MONEY,
    depreciation_pct=NUMBER,
    betterment=MONEY,
)
_BILL = obj(
    labour_rate=TEXT,
    parts_rate=TEXT,
    overhead_pct=NUMBER,
    contingency_pct=NUMBER,
    lines=listed(_LINE),
    cost=MONEY,
    betterment=MONEY,
    net=MONEY,
)
_DOUBT = obj(
    place=TEXT,
    text=TEXT,
    doubt=one_of("unknown_origin", "suspected", "unmoved", "no_remark", "not_seen"),
    check=maybe(TEXT),
    probability_pct=maybe(PCT),
    costed=YES_NO,
    loss_without=_RANGE,
    loss_with=_RANGE,
    payable_without=_RANGE,
    payable_with=_RANGE,
)
_CLAIM = obj(
    regime=maybe(TEXT),
    carrier=maybe(TEXT),
    insurer=maybe(TEXT),
    mover=maybe(TEXT),
    contract_number=maybe(TEXT),
    consignment_number=maybe(TEXT),
    claim_number=maybe(TEXT),
    policy_number=maybe(TEXT),
    declared_value=maybe(MONEY),
    handed_over=maybe(DAY),
    lost=maybe(DAY),
    notices=listed(obj(day=DAY, how=TEXT, to=maybe(TEXT), reservations=maybe(TEXT))),
    salvage_bids=listed(obj(bidder=TEXT, day=DAY, amount=MONEY, file=maybe(TEXT), sha256=maybe(SHA256))),
    limits=listed(
        obj(rule=TEXT, amount=MONEY, rate=maybe(NUMBER), rate_day=maybe(DAY), rate_source=maybe(TEXT)),
    ),
)
_SCENARIO = obj(
    counting=TEXT,
    components=listed(TEXT),
    repair_items=listed(_JOB),
    unrestored=listed(TEXT),
    repair=_RANGE,
    betterment=_RANGE,
    net_repair=_RANGE,
    value_after=_RANGE,
    diminution=_RANGE,
    salvage=_RANGE,
    repair_share_pct=maybe(PCT),
    total_loss=YES_NO,
    constructive_total_loss=YES_NO,
    residual=_RANGE,
    repair_route=_RANGE,
    alternatives=listed(obj(measure=TEXT, loss=_RANGE, payable=_RANGE)),
    measure=_MEASURE,
    loss=_RANGE,
    payable=_RANGE,
    apportioned_pct=PCT,
    quotations=listed(_QUOTATION),
    bill=maybe(_BILL),
)
_REMARK = {
    "type": "object",
    "properties": {
        "class": one_of("kept", "worse", "new", "mended"),
        "place": TEXT,
        "origin": TEXT,
        "cause": TEXT,
        "notes": listed(WHOLE),
        "before": maybe(TEXT),
        "after": maybe(TEXT),
        "likeness_pct": PCT,
        "ticked": YES_NO,
        "finding": one_of("yes", "suspected", "no", "not_seen"),
        "peril": maybe(TEXT),
        "stage": maybe(TEXT),
        "exclusion": maybe(TEXT),
        "sign_for": maybe(TEXT),
        "sign_against": maybe(TEXT),
        "share_pct": maybe(NUMBER),
        "share_reason": maybe(TEXT),
    },
    "required": ["class", "place", "origin", "cause", "notes", "before", "after", "likeness_pct", "ticked", "finding"],
}
_TERMS = obj(
    betterment_deducted=YES_NO,
    sum_insured=maybe(MONEY),
    value_at_risk=maybe(MONEY),
    value_at_risk_stated=YES_NO,
    average_pct=maybe(PCT),
    special_condition_of_average=YES_NO,
    excess=maybe(MONEY),
    surrendered=YES_NO,
    total_loss_share_pct=NUMBER,
    residual_stated=YES_NO,
    marine_partial=_RANGE,
)
_DEADLINE = obj(**{"rule": TEXT, "for": TEXT, "last_day": DAY, "passed": YES_NO, "roughly": maybe(TEXT)})
_RULE = obj(
    rule=TEXT,
    regime=TEXT,
    topic=TEXT,
    text=TEXT,
    unit=maybe(TEXT),
    at_most=maybe(MONEY),
    how=maybe(TEXT),
    standing=TEXT,
    source=TEXT,
    where=TEXT,
)


def loss() -> Schema:
    """Return the schema of what `loss --json` prints."""
    return obj(
        schema=version(SCHEMA),
        before=obj(**_FILE["properties"], remembered=YES_NO),
        after=_FILE,
        identity=obj(kind=one_of("grand", "upright"), maker=TEXT, model=TEXT, serial=TEXT),
        currency=TEXT,
        basis=TEXT,
        valued_on=DAY,
        value_before=_RANGE,
        measure=_MEASURE,
        loss=_RANGE,
        payable=_RANGE,
        scenarios=listed(_SCENARIO),
        doubtful=listed(_DOUBT),
        claim=_CLAIM,
        remarks=listed(_REMARK),
        checks=listed(
            obj(
                check=TEXT,
                component=TEXT,
                before=maybe(TEXT),
                after=maybe(TEXT),
                grade_before=maybe(GRADE),
                grade_after=maybe(GRADE),
            )
        ),
        components=listed(
            obj(
                component=TEXT,
                station=TEXT,
                grade_before=GRADE,
                grade_after=GRADE,
                checks=listed(TEXT),
                checks_only_after=listed(TEXT),
                origin=TEXT,
            )
        ),
        checks_unchanged=listed(TEXT),
        delivered=maybe(DAY),
        deadlines=listed(_DEADLINE),
        terms=_TERMS,
        carriage=obj(weight_kg=maybe(NUMBER), volume_m3=maybe(NUMBER), note=TEXT, rules=listed(_RULE)),
        timeline=listed(obj(when=TEXT, what=TEXT, file=TEXT)),
        photos=listed(obj(place=TEXT, before=_PHOTO, after=_PHOTO)),
        cautions=listed(TEXT),
        assumptions=listed(TEXT),
        tables_version=VERSION,
        seed=WHOLE,
        draws=WHOLE,
    )


def dossier() -> Schema:
    """Return the schema of what `loss -o FILE.json` and `report --kind notice` or `request` write."""
    whole = loss()
    more = {"kind": one_of(*map(str, OF_A_LOSS)), **STANDING, "recompute": maybe(LOSS_AGAIN), "document": DOCUMENT}
    both = {**whole["properties"], **more}
    return {**whole, "properties": both, "required": list(both)}


def set_before() -> Schema:
    """Return the schema of what `loss --set-before --json` prints: the frozen copy of the state kept."""
    return obj(schema=version(KEPT_STATE), file=TEXT, sha256=SHA256, day=DAY)
