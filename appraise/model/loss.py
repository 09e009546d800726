"""The loss between two states of one instrument, before and after a move: plain frozen data, money in one currency."""

from __future__ import annotations

from decimal import Decimal  # noqa: TC003 - a dataclass field
from enum import StrEnum
from typing import TYPE_CHECKING

from appraise.model.case import Remark  # noqa: TC001 - a dataclass field
from appraise.model.claim import Finding, Origin, Quotation
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import Range  # noqa: TC001

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import date


class RemarkClass(StrEnum):
    """Fate of a remark between the two states."""

    KEPT = "kept"
    """In both, and the same."""
    WORSE = "worse"
    """In both, and more or graver after."""
    NEW = "new"
    """After only."""
    MENDED = "mended"
    """Before only: mended since, or not noted again."""


class Measure(StrEnum):
    """Measure of a loss."""

    REPAIR = "repair"
    """Repair less betterment, and what it leaves of the fall in value."""
    DIMINUTION = "diminution"
    """Value before less value after."""
    TOTAL_LOSS = "total_loss"
    """Value before less salvage, unless what is left goes to the insurer."""
    NONE = "none"
    """Nothing to measure in money."""


class Counting(StrEnum):
    """How parts whose damage has no established origin are counted."""

    ESTABLISHED = "established"
    """Only what is known to come from the move."""
    ALL_UNKNOWN = "all_unknown"
    """All of unknown origin counted as coming from the move as well."""


class Doubt(StrEnum):
    """Why a remark has a scenario of its own."""

    UNKNOWN = "unknown_origin"
    """Nobody knows where the damage came from."""
    SUSPECTED = "suspected"
    """Nobody knows whether the damage is there."""
    UNMOVED = "unmoved"
    """Put down to the move, but no grade or reading of the part got worse."""
    UNTOLD = "no_remark"
    """A part got worse by its checks, and no remark says where that came from."""
    NOT_SEEN = "not_seen"
    """The place could not be seen, so that nothing is counted."""


class QuotationUse(StrEnum):
    """Fate of a quotation in a repair."""

    TAKEN = "taken"
    """It stands in place of the table for the jobs it names."""
    EXPIRED = "expired"
    """Its time is over on the day of the valuation."""
    BEYOND = "beyond"
    """It names a job that is no part of this repair."""
    OVERLAPS = "overlaps"
    """A lower quotation prices one of its jobs already."""


@dataclass(frozen=True, slots=True)
class RemarkLine:
    """A remark and what became of it."""

    outcome: RemarkClass
    before: Remark | None
    after: Remark | None
    likeness: float
    """How alike the two are in place, notes and words [–]; 0 where there is only one."""
    ticked: bool = False
    """The assessor said so with the earlier remark in view; else it follows from the words."""

    @property
    def latest(self) -> Remark:
        """The remark as it was last written."""
        result = self.after if self.after is not None else self.before
        assert result is not None  # noqa: S101 - a line has at least one of the two
        return result

    @property
    def origin(self) -> Origin:
        """Return the origin of the defect, as last written; climate during the carriage is the carriage."""
        return self.latest.attributed_to

    @property
    def defect(self) -> bool:
        """True of a fault that was seen or is suspected; what was looked for and not found is none."""
        return self.latest.finding in (Finding.YES, Finding.SUSPECTED)

    @property
    def fresh(self) -> bool:
        """New or worse, and a fault that was seen or is suspected."""
        return self.defect and self.outcome in (RemarkClass.NEW, RemarkClass.WORSE)


@dataclass(frozen=True, slots=True)
class CheckAnswer:
    """One answer to a check, with its note or place where there are several."""

    value: float | bool | str
    """A measure in the unit of the check; a grade where it is graded."""
    note: int | None = None
    place: str = ""
    graded: bool = False
    suspected: bool = False
    """A yes-or-no check was answered with suspected."""


