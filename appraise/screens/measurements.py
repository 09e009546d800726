"""The measurements: the answers to the readings of a case, and to a few figures typed beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from appraise.commands import INSTRUMENT
from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import Formatter
from appraise.model.problem import InputError
from appraise.model.quantities import unit_shown
from appraise.screens.case_screen import CaseScreen
from appraise.screens.entry import EntryScreen
from appraise.services.instruments.tools import BESIDE_A_CASE, tool
from appraise.widgets.footer import Foot
from appraise.widgets.plain import ending, fit, piece
from appraise.widgets.row_list import Row, RowList
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from textual import events
    from textual.app import ComposeResult

    from appraise.services.case_session import CaseSession
    from appraise.services.instruments.inputs import Tool


class ToolRows(RowList):
    """The measuring tools, and below the chosen one the fields of its form."""

    @dataclass
    class EntryWanted(Message):
        """Somebody began to type the figure under the cursor."""

        typed: str

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.typed: Mapping[str, Mapping[str, str]] = {}
        self.chosen = BESIDE_A_CASE[0]

    def rows(self, width: int) -> Sequence[Row]:
        """Return a line for each tool and each field of the chosen one."""
        results = []
        for one in map(tool, BESIDE_A_CASE):
            chosen = one.key == self.chosen
            mark = "▸ " if chosen else "  "
            style = "bold $primary" if chosen else "$foreground"
            results.append(Row(one.key, (Content.assemble(mark, piece(fit(one.label, width - 3).rstrip(), style)),)))
            for asked in one.form if chosen else ():
                value = self.typed.get(one.key, {}).get(asked.key, "")
                room = max(4, width - len(asked.label) - 7)
                value = ending(value, room)  # a file is known by its end
                text = Content.assemble(
                    piece(f"    {asked.label}  ", "$quiet"), piece(value or "–", "bold" if value else "$faint")
                )
                results.append(Row(f"{one.key}.{asked.key}", (text,)))
        return results

    def on_key(self, event: events.Key) -> None:
        """Begin to type the figure under the cursor."""
        typed = event.character or ""
        if "." not in (self.key or "") or not typed.isprintable() or not typed.strip():
            return
        event.stop()
        event.prevent_default()
        self.post_message(self.EntryWanted(typed))


class MeasurementsScreen(CaseScreen):
    """A list of measuring tools, and the answer of the one under the cursor."""

    PLACE = "Measurements"
    CSS_PATH = "measurements.tcss"
    SCOPE = INSTRUMENT
    AUTO_FOCUS = "#instruments"

    def __init__(self, worksheet: CaseSession, name: str = "") -> None:
        """Open the measurements of a case at one tool, by its key; empty: the first."""
        super().__init__(worksheet)
        self._first = name or BESIDE_A_CASE[0]
        self._units = worksheet.case.assignment.units
        self._typed: dict[str, dict[str, str]] = {
            one.key: {asked.key: asked.start_in(self._units) for asked in one.form} for one in map(tool, BESIDE_A_CASE)
        }

    def compose(self) -> ComposeResult:
        """The list, and the answer beside it."""
        yield TitleBar()
        with Horizontal(id="body"):
            yield ToolRows(id="instruments")
            with VerticalScroll(id="answer"):
                yield Static(id="page", markup=False)
                yield Static(id="tables", markup=False)
                yield Static(id="grounds", markup=False)
        yield Foot()

    def on_mount(self) -> None:
        """Show the first tool."""
        rows = self.query_one(ToolRows)
        rows.typed, rows.chosen = self._typed, self._first
        rows.rebuild(keep=self._first)
        self.show_case()

    @property
    def chosen(self) -> Tool:
        """The tool under the cursor."""
        return tool((self.query_one(ToolRows).key or self._first).partition(".")[0])

    def show_case(self) -> None:
        """Show the answer of the tool under the cursor."""
        self.show_title()
        self.call_after_refresh(self._show_answer)

    def _show_answer(self) -> None:
        from rich.console import Group

        from appraise.report.measured import measurement_grounds, measurement_head, measurement_tables

        one, manner = self.chosen, Formatter("", self._units)
        page, tables, grounds = (self.query_one(f"#{name}", Static) for name in ("page", "tables", "grounds"))
        width = max(30, self.query_one("#answer").scrollable_content_region.width)
        try:
            answer = one.answered(self.worksheet.case, self.worksheet.tables, self._typed[one.key])
        except InputError as refused:
            page.update(piece(str(refused), "$quiet"))
            tables.update("")
            grounds.update("")
            return
        page.update(Group(*measurement_head(answer, width, manner)))
        tables.update(Group(*measurement_tables(answer, width, manner)))
        grounds.update(Group(*measurement_grounds(answer)))

    def on_resize(self) -> None:
        """Draw the answer at the new width."""
        self.call_after_refresh(self._show_answer)

    @on(RowList.Moved)
    def _moved(self) -> None:
        rows = self.query_one(ToolRows)
        if self.chosen.key != rows.chosen:
            rows.chosen = self.chosen.key
            rows.rebuild(keep=rows.key)
            self.query_one("#answer", VerticalScroll).scroll_home(animate=False)
        self._show_answer()

    @on(RowList.Chosen)
    def _row_chosen(self) -> None:
        self.action_use()

    @on(ToolRows.EntryWanted)
    def _entry_wanted(self, message: ToolRows.EntryWanted) -> None:
        self.action_use(message.typed)

    def action_use(self, typed: str = "") -> None:
        """Type a figure the tool asks for, or go to the check that feeds it."""
        rows = self.query_one(ToolRows)
        _, _, key = (rows.key or "").partition(".")
        one = self.chosen
        asked = next((item for item in one.form if item.key == key), next(iter(one.form), None))
        if asked is None:
            self._go_to_check(one)
            return

        def parse(text: str) -> str:
            trial = {**self._typed[one.key], asked.key: text.strip()}
            if text.strip():
                one.answered(self.worksheet.case, self.worksheet.tables, trial)
            return text.strip()

        def on_result(entry: tuple[str]) -> None:
            self._typed[one.key][asked.key] = asked.meant(*entry, self._units)
            rows.rebuild(keep=f"{one.key}.{asked.key}")
            self._show_answer()

        now, unit = self._typed[one.key][asked.key], unit_shown(asked.unit, self._units)
        title = f"{one.label}: {asked.label}{f' [{unit}]' if unit else ''}"
        hints = (asked.hint_in(self._units),)
        self.ask(EntryScreen(title, parse, text=now, typed=typed, hints=hints, line=rows.line_of_cursor()), on_result)

    def _go_to_check(self, one: Tool) -> None:
        sheet = self.worksheet
        kind = sheet.case.identity.kind
        check = next((sheet.tables.checks[key] for key in one.feeds if kind in sheet.tables.checks[key].kinds), None)
        if check is None:
            self.say("This instrument takes nothing from a single check")
            return
        self.open_screen("readings", sheet, check, then=lambda _: self.show_case())
