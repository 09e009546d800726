"""Your settings: what holds, changed where it stands, written to the settings file at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events, on
from textual.content import Content
from textual.message import Message

from appraise import commands
from appraise.model.problem import InputError, Unreadable, quoted
from appraise.screens.choose import ChooseScreen
from appraise.screens.entry import EntryScreen
from appraise.screens.list_detail import ListDetailScreen
from appraise.services.fields import NOTHING
from appraise.store.own_settings import HEADINGS, SETTINGS, OwnSettings, write_setting
from appraise.store.own_values import NotTaken
from appraise.tables.folder import settings_file
from appraise.widgets.plain import fit, plain, wrapped
from appraise.widgets.row_list import Row, RowList
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual.app import ComposeResult

    from appraise.store.own_settings import Setting


_YES_NO = {True: "yes", False: "no"}


class SettingRows(RowList):
    """A line a setting, a heading for each table of the file; a letter begins to fill in a text or goes to a choice."""

    class EntryWanted(Message):
        """A person began to type on a text."""

        def __init__(self, typed: str) -> None:
            super().__init__()
            self.typed = typed

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._held = OwnSettings()

    def show(self, held: OwnSettings) -> None:
        """Show what holds."""
        self._held = held
        self.rebuild()

    @property
    def current(self) -> Setting | None:
        """The setting under the cursor."""
        return next((each for each in SETTINGS if _key(each) == self.key), None)

    def rows(self, width: int) -> Sequence[Row]:
        """Return the rows at this width."""
        rows: list[Row] = []
        for section, heading in HEADINGS.items():
            rule = "─" * max(0, width - len(heading) - 2)
            line = Content.assemble((heading, "bold $secondary"), " ", (rule, "$faint"))
            rows.append(Row(f"heading.{section}", (line,), stop=False))
            rows += [self._row(each, width - 1) for each in SETTINGS if each.section == section]
        return rows

    def _row(self, setting: Setting, width: int) -> Row:
        label = min(26, width * 9 // 20)
        said = _said(setting, self._held.value(setting))
        text = (fit(said, width - label - 1), "$faint" if said == NOTHING else "$foreground")
        return Row(_key(setting), (Content.assemble((fit(setting.about.label, label), "$quiet"), " ", text),))

    def on_key(self, event: events.Key) -> None:
        """Begin to fill in the text under the cursor."""
        setting, typed = self.current, event.character or ""
        if setting is None or isinstance(setting.default, bool):
            return
        if typed.isalnum() or (typed.strip() and typed.isprintable() and not setting.about.choices):
            event.stop()
            event.prevent_default()
            self.post_message(self.EntryWanted(typed))


def _key(setting: Setting) -> str:
    return f"{setting.section}.{setting.key}"


def _said(setting: Setting, value: bool | str) -> str:
    if isinstance(value, bool):
        return _YES_NO[value]
    return plain(dict(setting.about.choices).get(value, value)) or NOTHING


class SettingsScreen(ListDetailScreen[None]):
    """The settings, and what the one under the cursor does."""

    SCOPE = commands.SETTINGS
    AUTO_FOCUS = "#settings"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012 - declared so by Textual

    def compose(self) -> ComposeResult:
        """The settings, and one of them in full."""
        yield TitleBar("Settings", state=_place())
        yield SettingRows(id="settings")
        yield from self.compose_below()

    def on_mount(self) -> None:
        """Show what holds."""
        self._show()

    def _show(self) -> None:
        self.query_one(SettingRows).show(self.own_settings)
        self.write()

    def write(self) -> None:
        """Say what the setting under the cursor does, and what it is called in the file."""
        setting = self.query_one(SettingRows).current
        if setting is not None:
            name = f"[{setting.section}] {setting.key} in the settings file; written as soon as it is changed"
            width = self.line_width
            self.show_whole([*wrapped(setting.about.help, width), *wrapped(name, width, "$quiet")])

    @on(RowList.Chosen)
    def _chosen(self) -> None:
        self.action_change_setting()

    @on(SettingRows.EntryWanted)
    def _entry_wanted(self, message: SettingRows.EntryWanted) -> None:
        self.action_change_setting(message.typed)

    def action_change_setting(self, typed: str = "") -> None:
        """Change the setting under the cursor: turn it over, choose, or type."""
        rows = self.query_one(SettingRows)
        setting = rows.current
        if setting is None:
            return
        about, now = setting.about, self.own_settings.value(setting)
        if isinstance(now, bool):
            self._put(setting, value=not now)
        elif about.choices:
            dialog = ChooseScreen(about.label, about.choices, now=now, typed=typed)
            self.ask(dialog, lambda key: self._put(setting, value=key))
        else:

            def parse(text: str) -> bool | str:
                try:
                    return setting.taken(text)
                except NotTaken as refused:
                    raise InputError(quoted(text), refused.expected, refused.mend) from None

            line = rows.line_of_cursor()
            entry = EntryScreen(about.label, parse, text=now, typed=typed, hints=(about.help,), line=line)
            self.ask(entry, lambda entered: self._put(setting, value=entered[0]))

    def action_default_setting(self) -> None:
        """Put the setting under the cursor back to what holds where the file says nothing."""
        setting = self.query_one(SettingRows).current
        if setting is not None:
            self._put(setting, value=setting.default)

    def _put(self, setting: Setting, *, value: bool | str) -> None:
        try:
            self.application.settings = write_setting(settings_file(), setting, value)
        except RuntimeError:
            self.say("there is no home folder to keep settings in; APPRAISE_SETTINGS names a file", wrong=True)
        except Unreadable as error:
            self.say(str(error.problems[0]), wrong=True)
        self._show()

    def action_back(self) -> None:
        """Close the settings."""
        self.dismiss(None)


def _place() -> str:
    try:
        return str(settings_file())
    except RuntimeError:
        return "no home folder to keep them in"
