"""Every step of a worksheet put on the disk before it is acknowledged; what cannot be waits in memory, and is said."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from appraise.model.case import SCHEMA
from appraise.model.unsafe import clean, error_text
from appraise.services.changes import differences
from appraise.services.history import anchored
from appraise.store.plain_case import encode
from appraise.store.trail import LAYOUT, Record
from appraise.store.trail_file import TrailFile

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.store.lock import Holder
    from appraise.store.trail import Change


class Journal:
    """The trail of one case, as a worksheet writes it."""

    def __init__(self, case_file: Path, holder: Holder) -> None:
        self.file = TrailFile(case_file)
        """The trail on disk."""
        self.trouble = ""
        """Why the last records are in memory only; empty while all of them are on the disk."""
        self.disturbed = ""
        """What somebody else did to the trail while it was open; until whoever works here has been told."""
        self.lost = False
        """True where the case has been worked on before and no trail of that is there."""
        self._holder = holder
        self._waiting: list[dict[str, Any]] = []
        self._count = 0
        self._broken = False
        self._torn = False

    def read(self) -> list[Record]:
        """Read what is there.

        Raises:
            OSError: It is there and cannot be read.
        """
        trail = self.file.read()
        if trail is not None:
            self._broken = bool(trail.breaks)
            self._torn = bool(trail.torn)
            if trail.torn:
                self._queue("torn", "", what="a line that a crash cut off was dropped", more={"bytes": len(trail.torn)})
        return self.file.records

    @property
    def broken(self) -> bool:
        """True where the chain did not hold when the trail was read."""
        return self._broken

    @property
    def torn(self) -> bool:
        """True where a line had been cut off at the end when the trail was read."""
        return self._torn

    @property
    def waiting(self) -> int:
        """Records that are in memory only."""
        return len(self._waiting)

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

    def moved(self, case_file: Path, content: bytes, waiting: Sequence[dict[str, Any]]) -> Journal:
        """Return the journal of the same work under another name, with a copy of the trail.

        Args:
            case_file: The new name.
            content: The lines so far.
            waiting: Records that could not be put on the disk where it was.
        """
        other = Journal(case_file, self._holder)
        other._count = self._count
        try:
            other.file.copy(content)
        except OSError as error:
            other.trouble = error_text(error)
        other._waiting = list(waiting)
        return other

    def lines_for(self) -> tuple[bytes, list[dict[str, Any]]]:
        """Return all that is known: the lines on disk, and the records that wait."""
        return self.file.content, list(self._waiting)

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
