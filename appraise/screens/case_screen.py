"""Base of every screen on one case: save state, undo and redo, other screens, reasons."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.commands import key_of
from appraise.model.problem import Unreadable
from appraise.report.words import capital
from appraise.screens.saving_screen import SavingScreen
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.services.arrival import Arrival
    from appraise.services.case_session import CaseSession


def instrument_name(worksheet: CaseSession) -> str:
    """Return what the instrument is, in a few words."""
    identity = worksheet.case.identity
    made = "" if identity.made is None else str(identity.made)
    words = [identity.maker or "Unnamed maker", identity.model, str(identity.kind.value), made]
    return " ".join(word for word in words if word)


class CaseScreen(SavingScreen):
    """A screen on one worksheet."""

    PLACE = "appraise"
    """Name of this screen in the title bar."""

    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012 - declared so by Textual

    def __init__(self, worksheet: CaseSession) -> None:
        super().__init__(worksheet)
        self._refused = ""
        self.told_of_trouble = ""
        """Last message about trouble with keeping the work."""

    def show_title(self) -> None:
        """Bring the title bar up to date, and say once what stands in the way of keeping the work."""
        sheet = self.worksheet
        trouble = sheet.trouble
        state = "read-only" if sheet.read_only else "● not saved" if sheet.dirty else "✓ saved"
        if trouble and not sheet.read_only:
            state = "⚠ in memory only" if sheet.dirty else "⚠ no trail here"
        mark = " · preliminary" if sheet.case.preliminary else ""
        self.query_one(TitleBar).show(self.PLACE, instrument_name(sheet), f"{sheet.path.name} {state}{mark}")
        if trouble and trouble != self.told_of_trouble:
            self.say(
                f"Your work is in memory only ({trouble}). {key_of('save-as')} saves it under another name.", wrong=True
            )
        self.told_of_trouble = trouble
        disturbed = sheet.told_of_trail()
        if disturbed:
            self.say(f"{capital(disturbed)}; `appraise check` compares", wrong=True)

    def on_screen_resume(self) -> None:
        """Another screen may have edited the case, and another program its file."""
        if self.is_mounted:
            self.show_case()
            self.look_at_file()

    def on_mount(self) -> None:
        """Look at the file whenever the terminal is turned to again."""
        self.watch(self.app, "app_focus", self._focus_came, init=False)

    def _focus_came(self, there: bool) -> None:
        if there and self.is_current:
            self.look_at_file()

    def may_write(self) -> bool:
        """Tell whether what is typed can be kept; where it cannot, say why before anybody types it in vain."""
        sheet = self.worksheet
        if not sheet.read_only:
            return True
        if sheet.refuse is not None:
            sheet.refuse(sheet.read_only)
        return False

    def action_trail(self) -> None:
        """Open the trail."""
        self.open_screen("trail", self.worksheet)

    def action_undo(self) -> None:
        """Take the last edit back."""
        what = self.worksheet.undo()
        self.say("Nothing to undo" if what is None else f"Undone: {what}")
        self.show_case()

    def action_redo(self) -> None:
        """Make the edit again that was taken back."""
        what = self.worksheet.redo()
        self.say("Nothing to redo" if what is None else f"Done again: {what}")
        self.show_case()

    def action_back(self) -> None:
        """Close this screen; the worksheet stays open below."""
        self.dismiss(None)

    def open_why(self, figures: Sequence[str]) -> None:
        """Open the reasons at the first of these figures that there is."""
        self.open_screen("why", self.worksheet, figures)

    def action_particulars(self) -> None:
        """Open the particulars."""
        self.open_screen("particulars", self.worksheet)

    def action_before_and_after(self) -> None:
        """Open what there is to do before a move and after it."""
        self.open_screen("arrival", self.worksheet)

    def remembered(self) -> Arrival | None:
        """Return the state before a move that the case remembers; none, said once, where the copy is not whole."""
        from appraise.services.arrival import arrival_of

        try:
            return arrival_of(self.worksheet)
        except Unreadable as error:
            text = str(error.problems[0])
            if text != self._refused:
                self._refused = text
                self.say(text, wrong=True)
            return None

    def action_documents(self) -> None:
        """Hand a document over."""
        self.open_screen("documents", self.worksheet)

    def action_remarks(self) -> None:
        """Open the remarks."""
        self.open_screen("remarks", self.worksheet, self.place_of_remark)

    def action_photos(self) -> None:
        """Open the photos."""
        self.open_screen("photos", self.worksheet, self.check_under_cursor)

    @property
    def check_under_cursor(self) -> str:
        """The check where a person stands; empty: none."""
        return ""

    @property
    def place_of_remark(self) -> str:
        """The component where a person stands, and a new remark therefore most likely belongs; empty: nowhere."""
        return ""
