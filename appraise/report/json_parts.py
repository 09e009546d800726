"""The parts of the JSON object: ranges, work, stations, components, approaches, comparables."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from appraise.engine.work import groups
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterable

    from appraise.model.result import (
        Approach,
        ComponentResult,
        DuePart,
        EconomicLife,
        GridLine,
        Range,
        StationResult,
        WorkItem,
    )

Json = dict[str, Any]


def money(amount: float) -> str:
    """Return an amount as a decimal string with two places."""
    return f"{amount + 0.0:.2f}" if round(amount, 2) else "0.00"


def work_object(work: WorkItem) -> Json:
    """Return one remedy with its cost and what it adds."""
    return {
        "remedy": work.remedy,
        "label": work.label,
        "cost_low": money(work.cost.low),
        "cost_mid": money(work.cost.mid),
        "cost_high": money(work.cost.high),
        "hours": spanned(work.hours, 2),
        "value_added": money(work.value_added),
        "curable": work.curable,
        "step": work.step,
        "chosen": work.chosen,
        "safety": work.safety,
        "pieces": work.pieces,
        "if_left": literal(work.if_left),
    }


def work_lists(items: Iterable[WorkItem]) -> Json:
    """Return the three lists of work, every list there."""
    return {group.value: [work_object(item) for item in jobs] for group, jobs in groups(items).items()}


def station_object(station: StationResult) -> Json:
    """Return one station with its components."""
    return {
        "station": station.station,
        "label": station.label,
        "grade": round(station.grade.mid, 2),
        "grade_low": round(station.grade.low, 2),
        "grade_high": round(station.grade.high, 2),
        "inspected": station.inspected > 0,
        "inspected_pct": pct(station.inspected),
        "checks_done": station.checks_done,
        "checks_total": station.checks_total,
        "depreciation_pct": pct(station.depreciation.mid),
        "depreciation_low_pct": pct(station.depreciation.low),
        "depreciation_high_pct": pct(station.depreciation.high),
        "effective_age_years": round(station.effective_age_years, 1),
        "remaining_years": spanned(station.remaining_years, 1),
        "variance_share_pct": pct(station.variance_share),
        "components": [_component(component) for component in station.components],
    }


def _component(part: ComponentResult) -> Json:
    return {
        "component": part.component,
        "label": part.label,
        "share_pct": pct(part.share),
        "inspected_pct": pct(part.inspected),
        "grade": round(part.grade.mid, 2),
        "grade_low": round(part.grade.low, 2),
        "grade_high": round(part.grade.high, 2),
        "derived_grade": None if part.derived_grade is None else round(part.derived_grade, 2),
        "expected_grade": round(part.expected_grade, 2),
        "governing": part.governing or None,
        "overruled": part.overruled,
        "age_years": spanned(part.age_years, 1),
        "age_evidence": part.age_evidence,
        "life_years": spanned(part.life_years, 1),
        "consumed_pct": pct(part.consumed),
        "depreciation_pct": pct(part.depreciation.mid),
        "depreciation_low_pct": pct(part.depreciation.low),
        "depreciation_high_pct": pct(part.depreciation.high),
        "effective_age_years": round(part.effective_age_years, 1),
        "remaining_years": spanned(part.remaining_years, 1),
        "variance_share_pct": pct(part.variance_share),
        "usability_pct": pct(part.usability),
        "due": part.due,
        "checks": [
            {
                "check": check.check,
                "grade": round(check.grade, 2),
                "value": None if check.value is None else round(check.value, 4),
                "value_low": None if check.value_low is None else round(check.value_low, 4),
                "value_high": None if check.value_high is None else round(check.value_high, 4),
                "readings": check.readings,
                "capped": check.capped,
            }
            for check in part.checks
        ],
    }


def due_object(part: DuePart) -> Json:
    """Return a component without remaining life."""
    return {
        "component": part.component,
        "label": part.label,
        "station": part.station,
        "grade": round(part.grade, 2),
        "large": part.large,
        "inspected": part.inspected,
    }


def economic_life_object(found: EconomicLife | None) -> Json | None:
    """Return the remaining economic life; none without a replacement cost new."""
    if found is None:
        return None
    return {
        "years": spanned(found.years, 1),
        "longest_years": round(found.longest, 1),
        "by_disposal_pct": pct(found.by_value),
        "by_work_pct": pct(found.by_work),
        "component": found.part or None,
        "basis": found.basis,
    }


def approach_object(approach: Approach) -> Json:
    """Return one approach to value."""
    return {
        "approach": approach.approach,
        "label": approach.label,
        "used": approach.used,
        "low": money(approach.value.low),
        "mid": money(approach.value.mid),
        "high": money(approach.value.high),
        "relative_uncertainty_pct": pct(approach.relative_uncertainty),
        "weight_pct": pct(approach.weight),
        "reason": literal(approach.reason),
    }


def grid_object(line: GridLine) -> Json:
    """Return one comparable with its adjustments."""
    return {
        "label": literal(line.label),
        "price": money(line.price),
        "steps": [{"feature": feature, "added": money(added)} for feature, added in line.steps],
        "adjusted": money(line.adjusted),
        "gross_pct": round(line.gross_pct, 2),
        "net_pct": round(line.net_pct, 2),
        "weight_pct": pct(line.weight),
        "flagged": line.flagged,
        "market_factor": round(line.market_factor, 4),
    }


def spanned(span: Range, places: int) -> Json:
    """Return low, mid and high, rounded to so many decimals."""
    return {
        "low": round(span.low, places) + 0.0,
        "mid": round(span.mid, places) + 0.0,
        "high": round(span.high, places) + 0.0,
    }


def spanned_pct(span: Range) -> Json:
    """Return low, mid and high of shares as percentages."""
    return {"low": pct(span.low), "mid": pct(span.mid), "high": pct(span.high)}


def pct(share: float) -> float:
    """Return a share of 1 as a percentage with two decimals."""
    return round(100.0 * share, 2) + 0.0


def spanned_money(span: Range | None) -> Json | None:
    """Return low, mid and high as decimal strings."""
    if span is None:
        return None
    return {"low": money(span.low), "mid": money(span.mid), "high": money(span.high)}
