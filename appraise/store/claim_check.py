"""Rules across the keys of a claim: days against days, keys against keys, words left out.

What a form lets somebody leave unfinished is told and refuses no file: it can be opened again and finished.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.claim import Finding
from appraise.model.currency import DIGITS
from appraise.store.findings import Words

if TYPE_CHECKING:
    from appraise.model.case import Remark
    from appraise.model.claim import Claim
    from appraise.store.findings import Diagnostics, Path


def remark(findings: Diagnostics, path: Path, found: Remark) -> None:
    """Check what a remark says of a claim: its probability, its share and its signs.

    Args:
        findings: Where problems go.
        path: Of the remark.
        found: The remark.
    """
    for name in ("check", "probability_pct"):
        if getattr(found, name) and found.finding is not Finding.SUSPECTED:
            expected = f'no such key unless finding = "{Finding.SUSPECTED}"'
            findings.add((*path, name), Words(str(getattr(found, name))), expected, grave=False)
    if found.share_pct is not None and not found.share_reason.strip():
        findings.add((*path, "share_reason"), None, "why that share is put down to the move", grave=False)
    signs = found.exclusion_for.strip() or found.exclusion_against.strip()
    if signs and found.exclusion is None:
        findings.add((*path, "exclusion"), None, "the exclusion that these signs speak for or against", grave=False)


def claim(findings: Diagnostics, path: Path, found: Claim) -> None:
    """Check the order of the days and the units of rates.

    Args:
        findings: Where problems go.
        path: Of the claim.
        found: The claim.
    """
    if found.handed_over and found.delivered and found.delivered < found.handed_over:
        expected = f"a day from the handing over on, {found.handed_over.isoformat()}"
        findings.add((*path, "delivered"), found.delivered, expected, grave=False)
    for place, quotation in enumerate(found.quotations):
        where = (*path, "quotations", place)
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
