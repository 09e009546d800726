"""Handing a document over: which kind, in which forms, under which name."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Button, Input, OptionList, Static
from textual.widgets.option_list import Option

from appraise.commands import EVERYWHERE, bound_to, told
from appraise.model.lazy_dataclass import dataclass
from appraise.model.paper import PAPERS
from appraise.model.problem import InputError, Unreadable
from appraise.model.unsafe import error_text
from appraise.report.document import Sheet
from appraise.report.wording import manner_of
from appraise.screens.ask import ask_which
from appraise.screens.base_screen import DialogScreen
from appraise.services.documents import (
    FORMS,
    Outcome,
    default_stem,
    export_documents,
    item_for,
    kinds_of,
    paper_in_force,
)
from appraise.widgets.checkbox import Tick
from appraise.widgets.plain import piece

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from textual.app import ComposeResult
    from textual.binding import BindingType

    from appraise.report.kinds import ReportKind
    from appraise.services.case_session import CaseSession

_PAPER_NAMES = {"a4": "A4", "letter": "Letter"}


def _id(ending: str) -> str:
    return f"as-{ending[1:]}"


class DocumentsScreen(DialogScreen[None]):
    """Asks what to write and writes it; stays, and begins anew for the next."""

    SCOPE = EVERYWHERE
    CSS_PATH = "documents.tcss"
    AUTO_FOCUS = "#kinds"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave", show=False),
        bound_to("save", "write", "Write"),
    ]

    @dataclass
    class Written(Message):
        """Documents have been written, or none could be."""

        outcomes: Sequence[Outcome]
        refused: str = ""

    def __init__(self, worksheet: CaseSession, kind: ReportKind | None = None) -> None:
        """Ask.

        Args:
            worksheet: The case.
            kind: The kind chosen at first; none: the first there is.
        """
        super().__init__()
        self._worksheet = worksheet
        self._kinds = kinds_of(worksheet)
        keys = [key for key, _ in self._kinds]
        self._at = self._first = keys.index(kind) if kind in keys else 0
        self._named = ""
        """The name as it was typed for what is being written."""

    def compose(self) -> ComposeResult:
        """Kind, forms, paper, name."""
        manner = manner_of(self._worksheet.case.assignment)
        self._paper = paper_in_force(manner.locale, self.own_settings)
        with VerticalScroll(id="documents", can_focus=False):
            yield Static(piece("A document of this case", "bold $primary"))
            with Horizontal(classes="tall"):
                yield Static("Kind", classes="label")
                yield OptionList(*(Option(self._prompt(n)) for n in range(len(self._kinds))), id="kinds", compact=True)
            with Horizontal(classes="field"):
                yield Static("As", classes="label")
                for ending, name in FORMS:
                    yield Tick(name, on=ending == ".pdf", id=_id(ending))
            with Horizontal(classes="field"):
                yield Static("Paper", classes="label")
                yield Button(_PAPER_NAMES[self._paper], id="paper", compact=True)
            with Horizontal(classes="field"):
                yield Static("File", classes="label")
                yield Input("", id="file", compact=True, placeholder=default_stem(self._worksheet, self._kind))
            yield Static("", id="outcome")
            with Horizontal(classes="field"):
                yield Button(told("Write ({save})"), id="write", compact=True, variant="primary")
                yield Button("Leave (Esc)", id="leave", compact=True)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """The kind is the one under the cursor; the file's name follows it until somebody writes one."""
        before, self._at = self._at, event.option_index
        for n in dict.fromkeys((before, self._at)):
            event.option_list.replace_option_prompt_at_index(n, self._prompt(n))
        self.query_one("#file", Input).placeholder = default_stem(self._worksheet, self._kind)
        if before != self._at:
            self._say("", "$quiet")

    def on_mount(self) -> None:
        """Stand on the kind asked for; a list begins at its first."""
        self.query_one("#kinds", OptionList).highlighted = self._first

    def on_option_list_option_selected(self) -> None:
        """Enter on the kind goes on to the forms."""
        self.focus_next()

    def on_button_pressed(self, event: Button.Pressed) -> None:
        """Change the paper, write, or leave."""
        if event.button.id == "paper":
            self._paper = PAPERS[(PAPERS.index(self._paper) + 1) % len(PAPERS)]
            event.button.label = _PAPER_NAMES[self._paper]
        elif event.button.id == "write":
            self.action_write()
        else:
            self.action_leave()

    def on_input_submitted(self) -> None:
        """Enter behind the name writes."""
        self.action_write()

    def action_write(self) -> None:
        """Save the case where that is due, then write every form that is ticked, asking about what is there."""
        endings = [ending for ending, _ in FORMS if self.query_one(f"#{_id(ending)}", Tick).on]
        try:
            if not endings:
                raise InputError("tick at least one form: PDF, HTML, Markdown or JSON")
            stem = self._stem()
            if self._worksheet.dirty:
                self._worksheet.save()
        except InputError as refused:
            self._say(f"✗ {refused}", "$text-error")
        except Unreadable as error:
            self._say(f"✗ Not saved, so no document. {error.problems[0]}", "$text-error")
        else:
            targets = [stem.with_name(stem.name + ending) for ending in endings]
            there = [path.name for path in targets if path.exists()]
            if not there:
                self._begin(targets)
                return
            words = f"{', '.join(there)}: there already."
            replace = (
                "Replace it" if len(there) == 1 else "Replace them",
                lambda: self._begin(targets, overwrite=True),
            )
            ask_which(self.app, words, other=("Another name", self.query_one("#file").focus), replace=replace)

    def _begin(self, targets: Sequence[Path], *, overwrite: bool = False) -> None:
        self._named = self.query_one("#file", Input).value
        self._say("writing …", "$quiet")
        self._write(self._kind, targets, overwrite=overwrite)

    @work(thread=True, exclusive=True)
    def _write(self, kind: ReportKind, targets: Sequence[Path], *, overwrite: bool) -> None:
        try:
            item, sheet = item_for(self._worksheet, kind), Sheet(self._paper)
            outcomes = list(export_documents(item, kind, targets, sheet, self._worksheet.path, overwrite=overwrite))
        except OSError as error:
            self.post_message(self.Written((), error_text(error)))
        except InputError as refused:
            self.post_message(self.Written((), str(refused)))
        except Unreadable as error:
            self.post_message(self.Written((), str(error.problems[0])))
        else:
            self.post_message(self.Written(outcomes))

    @property
    def _kind(self) -> ReportKind:
        return self._kinds[self._at][0]

    def _prompt(self, n: int) -> Content:
        return Content.assemble("● " if n == self._at else "○ ", piece(self._kinds[n][1]))

    def _stem(self) -> Path:
        name = self.query_one("#file", Input).value.strip() or default_stem(self._worksheet, self._kind)
        for ending, _ in FORMS:
            name = name.removesuffix(ending)
        if "/" in name or "\\" in name or name.startswith(".") or "\x00" in name:
            raise InputError("the file's name: letters, digits and dashes, without a folder")
        return self._worksheet.path.parent / name

    def _say(self, text: str, style: str) -> None:
        self.query_one("#outcome", Static).update(piece(text, style))

    @on(Written)
    def _told(self, message: Written) -> None:
        if message.refused:
            self._say(f"✗ {message.refused}", "$text-error")
            return
        lines = []
        for outcome in message.outcomes:
            if outcome.problem:
                lines.append(piece(f"✗ {outcome.path.name}: {outcome.problem}", "$text-error"))
            else:
                lines.append(piece(f"✓ {outcome.path.name}", "$text-success"))
            missed = (f"not in the trail of the case: {outcome.untold}",) if outcome.untold else ()
            lines += [piece(f"  {note}", "$quiet") for note in (*outcome.notes, *missed)]
        self.query_one("#outcome", Static).update(Content("\n").join(lines))
        name = self.query_one("#file", Input)
        if not any(outcome.problem for outcome in message.outcomes) and name.value == self._named:
            # The next document begins anew, unless somebody has begun it already.
            name.value = ""
            self.query_one("#kinds").focus()
