"""Facts that a finished report freezes by hash: its case, its trail and the report before it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from appraise.model.problem import Problem
from appraise.model.unsafe import error_text, sanitize_line
from appraise.report.appraisal import Appraisal
from appraise.report.kinds import OF_A_LOSS
from appraise.report.provenance import Standing
from appraise.services.file_state import digest
from appraise.services.history import anchored, open_steps, saved_state
from appraise.services.journal import Journal
from appraise.store.files import digest_of, read_all
from appraise.store.findings import describe
from appraise.store.lock import me
from appraise.store.photos import sha256_of
from appraise.store.plain_case import DecodeError
from appraise.store.read import LARGEST, read_case
from appraise.store.trail import trail_path
from appraise.store.trail_file import read_trail

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from appraise.report.loss.compared import Compared
    from appraise.store.trail import Record, Trail
    from appraise.tables.rows import Tables


_BY_REPORTS = frozenset({"begin", "outside", "report", "torn", "restored", "replaced"})
"""Lines that writing a report may add."""


def standing(path: Path, case_digest: str, *, earlier: str = "") -> Standing:
    """Return how a report that is about to be written stands to the trail of its case.

    Args:
        path: The case file.
        case_digest: SHA-256 of its bytes, as the report has them.
        earlier: SHA-256 of the earlier state that a claim dossier compares the case with; empty for an appraisal.
    """
    try:
        trail = read_trail(path)
    except OSError:
        trail = None
    if trail is None or not trail.records:
        return Standing()
    # Both are told so that the same report written twice is the same: what writing it adds to the trail is left out.
    head = next((record for record in reversed(trail.records) if record.act not in _BY_REPORTS), None)
    # A claim dossier is about a loss: it amends no appraisal, and no appraisal amends it.
    alike = [one for one in trail.records if one.act == "report" and ("before" in one.more) == bool(earlier)]
    states = (case_digest, earlier)
    before = [one for one in alike if (one.more.get("file"), one.more.get("before", "")) != states]
    result = Standing() if head is None else Standing(line=head.line, hash=head.hash)
    if not before:
        return result
    try:
        day = date.fromisoformat(before[-1].at[:10])
    except ValueError:
        return result
    return replace(result, day=day, sha256=str(before[-1].more.get("report", "")))


def with_standing(path: Path, item: Appraisal | Compared) -> Appraisal | Compared:
    """Return what a report is made from, knowing which report it amends and how far its trail goes.

    Args:
        path: The case file; of a loss, that of the state after.
        item: A valued case, or two states compared.
    """
    if isinstance(item, Appraisal):
        return replace(item, standing=standing(path, item.sha256))
    return replace(item, standing=standing(path, item.after.sha256, earlier=item.before.sha256))


def record_document(path: Path, item: Appraisal | Compared, report: Path) -> str:
    """Put a finished document into the trail, as `record_report` does: a loss into that of the state after.

    Args:
        path: The case file; of a loss, that of the state after.
        item: What the document was made from.
        report: Where it was written.
    """
    if isinstance(item, Appraisal):
        return record_report(path, item.sha256, report, item.tables)
    before = item.before
    beside = before.file if before.file and digest(path.with_name(before.file)) == before.sha256 else ""
    return record_report(path, item.after.sha256, report, item.tables, earlier=before.sha256, earlier_name=beside)


def record_report(
    path: Path, case_digest: str, report: Path, tables: Tables, *, earlier: str = "", earlier_name: str = ""
) -> str:
    """Put a finished report into the trail, and with it the version of the case that it rests on.

    The same report of the same version is put down once.

    Args:
        path: The case file.
        case_digest: SHA-256 of the bytes that the report was made from.
        report: Where it was written.
        tables: The rows it was made with.
        earlier: SHA-256 of the earlier state that a claim dossier compares the case with; empty for an appraisal.
        earlier_name: Of its file, where that lies in the folder of the case.

    Returns:
        Why it could not be put down; empty when it is.
    """
    try:
        raw = read_all(path, LARGEST)
        if digest_of(raw) != case_digest:
            return "the case was changed while the report was made"
        journal = Journal(path, me())
        records = journal.read()
        more = {"file": case_digest, "tables": tables.version, "report": sha256_of(report)}
        if earlier:
            more["before"] = earlier
        if earlier_name:
            more["before_name"] = earlier_name
        if report.resolve().parent == path.resolve().parent:
            more["name"] = report.name
        reports = [record for record in records if record.act == "report"]
        if any(all(one.more.get(key) == value for key, value in more.items()) for one in reports):
            return ""
        case, _ = read_case(path, tables)
        if case is None or digest(path) != case_digest:
            return "the case was changed while the report was made"
        if anchored(records) != case_digest and not open_steps(records):
            try:
                before = saved_state(records) if records else None
            except DecodeError:
                before = None
            journal.begin(case, case_digest, before)
        if not any(one.more.get("file") == case_digest for one in reports):
            more["text"] = raw.decode("utf-8")
        what = f"report {sanitize_line(report.name)} written"
        return "" if journal.note("report", case.assignment.assessor, what=what, more=more) else journal.trouble
    except (OSError, UnicodeDecodeError) as error:
        return error_text(error)


def frozen_text(record: Record) -> str | None:
    """Return the version of the case that a report froze; none for a record that holds none."""
    text = record.more.get("text")
    return text if record.act == "report" and isinstance(text, str) else None


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
