"""The trail of a case: who changed what when, from what to what, and why; all of it, or one field's history."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from appraise.commands import TRAIL
from appraise.model.problem import InputError, Unreadable
from appraise.model.unsafe import error_text
from appraise.screens.entry import EntryScreen
from appraise.screens.list_detail import ListDetailScreen
from appraise.services.history import TrailLine, trail_lines
from appraise.store.trail_file import read_trail
from appraise.widgets.plain import fit, wrapped
from appraise.widgets.row_list import Row, RowList
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual.app import ComposeResult

    from appraise.services.case_session import CaseSession
    from appraise.store.trail import Trail


_HASHES = (
    ("file", "SHA-256 of the case file"),
    ("before", "SHA-256 of the condition before the move"),
    ("report", "SHA-256 of the report"),
)
"""Fields of a trail record and their labels."""


class TrailRows(RowList):
    """A line a change."""

    def __init__(self, sheet: CaseSession, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._sheet = sheet
        self._lines: Sequence[TrailLine] = ()

    def show(self, lines: Sequence[TrailLine]) -> None:
        """Show these lines."""
        self._lines = lines
        self.rebuild()

    @property
    def current(self) -> TrailLine | None:
        """The line under the cursor."""
        return next((line for line in self._lines if line.key == self.key), None)

    def rows(self, width: int) -> Sequence[Row]:
        """Return the rows at this width."""
        return [Row(line.key, (self._line(line, width - 1),)) for line in self._lines]

    def _line(self, line: TrailLine, width: int) -> Content:
        name, values = line.name(self._sheet.tables), line.values(self._sheet.case, self._sheet.tables)
        room = max(8, width - 17 - 13)
        text = f"{name}: {values}" if values else name
        return Content.assemble(
            (line.when, "$quiet"), " ", (fit(line.act, 12), "$secondary"), " ", (fit(text, room), "$foreground")
        )


class TrailScreen(ListDetailScreen[None]):
    """The trail, the latest first, with the line under the cursor in full."""

    SCOPE = TRAIL
    AUTO_FOCUS = "#trail"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012 - declared so by Textual

    def __init__(self, worksheet: CaseSession) -> None:
        super().__init__()
        self._sheet = worksheet
        self._field: str | None = None
        self._trail: Trail | None = None

    def compose(self) -> ComposeResult:
        """The lines, and one of them in full."""
        yield TitleBar("Trail", self._sheet.path.name)
        yield TrailRows(self._sheet, id="trail")
        yield from self.compose_below()

    def on_mount(self) -> None:
        """Read the trail."""
        wrong = ""
        try:
            self._trail = read_trail(self._sheet.path)
        except OSError as error:
            wrong = f"The trail cannot be read: {error_text(error)}"
        self._show(wrong)

    def _show(self, wrong: str = "") -> None:
        records = () if self._trail is None else self._trail.records
        rows = self.query_one(TrailRows)
        rows.show(trail_lines(records, self._field))
        breaks = () if self._trail is None else self._trail.breaks
        state = f"{len(records)} lines" if not breaks else f"⚠ chain broken at line {breaks[0].line}"
        name = rows.current.name(self._sheet.tables) if self._field is not None and rows.current is not None else ""
        self.query_one(TitleBar).show("Trail", name or self._sheet.path.name, state)
        if not records:
            text = wrong or "No trail yet: it begins with the first change. A case without a trail is valid."
            self.show_whole(wrapped(text, self.line_width))
        else:
            self.write()

    def write(self) -> None:
        """Write the line under the cursor in full."""
        line = self.query_one(TrailRows).current
        if line is None:
            return
        width, record = self.line_width, line.record
        by = record.by or "no assessor named"
        seconds = f"{record.at[:10]} {record.at[11:19]} UTC"
        lines = [*wrapped(f"Line {record.line} · {seconds} · {by} ({record.user}) · {line.act}", width, "$quiet")]
        values = line.values(self._sheet.case, self._sheet.tables)
        lines += wrapped(f"{line.name(self._sheet.tables)}: {values}" if line.change else record.what, width)
        if record.reason:
            lines += wrapped(f"Reason: {record.reason}", width)
        for key, label in _HASHES:
            if isinstance(record.more.get(key), str) and record.more[key]:
                lines += wrapped(f"{label}: {record.more[key]}", width, "$quiet")
        lines += wrapped(f"Hash of this line: {record.hash}", width, "$quiet")
        self.show_whole(lines)

    def action_one_field(self) -> None:
        """Show the history of the field under the cursor alone, or everything again."""
        line = self.query_one(TrailRows).current
        if self._field is not None:
            self._field = None
        elif line is not None and line.change is not None:
            self._field = line.field
        else:
            self.notify("Put the cursor on a change to see the history of its field", markup=False)
        self._show()

    def on_row_list_chosen(self) -> None:
        """A double click does what Enter does."""
        self.action_one_field()

    def action_take_copy(self) -> None:
        """Write the version that a report froze to a file of its own."""
        from appraise.services.naming import free_path
        from appraise.services.new_file import write_version
        from appraise.services.report_audit import frozen_text

        line = self.query_one(TrailRows).current
        text = None if line is None else frozen_text(line.record)
        if line is None or text is None:
            self.notify("Put the cursor on a reported line: its version of the case is in the trail", markup=False)
            return

        def write(typed: str) -> str:
            path = free_path(typed, self._sheet.path.parent)
            try:
                wrong = write_version(path, text, self._sheet.tables)
            except OSError as error:
                raise InputError(f"{path.name}: {error_text(error)}") from None
            except Unreadable as error:
                raise InputError(str(error.problems[0])) from None
            return f"{path}, but its trail is not begun: {wrong}" if wrong else str(path)

        name = f"{self._sheet.path.stem}-{line.when[:10]}.toml"
        entry = EntryScreen("Write this version to", write, text=name)
        self.ask(entry, lambda entered: self.notify(f"Written: {entered[0]}", markup=False))

    def action_back(self) -> None:
        """Close the trail."""
        self.dismiss(None)
