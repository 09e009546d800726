"""What a valuation needs and does not vary: the subject, the plans, the prices and the weights of the approaches."""

from __future__ import annotations

from functools import cached_property
from math import exp, hypot, log, sqrt
from typing import TYPE_CHECKING

from appraise.engine import costs as costing
from appraise.engine.condition import condition
from appraise.engine.draws import Z90
from appraise.engine.joint_repairs import together
from appraise.engine.market import factor_rows, obsolescence, relative_sd, tables_factor
from appraise.engine.market_age import market_curve
from appraise.engine.plan import space
from appraise.engine.sampler import Sampler
from appraise.engine.taking import Taking, taking
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import Range

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from appraise.engine.comparables import Evidence
    from appraise.engine.condition import Condition
    from appraise.engine.joint_repairs import Together
    from appraise.engine.market_age import MarketCurve
    from appraise.engine.plan import Space
    from appraise.engine.subject import Instrument
    from appraise.model.case import Case
    from appraise.tables.rows import Tables
    from appraise.tables.rows_worth import Basis, Remedy


@dataclass(frozen=True, eq=False)
class Setup:
    """What a run needs and does not vary."""

    case: Case
    tables: Tables
    subject: Instrument
    basis: Basis
    remedies: tuple[Remedy, ...]
    joints: tuple[Together, ...]
    """Those of them that leave a component better together than alone."""
    plans: Space
    replacement: Range
    factor: Range
    factor_from: str
    channel: Range
    curve: MarketCurve | None
    """What its market makes of age; none where only cost counts."""
    taking: Taking
    """What comes off whatever the condition is."""
    evidence: Evidence | None
    weight_cost: float
    cost_sd: float
    sales_sd: float
    disagreement: float
    """How much the range of the price level widens because the approaches differ by more than they are unsure: a
    standard deviation on the logarithmic scale [–]."""
    jobs: tuple[Remedy, ...]
    """The remedies, and those done together as one."""

    @cached_property
    def centre(self) -> Condition:
        """Condition at the central figures."""
        return condition(self.subject, self.jobs, Sampler.centre(), self.tables, self.curve)


def prepare(
    case: Case, tables: Tables, subject: Instrument, evidence: Callable[[float, float], Evidence | None] | None = None
) -> Setup:
    """Return everything about a priced case that the draws do not vary.

    Args:
        case: With a replacement cost new.
        tables: The reference tables.
        subject: From `subject.assemble`.
        evidence: What its comparables say, from the replacement cost new [money] and the share of retail that its kind
            of sale brings [–]; none: no comparables are looked at.

    Raises:
        ValueError: The case states no replacement cost new.
    """
    basis = tables.bases[case.assignment.basis]
    remedies = costing.offered(case, tables)
    joints = together(remedies, subject)
    jobs = (*remedies, *(joint.row for joint in joints))
    plans = space({job.key: (tuple(job.improves), job.requires) for job in jobs})
    replacement = replacement_range(case, tables)
    priced = basis.method in ("market", "residual")
    age = subject.age
    curve = None
    if priced:
        curve = market_curve(tuple(factor_rows(case, tables)), age, tables.setting("renewal_market_share"))
    channel = Range(basis.low, basis.typical, basis.high) if basis.method == "market" else Range(1.0, 1.0, 1.0)
    found = evidence(replacement.mid, channel.mid) if priced and evidence is not None else None
    factor, origin = _market_factor(case, tables, age, found, basis)
    cost, sales, condition_sd = _uncertainties(subject, tables, replacement, factor, origin, channel, found)
    cost_sd, sales_sd = hypot(cost, condition_sd), hypot(sales, condition_sd) if found else 0.0
    weight = _cost_weight(case, found, cost_sd, sales_sd)
    widening = 0.0
    if found is not None and origin == "table":
        # A market factor that comes from the comparables cannot contradict them.
        widening = disagreement(-log(found.ratio), (cost, sales), (weight, 1.0 - weight))
    return Setup(
        case,
        tables,
        subject,
        basis,
        remedies,
        joints,
        plans,
        replacement,
        factor,
        origin,
        channel,
        curve,
        taking(case, tables, basis),
        found,
        weight,
        cost_sd,
        sales_sd,
        widening,
        jobs,
    )


