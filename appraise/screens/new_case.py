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

from appraise.commands import NEW, key_of, told
from appraise.model.case import Assignment, Case, Identity, Kind
from appraise.model.problem import InputError, Unreadable
from appraise.screens.ask import ask_what_becomes
from appraise.screens.base_screen import DialogScreen
from appraise.services.fields import as_typed, get, parse, replace_at
from appraise.services.letterhead import practice_begun
from appraise.services.new_file import CURRENCY, case_begun, with_terms, write_new
from appraise.services.particulars import SECTIONS
from appraise.widgets.plain import harmless, piece

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.binding import BindingType
    from textual.widget import Widget

    from appraise.tables.rows import Tables

_ASKED = ("maker", "model", "size_cm", "serial", "made")
_SHOP = ("assessor", "client", "place", "currency", "climate")
"""Of the shop and its client: `as-last` fills a line in as the last case has it."""
_SAYS = {Kind.GRAND: "‹ grand ›    or u: upright", Kind.UPRIGHT: "‹ upright ›  or g: grand"}
_FIELDS = {
    str(field.path[-1]): field
    for _, fields in SECTIONS
    for field in fields
    if field.path[-1] in (_SHOP if field.path[0] in ("assignment", "circumstances") else _ASKED)
}
_TERMS = ("from the settings, else the tables", "as in {file}")


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


class TermsButton(Button):
    """Rates, costs and terms: from the tables, or as in the last case; Space turns it over, Enter goes on."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left,right,space", "other", "The other", show=False),
        Binding("enter", "app.focus_next", "Line below", show=False),
    ]

    def __init__(self) -> None:
        super().__init__(f"‹ {_TERMS[0]} ›", id="terms", compact=True)
        self.taken = False
        self.file = ""
        """Name of the last case; empty where there is none."""

    def action_other(self) -> None:
        """Turn it over, where there is a last case."""
        self.take(taken=not self.taken)

    def take(self, *, taken: bool) -> None:
        """Take the rates and terms of the last case, or leave them to the tables."""
        self.taken = taken and bool(self.file)
        self.label = f"‹ {_TERMS[self.taken].format(file=self.file)} ›"


class NewCaseScreen(DialogScreen[Path | None]):
    """Asks for the identity; dismisses with the worksheet of the file it wrote."""

    SCOPE = NEW
    CSS_PATH = "new_case.tcss"
    AUTO_FOCUS = "#kind"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave", show=False),
        Binding("up", "app.focus_previous", "Line above", show=False),
        Binding("down", "app.focus_next", "Line below", show=False),
    ]

    def __init__(self, folder: Path, tables: Tables) -> None:
        super().__init__()
        self._folder, self._tables = folder, tables
        self._last: Case | None = None

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
            for name in _SHOP:
                field = _FIELDS[name]
                with Horizontal(classes="field"):
                    yield Static(piece(field.label), classes="label")
                    held = getattr(self.own_settings.new_case, name, "")
                    yield Input(held, id=name, compact=True, placeholder=field.help)
            with Horizontal(classes="field"):
                yield Static("Rates and terms", classes="label")
                yield TermsButton()
            with Horizontal(classes="field"):
                yield Static("File", classes="label")
                yield Input("", id="file", compact=True, placeholder="made from maker and model when left empty")
            yield Static("", id="last", markup=False)
            yield Static("", id="wrong", markup=False)
            with Horizontal(classes="field"):
                yield Button(told("Create ({create})"), id="create", compact=True, variant="primary")
                yield Button("Leave (Esc)", id="leave", compact=True)

    def on_mount(self) -> None:
        """Look for the last case."""
        from appraise.services.case_folder import case_files
        from appraise.services.new_file import last_case

        try:
            result = last_case(case_files(self._folder), self._tables)
        except OSError:
            result = None
        if result is None:
            return
        path, self._last = result
        self.query_one(TermsButton).file = path.name
        self.query_one("#last", Static).update(
            piece(f"{key_of('as-last')} as in {path.name}, {key_of('all-as-last')} all lines of the shop", "$quiet")
        )

    def action_as_last(self) -> None:
        """Fill in the line under the cursor as the last case has it."""
        self._fill(self.focused)

    def action_all_as_last(self) -> None:
        """Fill in every line of the shop as the last case has it."""
        for widget in (*(self.query_one(f"#{name}") for name in _SHOP), self.query_one(TermsButton)):
            self._fill(widget)

    def _fill(self, widget: Widget | None) -> None:
        if self._last is None or widget is None:
            return
        if isinstance(widget, TermsButton):
            widget.take(taken=True)
        elif isinstance(widget, Input) and widget.id in _SHOP:
            field = _FIELDS[widget.id]
            widget.value = harmless(as_typed(field, self._last))
            widget.cursor_position = len(widget.value)

    def on_button_pressed(self, event: Button.Pressed) -> None:
        """Change the kind, create, or leave."""
        if isinstance(event.button, KindButton | TermsButton):
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
        kind, currency = self.query_one(KindButton).kind, self.query_one("#currency", Input).value.strip().upper()
        case = case_begun(kind, today, self.own_settings.new_case, self._tables, currency or CURRENCY)
        plain = Case(case.identity, Assignment(today))
        for name in (*_ASKED, *_SHOP):
            field = _FIELDS[name]
            line = self.query_one(f"#{name}", Input)
            if not line.value.strip():  # as it is where nothing is said, the settings' own words taken out as well
                case = replace_at(case, field.path, get(plain, field.path))
                continue
            try:
                case = replace_at(case, field.path, parse(field, line.value, case, self._tables))
            except InputError as refused:
                line.focus()
                raise refused.about(field.label) from None
        if self.query_one(TermsButton).taken and self._last is not None:
            case = with_terms(case, self._last)
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
