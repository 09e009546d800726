"""A document recognised by its SHA-256 in the trail of its case, and what it rests on held to the files beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import Problem
from appraise.model.unsafe import sanitize_line
from appraise.services.custody import Named, brief, differing, earlier_photos, evidence_differing, plain_name
from appraise.store.photos import sha256_of
from appraise.store.read import parse_case
from appraise.store.trail import TRAIL, problems_of
from appraise.store.trail_file import read_trail
from appraise.tables.content import resolved

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from appraise.store.trail import Record
    from appraise.tables.rows import Tables


@dataclass(frozen=True, slots=True)
class Document:
    """A document of the case, recognised by its SHA-256."""

    words: str
    problems: tuple[Problem, ...]


def checked_document(path: Path, tables: Tables) -> Document:
    """Look a document up by its SHA-256 in the trails of its folder, and hold what it rests on to the files beside it.

    Args:
        path: The document, such as a PDF; its content is hashed and never read.
        tables: What the case is checked against.

    Raises:
        OSError: It cannot be read.
    """
    shown, digest = sanitize_line(str(path)), sha256_of(resolved(path))
    trails: list[str] = []
    known: list[Document] = []
    same_name: tuple[Record, str] | None = None
    for trail_file in sorted(path.parent.glob(f"*{TRAIL}")):
        case_file = _case_of(trail_file)
        try:
            trail = read_trail(case_file)
        except OSError:
            continue
        if trail is None:
            continue
        name = sanitize_line(trail_file.name)
        trails.append(name)
        for one in trail.records:
            if one.act != "report":
                continue
            if one.more.get("report") == digest:
                broken = [each for each in problems_of(trail_file, trail) if each.grave]
                problems = (*broken[:1], *_rests_on(shown, case_file, one, trail.records, tables))
                words = f"the document as it was written on {one.at[:10]} (line {one.line} of {name})"
                known.append(Document(words, problems))
            if one.more.get("name") == path.name:
                same_name = (one, name)
    if known:  # a case saved under another name has the lines of the first as well
        return min(known, key=lambda each: len(each.problems))
    if same_name is not None:
        one, name = same_name
        expected = f"{brief(str(one.more.get('report')))}, as line {one.line} of {name} has it"
        mend = "the document was changed since, or another has taken its name"
        return Document("", (Problem(shown, None, "", f"a document with {brief(digest)}", expected, mend),))
    if not trails:
        found, mend = "no trail beside it", "put the document beside its case to have it compared"
        return Document("", (Problem(shown, None, "", found, f"one that names {brief(digest)}", mend),))
    found = f"a document that no line of {' or '.join(trails[:3])} names ({brief(digest)})"
    mend = "it was changed, or the last lines of the trail were cut off"
    return Document("", (Problem(shown, None, "", found, "a document as the trail has it", mend),))


def _case_of(trail_file: Path) -> Path:
    stem = trail_file.name.removesuffix(TRAIL)
    plain = trail_file.with_name(stem.removesuffix(".case"))
    return plain if stem.endswith(".case") and plain.exists() else trail_file.with_name(f"{stem}.toml")


def _rests_on(shown: str, case_file: Path, one: Record, records: Sequence[Record], tables: Tables) -> list[Problem]:
    """Hold the case, the state before and the photos of a document to the files beside it."""
    folder, digest = case_file.parent, str(one.more.get("file"))
    result = differing(shown, folder, Named("", "the case", case_file.name, digest), needed=True)
    before = one.more.get("before_name")
    if isinstance(before, str) and plain_name(before):
        named = Named("", "the state before", before, str(one.more.get("before")))
        result += differing(shown, folder, named, needed=True)
    # A version is frozen once, by the first report made from it.
    alike = [each.more.get("text") for each in records if each.act == "report" and each.more.get("file") == digest]
    text = next((text for text in alike if isinstance(text, str)), None)
    case = None if text is None else parse_case(text, tables, file=shown)[0]
    if case is not None:
        result += evidence_differing(shown, folder, case)
        result += [] if result else earlier_photos(case_file, case, tables)
    return result
