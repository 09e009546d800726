"""The walk: eight stations, each a form of checks, with the range moving above as findings are written down."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events, on
from textual.containers import Horizontal, Vertical
from textual.content import Content

from appraise.commands import WALK
from appraise.model.case import STATIONS
from appraise.screens.visiting import VisitScreen
from appraise.services.guide import before_start
from appraise.services.walk import answered, first_open, first_unfinished, form_rows, progress
from appraise.widgets.check_detail import check_detail, component_detail
from appraise.widgets.check_form import CheckForm
from appraise.widgets.detail_pane import DetailPane
from appraise.widgets.footer import Foot
from appraise.widgets.next_checks import NextChecks
from appraise.widgets.row_list import RowList
from appraise.widgets.title_bar import TitleBar
from appraise.widgets.value_band import ValueBand
from appraise.widgets.walk_rail import WalkRail

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from appraise.model.result import Valuation
    from appraise.services.case_session import CaseSession


class WalkScreen(VisitScreen):
    """Rail, form, details, and the range above."""

    PLACE = "Walk"
    CSS_PATH = "walk.tcss"
    SCOPE = WALK
    AUTO_FOCUS = "#form"
    # Beside the details a check, its answer and its grade need so much; where there is less, the details lie below.
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (112, "-wide")]  # noqa: RUF012 - declared so by Textual

    def __init__(self, worksheet: CaseSession, station: str | None = None) -> None:
        super().__init__(worksheet)
        self.station = station or first_unfinished(worksheet.case, worksheet.tables)
        self._inspected, self._seen = worksheet.case.assignment.inspected, len(answered(worksheet.case))

    def compose(self) -> ComposeResult:
        """Lay the screen out; what shows where is a matter of its style sheet."""
        yield TitleBar()
        yield ValueBand(id="band")
        with Horizontal(id="body"):
            yield WalkRail(id="rail")
            with Vertical(id="work"):
                yield CheckForm(id="form")
                yield DetailPane(id="details")
            yield NextChecks(id="next")
        yield Foot()

    def on_mount(self) -> None:
        """Show the first station."""
        self.show_case(keep=self._first_open())

    # -- showing -----------------------------------------------------------------------------------

    def show_case(self, *, keep: str | None = None) -> None:
        """Show what was just written at once; the figures follow when they have been worked out."""
        sheet = self.worksheet
        valuation = sheet.known_valuation
        self.show_title()
        if self._begun_anew():
            self.station = first_unfinished(sheet.case, sheet.tables)
            keep = self._first_open()
        rows = form_rows(sheet.case, sheet.tables, self.station, sheet.last_valued)
        arrival = self.remembered()
        before = before_start(sheet.case, sheet.tables) if self.station == STATIONS[0] else ()
        self.query_one(CheckForm).show(rows if arrival is None else arrival.beside(rows), keep=keep, before=before)
        self._show_detail()
        if valuation is not None:
            self._show_values(valuation)
        else:
            self.revalue()

    def _begun_anew(self) -> bool:
        """Say, once, that an inspection has begun since the case was last shown: all that was seen made room for it."""
        case, day, seen = self.worksheet.case, self._inspected, self._seen
        self._inspected, self._seen = case.assignment.inspected, len(answered(case))
        return not self._seen and (day != self._inspected or seen > 1)  # one answer alone is struck out by hand

    def _show_values(self, valuation: Valuation) -> None:
        sheet = self.worksheet
        rail = self.query_one(WalkRail)
        rail.show(progress(sheet.case, sheet.tables), valuation)
        # Told of it later, the screen would go back from where keys have led it meanwhile.
        with rail.prevent(RowList.Moved):
            rail.go(self.station)
        self.show_range(valuation, self.station)
        self.show_visit()

    def _show_detail(self) -> None:
        row = self.query_one(CheckForm).current
        pane = self.query_one(DetailPane)
        sheet, width = self.worksheet, pane.room
        if row is None:
            result = Content("")
        elif row.check is not None:
            arrival = self.remembered()
            before = () if arrival is None else arrival.told(row.check, sheet.case)
            result = check_detail(row.check, sheet.case, sheet.tables, width, before)
        else:
            component = sheet.tables.components[row.component]
            result = component_detail(component, sheet.case, sheet.tables, self.valued_part(row.component), width)
        pane.show(result)

    def on_resize(self) -> None:
        """The words of the details wrap anew."""
        self.call_after_refresh(self._show_detail)

    @property
    def settled(self) -> bool:
        """True when the figures on the screen are those of the case as it stands."""
        return super().settled and not self.planning

    # -- moving ------------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        """Pass a key typed on the details to the check they show."""
        if event.is_printable and self.focused is self.query_one("#details"):
            form = self.query_one(CheckForm)
            form.focus()
            form.on_key(event)

    @on(RowList.Moved, "#form")
    def _row_moved(self) -> None:
        self._show_detail()
        self.query_one(DetailPane).scroll_home(animate=False)

    @on(RowList.Moved, "#rail")
    def _stop_moved(self, message: RowList.Moved) -> None:
        if message.key != self.station:
            self.walk_to(message.key)

    def action_open_row(self) -> None:
        """From the rail go to the station's checks; there open the editor of the row."""
        form = self.query_one(CheckForm)
        if self.query_one(WalkRail).has_focus:
            form.focus()
        else:
            super().action_open_row()

    def walk_to(self, station: str, check: str | None = None) -> None:
        """Go to a station, and there to a check or to the first row."""
        if station != self.station:
            self.station = station
            form = self.query_one(CheckForm)
            form.scroll_home(animate=False)
            self.show_case(keep=check or self._first_open())
        elif check is not None:
            self.query_one(CheckForm).go(check)
        self._show_detail()

    def go_on(self) -> None:
        """Go on to the next check, behind the last to the next station; not where the settings say stay."""
        if self.moves_on and not self.query_one(CheckForm).step(1):
            self.action_station_after()

    def _first_open(self) -> str | None:
        """Return the check of the station to begin at."""
        return first_open(self.worksheet.case, self.worksheet.tables, self.station)

    def action_station_before(self) -> None:
        """Go one station back."""
        self.walk_to(STATIONS[max(0, STATIONS.index(self.station) - 1)])

    def action_station_after(self) -> None:
        """Go one station on."""
        self.walk_to(STATIONS[min(len(STATIONS) - 1, STATIONS.index(self.station) + 1)])

    def action_why(self) -> None:
        """Say what the figure under the cursor rests on."""
        row = self.query_one(CheckForm).current
        figures = [f"station.{self.station}.depreciation", "value"]
        if self.focused is self.query_one(CheckForm) and row is not None:
            figures = [f"check.{row.key}", f"reading.{row.key}", f"{row.component}.grade", *figures]
        self.open_why(figures)

    def action_before_and_after(self) -> None:
        """Open what there is to do before a move and after it; back from it the checks have the focus."""

        def go_on(_: None) -> None:
            self.query_one(CheckForm).focus()

        self.open_screen("arrival", self.worksheet, then=go_on)

    @property
    def check_under_cursor(self) -> str:
        """The check of the row under the cursor."""
        row = self.query_one(CheckForm).current
        return "" if row is None or row.check is None else row.check.key

    @property
    def place_of_remark(self) -> str:
        """The component of the row under the cursor."""
        row = self.query_one(CheckForm).current
        return "" if row is None else row.component

    def action_measurements(self) -> None:
        """Open the measurements."""
        self.open_screen("measurements", self.worksheet)

    def action_missing(self) -> None:
        """Open the list of what is missing."""

        def go(station: str, check: str) -> None:
            self.walk_to(station, check)
            self.query_one(CheckForm).focus()

        self.open_screen("missing", self.worksheet, go)

    def action_quick_look(self) -> None:
        """Open the quick look."""
        self.open_screen("quick_look", self.worksheet)

    def action_result(self) -> None:
        """Open the result."""
        self.open_screen("result", self.worksheet)
