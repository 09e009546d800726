"""Processes that value cases side by side; what they answer is what this process would have found."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import sys
import threading
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing.connection import wait
from typing import TYPE_CHECKING

from appraise.services.trade_in import Terms, settled

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.ranking import Candidate
    from appraise.services.trade_in import Skipped, Unvalued

_terms: list[Terms] = []
"""In a process of a pool: what it values with."""


def processors() -> int:
    """Return how many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


class ProcessPool:
    """A pool that starts when the first case is handed to it."""

    def __init__(self, terms: Terms, processes: int) -> None:
        """Make ready; nothing is started yet.

        Args:
            terms: What the cases are valued with.
            processes: How many processes, ≥ 1.
        """
        self._terms, self._processes = terms, processes
        self._pool: ProcessPoolExecutor | None = None

    def begin(self, case: Unvalued) -> Future[Candidate | Skipped] | None:
        """Hand a case over; none where the pool has broken down."""
        try:
            if self._pool is None:
                # Never forked: a process that draws screens has threads, and a fork would copy their locks shut.
                context = multiprocessing.get_context("spawn")
                with _quiet_start():
                    self._pool = ProcessPoolExecutor(self._processes, context, _prepare, (self._terms,))
            with _quiet_start():
                return self._pool.submit(_settle, case)
        except (BrokenProcessPool, OSError):
            return None

    def answer(self, case: Unvalued, begun: Future[Candidate | Skipped] | None) -> Candidate | Skipped:
        """Wait for a case handed over; where the pool could not value it this process does."""
        if begun is not None:
            with contextlib.suppress(BrokenProcessPool):
                return begun.result()
        return settled(case, self._terms)

    def dismiss(self) -> None:
        """Let every process go; what has been begun is finished, what waits is dropped."""
        if self._pool is not None:
            self._pool.shutdown(wait=True, cancel_futures=True)


@contextlib.contextmanager
def _quiet_start() -> Iterator[None]:
    """Start processes that Ctrl+C does not reach: who is asked to stop is this process, and it dismisses them."""
    masked = hasattr(signal, "pthread_sigmask")
    # What a screen puts in the place of standard error has no file behind it, which a new process would be given.
    shown, sys.stderr = sys.stderr, sys.__stderr__
    before = signal.pthread_sigmask(signal.SIG_BLOCK, [signal.SIGINT]) if masked else set()
    try:
        yield
    finally:
        if masked:
            signal.pthread_sigmask(signal.SIG_SETMASK, before)
        sys.stderr = shown


def _prepare(terms: Terms) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _terms[:] = [terms]
    threading.Thread(target=_leave_with_the_parent, daemon=True).start()


def _leave_with_the_parent() -> None:
    """End this process with the one that started it, were that one to be killed."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)


def _settle(case: Unvalued) -> Candidate | Skipped:
    return settled(case, _terms[0])
