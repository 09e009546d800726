"""Saving and all that can come between: another program's version, a lock, a folder that cannot be written."""

from __future__ import annotations

from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING

from appraise.commands import key_of, told
from appraise.model.problem import InputError, Unreadable
from appraise.screens.ask import ask_which
from appraise.screens.base_screen import BaseScreen
from appraise.screens.entry import EntryScreen
from appraise.services.merging import Merging
from appraise.services.opening import Unsaved, make_writable, read_at_rest, recover, set_aside
from appraise.store.write import WriteConflict

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.notifications import SeverityLevel

    from appraise.model.case import Case
    from appraise.services.case_session import CaseSession

_ELSEWHERE = "{save-as} saves under another name"


class SavingScreen(BaseScreen[None]):
    """A screen on one case that saves it, and asks before anything is lost."""

    def __init__(self, worksheet: CaseSession) -> None:
        super().__init__()
        self.worksheet = worksheet
        self._told_of_file = ""
        """Last message about the file on disk."""

    def show_case(self) -> None:
        """Show the case as it stands now."""
        raise NotImplementedError

    def show_title(self) -> None:
        """Say how it stands with the file."""
        raise NotImplementedError

    def action_save(self) -> None:
        """Write the file; where somebody else has written it, lay both versions side by side."""
        sheet = self.worksheet
        if sheet.read_only:
            self._try_to_write()
        elif sheet.on_disk.gone and not sheet.on_disk.moved:
            self._ask_gone()
        elif sheet.on_disk.changed and not sheet.on_disk.moved:
            self._compare_with_file()
        elif self.save_now():
            self._ask_for_book()

    def save_now(self) -> bool:
        """Write the file; False, with the reason said, when that is impossible."""
        sheet = self.worksheet
        try:
            sheet.save()
        except WriteConflict:
            self._compare_with_file()
            return False
        except Unreadable as error:
            self.say(f"Not saved. {error.problems[0]}. {told(_ELSEWHERE)}", wrong=True)
            self.show_title()
            return False
        self.show_title()
        if not sheet.trouble:
            self.say(f"Saved {sheet.path.name}")
        return True

    def action_save_as(self) -> None:
        """Ask for a name, write the case there and go on in the new file."""
        from appraise.services.naming import free_path

        sheet = self.worksheet

        def write(text: str) -> tuple[str, ...]:
            path = free_path(text, sheet.path.parent)
            try:
                return sheet.save_as(path)
            except Unreadable as error:
                raise InputError(str(error.problems[0])) from None

        def on_result(entry: tuple[tuple[str, ...]]) -> None:
            (stayed,) = entry
            words = f"Saved {sheet.path}; you go on in this file"
            if stayed:
                more = f" and {len(stayed) - 1} more" if len(stayed) > 1 else ""
                words += f". Not taken along: {stayed[0]}{more}"
            self.say(words, wrong=bool(stayed))
            self.show_case()

        hint = "A name in the same folder, or a path to another folder or disk: ~/case.toml, /media/stick/case.toml"
        self.ask(EntryScreen("Save under another name", write, text=sheet.path.name, hints=(hint,)), on_result)

    def ask_before_leaving(
        self, then: Callable[[], object], save: str = "Save and close", discard: str = "Close without saving"
    ) -> None:
        """Leave the case at once where nothing is unsaved; else ask whether to save first.

        Args:
            then: Leaves.
            save: The answer that saves first.
            discard: The answer that does not.
        """
        if not self.worksheet.dirty:
            then()
            return

        def go_on() -> None:
            if self.save_now():
                self._ask_for_book(then)

        ask_which(
            self.app,
            f"{self.worksheet.path.name} has changes that are not saved.",
            save=(save, go_on),
            discard=(discard, then),
            stay=("Stay", None),
        )

    def _ask_for_book(self, then: Callable[[], object] = lambda: None) -> None:
        """Ask once whether an outcome that was finished, or changed, goes into the sales book.

        Args:
            then: What is done behind the answer, or at once where nothing is asked.
        """
        from appraise.services.sales import to_be_written, usual_book

        sheet, result = self.worksheet, self.worksheet.case.outcome
        wanted = False
        if result != sheet.outcome_told and result.finished:
            sheet.outcome_told = result
            with suppress(Unreadable, RuntimeError):  # without a book that can be used there is nothing to ask
                wanted = to_be_written(sheet.case, sheet.path, usual_book())
        if not wanted:
            then()
            return
        words = f"Sold on {result.day} for {result.sold:,f} {sheet.case.assignment.currency}: into your sales book?"
        write = partial(self.write_sale, then)
        ask_which(self.app, words, book=("Write it", write), leave=("Leave it", then))

    def write_sale(self, then: Callable[[], object] = lambda: None) -> None:
        """Write the outcome of the case as it is saved into the usual book, aside, say what was written, and go on."""
        app, sheet = self.app, self.worksheet

        def write() -> None:
            from appraise.services.sales import write_outcome

            try:
                words, wrong = write_outcome(sheet.path, sheet.tables), False
            except Unreadable as error:
                words, wrong = str(error.problems[0]), True
            except (InputError, RuntimeError, OSError) as refused:
                words, wrong = str(refused), True
            severity: SeverityLevel = "error" if wrong else "information"
            app.call_from_thread(app.notify, words, severity=severity, timeout=6, markup=False)
            app.call_from_thread(then)

        # On the application: this screen may be closed while the case is valued.
        app.run_worker(write, thread=True, group="sold")

    def leave_case(self) -> None:
        """Give the case back and close."""
        self.worksheet.close()
        self.dismiss(None)

    def leave_app(self) -> bool:
        """Leave the application, asking first when the case is not saved."""

        def leave() -> None:
            self.worksheet.close()
            self.app.exit(0)

        self.ask_before_leaving(leave, "Save and quit", "Quit without saving")
        return True

    def look_at_file(self) -> None:
        """Say once when the file was changed by another program, or when a read-only worksheet can be written now."""
        sheet, disk = self.worksheet, self.worksheet.on_disk
        name, news = sheet.path.name, ""
        if sheet.read_only:
            if sheet.journal is not None and sheet.journal.lock.held_by() is None:
                news = f"{name} is free now: {key_of('save')} makes it writable"
        elif disk.moved:
            news = f"{name}: {disk.moved}. Your work is in memory. {told(_ELSEWHERE)}"
        elif disk.gone:
            news = f"{name} was removed or renamed by another program. "
            news += told("Your work is in memory; {save} asks what to do")
        elif disk.changed:
            news = f"{name} was changed by another program. "
            news += told("Nothing is overwritten: {save} lays both versions side by side")
        if news and news != self._told_of_file:
            self.say(news, wrong=True)
        self._told_of_file = news

    # -- another program's version -----------------------------------------------------------------

    def _compare_with_file(self) -> None:
        """Lay the worksheet and the file side by side, and save what is merged."""
        sheet = self.worksheet
        try:
            theirs, digest = read_at_rest(sheet.path, sheet.tables)
        except Unreadable as error:
            self.say(f"{error.problems[0]}. Nothing was overwritten. {told(_ELSEWHERE)}", wrong=True)
            return
        base = sheet.saved
        merging = Merging(base, sheet.case, theirs)
        if not merging.differences:
            # Another layout of the same content, or another leading comment.
            sheet.rebase(theirs, digest)
            self.save_now()
            return

        def on_result(merged: Case | None) -> None:
            if merged is not None:
                sheet.merge(merged, base, theirs, digest)
                self.save_now()
            self.show_case()

        self._open_merge(merging, on_result)

    def _open_merge(self, merging: Merging, on_result: Callable[[Case | None], None]) -> None:
        self.open_screen("merging", self.worksheet.path.name, merging, self.worksheet.tables, then=on_result)

    def _ask_gone(self) -> None:
        ask_which(
            self.app,
            f"{self.worksheet.path.name} was removed or renamed by another program since you opened it.",
            save=("Write it anew", self.save_now),
            other=("Another name", self.action_save_as),
            stay=("Do not save", None),
        )

    # -- what an earlier session left --------------------------------------------------------------

    def _try_to_write(self) -> None:
        """Make a read-only worksheet writable, if whoever had it has left."""
        sheet = self.worksheet
        try:
            writable, unsaved = make_writable(sheet)
        except Unreadable as error:
            self.say(str(error.problems[0]), wrong=True)
            return
        if not writable:
            self.say(f"{sheet.read_only}. {told(_ELSEWHERE)}", wrong=True)
            return
        self.say("Writable now: nobody else has it open")
        self.show_case()
        if unsaved is not None:
            self.ask_recovery(unsaved)

    def ask_recovery(self, unsaved: Unsaved) -> None:
        """Ask what is to become of unsaved work."""
        self.open_screen("recovery", self.worksheet, unsaved, then=partial(self._take_recovery, unsaved))

    def _take_recovery(self, unsaved: Unsaved, answer: str | None) -> None:
        sheet = self.worksheet
        if answer is None:
            self.leave_case()
        elif answer == "set-aside":
            set_aside(sheet, unsaved)
            self.say(told("Set aside; {trail} shows it in the trail"))
            self.show_case()
        elif unsaved.foreign:
            self._merge_recovery(unsaved)
        else:
            recover(sheet, unsaved)
            self.say(told("Taken up where it was cut off; {save} saves it"))
            self.show_case()

    def _merge_recovery(self, unsaved: Unsaved) -> None:
        sheet, left, base = self.worksheet, unsaved.left, unsaved.base
        if left is None or base is None:
            self.leave_case()
            return
        theirs, digest = sheet.case, sheet.on_disk.digest

        def on_result(merged: Case | None) -> None:
            if merged is None:
                self.leave_case()
                return
            sheet.merge(merged, base, theirs, digest, mine=left)
            self.say(told("Taken up and merged; {save} saves it"))
            self.show_case()

        self._open_merge(Merging(base, left.case, theirs), on_result)