@dataclass(frozen=True, slots=True)
class CheckChange:
    """A check that says something else after than before."""

    check: str
    label: str
    component: str
    unit: str
    before: tuple[CheckAnswer, ...]
    """Empty where it was not made."""
    after: tuple[CheckAnswer, ...]
    grade_before: float | None
    """After the cap; none where it was not made or carries no grade."""
    grade_after: float | None

    @property
    def worse_by(self) -> float:
        """Rise of the grade; 0 where the check was not made both times."""
        if self.grade_before is None or self.grade_after is None:
            return 0.0
        return self.grade_after - self.grade_before


@dataclass(frozen=True, slots=True)
class WorseComponent:
    """A component that got worse, by which checks, and where that came from."""

    component: str
    label: str
    station: str
    grade_before: float
    grade_after: float
    checks: tuple[str, ...]
    """Checks made both times that grade it worse."""
    only_after: tuple[str, ...]
    """Checks made after only that grade it worse than it was."""
    origin: Origin
    """From the remarks of the component, else of its station; unknown where they do not say."""


@dataclass(frozen=True, slots=True)
class RepairItem:
    """One job or step of the repair."""

    remedy: str
    label: str
    components: tuple[str, ...]
    """Damaged components that it mends; empty for a step that other jobs need."""
    hours: Range
    cost: Range
    """Contingency included [money]."""
    replaces: bool
    """Parts are new afterwards."""
    depreciation: float
    """Of what it replaces, as it stood before [–]; 0 where nothing is replaced."""
    betterment: Range
    """New for old [money]."""
    parts: float = 0.0
    """Parts as a share of the cost of the hours, typical [–]."""
    by_table: Range | None = None
    """Price by the table and the rates of the case [money]; none where that is the cost."""


@dataclass(frozen=True, slots=True)
class QuotedWork:
    """A quotation and what became of it."""

    quotation: Quotation
    use: QuotationUse
    counted: Decimal
    """Price here, with tax unless the claimant recovers it [money]."""
    by_table: Range | None
    """The table's price of the same jobs [money]; none where one of them is no part of the repair."""


@dataclass(frozen=True, slots=True)
class Alternative:
    """Amount of one measure, proposed or not."""

    measure: Measure
    loss: Range
    payable: Range
    """After average, the limit of the sum insured, and excess."""


@dataclass(frozen=True, slots=True)
class Scenario:
    """The loss under one reading of the unknown origins."""

    counting: Counting
    components: tuple[str, ...]
    """Those counted as damaged by the move."""
    items: tuple[RepairItem, ...]
    unrestored: tuple[str, ...]
    """Of the components, those that no remedy of the table brings back to about the grade they had."""
    repair: Range | None
    """Of what can be restored; none without a labour rate."""
    betterment: Range | None
    net_repair: Range | None
    """Repair less betterment, draw by draw."""
    residual: Range | None
    """Diminution that the repair leaves; none where it does not make good the whole."""
    repair_route: Range | None
    """Repair less betterment and with what it leaves of the fall in value, draw by draw."""
    value_after: Range | None
    diminution: Range | None
    salvage: Range | None
    """Less removal; may be negative."""
    repair_share: float | None
    """Repair before betterment over value before, middle figures [–]."""
    total_loss: bool
    constructive: bool | None
    """Repair and carriage together pass the value before, middle figures; none where one is not known."""
    measure: Measure
    loss: Range | None
    payable: Range | None
    """After average, the limit of the sum insured, and excess."""
    alternatives: tuple[Alternative, ...] = ()
    """Every measure that can be stated; a total loss too where the repair does not reach its share."""
    apportioned: float = 1.0
    """Share of the measure that is put down to the move [–]: of the jobs, by cost."""
    quotations: tuple[QuotedWork, ...] = ()

    @property
    def counts(self) -> bool:
        """True where any damage is counted: a part that got worse, or a job that a remark names."""
        return bool(self.components or self.items)


@dataclass(frozen=True, slots=True)
class RemarkScenario:
    """A remark in doubt, or a part that got worse without one: the loss with and without it, else as established."""

    line: RemarkLine
    doubt: Doubt
    probability: float | None
    """That a suspected fault is there [–]."""
    costed: bool
    """A job or a change of grade stands for it; else it adds nothing, and both sides are the same."""
    without: Range | None
    """Loss [money]."""
    counted: Range | None
    payable_without: Range | None
    payable_counted: Range | None


