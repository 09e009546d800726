"""A folder of cases being valued as candidates: what has come, what was left out, how far it is."""

from __future__ import annotations

from collections import deque
from contextlib import closing
from dataclasses import replace
from time import monotonic
from typing import TYPE_CHECKING, Any

from textual import on, work
from textual.message import Message
from textual.worker import get_current_worker

from appraise.model.lazy_dataclass import dataclass
from appraise.model.unsafe import error_text
from appraise.screens.base_screen import BaseScreen
from appraise.services.ordering import Ordered, temporary
from appraise.services.process_pool import processors
from appraise.services.ranking import ALONE, ranked
from appraise.services.trade_in import Skipped, Terms, one

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from appraise.model.currency import Rates
    from appraise.model.ranking import Candidate
    from appraise.store.result_cache import ResultCache
    from appraise.tables.rows import Tables

    Found = tuple[int, dict[str, Any] | str]

_PAUSE = 0.2
"""Shortest time between two repaints while candidates come in [s]."""


class ValuingScreen(BaseScreen[None]):
    """Values the cases of a folder behind the screen; what is seen of it is for subclasses."""

    @dataclass
    class Begun(Message):
        """The folder has been listed."""

        run: int
        paths: Sequence[Path]
        wrong: str

    @dataclass
    class Came(Message):
        """Some more have been valued."""

        run: int
        found: Sequence[Found]
        over: bool = False
        again: bool = False
        """One that had been valued before."""
        unwritable: str = ""

    def __init__(self, folder: Path, tables: Tables) -> None:
        """Make the screen; valuing begins once it is shown.

        Args:
            folder: Whose cases are the candidates.
            tables: The reference tables.
        """
        super().__init__()
        self._folder, self._terms = folder, Terms(tables)
        self._base = temporary()
        self._ranking = Ordered(self._base)
        self._paths: Sequence[Path] = ()
        self._left_out: dict[int, str] = {}
        self._chosen: list[int] = []
        self._run, self._done, self._pause = 0, 0, _PAUSE
        self._state = "running"
        """`running`, `stopped`, empty when all is done, or what went wrong."""
        self._told = False
        self.rates: Rates | None = None
        """By which offers are converted."""
        self.no_rates = ""
        """Why the settings give none, where they are wrong."""

    @property
    def settled(self) -> bool:
        """True when nothing more is coming: all of the folder is valued, or valuing was stopped."""
        return self._state != "running"

    def show(self) -> None:
        """Show the candidates as far as they have come."""
        raise NotImplementedError

    def on_mount(self) -> None:
        """Begin after the first paint."""
        from appraise.model.problem import Unreadable

        try:
            self.rates = self.own_settings.exchange()
        except Unreadable as error:
            self.no_rates = str(error.problems[0])
        self.show()
        self.call_after_refresh(self.action_refresh_list)

    def on_unmount(self) -> None:
        """Let the database go."""
        self._base.close()

    def action_refresh_list(self) -> None:
        """List the folder and value what is new or changed; the rest is kept."""
        self._run += 1
        self._state = "running"
        self._value(self._run, self._terms)

    @work(thread=True, exclusive=True, group="value")
    def _value(self, run: int, terms: Terms) -> None:
        from appraise.services.case_folder import case_files

        worker = get_current_worker()
        try:
            paths, wrong = case_files(self._folder), ""
        except OSError as error:
            paths, wrong = [], f"{self._folder} cannot be read: {error_text(error)}"
        self.post_message(self.Begun(run, paths, wrong))
        cache = _cache()
        result: deque[Found] = deque()
        last = monotonic()
        # Of many this process values the first few, to have something to show, and then answers keys.
        alone = ALONE if len(paths) <= 2 * ALONE else 2
        with closing(ranked(paths, terms, cache, processes=max(2, processors()), alone=alone)) as items:
            for place, item in enumerate(items):
                if worker.is_cancelled:
                    return
                result.append((place, _shown(item, self.rates)))
                if monotonic() - last >= self._pause:
                    self.post_message(self.Came(run, tuple(result)))
                    result.clear()
                    last = monotonic()
        unwritable = "" if cache is None else cache.unwritable
        self.post_message(self.Came(run, tuple(result), over=True, unwritable=unwritable))

    @work(thread=True, group="again")
    def value_again(self, run: int, place: int, path: Path, terms: Terms) -> None:
        """Value one case again."""
        self.post_message(self.Came(run, [(place, _shown(one(path, terms, _cache()), self.rates))], again=True))

    @on(Begun)
    def _begin(self, message: Begun) -> None:
        if message.run != self._run:
            return
        if list(message.paths) != list(self._paths):
            self._chosen = []
            self.forget()
        self._paths, self._done = message.paths, 0
        self._state = message.wrong or "running"
        self.show()

    @on(Came)
    def _take(self, message: Came) -> None:
        if message.run != self._run:
            return
        self._done += 0 if message.again else len(message.found)
        for place, item in message.found:
            self._left_out.pop(place, None)
            if isinstance(item, str):
                self._ranking.drop(place)
                self._left_out[place] = item
            else:
                self._ranking.add(item, place)
        if message.over and self._state == "running":
            self._state = ""
        if message.unwritable and not self._told:
            self._told = True
            self.say(f"Results could not be kept for next time ({message.unwritable})", wrong=True)
        before = monotonic()
        self.show()
        # A long list takes longer to put in order: it is done less often, so that keys are always answered.
        self._pause = max(_PAUSE, 8.0 * (monotonic() - before))

    def forget(self) -> None:
        """Forget what has come, for it no longer holds."""
        self._ranking.clear()
        self._left_out = {}

    def action_stop_valuing(self) -> None:
        """Stop valuing; what has come stays."""
        if self._state == "running":
            self._run += 1
            self.workers.cancel_group(self, "value")
            self._state = "stopped"
            self.show()


def _cache() -> ResultCache | None:
    from appraise.store.result_cache import ResultCache, usual_folder

    try:
        return ResultCache(usual_folder())
    except RuntimeError:
        return None  # no home, nowhere to keep anything


def _shown(item: Candidate | Skipped, rates: Rates | None) -> dict[str, Any] | str:
    from appraise.report.ranking import flat

    if isinstance(item, Skipped):
        more = f" (and {item.more} more)" if item.more else ""
        return f"{replace(item.problem, file=item.problem.file.rpartition('/')[2])}{more}"
    return flat(item, rates)
