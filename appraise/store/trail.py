"""The trail of a case: journal and audit trail in one file beside it, a line a record, only ever grown.

Each line is one JSON object. `prev` is the SHA-256 of the line before, `hash` that of the line itself up to `hash`,
so that a line changed, taken out or put in shows. Without knowing the last hash from elsewhere, such as from a
printed report, nobody can tell that lines were cut off at the end, or that all was computed anew.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import Problem
from appraise.model.unsafe import sanitize_line
from appraise.store.files import beside, digest_of
from appraise.store.trail_records import misformed, read_object

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

LAYOUT = 1
"""Version of the records' layout."""

LARGEST = 256 * 1024 * 1024
"""Size of a trail that is still read [bytes]; a day's work is some 100,000."""

TRAIL = ".trail.jsonl"
"""Ending of a trail's name."""

START = "0" * 64
"""Digest before the first line."""

_HASH = b',"hash":"'


class _Absent:
    """Stands for no value at all, where null is a value."""

    def __repr__(self) -> str:
        return "ABSENT"


ABSENT = _Absent()
"""No value: the record was not there before, or is not there after."""


@dataclass(frozen=True, slots=True)
class Change:
    """One field or record that was changed."""

    path: tuple[str | int, ...]
    """Where; places in lists counted from 0, as they were when the change was made."""
    old: Any
    """The earlier value, as plain JSON."""
    new: Any
    of: str = ""
    """The record's subject: the key of its check, its component, its label."""

    def plain(self) -> dict[str, Any]:
        """Return it as the trail has it."""
        made: dict[str, Any] = {"field": list(self.path)}
        if self.of:
            made["of"] = self.of
        if self.old is not ABSENT:
            made["from"] = self.old
        if self.new is not ABSENT:
            made["to"] = self.new
        return made


@dataclass(frozen=True, slots=True)
class Record:
    """One line of the trail."""

    line: int
    """Counted from 1."""
    act: str
    """begin, outside, edit, undo, redo, save, drop, aside, merge, report, torn, restored or replaced."""
    at: str
    """UTC, ISO 8601."""
    by: str
    """The assessor the case named then; empty where it named none."""
    user: str
    """user@host of the system."""
    session: str
    what: str
    reason: str
    changes: tuple[Change, ...]
    more: Mapping[str, Any]
    """Whatever else this kind of record holds."""
    hash: str


@dataclass(frozen=True, slots=True)
class Break:
    """A line at which the chain does not hold."""

    line: int
    key: str
    found: str
    expected: str


@dataclass(frozen=True, slots=True)
class Trail:
    """A trail as it was read."""

    records: tuple[Record, ...] = ()
    breaks: tuple[Break, ...] = ()
    whole: int = 0
    """Bytes up to the end of the last whole line."""
    torn: bytes = b""
    """The torn end: a line that was cut off while it was written."""

    @property
    def head(self) -> str:
        """Hash of the last line."""
        return self.records[-1].hash if self.records else START


def trail_path(case_file: Path) -> Path:
    """Return where the trail of a case lies: `NAME.trail.jsonl` beside the file itself, links followed."""
    target = case_file.resolve()
    stem = target.stem if target.suffix == ".toml" else f"{target.name}.case"
    return beside(target, TRAIL, stem=stem)


def line_of(body: Mapping[str, Any], previous: str) -> tuple[bytes, str]:
    """Return a record as its line, chained to the one before.

    Args:
        body: What the record holds.
        previous: Hash of the line before.

    Returns:
        The line with its line feed, and its hash.
    """
    text = json.dumps({**body, "prev": previous}, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    raw = text.encode("utf-8")
    digest = digest_of(raw)
    return raw[:-1] + _HASH + digest.encode() + b'"}\n', digest


def parse_trail(data: bytes, *, previous: str = START, first: int = 1) -> Trail:
    """Read the lines of a trail.

    Args:
        data: Its bytes, or those behind a line that is known.
        previous: Hash of that line.
        first: Number of the first line in `data`.

    Returns:
        Every record that can be read, every line at which the chain breaks, and what was torn off at the end.
    """
    whole = data.rfind(b"\n") + 1
    lines = data[:whole].split(b"\n")[:-1]
    torn = data[whole:]
    if lines and not torn and b"\0" in lines[-1]:
        # A power cut can leave the length of a last line without its content; JSON has no such byte.
        torn = lines.pop() + b"\n"
        whole -= len(torn)
    records: list[Record] = []
    breaks: list[Break] = []
    for number, raw in enumerate(lines, start=first):
        plain = _plain(raw)
        if plain is None:
            breaks.append(Break(number, "", "a line that is no record", "a JSON object with its hash"))
            continue
        cut = raw.rfind(_HASH)
        digest, stated = digest_of(raw[:cut] + b"}"), str(plain.get("hash"))
        before = str(plain.get("prev"))
        if before != previous:
            expected = f"{previous[:12]}…, the hash of the line before"
            breaks.append(Break(number, "prev", f"{sanitize_line(before[:12])}…", expected))
        if digest != stated:
            expected = f"{digest[:12]}…, as its content gives"
            breaks.append(Break(number, "hash", f"{sanitize_line(stated[:12])}…", expected))
        breaks += [Break(number, *wrong) for wrong in misformed(plain)]
        previous = stated
        records.append(_record(number, plain))
    return Trail(tuple(records), tuple(breaks), whole, torn)


def problems_of(path: Path, trail: Trail) -> list[Problem]:
    """Return what is wrong with a trail, a problem for each line at which the chain breaks."""
    file = sanitize_line(str(path))
    mend = "the lines up to here hold; compare with a copy, or with the hash a report names"
    result = [Problem(file, one.line, one.key, one.found, one.expected, mend) for one in trail.breaks]
    if trail.torn:
        line = (trail.records[-1].line if trail.records else 0) + 1
        words = f"a line of {len(trail.torn)} bytes that was cut off"
        mend = "a crash leaves such a line, never acknowledged; opening the case drops it and says so"
        result.append(Problem(file, line, "", words, "a whole line", mend, grave=False))
    return result


def _plain(raw: bytes) -> dict[str, Any] | None:
    try:
        plain = read_object(raw)
    except (ValueError, RecursionError):
        return None
    return plain if isinstance(plain, dict) and raw.rfind(_HASH) > 0 else None


_KNOWN = frozenset({"act", "at", "by", "user", "session", "what", "reason", "changes", "prev", "hash"})


def _record(line: int, plain: Mapping[str, Any]) -> Record:
    def text(key: str) -> str:
        value = plain.get(key, "")
        return value if isinstance(value, str) else ""

    return Record(
        line=line,
        act=text("act"),
        at=text("at"),
        by=text("by"),
        user=text("user"),
        session=text("session"),
        what=text("what"),
        reason=text("reason"),
        changes=changes_in(plain.get("changes")),
        more={key: value for key, value in plain.items() if key not in _KNOWN},
        hash=text("hash"),
    )


def changes_in(plain: Any) -> tuple[Change, ...]:  # noqa: ANN401 - whatever JSON holds
    """Return the changes that a list of plain objects holds; none of anything else."""
    return tuple(_change(one) for one in plain if isinstance(one, dict)) if isinstance(plain, list) else ()


def _change(plain: Mapping[str, Any]) -> Change:
    field = plain.get("field")
    steps = field if isinstance(field, list) else []
    path = tuple(step for step in steps if isinstance(step, str | int) and not isinstance(step, bool))
    of = plain.get("of", "")
    return Change(path, plain.get("from", ABSENT), plain.get("to", ABSENT), of if isinstance(of, str) else "")
