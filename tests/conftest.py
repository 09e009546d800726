"""What every test shares: the tables, and no clocks in hypothesis."""

from __future__ import annotations

import os

os.environ["TEXTUAL_ANIMATIONS"] = "none"  # read when Textual is imported
os.environ.pop("NO_COLOR", None)

import pytest
from hypothesis import HealthCheck, settings

from appraise.tables.load import load_tables

# No deadline: a busy machine is not a defect. Derandomised: the same inputs on every machine.
settings.register_profile(
    "appraise", deadline=None, derandomize=True, max_examples=30, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("appraise")


@pytest.fixture(scope="session")
def tables():
    """Our own reference tables, nothing laid over them."""
    return load_tables()
