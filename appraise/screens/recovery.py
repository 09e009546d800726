"""Recovery of unsaved work of an earlier session: recovered or set aside."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual.content import Content
from textual.widgets import Static

from appraise.commands import RECOVERY
from appraise.screens.list_detail import ListDetailScreen
from appraise.services.field_names import field_name, value_at
from appraise.services.merging import Difference, Merging
from appraise.widgets.plain import wrapped
from appraise.widgets.title_bar import TitleBar
from appraise.widgets.version_rows import VersionRow, VersionRows

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from appraise.services.case_session import CaseSession
    from appraise.services.opening import Unsaved


class RecoveryScreen(ListDetailScreen[str | None]):
    """Dismisses with "recover", "set-aside", or None to decide another time."""

    SCOPE = RECOVERY
    AUTO_FOCUS = "#versions"

    def __init__(self, worksheet: CaseSession, unsaved: Unsaved) -> None:
        super().__init__()
        self._sheet, self._unsaved = worksheet, unsaved

    def compose(self) -> ComposeResult:
        """Compose the summary and the differences."""
        yield TitleBar("Not saved", self._sheet.path.name)
        yield Static(id="found")
        yield Static(id="heads")
        yield VersionRows(id="versions", choosing=False)
        yield from self.compose_below()

    def on_mount(self) -> None:
        """Show what was found."""
        left = self._unsaved.left
        self._differences = () if left is None else Merging(None, self._sheet.case, left.case).differences
        tables = self._sheet.tables
        self.query_one(VersionRows).show(
            [
                VersionRow(
                    one.key,
                    field_name(one.path, one.of, tables),
                    self._value(one, one.mine),
                    self._value(one, one.theirs),
                )
                for one in self._differences
            ]
        )
        self.write()

    def _value(self, one: Difference, value: Any) -> str:  # noqa: ANN401 - a value of the model
        return value_at(one.path, one.of, value, self._sheet.case, self._sheet.tables)

    def write(self) -> None:
        """Write what was found, and the whole of both values of the difference under the cursor."""
        width = self.line_width
        lines = [line for text, style in self._words() for line in wrapped(text, width, style)]
        self.query_one("#found", Static).update(Content("\n").join(lines))
        half = (width - 1) // 2
        heads = f"{'in the file'.ljust(half + 1)}as it was left" if self._differences else ""
        self.query_one("#heads", Static).update(Content.styled(heads, "$quiet"))
        key = self.query_one(VersionRows).key
        one = next((one for one in self._differences if one.key == key), None)
        shown = (
            []
            if one is None
            else [
                *wrapped(f"In the file: {self._value(one, one.mine)}", width),
                *wrapped(f"Left: {self._value(one, one.theirs)}", width),
            ]
        )
        self.show_whole(shown)

    def _words(self) -> list[tuple[str, str]]:
        steps = self._unsaved.steps
        count = len(steps)
        by = next((step.by for step in reversed(steps) if step.by), "") or "no assessor named"
        first, last = (f"{step.at[:10]} {step.at[11:16]} UTC" for step in (steps[0], steps[-1]))
        when = f"on {first}" if first == last else f"from {first} to {last}"
        what = "1 step was" if count == 1 else f"{count} steps were"
        lines = [(f"{what} made and not saved, {when}, by {by} ({steps[-1].user}).", "$foreground")]
        if self._unsaved.left is None:
            lines.append(
                (f"They cannot be made again: {self._unsaved.wrong}. They stay in the trail to be read.", "$text-error")
            )
        elif self._unsaved.foreign:
            lines.append(
                ("The file was changed by another program since; taking up compares the two.", "$text-warning")
            )
        return lines

    def action_recover(self) -> None:
        """Go on where that session was cut off."""
        if self._unsaved.left is None:
            self.notify("The steps cannot be made again; set them aside to go on", severity="error", markup=False)
        else:
            self.dismiss("recover")

    def action_set_aside(self) -> None:
        """Go on from the file; what was found stays in the trail."""
        self.dismiss("set-aside")

    def action_back(self) -> None:
        """Decide another time."""
        self.dismiss(None)
