"""In a quick run the same case on the same terms is valued once a process, whichever command or document asks again."""

from __future__ import annotations

from functools import lru_cache

from appraise.engine.loss.compare import compare_states
from appraise.engine.valuation import value_case
from appraise.report import appraisal
from appraise.report.loss import derived
from appraise.services import loss
from tests.helpers.depth import is_deep

_KEPT = 64
"""Results of each kind that are kept: more than one file of tests works on at a time."""

_VALUE = lru_cache(_KEPT)(value_case)
_COMPARE = lru_cache(_KEPT)(compare_states)


def value_once(monkeypatch) -> None:
    """Keep what documents and commands value, unless the run is a deep one: pure functions of what is frozen."""
    if is_deep():
        return
    for module in (appraisal, derived, loss):
        monkeypatch.setattr(module, "value_case", _VALUE)
    monkeypatch.setattr(loss, "compare_states", _COMPARE)


def value_anew(monkeypatch) -> None:
    """Value each time, for a test of whether the same comes out again."""
    for module in (appraisal, derived, loss):
        monkeypatch.setattr(module, "value_case", value_case)
    monkeypatch.setattr(loss, "compare_states", compare_states)
