"""The trail of a case in words: a line a record, the history of one field."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.services.field_names import field_name, value_at
from appraise.store.trail import changes_in

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.case import Case
    from appraise.store.trail import Change, Record
    from appraise.tables.rows import Tables

_ACTS = {
    "begin": "begun",
    "outside": "from outside",
    "edit": "changed",
    "undo": "taken back",
    "redo": "made again",
    "save": "saved",
    "drop": "left unsaved",
    "aside": "set aside",
    "merge": "merged",
    "report": "reported",
    "torn": "torn line",
    "restored": "put back",
    "replaced": "replaced",
}


@dataclass(frozen=True, slots=True)
class TrailLine:
    """One change of one record, or a record that changed nothing."""

    key: str
    record: Record
    change: Change | None
    field: str
    """Names the field over all records: the history of one field has the same."""
    outside: bool = False
    """True for what another program changed and a merge took note of."""

    @property
    def when(self) -> str:
        """Day and time, UTC."""
        return f"{self.record.at[:10]} {self.record.at[11:16]}"

    @property
    def act(self) -> str:
        """What was done, in a word or two."""
        return _ACTS["outside"] if self.outside else _ACTS.get(self.record.act, self.record.act)

    def name(self, tables: Tables) -> str:
        """Return what was changed, or what the record says."""
        if self.change is None:
            file = self.record.more.get("file")
            return (
                f"the case file, {file[:12]}…"
                if self.record.act == "save" and isinstance(file, str)
                else self.record.what
            )
        return field_name(self.change.path, self.change.of, tables)

    def values(self, case: Case, tables: Tables) -> str:
        """Return from what to what, with units; choices by the labels that the case has for them."""
        change = self.change
        if change is None:
            return ""
        old, new = (value_at(change.path, change.of, value, case, tables) for value in (change.old, change.new))
        return f"{old} → {new}"


def trail_lines(records: Sequence[Record], field: str | None = None) -> list[TrailLine]:
    """Return a trail a line a change, the latest first.

    Args:
        records: Of the trail.
        field: Only the history of this field; none: everything.
    """
    lines: list[TrailLine] = []
    for record in reversed(records):
        if not record.changes and "theirs" not in record.more and field is None:
            lines.append(TrailLine(f"{record.line}", record, None, ""))
        for at, change in enumerate(record.changes):
            about = field_key(change)
            if field in (None, about):
                lines.append(TrailLine(f"{record.line}.{at}", record, change, about))
        for at, change in enumerate(changes_in(record.more.get("theirs"))):
            about = field_key(change)
            if field in (None, about):
                lines.append(TrailLine(f"{record.line}.t{at}", record, change, about, outside=True))
    return lines


def field_key(change: Change) -> str:
    """Return what names a field through its whole history: not its place in a list, which moves, but what it is of."""
    names = [step for step in change.path if isinstance(step, str)]
    if change.of and names:
        # A whole record that came or went belongs to the history of each of its fields.
        lists = names[: 2 if names[0] == "market" else 1]
        return f"{'.'.join(lists)}[{change.of}]"
    return ".".join(names)
