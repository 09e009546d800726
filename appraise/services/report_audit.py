"""What a finished report freezes: the case, the tables and the report by their hashes, and that version of the case."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from appraise.model.unsafe import error_text, sanitize_line
from appraise.report.appraisal import Appraisal
from appraise.report.provenance import Standing
from appraise.services.file_state import digest
from appraise.services.history import anchored, open_steps, saved_state
from appraise.services.journal import Journal
from appraise.store.files import digest_of, read_all
from appraise.store.lock import me
from appraise.store.photos import sha256_of
from appraise.store.plain_case import DecodeError
from appraise.store.read import LARGEST, read_case
from appraise.store.trail_file import read_trail

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.report.loss.compared import Compared
    from appraise.store.trail import Record
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
    found = Standing() if head is None else Standing(line=head.line, hash=head.hash)
    if not before:
        return found
    try:
        day = date.fromisoformat(before[-1].at[:10])
    except ValueError:
        return found
    return replace(found, day=day, sha256=str(before[-1].more.get("report", "")))


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
