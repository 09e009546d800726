"""A new case: a few words on the instrument, and the name of its file."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Button, Input, Static

from appraise.commands import NEW
from appraise.model.case import Case, Identity, Kind
from appraise.model.problem import InputError, Unreadable
from appraise.screens.ask import ask_what_becomes
from appraise.screens.base_screen import DialogScreen
from appraise.services.fields import parse, replace_at
from appraise.services.letterhead import practice_begun
from appraise.services.new_file import assignment_begun, write_new
from appraise.services.particulars import SECTIONS
from appraise.widgets.plain import piece

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.binding import BindingType

    from appraise.tables.rows import Tables

_ASKED = ("maker", "model", "size_cm", "serial", "made")
_SAYS = {Kind.GRAND: "‹ grand ›    or u: upright", Kind.UPRIGHT: "‹ upright ›  or g: grand"}
_FIELDS = {str(field.path[-1]): field for _, fields in SECTIONS for field in fields if field.path[0] == "identity"}


class KindButton(Button):
    """Grand or upright: ← → and Space turn it over, a first letter names it, Enter goes on."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left,right,space", "other", "The other kind", show=False),
        Binding("enter", "app.focus_next", "Line below", show=False),
        Binding("g", "name('grand')", "Grand", show=False),
        Binding("u", "name('upright')", "Upright", show=False),
    ]

    def __init__(self) -> None:
        super().__init__(_SAYS[Kind.GRAND], id="kind", compact=True)
        self.kind = Kind.GRAND

    def action_other(self) -> None:
        """Turn to the other kind."""
        self.action_name(Kind.UPRIGHT if self.kind is Kind.GRAND else Kind.GRAND)

    def action_name(self, kind: str) -> None:
        """Take this kind."""
        self.kind = Kind(kind)
        self.label = _SAYS[self.kind]


class NewCaseScreen(DialogScreen[Path | None]):
    """Asks for the identity; dismisses with the worksheet of the file it wrote."""

    SCOPE = NEW
    CSS_PATH = "new_case.tcss"
    AUTO_FOCUS = "#kind"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave", show=False),
        Binding("f2,ctrl+s", "create", "Create", show=False),
        Binding("up", "app.focus_previous", "Line above", show=False),
        Binding("down", "app.focus_next", "Line below", show=False),
    ]

    def __init__(self, folder: Path, tables: Tables) -> None:
        super().__init__()
        self._folder, self._tables = folder, tables

    def compose(self) -> ComposeResult:
        """Kind, a line for each field, the file's name."""
        with VerticalScroll(id="new"):
            yield Static(piece("A new case", "bold $primary"))
            with Horizontal(classes="field"):
                yield Static("Kind", classes="label")
                yield KindButton()
            for name in _ASKED:
                field = _FIELDS[name]
                with Horizontal(classes="field"):
                    yield Static(piece(field.label + (f" [{field.unit}]" if field.unit else "")), classes="label")
                    yield Input(id=name, compact=True, placeholder=field.help)
            with Horizontal(classes="field"):
                yield Static("File", classes="label")
                yield Input("", id="file", compact=True, placeholder="made from maker and model when left empty")
            yield Static("", id="wrong", markup=False)
            with Horizontal(classes="field"):
                yield Button("Create (F2)", id="create", compact=True, variant="primary")
                yield Button("Leave (Esc)", id="leave", compact=True)

    def on_button_pressed(self, event: Button.Pressed) -> None:
        """Change the kind, create, or leave."""
        if isinstance(event.button, KindButton):
            event.button.action_other()
        elif event.button.id == "create":
            self.action_create()
        else:
            self.action_leave()

    @property
    def unfinished(self) -> bool:
        """True when something was written into a line."""
        return any(line.value.strip() for line in self.query(Input))

    def ask_unfinished(self) -> None:
        """Ask what becomes of what was written."""
        ask_what_becomes(self, "No case has been made of this yet.", "Create it", self.action_create)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Enter goes to the next line; behind the last it creates."""
        event.stop()
        if event.input.id == "file":
            self.action_create()
        else:
            self.focus_next()

    def action_create(self) -> None:
        """Write the file, or say what is wrong."""
        try:
            case = self._case()
            path = self._path(case.identity)
            case = replace(case, practice=practice_begun(self.own_settings.practice, path))
            wrong = write_new(path, case, self._tables)
        except InputError as refused:
            self._complain(str(refused))
        except Unreadable as error:
            self._complain(str(error.problems[0]))
        else:
            if wrong:
                self.notify(f"The trail of {path.name} is not begun: {wrong}", severity="warning", markup=False)
            self.dismiss(path)

    def _complain(self, text: str) -> None:
        self.query_one("#wrong", Static).update(piece(f"✗ {text}", "$text-error"))

    def _case(self) -> Case:
        today = datetime.now(UTC).astimezone().date()
        case = Case(Identity(self.query_one(KindButton).kind), assignment_begun(today, self.own_settings.new_case))
        for name in _ASKED:
            field = _FIELDS[name]
            line = self.query_one(f"#{name}", Input)
            try:
                case = replace_at(case, field.path, parse(field, line.value, case, self._tables))
            except InputError as refused:
                line.focus()
                raise refused.about(field.label) from None
        return case

    def _path(self, identity: Identity) -> Path:
        name = self.query_one("#file", Input).value.strip()
        if not name:
            words = f"{identity.maker} {identity.model}".casefold()
            name = re.sub(r"[^\w]+", "-", words).strip("-_") or f"new-{identity.kind.value}"
        if not name.endswith(".toml"):
            name += ".toml"
        if "/" in name or "\\" in name or name.startswith(".") or "\x00" in name:
            raise InputError("the file's name: letters, digits and dashes, without a folder")
        path = self._folder / name
        if path.exists():
            raise InputError(f"{name} is there already: choose another name")
        return path
