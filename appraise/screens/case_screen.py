"""What every screen on one case can do: save, undo and redo, ask before leaving, say why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.problem import Unreadable
from appraise.report.words import capital
from appraise.screens import save_actions
from appraise.screens.queued_screen import Standing
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.services.arrival import Arrival
    from appraise.services.opening import Unsaved
    from appraise.services.worksheet import Worksheet


def instrument_name(worksheet: Worksheet) -> str:
    """Return what the instrument is, in a few words."""
    identity = worksheet.case.identity
    made = "" if identity.made is None else str(identity.made)
    words = [identity.maker or "Unnamed maker", identity.model, str(identity.kind.value), made]
    return " ".join(word for word in words if word)


class CaseScreen(Standing[None]):
    """A screen on one worksheet."""

    PLACE = "appraise"
    """What the title bar calls this screen."""

    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012 - declared so by Textual

    def __init__(self, worksheet: Worksheet) -> None:
        super().__init__()
        self.worksheet = worksheet
        self._refused = ""
        self.told_of_trouble = ""
        """What was last said to stand in the way of keeping the work."""
        self.told_of_file = ""
        """What was last said of the file on disk."""
        self.unsaved: Unsaved | None = None
        """What an earlier session left, while a person decides on it."""

    def show_case(self) -> None:
        """Show the case as it stands now."""
        raise NotImplementedError

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
            self.say(f"Your work is in memory only ({trouble}). Ctrl+E saves it under another name.", wrong=True)
        self.told_of_trouble = trouble
        disturbed = sheet.told_of_trail()
        if disturbed:
            self.say(f"{capital(disturbed)}; `appraise check` compares", wrong=True)

    def say(self, text: str, *, wrong: bool = False) -> None:
        """Say something in passing; the text is never markup."""
        self.notify(text, severity="error" if wrong else "information", timeout=6 if wrong else 2.5, markup=False)

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

    def look_at_file(self) -> None:
        """Say when the file was changed by another program, or when a read-only worksheet can be written now."""
        save_actions.look_at_file(self)

    def action_save(self) -> None:
        """Write the file; where somebody else has written it, lay both versions side by side."""
        save_actions.save(self)

    def action_save_as(self) -> None:
        """Write the case to a new file and go on there."""
        save_actions.save_as(self)

    def may_write(self) -> bool:
        """Tell whether what is typed can be kept; where it cannot, say why before anybody types it in vain."""
        sheet = self.worksheet
        if not sheet.read_only:
            return True
        if sheet.refuse is not None:
            sheet.refuse(sheet.read_only)
        return False

    def save_now(self) -> bool:
        """Write the file; False, with the reason said, when that is impossible."""
        return save_actions.save_now(self)

    def take_recovery(self, answer: str | None) -> None:
        """Do with unsaved work what was decided."""
        save_actions.take_recovery(self, answer)

    def leave_case(self) -> None:
        """Give the case back and close."""
        self.worksheet.close()
        self.dismiss(None)

    def action_trail(self) -> None:
        """Open the trail."""
        from appraise.screens.trail import TrailScreen

        self.app.push_screen(TrailScreen(self.worksheet))

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
        from appraise.screens.why import WhyScreen

        self.app.push_screen(WhyScreen(self.worksheet, figures))

    def action_particulars(self) -> None:
        """Open the particulars."""
        from appraise.screens.particulars import ParticularsScreen

        self.app.push_screen(ParticularsScreen(self.worksheet))

    def action_before_and_after(self) -> None:
        """Open what there is to do before a move and after it."""
        from appraise.screens.arrival import ArrivalScreen

        self.app.push_screen(ArrivalScreen(self.worksheet))

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
        from appraise.screens.documents import DocumentsScreen

        self.app.push_screen(DocumentsScreen(self.worksheet))

    def action_remarks(self) -> None:
        """Open the remarks."""
        from appraise.screens.remarks import RemarksScreen

        self.app.push_screen(RemarksScreen(self.worksheet, self.place_of_remark))

    def action_photos(self) -> None:
        """Open the photos."""
        from appraise.screens.photos import PhotosScreen

        self.app.push_screen(PhotosScreen(self.worksheet, self.check_under_cursor))

    @property
    def check_under_cursor(self) -> str:
        """The check where a person stands; empty: none."""
        return ""

    @property
    def place_of_remark(self) -> str:
        """The component where a person stands, and a new remark therefore most likely belongs; empty: nowhere."""
        return ""
