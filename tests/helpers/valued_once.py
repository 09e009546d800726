"""In a quick run the same case on the same terms is valued once a process, whichever command or screen asks again."""

from __future__ import annotations

from functools import lru_cache, partial

from appraise import explain
from appraise.engine import promise, valuation, visit
from appraise.engine.loss.compare import compare_states
from appraise.engine.valuation import value_case
from appraise.explain.tree import reason_tree
from appraise.model.locale_format import PLAIN
from appraise.report import appraisal
from appraise.report.loss import derived
from appraise.services import loss, trade_in
from tests.helpers.depth import is_deep

_KEPT = 128
"""Results of each kind that are kept: more than the tests of one file work on at a time."""
_FEWEST = 64
"""Draws behind a range in tests that show no figure of it: as few as the engine takes."""
_IMAGINED = 2
"""Visits imagined for what a visit promises, in tests that show no figure of it."""

_VALUE = lru_cache(_KEPT)(value_case)
_COMPARE = lru_cache(_KEPT)(compare_states)
_TRADE = lru_cache(_KEPT)(trade_in.value)
_TREES: dict[tuple, tuple] = {}
_REAL = {"trade": trade_in.value, "visit": visit.visit}


def value_once(monkeypatch) -> None:
    """Keep what documents and commands value, unless the run is a deep one: pure functions of what is frozen."""
    if not is_deep():
        _value_by(monkeypatch, _VALUE, _COMPARE, _TRADE, _tree)


def compared_once(*states, **terms):
    """Compare two states, once a process for each pair and terms unless the run is a deep one."""
    return (compare_states if is_deep() else _COMPARE)(*states, **terms)


def value_anew(monkeypatch) -> None:
    """Value each time, for a test of whether the same comes out again."""
    _value_by(monkeypatch, value_case, compare_states, _REAL["trade"], reason_tree)


def _value_by(monkeypatch, value, compare, trade, tree) -> None:
    for module in (appraisal, derived, loss):
        monkeypatch.setattr(module, "value_case", value)
    monkeypatch.setattr(loss, "compare_states", compare)
    monkeypatch.setattr(trade_in, "value", trade)
    monkeypatch.setattr(appraisal, "reason_tree", tree)
    monkeypatch.setattr(explain, "reason_tree", tree)


def _tree(case, tables, valuation, manner=PLAIN):
    """Tell once why a valuation is what it is; a case is equal here when it is written alike, since words are told."""
    key = (repr(case), id(tables), id(valuation), id(manner))
    if key not in _TREES:
        if len(_TREES) == _KEPT:
            del _TREES[next(iter(_TREES))]
        # What the key names by its place is kept alive beside the tree.
        _TREES[key] = (reason_tree(case, tables, valuation, manner), tables, valuation, manner)
    return _TREES[key][0]


def few_draws(monkeypatch, draws: int, *, figures: bool) -> None:
    """Value on screens with few draws; in a quick run once, and a visit's promise from few visits.

    Args:
        monkeypatch: Of the test.
        draws: Behind each range.
        figures: True where the figures on the screen are compared with kept ones: the promise is worked out in full.
    """
    if is_deep():
        monkeypatch.setattr(valuation, "value_case", partial(value_case, draws=draws))
        return
    monkeypatch.setattr(valuation, "value_case", partial(_VALUE, draws=draws if figures else _FEWEST))
    if not figures:
        monkeypatch.setattr(promise, "VISITS", _IMAGINED)
        monkeypatch.setattr(promise, "SEEDS", 1)

    def once(case, tables, minutes, **options):
        return _visit(case, tables, minutes, promise.VISITS, **options)

    monkeypatch.setattr(visit, "visit", once)


@lru_cache(_KEPT)
def _visit(case, tables, minutes, _visits, **options):
    return _REAL["visit"](case, tables, minutes, **options)
