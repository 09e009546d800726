"""A valued case as one JSON object: the same case, tables and seed give the same bytes on every machine."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise import __version__
from appraise.engine.economic_life import economic_life
from appraise.explain.drivers import driver_label
from appraise.report.cautions import applicable
from appraise.report.document_json import document_object
from appraise.report.json_parts import (
    Json,
    approach_object,
    due_object,
    economic_life_object,
    grid_object,
    money,
    pct,
    spanned,
    spanned_money,
    spanned_pct,
    station_object,
    work_lists,
)
from appraise.report.kinds import ReportKind, document_for
from appraise.report.preliminary import undecided
from appraise.report.provenance import standing_object
from appraise.report.visit import visit_object
from appraise.report.words import literal
from appraise.report.worth_told import market_standing
from appraise.tables.digests import row_digests

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from appraise.model.reason import Reason, Reference
    from appraise.model.visit import Visit
    from appraise.report.appraisal import Appraisal, Asked

SCHEMA = 2
"""Version of the object's layout; raised when a key changes its meaning or goes."""


def several(appraisals: Sequence[Appraisal], visits: Sequence[Visit | None] = ()) -> Json:
    """Return the object for more than one case: `{"schema": 2, "cases": [one object a case]}`.

    Args:
        appraisals: The valued cases.
        visits: The visit asked for of each; empty: none was asked for.
    """
    planned = visits or (None,) * len(appraisals)
    return {"schema": SCHEMA, "cases": [value_object(*both) for both in zip(appraisals, planned, strict=True)]}


def value_object(item: Appraisal, visit: Visit | None = None) -> Json:
    """Return what `value --json` prints for one case.

    Money is a decimal string in `currency`; the unit of every other number is in its key (`years`,
    `pct`, `cm`, `hours`, `minutes`; `grade` runs from 1 to 5); `low`, `mid` and `high` are the 10th, 50th
    and 90th percentile; `left_alone` is the instrument as is, `salvage` its disposal; `work` holds the three lists
    `needed`, `pays` and `player`; null stands for what cannot be known, such as `value` without a replacement cost new.
    `visit` is there where one was asked for.
    """
    v = item.valuation
    sentences = [sentence for chapter in item.chapters for sentence in chapter.sentences]
    return {
        "schema": SCHEMA,
        "case": item.file,
        "identity": _identity(item),
        "inspected": item.case.assignment.inspected.isoformat(),
        "currency": v.currency,
        "basis": v.basis,
        "preliminary": {
            "parts": sorted(item.case.preliminary),
            "stations_not_inspected": undecided(item.case, v, item.tables),
        },
        "value": _value(item),
        "share_of_new_pct": spanned_pct(v.share_of_new),
        "left_alone": spanned_money(v.left_alone),
        "after_work": spanned_money(v.after_work),
        "salvage": spanned_money(v.salvage),
        "plan_cost": spanned_money(v.plan_cost),
        "best": v.best,
        "usability_pct": pct(v.usability),
        "market_factor": {**spanned(v.market_factor, 4), "from": v.market_factor_from},
        "basis_factor": spanned(v.basis_factor, 4),
        "market": _market(item),
        "taking": None if v.value is None else money(v.taking),
        "option": None if v.value is None else money(v.option),
        "renewal_factor": round(v.renewal, 4),
        "appearance_factor": round(v.appearance, 4),
        "market_age_years": round(v.market_age, 1),
        "work": work_lists(v.work),
        "stations": [station_object(station) for station in v.stations],
        "due": [due_object(part) for part in v.due],
        "economic_life": economic_life_object(economic_life(item.case, item.tables, v.seed)),
        "next_intervention": None
        if v.next_intervention is None
        else {
            "component": v.next_intervention.component,
            "probability_pct": pct(v.next_intervention.probability),
            "years": spanned(v.next_intervention.years, 1),
        },
        "next_checks": [
            {
                "check": check.check,
                "label": check.label,
                "station": check.station,
                "component": check.component,
                "narrows_pct": round(check.narrows_pct, 2),
                "minutes": round(check.minutes, 1),
            }
            for check in v.next_checks
        ],
        "approaches": [approach_object(approach) for approach in v.approaches],
        "comparables": [grid_object(line) for line in v.grid],
        "drivers": [
            {
                "input": driver.name,
                "label": driver_label(driver.input, item.case, item.tables),
                "share_pct": pct(driver.share),
            }
            for driver in v.drivers
        ],
        "laws": [{"law": law, "share_of_new_pct": pct(share)} for law, share in v.laws],
        "rationale": [
            {"topic": sentence.topic, "text": sentence.text, "figures": list(sentence.figures)}
            for sentence in sentences
        ],
        "cautions": [
            {"caution": row.key, "text": literal(row.text), "standing": str(row.standing)}
            for row in applicable(item.case, item.tables, v)
        ],
        "tables_version": v.tables_version,
        "seed": v.seed,
        "draws": v.draws,
        **({} if visit is None else {"visit": visit_object(visit)}),
    }


