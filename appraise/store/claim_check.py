"""What no single key of a claim can show: jobs and regimes against the tables, days against days, words left out.

What a form lets somebody leave unfinished is told and refuses no file: it can be opened again and finished.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.claim import Finding
from appraise.model.currency import DIGITS
from appraise.store.findings import Words
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from appraise.model.case import Remark
    from appraise.model.claim import Claim
    from appraise.store.findings import Diagnostics, Path
    from appraise.tables.rows import Tables

_JOB = "a job of the table remedies"


def remark(findings: Diagnostics, tables: Tables, path: Path, found: Remark) -> None:
    """Check what a remark says of a claim: its check, its jobs, its probability and its share.

    Args:
        findings: Where problems go.
        tables: The reference tables.
        path: Of the remark.
        found: The remark.
    """
    questions = {key: row for key, row in tables.checks.items() if row.kind is CheckKind.YES_NO}
    if found.check:
        findings.known((*path, "check"), found.check, questions, "a yes-or-no check of the table checks")
    for place, job in enumerate(found.jobs):
        findings.known((*path, "jobs", place), job, tables.remedies, _JOB)
    for name in ("check", "probability_pct"):
        if getattr(found, name) and found.finding is not Finding.SUSPECTED:
            expected = f'no such key unless finding = "{Finding.SUSPECTED}"'
            findings.add((*path, name), Words(str(getattr(found, name))), expected, grave=False)
    if found.share_pct is not None and not found.share_reason.strip():
        findings.add((*path, "share_reason"), None, "why that share is put down to the move", grave=False)
    signs = found.exclusion_for.strip() or found.exclusion_against.strip()
    if signs and found.exclusion is None:
        findings.add((*path, "exclusion"), None, "the exclusion that these signs speak for or against", grave=False)


def claim(findings: Diagnostics, tables: Tables, path: Path, found: Claim) -> None:
    """Check the regime, the order of the days, the jobs of quotations and the units of rates.

    Args:
        findings: Where problems go.
        tables: The reference tables.
        path: Of the claim.
        found: The claim.
    """
    regimes = {row.regime: row for row in tables.carriage_rules.values()}
    if found.regime:
        findings.known((*path, "regime"), found.regime, regimes, "a regime of the table carriage_rules")
    if found.handed_over and found.delivered and found.delivered < found.handed_over:
        expected = f"a day from the handing over on, {found.handed_over.isoformat()}"
        findings.add((*path, "delivered"), found.delivered, expected, grave=False)
    for place, quotation in enumerate(found.quotations):
        where = (*path, "quotations", place)
        for at, job in enumerate(quotation.jobs):
            findings.known((*where, "jobs", at), job, tables.remedies, _JOB)
        if quotation.valid_until is not None and quotation.valid_until < quotation.day:
            expected = f"a day from its date on, {quotation.day.isoformat()}"
            findings.add((*where, "valid_until"), quotation.valid_until, expected, grave=False)
    seen: set[str] = set()
    for place, rate in enumerate(found.rates):
        where = (*path, "rates", place, "unit")
        if rate.unit != "SDR":
            findings.known(where, rate.unit, DIGITS, "SDR, or a currency of ISO 4217 in use")
        if rate.unit in seen:
            findings.add(where, Words(f'a second rate for "{rate.unit}"'), "one rate a unit", "remove one of the two")
        seen.add(rate.unit)
