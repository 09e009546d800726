"""`rank` with `--json`, `--jsonl` and `--csv`: one candidate is one flat row."""

from __future__ import annotations

from math import floor
from typing import TYPE_CHECKING, Any

from appraise.model.ranking import COURSES
from appraise.report.outputs.fields import (
    DAY,
    LITERAL,
    NUMBER,
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
    in_order,
    leaf,
    list_of,
    nullable,
    one_of,
    stated,
)
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from appraise.model.currency import Rates
    from appraise.model.ranking import Candidate

_SLACK = 1e-6
"""An offer that is a unit short of rounding noise is that unit [money]."""

UNIT: Type[float] = leaf(WHOLE.schema({}), round)
"""An amount in whole units of the row's currency."""


class Priced:
    """A candidate with its offer rounded down to the unit, and the margin that the rounded figures leave."""

    def __init__(self, candidate: Candidate, rates: Rates | None = None) -> None:
        """Round its figures so that they add up as they are printed, each to the unit.

        Args:
            candidate: What is shown.
            rates: By which the offer is turned into another currency; none: it is not.
        """
        self.candidate = candidate
        self.trade = trade = candidate.trade
        taken = (trade.work.mid, trade.carriage, trade.preparation, trade.guarantee, trade.holding)
        self.offer = floor(trade.offer + _SLACK)
        self.margin = round(trade.resale.mid) - sum(map(round, taken)) - self.offer
        self.rate = None if rates is None else rates.of(trade.currency)
        """Units of the reference for one of its currency."""
        self.rates = None if self.rate is None else rates


RANK_ROW: Object[Priced] = Object(
    file=LITERAL.of(lambda row: row.candidate.file),
    kind=one_of("grand", "upright").of(lambda row: row.candidate.kind),
    maker=LITERAL.of(lambda row: row.candidate.maker),
    model=LITERAL.of(lambda row: row.candidate.model),
    size_cm=nullable(NUMBER).of(lambda row: row.candidate.size_cm),
    made=stated(TEXT).of(lambda row: row.candidate.made),
    currency=TEXT.of(lambda row: row.trade.currency),
    offer=WHOLE.doc("resale − work − carriage − preparation − guarantee − holding − margin"),
    resale_low=UNIT.of(lambda row: row.trade.resale.low),
    resale=UNIT.of(lambda row: row.trade.resale.mid),
    resale_high=UNIT.of(lambda row: row.trade.resale.high),
    work_low=UNIT.of(lambda row: row.trade.work.low),
    work=UNIT.of(lambda row: row.trade.work.mid),
    work_high=UNIT.of(lambda row: row.trade.work.high),
    carriage=UNIT.of(lambda row: row.trade.carriage),
    preparation=UNIT.of(lambda row: row.trade.preparation),
    guarantee=UNIT.of(lambda row: row.trade.guarantee),
    holding=UNIT.of(lambda row: row.trade.holding),
    margin=WHOLE,
    expected_profit=WHOLE.of(lambda row: row.margin),
    least_margin_pct=SHARE.of(lambda row: row.trade.margin_share),
    share_of_retail=nullable(UNIT).of(lambda row: row.trade.share_of_retail),
    margin_kept_pct=SHARE.of(lambda row: row.trade.margin_kept),
    loss_risk_pct=SHARE.of(lambda row: row.trade.risk),
    next_intervention_months=nullable(TENTHS).of(lambda row: row.trade.next_months),
    next_intervention_part=stated(LITERAL).of(lambda row: row.trade.next_part),
    inspected_pct=SHARE.of(lambda row: row.trade.looked_at),
    preliminary=YES_NO.of(lambda row: row.trade.preliminary),
    course=one_of(*COURSES).of(lambda row: row.trade.course),
    plan=TEXT.of(lambda row: "; ".join(map(literal, row.trade.plan))),
    not_stated=TEXT.of(lambda row: "; ".join(row.trade.not_stated)),
    resale_basis=TEXT.of(lambda row: row.trade.resale_basis),
    probability_pct=SHARE.of(lambda row: row.trade.probability),
    case_sha256=SHA256.of(lambda row: row.candidate.sha256),
    tables_version=VERSION.of(lambda row: row.trade.tables_version),
    seed=WHOLE.of(lambda row: row.trade.seed),
    draws=WHOLE.of(lambda row: row.trade.draws),
    program_version=TEXT.of(lambda row: row.candidate.program),
    serial=added(stated(LITERAL), lambda row: row.candidate.serial),
    basis=added(TEXT.doc("what the case asks for; the offer does not hang on it"), lambda row: row.candidate.basis),
    after_loss=added(YES_NO.doc("the state after a move or another loss"), lambda row: row.candidate.after_loss),
    twins=added(
        TEXT.doc("other files of the ranking with the same maker and serial, or the same content"), lambda _: ""
    ),
    unlike=added(
        TEXT.doc("of basis and after_loss, what most other rows have otherwise; known of all rows together"),
        lambda _: "",
    ),
    reference_currency=added(
        nullable(TEXT).doc("what the offer is converted to"),
        lambda row: None if row.rates is None else row.rates.reference,
    ),
    offer_converted=added(
        nullable(WHOLE).doc("the offer in reference_currency, rounded down"),
        lambda row: None if row.rate is None else floor(row.offer * row.rate + _SLACK),
    ),
    rate=added(nullable(NUMBER).doc("units of reference_currency for one of currency"), lambda row: row.rate),
    rate_date=added(nullable(DAY), lambda row: None if row.rates is None else row.rates.day),
    rate_source=added(nullable(LITERAL), lambda row: None if row.rates is None else row.rates.source),
)
"""One candidate; its keys are the columns of the CSV as well. Money is in whole units of its `currency`."""

KEYS = tuple(RANK_ROW.fields)

_ROWS: Type[Iterable[dict[str, Any]]] = Type(list_of(RANK_ROW).schema)
"""They are written already, one after the other."""

RANK: Output[tuple[str, Iterable[dict[str, Any]]]] = Output(
    "rank", **in_order(sorted_by=one_of(*KEYS), candidates=_ROWS)
)
RANK_WHY: Output[Sequence[str]] = Output("rank_why", why=list_of(TEXT).of(lambda sentences: sentences))
"""Why the better of two beats the other."""