def report_object(item: Appraisal, kind: str = ReportKind.FULL) -> Json:
    """Return what `report -o FILE.json` writes.

    Keys: those of `value_object`; `kind` of report; `assignment`; `case_sha256`; `document`, what the other formats
    show, as data; `recompute`, what it takes to compute the report again, null for a case that has no file; in a full
    report `reasons`, every reason.

    Args:
        item: The valued case.
        kind: One of `ReportKind`, but no loss.
    """
    assignment = item.case.assignment
    return {
        **value_object(item),
        "kind": str(kind),
        "assignment": {
            "purpose": literal(assignment.purpose),
            "client": literal(assignment.client),
            "intended_users": literal(assignment.intended_users),
            "assessor": literal(assignment.assessor),
            "place": literal(assignment.place),
            "reported": _date(assignment.reported),
            "limits": literal(assignment.limits),
            "law": assignment.law,
        },
        "case_sha256": item.sha256,
        **standing_object(item.standing),
        "recompute": None if item.asked is None else _recompute(item, item.asked),
        "document": document_object(document_for(kind, item)),
        **({"reasons": reason_object(item.tree)} if kind == ReportKind.FULL else {}),
    }


def _recompute(item: Appraisal, asked: Asked) -> Json:
    return {
        "program": __version__,
        "case_text": asked.text,
        "date": _date(asked.day),
        "basis": asked.basis or None,
        "rows": row_digests(item.tables),
    }


def figure_object(item: Appraisal, node: Reason, depth: int | None = None) -> Json:
    """Return what `why --json` prints: the case, its tables and seed, and the tree of one figure.

    Args:
        item: The valued case.
        node: The figure asked about.
        depth: Levels below it to write; none: all.
    """
    return {
        "schema": SCHEMA,
        "case": item.file,
        "currency": item.valuation.currency,
        "tables_version": item.valuation.tables_version,
        "seed": item.valuation.seed,
        "draws": item.valuation.draws,
        "reason": reason_object(node, depth),
    }


def reason_object(node: Reason, depth: int | None = None) -> Json:
    """Return a figure with how it came about, the rows it rests on and the figures below it.

    Args:
        node: Top of the tree to write.
        depth: Levels below the top to write; none: all.
    """
    value = round(node.value, 6) + 0.0 if isinstance(node.value, float) else node.value
    below = () if depth == 0 else node.parts
    return {
        "figure": node.figure,
        "label": literal(node.label),
        "value": value,
        "unit": node.unit,
        "shown": literal(node.shown),
        "how": literal(node.how),
        "references": [_reference(reference) for reference in node.references],
        "parts": [reason_object(part, None if depth is None else depth - 1) for part in below],
    }


def _reference(reference: Reference) -> Json:
    return {
        "ref": reference.ref,
        "standing": reference.standing,
        "source": literal(reference.source),
        "where": literal(reference.where),
        "yours": reference.yours,
    }


def _identity(item: Appraisal) -> Json:
    identity = item.case.identity
    return {
        "kind": str(identity.kind),
        "maker": literal(identity.maker),
        "model": literal(identity.model),
        "size_cm": identity.size_cm,
        "serial": literal(identity.serial),
        "made": None if identity.made is None else str(identity.made),
        "compass": identity.compass,
        "overdamper": identity.overdamper,
        "drop_action": identity.drop_action,
        "straight_strung": identity.straight_strung,
        "player": literal(identity.player),
        "last_tuned": None if identity.last_tuned is None else str(identity.last_tuned),
        "stairs": identity.stairs,
        "owners": identity.owners,
    }


def _value(item: Appraisal) -> Json | None:
    v = item.valuation
    if v.value is None:
        return None
    return {
        "low": money(v.value.low),
        "mid": money(v.value.mid),
        "high": money(v.value.high),
        "percentiles": {f"p{percent}": money(amount) for percent, amount in v.percentiles},
        "step": money(v.step),
    }


def _market(item: Appraisal) -> Json:
    """Return the level of the market, how long an instrument is offered there, and how far the level is known."""
    basis = item.tables.bases[item.valuation.basis]
    standing = market_standing(item.case, item.tables, item.valuation)
    return {
        "level": literal(basis.market_level),
        "exposure": literal(basis.exposure),
        "standing": None if standing is None else standing.value,
    }


def _date(when: date | None) -> str | None:
    return None if when is None else when.isoformat()
