"""Chain of custody: the files that a document or the trail names by their SHA-256, held to those that lie beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import Problem
from appraise.model.unsafe import error_text, sanitize_line
from appraise.store.baseline import earlier_case
from appraise.store.photos import look_for, sha256_of
from appraise.store.read import parse_case
from appraise.store.trail import changes_in
from appraise.tables.content import resolved

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.store.trail import Record
    from appraise.tables.rows import Tables


@dataclass(frozen=True, slots=True)
class Named:
    """A file that something names by its SHA-256."""

    key: str
    """Under which it is named there."""
    what: str
    file: str
    """Relative to the folder of the case."""
    sha256: str


def brief(digest: str) -> str:
    """Return the head of a hash, as a line has room for it."""
    return f"SHA-256 {sanitize_line(digest)[:12]}…"


def differing(shown: str, folder: Path, named: Named, *, needed: bool) -> list[Problem]:
    """Hold one file to the SHA-256 that something names; empty where it is the same.

    Args:
        shown: How problems call what names it.
        folder: Where it would lie.
        named: What is named.
        needed: A missing file is a difference, and not only a hint: it may not have been sent along.
    """
    found = look_for(resolved(folder), named.file, named.sha256)
    if not found.fault:
        return []
    file = sanitize_line(named.file)
    expected = f"{named.what} {file} with {brief(named.sha256)}"
    if not found.of_digest:
        return [Problem(shown, None, named.key, found.fault, expected, "", grave=needed or not found.missing)]
    try:
        said = brief(sha256_of(resolved(folder / named.file)))
    except OSError as error:
        said = error_text(error)
    mend = f"{file} was changed since, or another file has taken its name"
    return [Problem(shown, None, named.key, f"{file} with {said}", expected, mend)]


def against_files(path: Path, report: Mapping[str, Any], tables: Tables) -> list[Problem]:
    """Hold the case, the state before and the photos that a report in JSON names to the files beside it.

    Args:
        path: The report.
        report: What `store.report_file.read_report` gave.
        tables: What the case inside is checked against.

    Returns:
        A problem for each that is another, or is missing though the case is there, and a hint for a state before that
        was another file and is missing; nothing where the case is not there.
    """
    inner, shown = report.get("recompute"), sanitize_line(str(path))
    inner = inner if isinstance(inner, dict) else {}
    states = [("case", "case_sha256", report.get("case"), report.get("case_sha256"), inner.get("case_text"))]
    for key in ("after", "before"):
        one = report.get(key)
        if isinstance(one, dict) and "sha256" in one:
            states.append((key, f"{key}.sha256", one.get("file"), one.get("sha256"), inner.get(f"{key}_text")))
    result: list[Problem] = []
    here = False
    for name, key, file, digest, text in states:
        if not isinstance(file, str) or not isinstance(digest, str) or not plain_name(file):
            continue
        there = path.with_name(file).exists()
        here = here or (there and name != "before")
        kept = name == "before" and bool(report["before"].get("remembered"))
        what = {"case": "the case", "after": "the case", "before": "the state before"}[name]
        if there or here:
            result += differing(shown, path.parent, Named(key, what, file, digest), needed=here and kept)
        case = parse_case(text, tables, file=shown)[0] if isinstance(text, str) else None
        if case is not None and (here if name != "before" else there):
            result += evidence_differing(shown, path.parent, case)
    return result


def evidence_differing(shown: str, folder: Path, case: Case) -> list[Problem]:
    """Hold the photos of a case and the files of its quotations and bids to their SHA-256; a missing one differs."""
    named = [Named("photos", "the photo", photo.file, photo.sha256) for photo in case.photos]
    named += [
        Named(f"claim.{name}[{at + 1}]", "the file", file, sha256) for name, at, file, sha256 in case.claim.papers
    ]
    named.append(Named("practice.letterhead", "the letterhead", case.practice.letterhead, case.practice.sha256))
    return [problem for one in named if one.sha256 for problem in differing(shown, folder, one, needed=True)]


def earlier_photos(path: Path, case: Case, tables: Tables) -> list[Problem]:
    """Hold the photos of the earlier state that a case remembers to their SHA-256; its copy has been found whole."""
    if case.earlier_state is None:
        return []
    before, _ = earlier_case(path, case.earlier_state, tables)
    return evidence_differing(sanitize_line(str(path.with_name(case.earlier_state.file))), path.parent, before)


def plain_name(name: str) -> bool:
    """Tell whether a name is that of a file, and leads nowhere else."""
    return bool(name.strip(". ")) and not any(mark in name for mark in "/\\\0")


def earlier_known(shown: str, case: Case, records: Sequence[Record]) -> list[Problem]:
    """Hold the earlier state that a case remembers to its trail, which knows the copy and is named by the case.

    Args:
        shown: How problems call the case file.
        case: What it holds.
        records: Its trail; empty where there is none.
    """
    earlier = case.earlier_state
    if earlier is None:
        return []
    if earlier.trail and not any(one.hash == earlier.trail for one in records):
        found = f"no line of its trail with the hash {earlier.trail[:12]}…" if records else "no trail beside it"
        expected = "the trail that the case went by when the earlier state was set"
        mend = "it was deleted, cut off or computed anew; put it back from a copy"
        return [Problem(shown, None, "earlier_state.trail", found, expected, mend)]
    said = list(_digests_set(records))
    if not said or any(digest == earlier.sha256 and by_program for digest, by_program, _ in said):
        return []
    digest, _, line = next((one for one in reversed(said) if one[1]), said[0])
    mend = "the frozen copy and its SHA-256 were both changed outside the program"
    expected = f"{digest[:12]}…, as line {line} of the trail has it"
    return [Problem(shown, None, "earlier_state.sha256", f"{earlier.sha256[:12]}…", expected, mend)]


def _digests_set(records: Sequence[Record]) -> Iterator[tuple[str, bool, int]]:
    """Yield every SHA-256 of an earlier state that the trail tells of, whether our own work set it, and the line."""
    for one in records:
        start = one.more.get("case")
        kept = start.get("earlier_state") if one.act == "begin" and isinstance(start, dict) else None
        values = [kept, *(change.new for change in one.changes if change.path == ("earlier_state",))]
        values += [change.new for change in changes_in(one.more.get("theirs")) if change.path == ("earlier_state",)]
        by_program = one.act in {"edit", "undo", "redo"} or one.line == 1
        for value in values:
            if isinstance(value, dict) and isinstance(value.get("sha256"), str):
                yield value["sha256"], by_program, one.line
        for change in one.changes:
            if change.path == ("earlier_state", "sha256") and isinstance(change.new, str):
                yield change.new, by_program, one.line


def documents_beside(case_file: Path, records: Sequence[Record]) -> list[Problem]:
    """Hold the documents that a trail names to those beside the case; the last line of each counts."""
    last: dict[str, Record] = {}
    for one in records:
        if one.act == "save" and "from" in one.more:
            last.clear()  # those before lie beside the file that the case was saved from
        elif one.act == "report" and "name" in one.more:
            last[str(one.more["name"])] = one
    folder = case_file.resolve().parent
    result: list[Problem] = []
    for name, one in last.items():
        named = Named("", "the document", name, str(one.more.get("report")))
        shown = sanitize_line(str(case_file.parent / name))
        result += [each for each in differing(shown, folder, named, needed=False) if each.grave]
    return result