@dataclass(frozen=True, slots=True)
class Terms:
    """The terms of the policy and the questions of the person."""

    betterment: bool = True
    """Deduct new for old."""
    sum_insured: Decimal | None = None
    value_at_risk: Decimal | None = None
    """Full value that ought to be insured; none: value before."""
    excess: Decimal | None = None
    special_condition: bool = False
    """No average where the sum insured reaches the stated share of the value at risk."""
    surrendered: bool = False
    """After a total loss what is left goes to the insurer, so no salvage is taken off."""
    residual: Decimal | None = None
    """Diminution that a good repair leaves, as the assessor states it; none: by the grades."""
    total_loss_pct: Decimal | None = None
    """Share of the value before from which a repair is a total loss [%]; none: the table's."""


@dataclass(frozen=True, slots=True)
class LimitSum:
    """One sum that a rule of carriage offers."""

    by: str
    """package | kg | lb | m³."""
    amount: float
    size: float = 1.0
    """Weight or volume [by]; of a package 1."""
    rate: float = 0.0
    """Money for one of these."""


@dataclass(frozen=True, slots=True)
class CarriageLimit:
    """Amount of one rule of carriage."""

    rule: str
    """Key in the table `carriage_rules`."""
    amount: float | None
    """Most that is owed, in `unit`; none where weight or volume was not stated."""
    unit: str
    sums: tuple[LimitSum, ...]
    """The rule's amount; the highest is owed."""
    missing: str = ""
    """The quantity it needs where there is no amount: weight | volume."""


@dataclass(frozen=True, slots=True)
class Deadline:
    """One period that runs from the delivery."""

    rule: str
    """Key in the table `carriage_rules`."""
    concerns: str
    """Purpose of the limit: notice_apparent | notice_concealed | suit | claim."""
    last: date
    """Last day on which it is kept."""
    passed: bool
    """The day of the later state, or of its report, lies after it."""
    roughly: str
    """Why the day may be another: holidays | least; empty where it may not."""


@dataclass(frozen=True, slots=True)
class Dated:
    """One line of the timeline."""

    when: str
    """ISO 8601, as exact as it is known."""
    told: str
    """The same, as the reader gets dates."""
    sort: date
    what: str
    file: str
    """before | after | both."""


def unshown(remarks: Iterable[RemarkLine], worse: Iterable[WorseComponent]) -> Iterator[RemarkLine]:
    """Yield the remarks on damage put down to the move that no part shown to be worse stands for.

    Args:
        remarks: Of the two states, matched.
        worse: The parts that got worse by a grade or a reading.
    """
    graded = {place for part in worse for place in (part.component, part.station)}
    for line in remarks:
        certain = line.latest.finding is Finding.YES
        if line.fresh and certain and line.origin is Origin.TRANSIT and line.latest.place not in graded:
            yield line


@dataclass(frozen=True, slots=True)
class Loss:
    """Two states compared, and what the difference comes to."""

    basis: str
    currency: str
    day: date
    """The one day on which both states are valued."""
    value_before: Range | None
    remarks: tuple[RemarkLine, ...]
    checks: tuple[CheckChange, ...]
    unchanged: tuple[str, ...]
    """Checks made both times with the same answer."""
    components: tuple[WorseComponent, ...]
    scenarios: tuple[Scenario, ...]
    """The established reading first; then all unknown origins counted, where there are any."""
    doubtful: tuple[RemarkScenario, ...]
    """Every remark of unknown origin, suspected, not seen, or put down to the move without a part that got worse; then
    every part of unknown origin that no remark tells of."""
    value_at_risk: float | None
    terms: Terms
    average: float | None
    """Share of the loss that average leaves [–]; none without a sum insured."""
    marine_partial: Range | None
    """For a valued marine policy: the established share of the insured value [money]."""
    tables_version: str
    seed: int
    draws: int
