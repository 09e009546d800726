"""Trade-in candidates side by side: filled in as they are valued, in any order, two of them compared in words."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from textual import on, work
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import ProgressBar, Static
from textual.worker import get_current_worker

from appraise.commands import CANDIDATES, key_of, told
from appraise.model.problem import InputError, Unreadable
from appraise.model.unsafe import error_text
from appraise.screens.ask import ask_which
from appraise.screens.choose import ChooseScreen
from appraise.screens.entry import EntryScreen
from appraise.screens.form import FormLine, FormScreen
from appraise.screens.valuing import ValuingScreen
from appraise.services import candidates as said
from appraise.services.ordering import SORTS, Filter
from appraise.widgets.candidate_rows import CandidateHeading, CandidateRows, shown_columns
from appraise.widgets.footer import Foot
from appraise.widgets.plain import piece, wrapped
from appraise.widgets.row_list import RowList
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from textual.app import ComposeResult
    from textual.worker import Worker

    from appraise.services.trade_in import Terms
    from appraise.tables.rows import Tables

_LETTERS = "AB"

_AT_ONCE = 200
"""Rows taken from the database at once while a file is written."""


class _Stale(Exception):
    """Terms changed while the file was being written."""


class CandidatesScreen(ValuingScreen):
    """Screen of trade-in candidates."""

    CSS_PATH = "candidates.tcss"
    SCOPE = CANDIDATES
    AUTO_FOCUS = "#candidates"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012 - declared so by Textual

    def __init__(self, folder: Path, tables: Tables, view: said.View | None = None) -> None:
        """Make the screen; valuing begins once it is shown.

        Args:
            folder: Whose cases are the candidates.
            tables: The reference tables.
            view: How they were looked at last; it is kept up to date. None: afresh.
        """
        super().__init__(folder, tables)
        self._view = view or said.View()
        self._terms = self._view.terms or self._terms

    def compose(self) -> ComposeResult:
        """Title, terms, the table, how far it is, what is said of the one under the cursor."""
        yield TitleBar("Candidates", self._folder.resolve().name or str(self._folder))
        yield Static("", id="terms", markup=False)
        yield CandidateHeading()
        yield CandidateRows(id="candidates")
        yield Static("", id="nothing", markup=False)
        with Horizontal(id="valuing"):
            yield Static("Valuing", markup=False, id="how_far")
            yield ProgressBar(show_percentage=True, show_eta=True)
        with VerticalScroll(id="about"):
            yield Static("", id="said", markup=False)
        yield Foot()

    # -- showing ---------------------------------------------------------------------------------------

    def show(self) -> None:
        """Show the table, the terms, how far it is, what is said of the one under the cursor."""
        key = SORTS[self._view.order]
        places = self._ranking.places(key, backwards=self._view.backwards, wanted=self._view.wanted)
        # Who is hidden is let go; who is being valued again may come back.
        self._chosen = [place for place in self._chosen if place in places or self._ranking.row(place) is None]
        rows = self.query_one(CandidateRows)
        # Who has not moved yet stands on the best one, whatever comes in above.
        first = str(places[0]) if places and rows.cursor <= 0 else None
        letters = dict(zip(self._chosen, _LETTERS, strict=False))
        groups = self._ranking.groups(key, self._view.wanted)
        rows.show(self._ranking, places, letters, self._left_out, groups=groups, keep=first)
        self.query_one(CandidateHeading).show(self._view.order, down=key.most_first != self._view.backwards)
        words = said.terms_in_words(self._terms, self._view.wanted)
        mixed = said.order_in_words(self._ranking, key, self._view.wanted, self.no_rates)
        words = f"{words} · {mixed}" if mixed else words
        self.query_one("#terms", Static).update(piece(words[:1].upper() + words[1:]))
        self._show_progress(len(places))
        self._say_of_cursor()

    def _show_progress(self, shown: int) -> None:
        running = self._state == "running"
        stopped = self._state == "stopped"
        self.query_one("#valuing").display = running or stopped
        how_far = (
            f"Stopped at {self._done} of {len(self._paths)}: {key_of('refresh-list')} goes on" if stopped else "Valuing"
        )
        self.query_one("#how_far", Static).update(piece(how_far))
        self.query_one(ProgressBar).update(total=max(1, len(self._paths)), progress=self._done)
        every = self._view.wanted.empty
        state = f"{shown} candidates" if every else f"{shown} of {self._ranking.count()} candidates"
        if shown == 1 and every:
            state = "1 candidate"
        state += f" · {len(self._left_out)} left out" if self._left_out else ""
        self.query_one(TitleBar).show("Candidates", self._folder.resolve().name or str(self._folder), state)
        empty = not shown and not self._left_out
        rows = self.query_one(CandidateRows)
        rows.display = not empty
        if not empty and self.focused is None:
            rows.focus()
        nothing = self.query_one("#nothing", Static)
        nothing.display = empty
        text = self._state if self._state not in ("", "running", "stopped") else ""
        if not text:
            text = "Reading the folder …" if running else "No case file in this folder."
            text = told("No candidate fits the filter: {filter} changes it.") if self._ranking.count() else text
        nothing.update(piece(text, "$text-error" if self._state == text else ""))

    @on(RowList.Moved)
    def _say_of_cursor(self) -> None:
        width = max(20, self.query_one("#about").scrollable_content_region.width)
        lines: list[Content] = []
        for at, text in enumerate(self._words()):
            lines += wrapped(text, width, "bold $foreground" if at == 0 and len(self._chosen) < 2 else "$foreground")
        self.query_one("#said", Static).update(Content("\n").join(lines))

    def _words(self) -> list[str]:
        place = self.query_one(CandidateRows).place
        chosen = [row for row in map(self._ranking.row, self._chosen) if row is not None]
        here = None if place is None else self._ranking.row(place)
        if place in self._left_out and place is not None:
            return [f"Left out: {self._left_out[place]}"]
        if len(chosen) == 2:
            return said.set_beside(*chosen)
        if chosen and here is not None and place not in self._chosen:
            return ["Against the one chosen:", *said.set_beside(chosen[0], here)]
        return [] if here is None else said.about(here)

    def on_resize(self) -> None:
        """Break the words anew."""
        self.call_after_refresh(self._say_of_cursor)

    # -- order, filter, terms --------------------------------------------------------------------------

    @on(CandidateHeading.Picked)
    def _picked(self, message: CandidateHeading.Picked) -> None:
        self._go_by(message.order)

    def _go_by(self, order: str) -> None:
        """Put in an order, or turn it round where it is the present one."""
        self._view.backwards = order == self._view.order and not self._view.backwards
        self._view.order = order
        self.show()

    def action_reverse_order(self) -> None:
        """Turn the order round."""
        self._go_by(self._view.order)

    def action_column_before(self) -> None:
        """Put in the order of the column before."""
        self._step(-1)

    def action_column_after(self) -> None:
        """Put in the order of the column after."""
        self._step(1)

    def _step(self, way: int) -> None:
        orders = [column.order for column in shown_columns(self.size.width - 2) if column.order]
        at = orders.index(self._view.order) if self._view.order in orders else 0
        self._go_by(orders[(at + way) % len(orders)])

    def action_put_in_order(self) -> None:
        """Ask for the order; the present one is turned round."""
        choices = [(word, f"{key.means[:1].upper()}{key.means[1:]}") for word, key in SORTS.items()]
        question = "Sort by which column? The present one is reversed"
        self.ask(ChooseScreen(question, choices, now=self._view.order), self._go_by)

    def action_filter(self) -> None:
        """Ask which candidates are wanted."""
        now = self._view.wanted
        asked = (
            FormLine("kind", "Kind", now.kind, "grand or upright", said.kind),
            FormLine("above", "Offer of at least", _typed(now.above), "any", said.amount_typed),
            FormLine("risk_pct", "Risk of at most [%]", _typed(now.risk_pct), "any", said.percentage(0.0, 100.0)),
            FormLine("months", "Months of at least", _typed(now.months), "any", said.months_typed),
        )

        def on_result(values: dict[str, Any]) -> None:
            self._view.wanted = Filter(**values)
            self.show()

        self.ask(FormScreen("Candidates to show", asked, "An empty line leaves none out."), on_result)

    def action_terms(self) -> None:
        """Ask for the terms, and value everything again on them."""
        terms, sales = self._terms, said.resales(self._terms.tables)
        sure = f"{100.0 * terms.resolved()[2]:g}"
        margin = "each its own, else the table's"
        asked = (
            FormLine("sure", "Margin confidence [%]", sure, "of the draws", said.percentage(1.0, 99.9)),
            FormLine("margin", "Margin on resale [%]", _typed(terms.margin_pct), margin, said.percentage(0.0, 99.9)),
            FormLine("sold", "Resold at", sales.get(terms.resale, terms.resale), "", said.resale(terms.tables)),
        )

        def on_result(values: dict[str, Any]) -> None:
            changed = said.with_terms(terms, values["sure"], values["margin"], values["sold"])
            if changed.resolved() != terms.resolved():
                self._terms = self._view.terms = changed
                self.forget()
                self.action_refresh_list()

        self.ask(FormScreen("Terms of the offers", asked, f"Kinds of resale: {'; '.join(sales.values())}."), on_result)

    # -- one candidate, two candidates, all of them ------------------------------------------------------

    def action_set_beside(self) -> None:
        """Choose the candidate under the cursor, or let it go; a third takes the place of the second."""
        place = self.query_one(CandidateRows).place
        if place is None or self._ranking.row(place) is None:
            return
        if place in self._chosen:
            self._chosen.remove(place)
        else:
            self._chosen = [*self._chosen[:1], place]
        self.show()

    @on(RowList.Chosen)
    def _double_clicked(self) -> None:
        self.action_open_candidate()

    def action_open_candidate(self) -> None:
        """Open the case under the cursor, as the list of cases does; back from it, it is valued again."""
        from appraise.screens.open_case import walk_into
        from appraise.services.opening import open_sheet

        place = self.query_one(CandidateRows).place
        if place is None:
            return
        path = self._paths[place]
        try:
            opened = open_sheet(path, self._terms.tables)
        except Unreadable as error:
            self.say(str(error.problems[0]), wrong=True)
            return

        def back(_: None) -> None:
            self.value_again(self._run, place, path, self._terms)

        walk_into(self.app, opened, back)

    def action_why_offer(self) -> None:
        """Say what the offer under the cursor is made of."""
        place = self.query_one(CandidateRows).place
        if place is not None and self._ranking.row(place) is not None:
            self._find_why(self._paths[place], self._terms)

    @work(thread=True, exclusive=True, group="why")
    def _find_why(self, path: Path, terms: Terms) -> None:
        from appraise.screens.why import OfferScreen

        worker = get_current_worker()
        try:
            tree = said.why_offer(path, terms, self.rates)
        except InputError as refused:
            self._tell(worker, str(refused), wrong=True)
        else:
            if not worker.is_cancelled:
                self.app.call_from_thread(self.app.push_screen, OfferScreen(path.name, tree))

    def action_write_out(self) -> None:
        """Write what is shown into a file that the person names."""
        hint = f"Ends in {' or '.join(said.ENDINGS)}; beside the cases unless it names a folder"
        label = "Write the candidates shown to the file"

        def parse(text: str) -> Path:
            return said.named_for_writing(text, self._folder)

        entry = EntryScreen(label, parse, text="candidates.csv", hints=(hint,), line=2)
        self.ask(entry, lambda entered: self._ask_and_write(*entered))

    def _ask_and_write(self, path: Path) -> None:
        if not path.exists():
            self._write(path)
            return
        replace = ("Replace it", lambda: self._write(path))
        ask_which(self.app, f"{path.name} is there already.", replace=replace, stay=("Leave it", None))

    def _write(self, path: Path) -> None:
        places = self._ranking.places(SORTS[self._view.order], backwards=self._view.backwards, wanted=self._view.wanted)
        self._write_rows(path, places, self._terms)

    @work(thread=True, group="write")
    def _write_rows(self, path: Path, places: list[int], terms: Terms) -> None:
        """Write rows on a thread of their own; the database is asked for them, some at a time, on the screen's."""
        worker = get_current_worker()

        def some(wanted: list[int]) -> list[dict[str, Any]] | None:
            stale = worker.is_cancelled or self._terms is not terms
            return None if stale else [row for row in map(self._ranking.row, wanted) if row is not None]

        def rows() -> Iterator[dict[str, Any]]:
            for start in range(0, len(places), _AT_ONCE):
                result = self.app.call_from_thread(some, places[start : start + _AT_ONCE])
                if result is None:
                    raise _Stale
                yield from result

        try:
            said.write_candidates(path, rows())
        except OSError as error:
            self._tell(worker, f"Not written. {path}: {error_text(error)}", wrong=True)
        except _Stale:
            self._tell(worker, f"Not written: the terms were changed while {path.name} was written", wrong=True)
        else:
            self._tell(worker, f"Wrote {len(places)} to {path.name}")

    def _tell(self, worker: Worker[None], text: str, *, wrong: bool = False) -> None:
        if not worker.is_cancelled:
            self.app.call_from_thread(partial(self.say, text, wrong=wrong))

    def action_back(self) -> None:
        """Back to the cases; valuing stops."""
        self.workers.cancel_group(self, "value")
        self.workers.cancel_group(self, "write")
        self.workers.cancel_group(self, "why")
        self.dismiss(None)


def _typed(figure: float | None) -> str:
    return "" if figure is None else f"{figure:.10g}"
