"""The journal between a case and the disk: each step in the trail before it counts, and the lock against others."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from appraise.model.case import SCHEMA
from appraise.model.unsafe import clean, error_text, sanitize_line
from appraise.services.case_diff import differences
from appraise.services.history import MERGED, anchored, open_steps
from appraise.store.lock import Held, Holder, Lock
from appraise.store.plain_case import encode
from appraise.store.trail import LAYOUT, Record
from appraise.store.trail_file import TrailFile

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.store.trail import Change


class Journal:
    """The trail of one case as a session writes it, and who may write; what cannot be written waits, and is said."""

    def __init__(self, case_file: Path, holder: Holder) -> None:
        self.file = TrailFile(case_file)
        """The trail on disk."""
        self.lock = Lock(case_file, holder)
        """Who may write."""
        self.read_only = ""
        """Why nothing can be written; empty when it can."""
        self.trouble = ""
        """Why the last records are in memory only; empty while all of them are on the disk."""
        self.disturbed = ""
        """Records that somebody else added while it was open, until the person here has seen them."""
        self.lost = False
        """True where the case has been worked on before and no trail of that is there."""
        self.broken = self.torn = False
        """State of the chain when the trail was read: broken, and its last line cut off."""
        self._holder = holder
        self._no_lock = ""
        self._waiting: list[dict[str, Any]] = []
        self._count = 0

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
            self.trouble = self._no_lock
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

    def read(self) -> list[Record]:
        """Read what is there.

        Raises:
            OSError: It is there and cannot be read.
        """
        trail = self.file.read()
        if trail is not None:
            self.broken = bool(trail.breaks)
            self.torn = bool(trail.torn)
            if trail.torn:
                self._queue("torn", "", what="a line that a crash cut off was dropped", more={"bytes": len(trail.torn)})
        return self.file.records

    def begin(self, case: Case, digest: str, before: Case | None) -> None:
        """Say from what the steps start, where the trail does not end there already; written with the first step.

        Args:
            case: What the file holds.
            digest: SHA-256 of the file; empty for a case without one yet.
            before: The state the trail ends in, if it can be followed.
        """
        if digest and anchored(self.file.records) == digest:
            return
        if before is not None:
            # Whoever is named in the file need not be who changed it.
            what = "changed outside the program, by an unknown hand"
            self._queue("outside", "", what=what, changes=differences(before, case), more={"file": digest})
            return
        what = "the trail begins; the one before is gone" if self.lost else "the trail begins"
        start = {"file": digest, "layout": LAYOUT, "schema": SCHEMA, "case": encode(case)}
        self._queue("begin", case.assignment.assessor, what=what, more=start)

    def queue_save(self, case: Case, digest: str) -> None:
        """Note with the first step that an earlier save did reach the file."""
        what = "saved, as the file shows"
        self._queue("save", case.assignment.assessor, what=what, more={"file": digest})

    def step(self, act: str, before: Case, after: Case, what: str, *, joins: bool = False) -> None:
        """Put down an edit, undo or redo; one that joins the edit before it says so."""
        changes, more = differences(before, after), {"joins": True} if joins else None
        self.note(act, after.assignment.assessor, what=what, reason=_reason(before, after), changes=changes, more=more)
        self.lock.touch()

    def saved(self, case: Case, digest: str) -> None:
        """Note that the file holds the case now."""
        self.guard()
        if anchored(self.file.records) != digest or self._waiting or open_steps(self.file.records):
            self.note("save", case.assignment.assessor, what="saved", more={"file": digest})

    def merged(self, base: Case, mine: Case, theirs: Case, digest: str, merged: Case) -> None:
        """Note in one line what another program wrote and what was made of it: half of it would be worth nothing."""
        self.note(
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

    def moved(self, old: Path, new: Path, case: Case, digest: str) -> Journal:
        """Go on under another name: the trail goes along with what waits, and the lock here is given back.

        Returns:
            The journal under the new name.
        """
        other = Journal(new, self._holder)
        other._count = self._count
        try:
            other.file.copy(self.file.content)
        except OSError as error:
            other.trouble = error_text(error)
        other._waiting = list(self._waiting)
        if not self.read_only and open_steps(self.file.records):
            # Else what went along would be offered again here.
            self.note("drop", case.assignment.assessor, what=f"the work went on in {sanitize_line(new.name)}")
        self.lock.release()
        other.enter()
        more = {"file": digest, "from": sanitize_line(old.name)}
        other.note("save", case.assignment.assessor, what=f"saved as {sanitize_line(new.name)}", more=more)
        return other

    def close(self, case: Case, *, dropped: bool) -> None:
        """Leave: what was not saved is given up for good, and the lock given back."""
        if not self.read_only and dropped and open_steps(self.file.records):
            self.note("drop", case.assignment.assessor, what="left without saving")
        elif not self.read_only:
            self.guard()
        self.lock.release()

    def note(
        self,
        act: str,
        by: str,
        *,
        what: str = "",
        reason: str = "",
        changes: Sequence[Change] = (),
        more: dict[str, Any] | None = None,
    ) -> bool:
        """Put down anything else.

        Returns:
            True when it is on the disk.
        """
        self._queue(act, by, what=what, reason=reason, changes=changes, more=more)
        return self.flush()

    def flush(self) -> bool:
        """Put on the disk what waits; what cannot be stays in memory.

        Returns:
            True when nothing waits any more.
        """
        if not self._waiting:
            return True
        if not self._append():
            return False
        self._tell_of_the_trail()
        return not self._waiting or self._append()

    def guard(self) -> None:
        """Put back lines that somebody has cut off since they were read or written here, and say so."""
        if self.file.cut and self._append():
            self._tell_of_the_trail()
            self._append()

    def _append(self) -> bool:
        try:
            self.file.append(self._waiting)
        except OSError as error:
            self.trouble = error_text(error)
            return False
        self._waiting.clear()
        self.trouble = ""
        return True

    def _tell_of_the_trail(self) -> None:
        """Say in the trail, and to whoever works here, what somebody else did to it while it was open."""
        if self.file.put_back:
            count = self.file.put_back
            self.disturbed = f"{count} line{'' if count == 1 else 's'} of the trail had been cut off and were put back"
            self._queue("restored", "", what=self.disturbed, more={"lines": count})
        elif self.file.replaced:
            self.disturbed = "another content had taken the place of the trail while it was open"
            self._queue("replaced", "", what=self.disturbed)
        self.file.put_back, self.file.replaced = 0, False

    def _queue(
        self,
        act: str,
        by: str,
        *,
        what: str = "",
        reason: str = "",
        changes: Sequence[Change] = (),
        more: dict[str, Any] | None = None,
    ) -> None:
        self._count += 1
        now = datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
        body: dict[str, Any] = {
            "act": act,
            "at": now,
            "by": clean(by),
            "user": f"{self._holder.user}@{self._holder.host}",
        }
        body |= {"session": self._holder.session, "k": self._count}
        if what:
            body["what"] = clean(what)
        if reason:
            body["reason"] = clean(reason)
        if changes:
            body["changes"] = [change.plain() for change in changes]
        self._waiting.append({**body, **(more or {})})


def _reason(before: Case, after: Case) -> str:
    """Return the reasons given with what was overruled in this step."""
    found: list[str] = []
    for name in ("grades", "effective_ages"):
        old = set(getattr(before, name))
        found += [
            record.reason for record in getattr(after, name) if record.component and record.reason and record not in old
        ]
    return "; ".join(dict.fromkeys(found))
