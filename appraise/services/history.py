"""Facts that a trail records of a case, and the trail in words: a line a record, the history of one field."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.services.case_diff import applied
from appraise.services.field_names import field_name, value_at
from appraise.store.files import beside
from appraise.store.plain_case import DecodeError, decode_case
from appraise.store.trail import changes_in

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.store.trail import Change, Record
    from appraise.tables.rows import Tables


BOUNDARIES = frozenset({"begin", "outside", "save", "drop", "aside", "merge"})
"""Acts behind which nothing done before is open any more."""

STEPS = frozenset({"edit", "undo", "redo", "merge"})
"""Acts that change the case."""

MERGED = "merge of two versions"
"""Name of a merge for undo."""

_ANCHORS = frozenset({"begin", "outside", "save", "merge"})
"""Acts that name the content of the file by its SHA-256."""


@dataclass(frozen=True, slots=True)
class Stacks:
    """A state with what undo and redo would do from it."""

    case: Case
    past: tuple[tuple[str, Case], ...] = ()
    future: tuple[tuple[str, Case], ...] = ()

    def changed(self, case: Case, what: str, *, joins: bool = False) -> Stacks:
        """Return them after an edit; one that joins is taken back together with the edit before it."""
        return Stacks(case, self.past if joins and self.past else (*self.past, (what, self.case)))

    def undone(self, case: Case, what: str) -> Stacks:
        """Return them after the last edit was taken back, which leads to this case."""
        return Stacks(case, self.past[:-1], (*self.future, (what, self.case)))

    def redone(self, case: Case, what: str) -> Stacks:
        """Return them after an edit that was taken back was made again, which leads to this case."""
        return Stacks(case, (*self.past, (what, self.case)), self.future[:-1])


def worked_on(path: Path, case: Case) -> bool:
    """Tell whether a case names a trail, or an earlier version of it that a save has kept lies beside it."""
    earlier = case.earlier_state
    return bool(earlier is not None and earlier.trail) or beside(path.resolve(), "~").exists()


def anchor(records: Sequence[Record]) -> Record | None:
    """Return the last record that names the content of the file."""
    return next((record for record in reversed(records) if record.act in _ANCHORS), None)


def anchored(records: Sequence[Record]) -> str:
    """Return the SHA-256 that the file had by the last record that names it; empty where none does."""
    found = anchor(records)
    return "" if found is None else str(found.more.get("file", ""))


def open_steps(records: Sequence[Record]) -> tuple[Record, ...]:
    """Return what was done since the last save and neither saved nor given up."""
    steps: list[Record] = []
    for record in reversed(records):
        if record.act in STEPS:
            steps.append(record)
        if record.act in BOUNDARIES:
            break
    return tuple(reversed(steps))


def saved_state(records: Sequence[Record]) -> Case:
    """Follow the trail to the state that the file had by its last record that names it.

    Raises:
        DecodeError: The trail does not lead there: a broken chain, another layout, no beginning.
    """
    saved: Case | None = None
    state: Case | None = None
    for record in records:
        try:
            if record.act == "begin":
                saved = state = decode_case(record.more.get("case"))
            elif saved is None or state is None:
                continue
            elif record.act == "outside":
                saved = state = applied(saved, record.changes)
            elif record.act == "merge":
                saved = applied(saved, changes_in(record.more.get("theirs")))
                applied(saved, changes_in(record.more.get("mine")))  # undo goes back there
                state = applied(saved, record.changes)
            elif record.act in STEPS:
                state = applied(state, record.changes)
            elif record.act == "save":
                saved = state
            elif record.act in BOUNDARIES:
                state = saved
        except DecodeError as error:
            raise DecodeError(f"line {record.line}: {error}") from None
    if saved is None:
        raise DecodeError("the trail has no beginning")
    return saved


def replayed(base: Case, steps: Sequence[Record]) -> Stacks:
    """Do the open steps again.

    Args:
        base: The state that was last saved.
        steps: From `open_steps`.

    Raises:
        DecodeError: They do not start from this state.
    """
    stacks = Stacks(base)
    for step in steps:
        case = applied(stacks.case, step.changes)
        if step.act == "merge":
            # It starts from the file as it was then; undo goes back to what had been done here.
            stacks = replace(stacks, case=applied(stacks.case, changes_in(step.more.get("mine"))))
        if step.act == "undo":
            stacks = stacks.undone(case, step.what)
        elif step.act == "redo":
            stacks = stacks.redone(case, step.what)
        else:
            stacks = stacks.changed(case, step.what, joins=step.more.get("joins") is True)
    return stacks


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
        """The kind of change, in a word or two."""
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
