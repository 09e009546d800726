"""A loss as one JSON object: the same files, tables and seed give the same bytes on every machine."""

from __future__ import annotations

from dataclasses import fields
from decimal import Decimal
from typing import TYPE_CHECKING

from appraise import __version__
from appraise.engine.loss.notes import total_share
from appraise.report.document_json import document_object
from appraise.report.json_parts import money, pct, spanned, spanned_money
from appraise.report.kinds import ReportKind, document_for
from appraise.report.loss.compared import DEFER
from appraise.report.loss.json_claim import bill_object, claim_object, doubtful, quoted
from appraise.report.provenance import standing_object
from appraise.report.words import literal
from appraise.tables.digests import row_digests

if TYPE_CHECKING:
    from appraise.model.loss import RemarkLine, RepairItem, Scenario
    from appraise.report.document import Photo
    from appraise.report.json_parts import Json
    from appraise.report.loss.compared import Compared, StateFile

SCHEMA = 1
"""Version of the object's layout; raised when a key changes its meaning or goes."""


def loss_object(item: Compared) -> Json:
    """Return what `loss --json` prints.

    Keys: `schema`; `before`, `after` {`file`, `sha256`, `inspected`, `preliminary_parts`: parts graded at a quick look,
    on which the figures rest}; `identity`; `currency`, `basis`, `valued_on`;
    `value_before`; `measure` (repair | diminution | total_loss | none), `loss` and `payable`, all three of the first of
    `scenarios`: `established` counts what is known to come from the move, `all_unknown` adds all of unknown origin.
    A scenario: `components`, `repair_items`, `unrestored`, `repair`, `betterment`, `net_repair`, `value_after`,
    `diminution`, `residual` (what a repair leaves of the fall in value), `repair_route` (net repair and residual),
    `salvage`, `repair_share_pct`, `total_loss`, `constructive_total_loss`, `measure`, `loss`, `payable`, and
    `alternatives`, every measure with its loss and what is payable; `apportioned_pct`, `quotations` and `bill`, the
    repair line by line at its typical figures. Then `doubtful`, each remark in doubt with and without it, `claim` with
    carriage, policy, bids, notices and limits in the currency of the case, `remarks` with `class`
    (kept | worse | new | mended) and `ticked` where the assessor said so, `checks` that changed, `checks_unchanged`,
    `components` that got worse, `terms` of the policy, `carriage` rules with what they come to, `delivered` and
    `deadlines`, `timeline`, `photos` with their `problem`, `cautions`, `assumptions`, `tables_version`, `seed`,
    `draws`.
    `before` has `remembered`: true for the earlier state that the later case keeps.

    Money is a decimal string in `currency`, a limit of carriage one in its own `unit`; `low`, `mid` and `high` are the
    10th, 50th and 90th percentile; null stands for what cannot be known.
    """
    loss, it = item.loss, item.after.case.identity
    return {
        "schema": SCHEMA,
        "before": {**_file(item.before), "remembered": item.remembered is not None},
        "after": _file(item.after),
        "identity": {
            "kind": it.kind.value,
            "maker": literal(it.maker),
            "model": literal(it.model),
            "serial": literal(it.serial),
        },
        "currency": loss.currency,
        "basis": loss.basis,
        "valued_on": loss.day.isoformat(),
        "value_before": spanned_money(loss.value_before),
        "measure": item.proposed.measure.value,
        "loss": spanned_money(item.proposed.loss),
        "payable": spanned_money(item.proposed.payable),
        "scenarios": [_scenario(item, each) for each in loss.scenarios],
        "doubtful": [doubtful(each) for each in loss.doubtful],
        "claim": claim_object(item),
        "remarks": [_remark_line(line) for line in loss.remarks],
        "checks": [
            {
                "check": change.check,
                "component": change.component,
                "before": literal(change.before) or None,
                "after": literal(change.after) or None,
                "grade_before": _rounded(change.grade_before),
                "grade_after": _rounded(change.grade_after),
            }
            for change in loss.checks
        ],
        "components": [
            {
                "component": part.component,
                "station": part.station,
                "grade_before": round(part.grade_before, 2),
                "grade_after": round(part.grade_after, 2),
                "checks": list(part.checks),
                "checks_only_after": list(part.only_after),
                "origin": part.origin.value,
            }
            for part in loss.components
        ],
        "checks_unchanged": list(loss.unchanged),
        "terms": _terms(item),
        "carriage": _carriage(item),
        "delivered": None if item.delivered is None else item.delivered.isoformat(),
        "deadlines": _deadlines(item),
        "timeline": [{"when": each.when, "what": literal(each.what), "file": each.file} for each in loss.timeline],
        "photos": [
            {"place": pair.place, "before": _photo(pair.before), "after": _photo(pair.after)} for pair in item.photos
        ],
        "cautions": [literal(text) for text in (*loss.cautions, *(row.text for row in item.cautions))],
        "assumptions": [literal(text) for text in loss.assumptions],
        "tables_version": loss.tables_version,
        "seed": loss.seed,
        "draws": loss.draws,
    }


