"""A screen of one list whose rows show figures: “why?” works on each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.containers import Horizontal

from appraise.screens.case_screen import CaseScreen
from appraise.widgets.footer import Foot
from appraise.widgets.row_list import RowList
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from textual.app import ComposeResult


class FiguresScreen(CaseScreen):
    """Title, list in the middle of a wide screen, footer; subclasses say which list, and fill it in `show_case`."""

    def list_of_figures(self) -> RowList:
        """Make the list."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        """The rows."""
        yield TitleBar()
        with Horizontal(id="figures"):
            yield self.list_of_figures()
        yield Foot()

    def on_mount(self) -> None:
        """Show the case."""
        self.show_case()

    @on(RowList.Chosen)
    def _chosen(self) -> None:
        self.action_why_figure()

    def action_why_figure(self) -> None:
        """Say what the figure under the cursor rests on."""
        figure = self.query_one(RowList).figure
        self.open_why((figure, "value") if figure is not None else ("value",))
