"""What stands between a worksheet and the disk: the journal of its steps, and the lock that keeps others off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.unsafe import error_text, sanitize_line
from appraise.services.changes import differences
from appraise.services.history import MERGED, anchored, open_steps
from appraise.services.journal import Journal
from appraise.store.lock import Held, Holder, Lock

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.case import Case


class Keeper:
    """Journal and lock of one open case."""

    def __init__(self, path: Path, holder: Holder) -> None:
        self.journal = Journal(path, holder)
        """The trail."""
        self.lock = Lock(path, holder)
        """Who may write."""
        self.read_only = ""
        """Why nothing can be written; empty when it can."""
        self._holder = holder
        self._no_lock = ""

    @property
    def trouble(self) -> str:
        """Why the last steps are in memory only."""
        return self.journal.trouble

    @property
    def holder(self) -> Holder:
        """Who works here."""
        return self._holder

    def enter(self, *, doubtful: bool = False) -> Held | None:
        """Take the lock, or become read-only.

        Args:
            doubtful: Also from another machine that has not been heard of for long.

        Returns:
            Who has it, where somebody else has.
        """
        try:
            held = self.lock.take(doubtful=doubtful)
        except OSError as error:
            # Where no lock can be written nobody else can have one that counts.
            held = self.lock.held_by()
            self._no_lock = error_text(error)
        self.read_only = "" if held is None else f"read-only: {held.by} has it open"
        if held is None and self._no_lock:
            self.journal.trouble = self._no_lock
        return held

    def look(self) -> None:
        """Find out whether the lock is still ours before something is written."""
        if self.read_only or self._no_lock or self.lock.displaced or self.lock.still_ours():
            return
        held = self.lock.held_by()
        if held is None:
            # Somebody tidied up.
            self.enter()
        else:
            self.read_only = f"read-only: {held.by} has taken it over"

    def step(self, act: str, before: Case, after: Case, what: str, *, joins: bool = False) -> None:
        """Put a step on the disk."""
        self.journal.step(act, before, after, what, joins=joins)
        self.lock.touch()

    def saved(self, case: Case, digest: str) -> None:
        """Note that the file holds the case now."""
        journal = self.journal
        journal.guard()
        if anchored(journal.file.records) != digest or journal.waiting or open_steps(journal.file.records):
            journal.note("save", case.assignment.assessor, what="saved", more={"file": digest})

    def merged(self, base: Case, mine: Case, theirs: Case, digest: str, merged: Case) -> None:
        """Note in one line what another program wrote and what was made of it: half of it would be worth nothing."""
        self.journal.note(
            "merge",
            merged.assignment.assessor,
            what=MERGED,
            changes=differences(theirs, merged),
            more={
                "file": digest,
                "theirs": [change.plain() for change in differences(base, theirs)],
                "mine": [change.plain() for change in differences(theirs, mine)],
            },
        )

    def moved(self, old: Path, new: Path, case: Case, digest: str) -> None:
        """Go on under another name: the trail goes along, what waited is in it, and the old lock is given back."""
        left = self.journal
        content, waiting = left.lines_for()
        self.journal = left.moved(new, content, waiting)
        if not self.read_only and open_steps(left.file.records):
            # Else what went along would be offered again here.
            left.note("drop", case.assignment.assessor, what=f"the work went on in {sanitize_line(new.name)}")
        self.lock.release()
        self.lock = Lock(new, self._holder)
        self._no_lock = self.read_only = ""
        self.enter()
        more = {"file": digest, "from": sanitize_line(old.name)}
        self.journal.note("save", case.assignment.assessor, what=f"saved as {sanitize_line(new.name)}", more=more)

    def close(self, case: Case, *, dropped: bool) -> None:
        """Leave: what was not saved is given up for good, and the lock given back."""
        if not self.read_only and dropped and open_steps(self.journal.file.records):
            self.journal.note("drop", case.assignment.assessor, what="left without saving")
        elif not self.read_only:
            self.journal.guard()
        self.lock.release()
