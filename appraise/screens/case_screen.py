"""What every screen on one case can do: save, undo and redo, ask before leaving, say why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.screen import Screen

from appraise.model.problem import Unreadable
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.services.arrival import Arrival
    from appraise.services.worksheet import Worksheet


def instrument_name(worksheet: Worksheet) -> str:
    """Return what the instrument is, in a few words."""
    identity = worksheet.case.identity
    made = "" if identity.made is None else str(identity.made)
    words = [identity.maker or "Unnamed maker", identity.model, str(identity.kind.value), made]
    return " ".join(word for word in words if word)


class CaseScreen(Screen[None]):
    """A screen on one worksheet."""

    PLACE = "appraise"
    """What the title bar calls this screen."""

    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012 - declared so by Textual

    def __init__(self, worksheet: Worksheet) -> None:
        super().__init__()
        self.worksheet = worksheet
        self._refused = ""

    def show_case(self) -> None:
        """Show the case as it stands now."""
        raise NotImplementedError

    def show_title(self) -> None:
        """Bring the title bar up to date."""
        state = f"{self.worksheet.path.name} {'● not saved' if self.worksheet.dirty else '✓ saved'}"
        self.query_one(TitleBar).show(self.PLACE, instrument_name(self.worksheet), state)

    def say(self, text: str, *, wrong: bool = False) -> None:
        """Say something in passing; the text is never markup."""
        self.notify(text, severity="error" if wrong else "information", timeout=6 if wrong else 2.5, markup=False)

    def on_screen_resume(self) -> None:
        """Another screen may have edited the case."""
        if self.is_mounted:
            self.show_case()

    def action_save(self) -> None:
        """Write the file, asking when somebody else has written it since it was read."""
        if not self.worksheet.changed_on_disk:
            self.save_now()
            return
        from appraise.screens.ask import AskScreen

        def take(answer: str | None) -> None:
            if answer == "save":
                self.save_now()

        self.app.push_screen(
            AskScreen(
                f"{self.worksheet.path.name} was changed by another program since you opened it. Its present "
                "content would be kept beside it.",
                (("save", "Save mine"), ("stay", "Do not save")),
            ),
            take,
        )

    def save_now(self) -> bool:
        """Write the file; False, with the reason said, when that is impossible."""
        try:
            self.worksheet.save()
        except Unreadable as error:
            self.say(f"Not saved. {error.problems[0]}", wrong=True)
            return False
        self.show_title()
        self.say(f"Saved {self.worksheet.path.name}")
        return True

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
        from appraise.screens.particulars import RemarksScreen

        self.app.push_screen(RemarksScreen(self.worksheet))
