"""A case open for work: every edit, undo and redo, its valuation, and how it gets to the disk."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.problem import InputError, Problem, Unreadable
from appraise.model.unsafe import error_text, sanitize_line
from appraise.services.edits import Edits
from appraise.services.file_state import FileState
from appraise.services.guide import Guide
from appraise.services.history import MERGED, Stacks
from appraise.services.new_file import refuse_other_trail
from appraise.store.baseline import READ_ONLY, earlier_case
from appraise.store.files import digest_of, make_folders, put
from appraise.store.photos import LARGEST, look_for
from appraise.store.write import write_case
from appraise.tables.content import content_of, resolved

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.model.reason import Reason
    from appraise.model.result import Valuation
    from appraise.services.journal import Journal
    from appraise.tables.rows import Tables


class CaseSession(Edits):
    """A case file open for work. The case inside is frozen: an edit replaces it, so undo is exact.

    Made by itself it works in memory and keeps nothing but what `save` writes; `services.opening` gives it the
    journal that the application works with.
    """

    def __init__(self, path: Path, case: Case, tables: Tables) -> None:
        self.path = path
        """The case file."""
        self.tables = tables
        """The reference tables in force."""
        self.journal: Journal | None = None
        """The journal that puts every step on the disk and keeps others off the file."""
        self.refuse: Callable[[str], None] | None = None
        """Called with the reason when a read-only worksheet refuses an edit; without it the edit raises."""
        self.acknowledged: Callable[[], None] | None = None
        """Called when a step has been made and lasts."""
        self.saved = case
        """The case as the file holds it."""
        self._stacks = Stacks(case)
        self.last_valued: tuple[Case, Valuation] | None = None
        """The last valuation computed, and the case it is of, which may have changed since."""
        self._tree: tuple[Case, Reason] | None = None
        self.on_disk = FileState(path)
        """The content of the file that this worksheet knows of."""
        self.guide = Guide()
        """The next checks, for this session."""
        self.outcome_told = case.outcome
        """The outcome of which a person was last asked whether it goes into the sales book."""
        self.start: Valuation | None = None
        """The first valuation of this session, to show how far the range has narrowed since."""

    @property
    def case(self) -> Case:
        """The case as it stands now."""
        return self._stacks.case

    @property
    def dirty(self) -> bool:
        """True while the case differs from what the file holds."""
        return self.case != self.saved

    @property
    def read_only(self) -> str:
        """Why nothing can be written here; empty when it can."""
        return "" if self.journal is None else self.journal.read_only

    @property
    def trouble(self) -> str:
        """Why the last steps are in memory only; empty while they are on the disk or need not be."""
        return "" if self.journal is None else self.journal.trouble

    def trail_head(self) -> str:
        """Put on the disk what waits, and return the hash of the last line of the trail; empty without one."""
        if self.journal is None:
            return ""
        self.journal.flush()
        records = self.journal.file.records
        return records[-1].hash if records else ""

    def told_of_trail(self) -> str:
        """Return what somebody else did to the trail while the case was open, once; empty where nothing."""
        if self.journal is None:
            return ""
        said, self.journal.disturbed = self.journal.disturbed, ""
        return said

    # -- valuation ---------------------------------------------------------------------------------

    @property
    def valuation(self) -> Valuation:
        """The valuation of the case as it stands, computed when first asked for."""
        known = self.known_valuation
        if known is None:
            known = compute(self.case, self.tables)
            self.accept(self.case, known)
        return known

    @property
    def known_valuation(self) -> Valuation | None:
        """The valuation of the case as it stands, if it has been computed already."""
        valued = self.last_valued
        return valued[1] if valued is not None and valued[0] is self.case else None

    def accept(self, case: Case, valuation: Valuation) -> bool:
        """Take a valuation that was computed elsewhere, unless the case has changed since.

        Returns:
            True when it was still the current case's.
        """
        if self.start is None:
            self.start = valuation
        if case is not self.case:
            return False
        self.last_valued = (case, valuation)
        return True

    @property
    def reasons(self) -> Reason:
        """The reason tree of the current valuation."""
        if self._tree is None or self._tree[0] is not self.case:
            from appraise.explain import reason_tree

            self._tree = (self.case, reason_tree(self.case, self.tables, self.valuation))
        return self._tree[1]

    # -- history -----------------------------------------------------------------------------------

    def change(self, case: Case, what: str, *, joins: bool = False) -> None:
        """Make `case` the current one; it is on the disk when this returns, unless `trouble` says why not.

        Args:
            case: The case as it is to stand.
            what: Names the edit for undo.
            joins: It goes on with the edit before it, of the same name: undo takes both back at once.

        Raises:
            InputError: The worksheet is read-only, and nobody asked to be told otherwise.
        """
        if case == self.case or self._refused():
            return
        past, future = self._stacks.past, self._stacks.future
        joins = joins and not future and bool(past) and past[-1][0] == what
        self._keep("edit", self._stacks.changed(case, what, joins=joins), what, joins=joins)

    def undo(self) -> str | None:
        """Take the last edit back.

        Returns:
            What was taken back, or none when there is nothing to undo.
        """
        if not self._stacks.past or self._refused():
            return None
        what, before = self._stacks.past[-1]
        self._keep("undo", self._stacks.undone(before, what), what)
        return what

    def redo(self) -> str | None:
        """Make the last edit that was taken back again.

        Returns:
            What was made again, or none when there is nothing to redo.
        """
        if not self._stacks.future or self._refused():
            return None
        what, after = self._stacks.future[-1]
        self._keep("redo", self._stacks.redone(after, what), what)
        return what

    def _keep(self, act: str, stacks: Stacks, what: str, *, joins: bool = False) -> None:
        before, self._stacks = self.case, stacks
        if self.journal is not None:
            self.journal.step(act, before, stacks.case, what, joins=joins)
        self._acknowledge()

    def _acknowledge(self) -> None:
        if self.acknowledged is not None and not self.trouble:
            self.acknowledged()

    def _refused(self) -> bool:
        why = self._look()
        if why and self.refuse is None:
            raise InputError(why)
        if why and self.refuse is not None:
            self.refuse(why)
        return bool(why)

    def _look(self) -> str:
        """Return why nothing can be written, found out anew; empty when it can."""
        if self.journal is not None:
            self.journal.look()
        return self.read_only

    def resume(self, stacks: Stacks) -> None:
        """Go on where an earlier session was cut off: its state, and what it could undo and redo."""
        self._stacks = stacks

    def merge(self, merged: Case, base: Case, theirs: Case, digest: str, mine: Stacks | None = None) -> None:
        """Take a version made of what was done here and of what another program has written into the file.

        Args:
            merged: The case as it is to stand.
            base: What the file held before.
            theirs: What it holds now.
            digest: SHA-256 of the file.
            mine: What an earlier session left, where that is what is merged.
        """
        if mine is not None:
            self.resume(mine)
        here, self._stacks = self.case, self._stacks.changed(merged, MERGED)
        self.rebase(theirs, digest)
        if self.journal is not None:
            self.journal.merged(base, here, theirs, digest, merged)
        self._acknowledge()

    def rebase(self, saved: Case, digest: str) -> None:
        """Take what another program has written for what the file holds; the work here stays as it is."""
        self.saved = saved
        self.on_disk.know(digest)

    def reload(self, case: Case, digest: str) -> None:
        """Begin anew from what the file holds now; what was done here is gone, and so is undo."""
        self.rebase(case, digest)
        self._stacks = Stacks(case)

    def save(self) -> None:
        """Write the case to its file; the previous version is kept beside it.

        Raises:
            WriteConflict: Another program has written the file meanwhile; it is as they left it.
            Unreadable: The file cannot be written, or the case could not be read again; the file is as it was.
        """
        disk = self.on_disk
        if found := self._look() or disk.moved:
            mend = "the work is in memory; save under another name"
            raise Unreadable(
                Problem(sanitize_line(str(self.path)), None, "", found, "a file that is ours to write", mend)
            )
        digest = write_case(self.path, self.case, self.tables, known=disk.known, attempt=disk.attempt)
        self.rebase(self.case, digest)
        if self.journal is not None:
            self.journal.saved(self.case, digest)

    def save_as(self, path: Path) -> tuple[str, ...]:
        """Write the case to a new file and go on there: trail, frozen earlier state and photos go along.

        Args:
            path: A name that is free.

        Returns:
            A line for each file that could not go along, with the reason.

        Raises:
            Unreadable: The file exists or cannot be written; everything is as it was.
        """
        refuse_other_trail(path)
        digest = write_case(path, self.case, self.tables, known=(), comments_of=self.path)
        # Before the work goes on there: until then the old name holds all of it.
        stayed = take_along(self.path, path, self.case, self.tables)
        old, self.path, self.on_disk = self.path, path, FileState(path)
        self.rebase(self.case, digest)
        if self.journal is not None:
            self.journal = self.journal.moved(old, path, self.case, digest)
        return stayed

    def close(self) -> None:
        """Leave the case: what was not saved is given up, the lock given back."""
        if self.journal is not None:
            self.journal.close(self.case, dropped=self.dirty)

    def release(self) -> None:
        """Give the lock back without a word in the trail: what was not saved is offered at the next opening."""
        if self.journal is not None:
            self.journal.lock.release()


def compute(case: Case, tables: Tables) -> Valuation:
    """Value a case; the engine and its array library are imported at the first call."""
    from appraise.engine.valuation import value_case

    return value_case(case, tables)


def take_along(old: Path, new: Path, case: Case, tables: Tables) -> tuple[str, ...]:
    """Copy what a case rests on into the folder of its new file; nothing there is written over.

    Args:
        old: The case file as it was called.
        new: Where it goes on; it has been written already.
        case: What it holds.
        tables: What the earlier state is checked against.

    Returns:
        A line for each file that stayed where it was, with the reason; empty where all is there.
    """
    source, target = resolved(old).parent, resolved(new).parent
    if source == target:
        return ()
    wanted: dict[str, tuple[str, int | None]] = {file: (case.photo(file).sha256, None) for file in case.photo_files}
    wanted |= {file: (sha256, None) for _, _, file, sha256 in case.claim.papers}
    if case.practice.letterhead:
        wanted[case.practice.letterhead] = (case.practice.sha256, None)
    stayed: list[str] = []
    if case.earlier_state is not None:
        wanted[case.earlier_state.file] = (case.earlier_state.sha256, READ_ONLY)
        try:
            before, _ = earlier_case(old, case.earlier_state, tables)
            wanted = {file: (before.photo(file).sha256, None) for file in before.photo_files} | wanted
        except Unreadable:
            pass  # said below: it is gone or another
    stayed += _copied(source, target, wanted)
    return tuple(stayed)


def _copied(source: Path, target: Path, wanted: dict[str, tuple[str, int | None]]) -> Iterator[str]:
    for file, (sha256, mode) in wanted.items():
        shown, found = sanitize_line(file), look_for(source, file, sha256)
        if found.path is None:
            yield f"{shown}: {found.fault}"
            continue
        try:
            content, goal = content_of(found.path, LARGEST), target / file
            if not resolved(goal.parent).is_relative_to(target):
                yield f"{shown}: a link out of the folder"
            elif not goal.exists() and not goal.is_symlink():
                make_folders(goal.parent)
                put(goal, content, mode)
            elif look_for(target, file, digest_of(content)).fault:
                yield f"{shown}: another file of this name is there"
        except (OSError, ValueError) as error:
            yield f"{shown}: {error_text(error)}"
