"""What every test shares: the tables, and no clocks in hypothesis."""

from __future__ import annotations

import os

os.environ["TEXTUAL_ANIMATIONS"] = "none"  # read when Textual is imported
os.environ.pop("NO_COLOR", None)
os.environ["APPRAISE_SETTINGS"] = "/nonexistent/settings.toml"  # nobody's own settings hold in a test

import pytest
from hypothesis import HealthCheck, settings

from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables

# No deadline: a busy machine is not a defect. Derandomised: the same inputs on every machine.
settings.register_profile(
    "appraise", deadline=None, derandomize=True, max_examples=30, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("appraise")


def pytest_addoption(parser):
    parser.addoption(
        "--faults", type=int, default=200, metavar="N", help="processes killed at random moments (tests/faults)"
    )
    parser.addoption(
        "--cuts", type=int, default=300, metavar="N", help="states of a power cut reopened, 0 for all (tests/faults)"
    )
    parser.addoption(
        "--keys", type=int, default=0, metavar="N", help="keys typed at a terminal before a slow disk (tests/terminal)"
    )


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
