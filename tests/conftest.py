"""What every test shares: the tables, no clocks in hypothesis, and how deep a run goes (`--deep`)."""

from __future__ import annotations

import gc
import getpass
import os
import tempfile
from functools import cache
from pathlib import Path

os.environ["TEXTUAL_ANIMATIONS"] = "none"  # read when Textual is imported
# What the tests keep lies apart from what the person at this machine keeps, and is named by content as theirs is.
os.environ["XDG_CACHE_HOME"] = str(Path(tempfile.gettempdir()) / f"appraise-tests-{getpass.getuser()}")
os.environ.pop("NO_COLOR", None)
os.environ["OPENBLAS_NUM_THREADS"] = "1"  # as the program has it; read when NumPy is imported
# Nobody's own settings hold in a test, and none can be written there, not even by root.
os.environ["APPRAISE_SETTINGS"] = "/dev/null/settings.toml"

import pytest
from hypothesis import HealthCheck

from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
from tests.helpers import depth


def pytest_addoption(parser):
    parser.addoption("--deep", action="store_true", help="every case of every law, as .ci/run tries it; else a sample")
    parser.addoption("--rest", action="store_true", help="a deep run without the tests that a quick run does alike")
    parser.addoption("--faults", type=int, metavar="N", help="processes killed at random moments (tests/faults)")
    parser.addoption("--cuts", type=int, metavar="N", help="states of a power cut reopened, 0 for all (tests/faults)")
    parser.addoption(
        "--keys", type=int, default=0, metavar="N", help="keys typed at a terminal before a slow disk (tests/terminal)"
    )


def pytest_configure(config):
    config.option.deep |= config.option.rest
    # No deadline: a busy machine is not a defect. Derandomised: the same inputs on every machine.
    depth.register_profiles(
        deep=config.option.deep, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
    )
    if (
        config.option.rest or not config.option.deep
    ):  # a snapshot of a case that is left out is not one that nobody wants
        config.option.warn_unused_snapshots = True
    for option, deep, quick in (("faults", 200, 20), ("cuts", 0, 40)):
        if getattr(config.option, option) is None:
            setattr(config.option, option, depth.whole(deep, quick))


@pytest.hookimpl(wrapper=True)
def pytest_collection():
    """Leave alone, while tests are collected and ever after, what then lives as long as the run: it is no garbage."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.set_threshold(20_000, 20, 20)  # looked for less often than in the program: a run is short
        gc.enable()


@cache
def _text(path):
    return path.read_text(encoding="utf-8")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config, items):
    if config.option.rest:
        kept = {
            item.nodeid for item in items if not depth.is_alike(item.nodeid.removeprefix("tests/"), _text(item.path))
        }
    elif depth.is_deep():
        return
    else:
        kept = depth.sampled([item.nodeid for item in items])
    left_out = [item for item in items if item.nodeid not in kept]
    items[:] = [item for item in items if item.nodeid in kept]
    config.hook.pytest_deselected(items=left_out)


@pytest.fixture(scope="session")
def tables():
    """Our own reference tables, nothing laid over them."""
    return load_tables()


@pytest.fixture(scope="session", autouse=True)
def samples_stay_as_they_are():
    """No test leaves anything beside the sample cases, or changes one: they are what people install."""

    def state():
        return {path.name: path.stat().st_mtime_ns for path in data_folder("sample_cases").iterdir()}

    before = state()
    yield
    assert state() == before, "a test worked in sample_cases: it wants a copy"


@pytest.fixture(autouse=True)
def a_fixed_day(monkeypatch):
    """The command line's today: after every case of the tests, whatever the clock of the machine says."""
    from datetime import date

    from appraise.cli import inputs

    monkeypatch.setattr(inputs, "today", lambda: date(2026, 12, 31))


@pytest.fixture(autouse=True)
def value_once(monkeypatch):
    """The same case is valued once, unless the run is a deep one."""
    from tests.helpers import valued_once

    valued_once.value_once(monkeypatch)


@pytest.fixture
def value_anew(monkeypatch, value_once):
    """For a test of whether the same comes out again."""
    from tests.helpers import valued_once

    valued_once.value_anew(monkeypatch)