def replacement_range(case: Case, tables: Tables) -> Range:
    """Return the replacement cost new [money]: ends as stated, else spread by the table's relative deviation.

    Raises:
        ValueError: The case states none.
    """
    market = case.market
    middle = market.cost_new
    if middle is None:
        raise ValueError("the case states no replacement cost new")
    spread = 1.0 + tables.setting("replacement_cost_sd") * Z90
    low = middle / spread if market.replacement_cost_low is None else float(market.replacement_cost_low)
    high = middle * spread if market.replacement_cost_high is None else float(market.replacement_cost_high)
    return Range(low, middle, high)


def _market_factor(
    case: Case, tables: Tables, age: float, evidence: Evidence | None, basis: Basis
) -> tuple[Range, str]:
    if basis.method not in ("market", "residual"):
        return obsolescence(case, tables, age, basis), "basis"
    by_tables = tables_factor(case, tables, age)
    if evidence is not None and len(evidence.sales) >= tables.setting("comparables_for_factor"):
        spread, middle = exp(Z90 * evidence.factor_sd), by_tables.mid * evidence.factor_ratio
        return Range(middle / spread, middle, middle * spread), "comparables"
    return by_tables, "table"


def _uncertainties(
    subject: Instrument,
    tables: Tables,
    replacement: Range,
    factor: Range,
    origin: str,
    channel: Range,
    evidence: Evidence | None,
) -> tuple[float, float, float]:
    """Return the relative standard uncertainty of each approach's price level, and what condition adds to both [–].

    By the law of propagation (JCGM 100). What a kind of sale brings is unsure only as far as prices are carried from
    one kind of sale to another: it cancels where the comparables were sold as the instrument is to be.

    The sensitivity to condition is taken at one reference for every case, so that the weights hang on how well things
    are known and never on how bad they are: a worse grade cannot buy weight for the kinder approach.
    """
    own = sum((part.share * part.belief.own_sd) ** 2 for part in subject.parts)
    shared = sum(part.share * part.belief.common_sd for part in subject.parts) ** 2
    seen = tables.setting("condition_sensitivity") * sqrt(own + shared)
    carried = relative_sd(channel)
    if evidence is not None and origin == "comparables":
        carried -= evidence.channel_lean_unweighted()
    cost = hypot(relative_sd(replacement), relative_sd(factor), carried)
    sales = hypot(evidence.relative_sd, relative_sd(channel) - evidence.channel_lean()) if evidence else 0.0
    return cost, sales, seen


def _cost_weight(case: Case, evidence: Evidence | None, cost_sd: float, sales_sd: float) -> float:
    if evidence is None:
        return 1.0
    if case.market.weight_cost_pct is not None:
        return case.market.weight_cost_pct / 100.0
    return inverse_variance_weights((cost_sd, sales_sd))[0]


def disagreement(apart: float, deviations: tuple[float, float], weights: tuple[float, float]) -> float:
    """Return by how much the uncertainty of a weighted mean of two figures grows because they do not agree.

    Args:
        apart: Difference of the two, on the logarithmic scale [–].
        deviations: Their relative standard uncertainties [–].
        weights: Their weights in the mean [–].

    Returns:
        The standard deviation [–] to add to that of the mean in quadrature; 0 where the two differ by no more than
        they are unsure.

    Notes:
        The Birge ratio B = √(χ² / (n − 1)), here with n = 2: |difference| over its own standard uncertainty. The
        standard uncertainty u of the mean becomes B·u where B is above 1, so that √(B² − 1)·u is added.

    References:
        R. T. Birge, "The calculation of errors by the method of least squares", Phys. Rev. 40, 1932; the scale factor
        S of the Particle Data Group's averages is the same (from memory).
    """
    of_difference = hypot(*deviations)
    if of_difference <= 0.0:
        return 0.0
    ratio = abs(apart) / of_difference
    of_mean = hypot(*(weight * deviation for weight, deviation in zip(weights, deviations, strict=True)))
    return sqrt(max(0.0, ratio * ratio - 1.0)) * of_mean


def inverse_variance_weights(deviations: Sequence[float]) -> tuple[float, ...]:
    """Return weights [–] that sum to 1, each as the inverse of its variance.

    Args:
        deviations: Relative standard uncertainties [–], ≥ 0; a millionth stands for anything smaller.
    """
    precisions = [1.0 / max(deviation, 1e-6) ** 2 for deviation in deviations]
    return tuple(precision / sum(precisions) for precision in precisions)
