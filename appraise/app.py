"""The worksheet as an application: its screens, its colours, its commands."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import SystemCommand

from appraise.commands import (
    ARRIVAL,
    ASKED,
    BOOK,
    CANDIDATES,
    CASES,
    CHARTS,
    EVERYWHERE,
    FORM,
    INSTRUMENT,
    LOOK,
    MERGE,
    MISSING,
    NEW,
    NOTES,
    OUTCOME,
    PHOTO,
    PHOTOS,
    RECORD,
    RECOVERY,
    RESULT,
    SETTINGS,
    TRAIL,
    WALK,
    WHY,
    bindings,
    key_name,
    of_scope,
)
from appraise.messages import Messages
from appraise.screens.cases import CasesScreen
from appraise.store.own_settings import OwnSettings, own_settings
from appraise.terminal_pictures import TerminalPictures
from appraise.themes import THEMES, next_theme, own_variables
from appraise.type_ahead import TypeAhead

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from textual.binding import Binding, BindingType
    from textual.screen import Screen

    from appraise.services.opening import Opened
    from appraise.services.worksheet import Worksheet
    from appraise.tables.rows import Tables

_SCOPES = {
    "CasesScreen": CASES,
    "CandidatesScreen": CANDIDATES,
    "WalkScreen": WALK,
    "QuickLookScreen": LOOK,
    "MissingScreen": MISSING,
    "ResultScreen": RESULT,
    "ChartsScreen": CHARTS,
    "WhyScreen": WHY,
    "ParticularsScreen": FORM,
    "RemarksScreen": FORM,
    "RecordScreen": RECORD,
    "MeasurementsScreen": INSTRUMENT,
    "ReadingsScreen": NOTES,
    "NewCaseScreen": NEW,
    "EntryScreen": ASKED,
    "LongEntryScreen": ASKED,
    "ChooseScreen": ASKED,
    "ChooseSeveralScreen": ASKED,
    "FormScreen": ASKED,
    "AskScreen": ASKED,
    "ArrivalScreen": ARRIVAL,
    "OutcomeScreen": OUTCOME,
    "RecoveryScreen": RECOVERY,
    "MergeScreen": MERGE,
    "TrailScreen": TRAIL,
    "SettingsScreen": SETTINGS,
    "SalesBookScreen": BOOK,
    "PhotosScreen": PHOTOS,
    "PhotoScreen": PHOTO,
    "ChoosePhotosScreen": ASKED,
}


class AppraiseApp(Messages[int], TerminalPictures[int], TypeAhead[int]):
    """The worksheet."""

    TITLE = "appraise"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(EVERYWHERE)]
    ENABLE_COMMAND_PALETTE = True
    # The terminal's own colours cannot be dimmed: there, what lies below a question stays in sight as it is.
    # Textual reads one CSS of an application, not those of its bases.
    CSS = f"{Messages.CSS}\nModalScreen:ansi {{ background: transparent; }}"

    def __init__(
        self,
        folder: Path,
        tables: Tables | None = None,
        opened: Opened | Worksheet | None = None,
        settings: OwnSettings | None = None,
        own_tables: Path | None = None,
    ) -> None:
        """Make the application.

        Args:
            folder: Whose cases are listed.
            tables: The reference tables; none: our own, read when they are first needed.
            opened: The case to begin with, or a worksheet in memory.
            settings: Of whoever works here; none: the defaults.
            own_tables: Folder of the user's tables in force.
        """
        super().__init__()
        self.settings = OwnSettings() if settings is None else settings
        self.own_tables = own_tables
        self._folder, self._tables, self._opened = folder, tables, opened
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = THEMES[0].name

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Return our own variables for themes that do not set them."""
        return own_variables(self.current_theme)

    def get_key_display(self, binding: Binding) -> str:
        """Write keys in the footer as everywhere."""
        return key_name(binding.key)

    def get_default_screen(self) -> Screen[None]:
        """Return the list of cases: it lies below everything."""
        return CasesScreen(self._folder, self._tables)

    def on_mount(self) -> None:
        """Open the case that was asked for."""
        if self._opened is not None:
            from appraise.screens.open_case import walk_into

            walk_into(self, self._opened)

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Offer the commands of the screen in the palette, by the names they have everywhere."""
        for scope, target in ((self.scope_of(screen), screen), (EVERYWHERE, self)):
            for command in of_scope(scope):
                action = getattr(target, f"action_{command.action}", None)
                if action is not None and command.id != "command-palette":
                    yield SystemCommand(command.label, f"{command.help} ({key_name(command.first_key)})", action)

    @staticmethod
    def scope_of(screen: Screen[object]) -> str:
        """Return which commands work on a screen."""
        return _SCOPES.get(type(screen).__name__, EVERYWHERE)

    def action_show_help(self) -> None:
        """Open the help page for the screen in front, or close it."""
        from appraise.screens.help import HelpScreen

        if isinstance(self.screen, HelpScreen):
            self.screen.action_leave()
        else:
            self.push_screen(HelpScreen(self.scope_of(self.screen)))

    def action_next_theme(self) -> None:
        """Put on the next set of colours."""
        self.theme = next_theme(self.theme)

    def action_leave_app(self) -> None:
        """Leave, asking first when a worksheet is not saved."""
        from appraise.screens.ask import AskScreen
        from appraise.screens.case_screen import CaseScreen
        from appraise.screens.queued_screen import Standing

        if isinstance(self.screen, Standing) and self.screen.unfinished:
            self.screen.ask_unfinished()
            return
        open_screens = [screen for screen in self.screen_stack if isinstance(screen, CaseScreen)]
        if isinstance(self.screen, AskScreen):
            return
        if not open_screens:
            self.exit(0)
            return
        first = open_screens[0]
        if not first.worksheet.dirty:
            first.worksheet.close()
            self.exit(0)
            return

        def take(answer: str | None) -> None:
            if answer == "discard" or (answer == "save" and first.save_now()):
                first.worksheet.close()
                self.exit(0)

        self.push_screen(
            AskScreen(
                f"{first.worksheet.path.name} has changes that are not saved.",
                (("save", "Save and quit"), ("discard", "Quit without saving"), ("stay", "Stay")),
            ),
            take,
        )


def run(folder: Path, case: Path | None = None, tables: Path | None = None) -> int:
    """Open the worksheet on a folder of cases, or on one case.

    Args:
        folder: Where the case files are.
        case: A case file to open at once.
        tables: The user's own tables, laid over ours.

    Returns:
        The exit code: 0 when the person left in peace.

    Raises:
        Unreadable: The case, the tables or the settings cannot be used; the problems say why.
    """
    settings = own_settings()
    # Our own tables are read after the first paint; a user's may be wrong, and that is said on the plain terminal.
    loaded = opened = None
    if case is not None or tables is not None:
        from appraise.tables.load import load_tables

        loaded = load_tables(tables)
    if case is not None and loaded is not None:
        from appraise.services.opening import open_sheet

        opened = open_sheet(case, loaded)
    try:
        code = AppraiseApp(folder, loaded, opened, settings, tables).run()
    finally:
        if opened is not None:
            opened.worksheet.release()
    return 0 if code is None else code
