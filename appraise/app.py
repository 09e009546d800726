"""The worksheet as an application: its screens, its colours, its commands."""

from __future__ import annotations

from contextlib import suppress
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual.app import SystemCommand
from textual.screen import Screen

from appraise.commands import EVERYWHERE, bindings, key_name, of_scope, put_in_force
from appraise.lost_terminal import LostTerminal
from appraise.messages import Messages
from appraise.model.problem import TerminalLost, Unreadable
from appraise.screens.ask import AskScreen
from appraise.screens.base_screen import BaseScreen
from appraise.screens.cases import CasesScreen
from appraise.store.own_settings import BY_NAME, OwnSettings, own_settings, own_tables, write_setting
from appraise.tables.folder import settings_file
from appraise.terminal_pictures import TerminalPictures
from appraise.themes import THEMES, next_theme, own_variables
from appraise.tour import Guided

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from textual.binding import Binding, BindingType

    from appraise.services.case_session import CaseSession
    from appraise.services.opening import Opened
    from appraise.tables.rows import Tables

_SCREENS = {
    "arrival": "ArrivalScreen",
    "candidates": "CandidatesScreen",
    "charts": "ChartsScreen",
    "documents": "DocumentsScreen",
    "help": "HelpScreen",
    "like_sales": "LikeSalesScreen",
    "measurements": "MeasurementsScreen",
    "merging": "MergeScreen",
    "missing": "MissingScreen",
    "new_case": "NewCaseScreen",
    "outcome": "OutcomeScreen",
    "own_settings": "SettingsScreen",
    "particulars": "ParticularsScreen",
    "photo": "PhotoScreen",
    "photos": "PhotosScreen",
    "quick_look": "QuickLookScreen",
    "readings": "ReadingsScreen",
    "recovery": "RecoveryScreen",
    "remarks": "RemarksScreen",
    "result": "ResultScreen",
    "sales_book": "SalesBookScreen",
    "trail": "TrailScreen",
    "why": "WhyScreen",
}
"""The screens that others open, by their module: read when first opened, and known to nobody else by more than that."""


class AppraiseApp(Messages[int], TerminalPictures[int], Guided[int], LostTerminal[int]):
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
        opened: Opened | CaseSession | None = None,
        settings: OwnSettings | None = None,
        own_tables: Path | None = None,
        *,
        alone: str = "",
    ) -> None:
        """Make the application.

        Args:
            folder: Whose cases are listed.
            tables: The reference tables; none: our own, read when they are first needed.
            opened: The case to begin with, or a worksheet in memory.
            settings: Of whoever works here; none: the defaults.
            own_tables: Folder of the user's tables in force.
            alone: A screen that is all there is: without a list of cases below, left when it is closed.
        """
        super().__init__()
        self.own_tables = own_tables
        self._folder, self._tables, self._opened, self._alone = folder, tables, opened, alone
        for theme in THEMES:
            self.register_theme(theme)
        self.settings = OwnSettings() if settings is None else settings

    @property
    def settings(self) -> OwnSettings:
        """The settings of whoever works here; once they change, their keys and colours are in force."""
        return self._settings

    @settings.setter
    def settings(self, settings: OwnSettings) -> None:
        self._settings = settings
        put_in_force(settings.own_keys)
        self.set_keymap(settings.own_keys)
        self.theme = settings.screen.theme

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Return our own variables for themes that do not set them."""
        return own_variables(self.current_theme)

    def get_key_display(self, binding: Binding) -> str:
        """Write keys in the footer as everywhere."""
        return key_name(binding.key)

    def get_default_screen(self) -> Screen[None]:
        """Return the list of cases: it lies below everything but a screen that is all there is."""
        return Screen() if self._alone else CasesScreen(self._folder, self._tables)

    def on_mount(self) -> None:
        """Open what was asked for."""
        if self._alone:
            self.open_screen(self._alone, then=lambda _: self.exit(0))
        elif self._opened is not None:
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
        return str(getattr(screen, "SCOPE", EVERYWHERE))

    def open_screen(self, name: str, *given: object, then: Callable[[Any], None] | None = None) -> Screen[Any]:
        """Open a screen by its name.

        Args:
            name: Of its module.
            given: What it is made with.
            then: Done when it closes, with its result; none: nothing.
        """
        made: Screen[Any] = getattr(import_module(f"appraise.screens.{name}"), _SCREENS[name])(*given)
        self.push_screen(made, then)
        return made

    def action_show_help(self) -> None:
        """Open the help page for the screen in front, or close it."""
        if type(self.screen).__name__ == _SCREENS["help"]:
            self.screen.dismiss(None)
        else:
            self.open_screen("help", self.scope_of(self.screen))

    def action_next_theme(self) -> None:
        """Put on the next set of colours, and remember it."""
        self.theme = next_theme(self.theme)
        with suppress(RuntimeError, Unreadable):  # nowhere to keep it: it holds until the program is left
            self.settings = write_setting(settings_file(), BY_NAME["screen.theme"], self.theme)

    def take_unfinished(self) -> None:
        """Ask what becomes of what was typed in front, and answer that it is taken."""
        front = self.screen
        if isinstance(front, BaseScreen) and front.unfinished and not isinstance(front, AskScreen):
            front.ask_unfinished()
            self.type_next("enter")

    async def action_quit(self) -> None:
        """Leave as our own key does, whatever key of the library's is left for it."""
        self.action_leave_app()

    def action_leave_app(self) -> None:
        """Leave, asking first when a worksheet is not saved."""
        front = self.screen
        if isinstance(front, BaseScreen) and front.unfinished:
            front.ask_unfinished()
        elif not any(isinstance(screen, BaseScreen) and screen.leave_app() for screen in self.screen_stack):
            self.exit(0)


def run(folder: Path, case: Path | None = None, tables: Path | None = None, *, tour: bool = False) -> int:
    """Open the worksheet on a folder of cases, or on one case.

    Args:
        folder: Where the case files are.
        case: A case file to open at once.
        tables: The user's own tables, laid over ours.
        tour: Whether to lead through the worksheet.

    Returns:
        The exit code: 0 when the person left in peace.

    Raises:
        Unreadable: The case, the tables or the settings cannot be used; the problems say why.
        TerminalLost: The terminal went while it was open.
    """
    settings = own_settings()
    tables = own_tables(tables)
    # Our own tables are read after the first paint; a user's may be wrong, and that is said on the plain terminal.
    loaded = opened = None
    if case is not None or tables is not None:
        from appraise.tables.load import load_tables

        loaded = load_tables(tables)
    if case is not None and loaded is not None:
        from appraise.services.opening import open_sheet

        opened = open_sheet(case, loaded)
    try:
        app = AppraiseApp(folder, loaded, opened, settings, tables)
        app.touring = tour
        return _run(app)
    finally:
        if opened is not None:
            opened.worksheet.release()


def run_settings() -> int:
    """Open the settings alone.

    Returns:
        The exit code: 0 when the person left in peace.

    Raises:
        Unreadable: The settings have problems, and carry all of them.
        TerminalLost: The terminal went while they were open.
    """
    return _run(AppraiseApp(Path(), settings=own_settings(), alone="own_settings"))


def _run(app: AppraiseApp) -> int:
    code = app.run()
    if app.terminal_lost:
        raise TerminalLost
    return code or 0
