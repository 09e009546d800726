"""Readings from the unit they were written in to the unit of the check's row."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.model.quantities import UNITS, spellings, to_base
from appraise.store.findings import Diagnostics, Path, Words, listed
from appraise.tables.rows import Check, CheckKind

if TYPE_CHECKING:
    from appraise.model.case import Reading

_ANSWERS = {
    CheckKind.MEASURED: "a number",
    CheckKind.COUNT: "a whole number of at least 0",
    CheckKind.YES_NO: "true or false, without quotes",
    CheckKind.RECORD: "a text in quotes",
}


def convert_reading(findings: Diagnostics, path: Path, written: Reading, check: Check) -> Reading | None:
    """Turn a reading as written into one in the check's own unit.

    Args:
        findings: Where problems go.
        path: The reading's place in the document.
        written: The reading as the file has it.
        check: The row of its check.

    Returns:
        The reading, or none where it had to be refused.
    """
    if check.kind is CheckKind.GRADED:
        mend = f'write it under [[grades]]: check = "{check.key}", grade = 1 to 5'
        findings.add((*path, "check"), Words(f'a reading of the graded check "{check.key}"'), "a grade", mend)
        return None
    if not _answers(written.value, check.kind):
        mend = ""
        if check.kind is CheckKind.YES_NO and isinstance(written.value, str):
            mend = {"yes": "write true", "no": "write false"}.get(written.value.strip().lower(), "")
        findings.add((*path, "value"), written.value, f'{_ANSWERS[check.kind]} for "{check.key}"', mend)
        return None
    value, unit = written.value, ""
    if check.kind is CheckKind.MEASURED:
        converted = _in_unit_of(findings, (*path, "unit"), float(value), written.unit, check)
        if converted is None:
            return None
        value, unit = converted, check.unit
    elif written.unit:
        findings.add((*path, "unit"), written.unit, f'no unit: "{check.key}" is not a measured quantity')
        return None
    if check.plausible is not None and isinstance(value, float) and not isinstance(value, bool):
        low, high = check.plausible
        if not low <= value <= high:
            _implausible(findings, (*path, "value"), written, check)
            return None
    if value is written.value and unit == written.unit:
        return written
    return replace(written, value=value, unit=unit)


def from_base(value: float, unit: str) -> float:
    """Convert a quantity from the base unit to another; the inverse of `to_base`.

    Args:
        value: The number in the base unit of `unit`.
        unit: A key of `UNITS`.

    Returns:
        The number in `unit`.

    Raises:
        KeyError: No such unit.
    """
    row = UNITS[unit]
    return (value - row.offset) / row.factor


def _answers(value: float | bool | str, kind: CheckKind) -> bool:
    if isinstance(value, bool):
        return kind is CheckKind.YES_NO
    if isinstance(value, str):
        return kind is CheckKind.RECORD and bool(value.strip())
    return kind is CheckKind.MEASURED or (kind is CheckKind.COUNT and value >= 0 and value.is_integer())


def _in_unit_of(findings: Diagnostics, path: Path, value: float, unit: str, check: Check) -> float | None:
    if unit == check.unit:
        return value
    base = UNITS[check.unit].base
    if unit not in UNITS or UNITS[unit].base != base:
        expected = f'a unit for "{check.key}": {listed(spellings(base))}'
        mend = f'write unit = "{check.unit}"' if not unit else ""
        findings.add(path, unit or None, expected, mend)
        return None
    # Nine digits are more than any instrument shows, and leave no noise of the conversion in the file.
    return float(f"{from_base(to_base(value, unit)[0], check.unit):.9g}")


def _implausible(findings: Diagnostics, path: Path, written: Reading, check: Check) -> None:
    """Say the plausible range in the unit that was written, so that the slip can be seen."""
    assert check.plausible is not None  # noqa: S101 - only called where there is a range
    low, high = check.plausible
    unit = ""
    if check.kind is CheckKind.MEASURED:
        unit = f" {written.unit}" if written.unit else ""
        low, high = (from_base(to_base(bound, check.unit)[0], written.unit) for bound in (low, high))
    expected = f'{low:.4g} to {high:.4g}{unit} for "{check.key}"'
    found = Words(f"{written.value:.10g}{unit}")
    findings.add(path, found, expected, "check the unit and the decimal point")