def loss_report_object(item: Compared, kind: str = ReportKind.LOSS) -> Json:
    """Return what a dossier or a letter is as JSON: `loss_object`, `kind`, `amends`, `trail`, `document`, `recompute`.

    `recompute`, null without files, holds the text of both case files, the terms of the policy and the consignment as
    they were given, and the digest of every row of the tables.
    """
    texts = {"before_text": item.before.text, "after_text": item.after.text}
    terms = {each.name: getattr(item.loss.terms, each.name) for each in fields(item.loss.terms)}
    recompute = {
        "program": __version__,
        **texts,
        "terms": {key: str(value) if isinstance(value, Decimal) else value for key, value in terms.items()},
        "weight_kg": item.weight_kg,
        "volume_m3": item.volume_m3,
        "delivered": None if item.delivered is None else item.delivered.isoformat(),
        "rows": row_digests(item.tables),
    }
    return {
        **loss_object(item),
        "kind": str(kind),
        **standing_object(item.standing),
        "recompute": recompute if all(texts.values()) else None,
        "document": document_object(document_for(kind, item)),
    }


def _file(state: StateFile) -> Json:
    inspected = state.case.assignment.inspected.isoformat()
    return {
        "file": literal(state.file),
        "sha256": state.sha256,
        "inspected": inspected,
        "preliminary_parts": sorted(state.case.preliminary),
    }


def _scenario(item: Compared, each: Scenario) -> Json:
    return {
        "counting": each.counting.value,
        "components": list(each.components),
        "repair_items": [_job(job) for job in each.items],
        "unrestored": list(each.unrestored),
        "repair": spanned_money(each.repair),
        "betterment": spanned_money(each.betterment),
        "net_repair": spanned_money(each.net_repair),
        "value_after": spanned_money(each.value_after),
        "diminution": spanned_money(each.diminution),
        "residual": spanned_money(each.residual),
        "repair_route": spanned_money(each.repair_route),
        "salvage": spanned_money(each.salvage),
        "repair_share_pct": None if each.repair_share is None else pct(each.repair_share),
        "total_loss": each.total_loss,
        "constructive_total_loss": each.constructive,
        "measure": each.measure.value,
        "loss": spanned_money(each.loss),
        "payable": spanned_money(each.payable),
        "alternatives": [
            {
                "measure": other.measure.value,
                "loss": spanned_money(other.loss),
                "payable": spanned_money(other.payable),
            }
            for other in each.alternatives
        ],
        "apportioned_pct": pct(each.apportioned),
        "quotations": [quoted(work) for work in each.quotations],
        "bill": bill_object(item, each),
    }


def _job(job: RepairItem) -> Json:
    return {
        "remedy": job.remedy,
        "label": literal(job.label),
        "components": list(job.components),
        "hours": spanned(job.hours, 2),
        "cost": spanned_money(job.cost),
        "replaces": job.replaces,
        "depreciation_pct": pct(job.depreciation),
        "betterment": spanned_money(job.betterment),
        "by_table": spanned_money(job.by_table),
    }


def _remark_line(line: RemarkLine) -> Json:
    return {
        "class": line.outcome.value,
        "place": line.latest.place,
        "origin": line.origin.value,
        "cause": literal(line.latest.cause),
        "finding": line.latest.finding.value,
        "peril": str(line.latest.peril or "") or None,
        "stage": str(line.latest.stage or "") or None,
        "exclusion": str(line.latest.exclusion or "") or None,
        "sign_for": literal(line.latest.exclusion_for) or None,
        "sign_against": literal(line.latest.exclusion_against) or None,
        "share_pct": line.latest.share_pct,
        "share_reason": literal(line.latest.share_reason) or None,
        "notes": list(line.latest.notes),
        "before": None if line.before is None else literal(line.before.text),
        "after": None if line.after is None else literal(line.after.text),
        "likeness_pct": pct(line.likeness),
        "ticked": line.ticked,
    }


def _photo(photo: Photo) -> Json | None:
    if not photo.file:
        return None
    return {
        "file": literal(photo.file),
        "sha256": literal(photo.sha256) or None,
        "taken": literal(photo.taken) or None,
        "problem": literal(photo.problem) or None,
    }


def _deadlines(item: Compared) -> list[Json]:
    return [
        {
            "rule": each.rule,
            "for": each.concerns,
            "last_day": each.last.isoformat(),
            "passed": each.passed,
            "roughly": each.roughly or None,
        }
        for each in item.deadlines
    ]


def _terms(item: Compared) -> Json:
    terms, loss = item.loss.terms, item.loss
    return {
        "betterment_deducted": terms.betterment,
        "sum_insured": _stated(terms.sum_insured),
        "value_at_risk": None if loss.value_at_risk is None else money(loss.value_at_risk),
        "value_at_risk_stated": terms.value_at_risk is not None,
        "average_pct": None if loss.average is None else pct(loss.average),
        "special_condition_of_average": terms.special_condition,
        "excess": _stated(terms.excess),
        "surrendered": terms.surrendered,
        "total_loss_share_pct": round(100.0 * total_share(terms, item.tables), 1),
        "residual_stated": terms.residual is not None,
        "marine_partial": spanned_money(loss.marine_partial),
    }


def _carriage(item: Compared) -> Json:
    limits = {limit.rule: limit for limit in item.limits}
    rules = []
    for key, rule in item.tables.carriage_rules.items():
        limit = limits.get(key)
        rules.append(
            {
                "rule": key,
                "regime": literal(rule.regime),
                "topic": rule.topic,
                "text": literal(rule.text),
                "unit": rule.unit or None,
                "at_most": None if limit is None or limit.amount is None else money(limit.amount),
                "how": None if limit is None else limit.how,
                "standing": rule.standing.value,
                "source": rule.source,
                "where": literal(rule.where),
            }
        )
    return {"weight_kg": item.weight_kg, "volume_m3": item.volume_m3, "note": DEFER, "rules": rules}


def _stated(amount: Decimal | None) -> str | None:
    return None if amount is None else money(float(amount))


def _rounded(figure: float | None) -> float | None:
    return None if figure is None else round(figure, 2)
