from __future__ import annotations

import os
import shutil

import pytest
from textual.notifications import Notification
from textual.widgets import Input

from appraise.app import AppraiseApp
from appraise.services.case_session import CaseSession
from appraise.store.write import write_case
from tests.helpers import valued_once, worksheet_cases
from tests.helpers.at_rest import wait_for_the_application
from tests.helpers.screen_text import ScreenText
from tests.helpers.unpainted import paint_what_is_read

WHEN = 1_795_000_000
"""A fixed last change of every file: 2026-11-18."""


@pytest.fixture(autouse=True)
def still_and_dated(monkeypatch):
    """No blinking cursor, and one time zone on every machine."""
    monkeypatch.setattr(Input, "_toggle_cursor", lambda _self: None)
    monkeypatch.setenv("TZ", "UTC")
    import time

    time.tzset()


@pytest.fixture(autouse=True)
def messages_stay(monkeypatch):
    """A message goes when something takes its place or follows it, not because the machine is slow."""
    monkeypatch.setattr(Notification, "time_left", 600.0)


@pytest.fixture(autouse=True)
def paint_less(monkeypatch):
    """Only what a test reads is drawn, unless the run is a deep one."""
    paint_what_is_read(monkeypatch)


@pytest.fixture(autouse=True)
def wait_exactly(monkeypatch):
    """A pilot goes on when all is done, not when the process has been idle for a while."""
    wait_for_the_application(monkeypatch)


@pytest.fixture(autouse=True)
def own_cache(monkeypatch, tmp_path):
    """Results are kept where this test alone finds them."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


@pytest.fixture(autouse=True)
def few_draws(monkeypatch, request):
    """These tests look at screens: a few hundred draws show the same things sooner."""
    figures = not {"screen_snapshot", "figures_compared"}.isdisjoint(request.fixturenames)
    valued_once.few_draws(monkeypatch, 256, figures=figures)


@pytest.fixture
def figures_compared():
    """For a test that compares figures of a screen with others: those of 256 draws."""


@pytest.fixture(scope="session")
def written(tmp_path_factory, tables):
    """What `folder` is a copy of."""
    shop = tmp_path_factory.mktemp("written")
    write_case(shop / "grand.toml", worksheet_cases.grand(tables), tables)
    write_case(shop / "cottage.toml", worksheet_cases.upright(), tables)
    write_case(shop / "bare.toml", worksheet_cases.bare(), tables)
    (shop / "broken.toml").write_text('schema = 1\n[identity]\nkind = "organ"\n[assignment]\ninspected = 2026-11-20\n')
    for path in shop.iterdir():
        os.utime(path, (WHEN, WHEN))
    return shop


@pytest.fixture
def folder(tmp_path, written):
    """A folder with a grand, an upright, a case without a price, and a file that went wrong."""
    return shutil.copytree(written, tmp_path / "cases")


@pytest.fixture
def sheet(folder, tables):
    """The grand's worksheet."""
    return CaseSession(folder / "grand.toml", worksheet_cases.grand(tables), tables)


@pytest.fixture
def app_on(folder, tables):
    """Make the application on the list of cases, or on a worksheet."""
    return lambda worksheet=None: AppraiseApp(folder, tables, worksheet)


@pytest.fixture
def screen_snapshot(snapshot):
    """Snapshots of screens as text."""
    return snapshot.use_extension(ScreenText)
