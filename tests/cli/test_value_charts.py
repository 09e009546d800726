"""`appraise value --charts`: the same page, with the charts below it."""

from __future__ import annotations

from tests.cli.conftest import *  # noqa: F403
