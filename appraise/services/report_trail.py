"""What a report says of the trail of its case and of the report before it, held to the trail that lies beside."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from appraise.model.problem import Problem
from appraise.model.unsafe import error_text, sanitize_line
from appraise.report.kinds import OF_A_LOSS
from appraise.store.findings import describe
from appraise.store.photos import sha256_of
from appraise.store.trail import trail_path
from appraise.store.trail_file import read_trail

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from appraise.store.trail import Record, Trail


def against_trail(path: Path, report: Mapping[str, Any]) -> list[Problem]:
    """Compare what a report names with the trail beside it.

    Args:
        path: The report, in the folder of its case.
        report: What `store.report_file.read_report` gave.

    Returns:
        A problem for a line of another hash or none, a chain that breaks before it, an amended report that no line
        names, no trail though its case is there, and a file that no line names. A hint where neither is there.
    """
    file = sanitize_line(str(path))
    stated, amends = (found if isinstance(found := report.get(name), dict) else None for name in ("trail", "amends"))
    case = _case_file(path, report)
    trail, why = None, "no trail of its case beside it"
    if case is not None:
        try:
            trail = read_trail(case)
        except OSError as error:
            why = f"a trail that cannot be read ({error_text(error)})"
    if trail is None and stated is None and amends is None:
        return []
    if trail is None and case is not None and case.is_file():
        name, mend = sanitize_line(trail_path(case).name), "it was deleted since, or renamed; put it back from a copy"
        return [Problem(file, None, "trail", why, f"{name}, which it names", mend)]
    if case is None or trail is None:
        mend = "to have it compared, put the report beside its case"
        return [Problem(file, None, "trail", why, "the trail that it names", mend, grave=False)]
    name = sanitize_line(trail_path(case).name)
    found = [] if stated is None else _line(file, stated, trail, name)
    if amends is not None:
        found += _amended(file, amends, trail, name, loss=report.get("kind") in list(OF_A_LOSS))
    return found or _known(file, path, trail, name)


def case_beside(path: Path, report: Mapping[str, Any]) -> bool:
    """Tell whether a file of the name of its case lies beside a report."""
    case = _case_file(path, report)
    return case is not None and case.is_file()


def _case_file(path: Path, report: Mapping[str, Any]) -> Path | None:
    """Return where the case of a report would lie beside it; none where what is said is no name of a file."""
    after = report.get("after")
    name = after.get("file") if isinstance(after, dict) else report.get("case")
    if not isinstance(name, str) or not name.strip(". ") or any(mark in name for mark in "/\\\0"):
        return None
    return path.with_name(name)


def _line(file: str, stated: Mapping[str, Any], trail: Trail, name: str) -> list[Problem]:
    line, digest = stated.get("line"), stated.get("hash")
    broken = [one.line for one in trail.breaks if not isinstance(line, int) or one.line <= line]
    if broken:
        found = f"a chain that breaks at line {broken[0]} of {name}"
        return [Problem(file, None, "trail.line", found, f"one that is whole up to line {describe(line)}")]
    record = next((one for one in trail.records if one.line == line), None)
    if record is None:
        expected = f"a line of {name}, which has {len(trail.records)}"
        mend = "lines were cut off, or the trail is another"
        return [Problem(file, None, "trail.line", describe(line), expected, mend)]
    if record.hash != digest:
        mend = "the trail was computed anew, or the report was changed"
        expected = f"{record.hash} as line {line} of {name} has it"
        return [Problem(file, None, "trail.hash", describe(digest), expected, mend)]
    return []


def _amended(file: str, amends: Mapping[str, Any], trail: Trail, name: str, *, loss: bool) -> list[Problem]:
    digest, day = amends.get("sha256"), amends.get("day")
    record = next((one for one in _reports(trail) if one.more.get("report") == digest), None)
    if record is None or ("before" in record.more) != loss:
        kind = "a claim dossier" if loss else "a report"
        return [Problem(file, None, "amends.sha256", describe(digest), f"the SHA-256 of {kind} that {name} names")]
    if record.at[:10] != day:
        expected = f"{record.at[:10]} as line {record.line} of {name} has it"
        return [Problem(file, None, "amends.day", describe(day), expected)]
    return []


def _known(file: str, path: Path, trail: Trail, name: str) -> list[Problem]:
    try:
        digest = sha256_of(path)
    except OSError:
        return []
    if any(one.more.get("report") == digest for one in _reports(trail)):
        return []
    found = f"a file that no line of {name} names (SHA-256 {digest[:12]}…)"
    mend = "it was written or changed by something else since, or the last lines of the trail were cut off"
    return [Problem(file, None, "", found, "the report as it was written", mend)]


def _reports(trail: Trail) -> list[Record]:
    return [record for record in trail.records if record.act == "report"]
