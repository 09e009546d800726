"""A hostile case on every screen there is: the screens are found by looking, and reached by pressing keys."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from dataclasses import replace

import pytest
from textual.screen import Screen
from textual.widgets import Input

import appraise.screens
from appraise.app import AppraiseApp
from appraise.commands import COMMANDS, EVERYWHERE
from appraise.services.case_session import CaseSession
from tests.helpers import valued_once, worksheet_cases
from tests.helpers.at_rest import wait_for_the_application
from tests.helpers.depth import is_deep, whole
from tests.helpers.screen_text import screen_text, settle
from tests.helpers.unpainted import paint_what_is_read
from tests.security.hostile_case import HOSTILE, everywhere

UNFIT = re.compile(
    "[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff\U000e0000-\U000e007f]"
)
NOT_PRESSED = {"leave-app", "back", "next-theme", "save", "undo", "redo"}
STEPS = 36
"""Half as many rows as the longest form has."""
DEEP = whole(4, 0)
"""How far behind the first screen others are looked for; a quick run goes through what the first leads to."""


def every_screen() -> set[str]:
    """Return the name of every screen that is not only there to be built upon."""
    found: set[type] = set()
    for item in pkgutil.iter_modules(appraise.screens.__path__):
        module = importlib.import_module(f"appraise.screens.{item.name}")
        found |= {
            kind
            for _, kind in inspect.getmembers(module, inspect.isclass)
            if issubclass(kind, Screen) and kind.__module__ == module.__name__
        }
    built_upon = {base for kind in found for base in kind.__mro__[1:]}
    return {kind.__name__ for kind in found if kind not in built_upon or kind.__name__ in CHOSEN}


CHOSEN = {"EntryScreen"}
"""Screens that others are built upon and that are shown themselves."""


class Walker:
    """Goes from screen to screen by every key that leads on."""

    def __init__(self, app, pilot) -> None:
        self.app, self.pilot = app, pilot
        self.seen: dict[str, str] = {}
        self.entered: set[str] = set()

    async def explore(self, depth: int = 0) -> None:
        """Look at the screen in front, press its keys, and look at what they open."""
        screen = self.app.screen
        self.look(screen)
        stack = len(self.app.screen_stack)
        for key in self.keys(screen):
            if self.app.screen is not screen:
                return
            await self.pilot.press(key)
            await settle(self.pilot)
            self.look(self.app.screen)
            if len(self.app.screen_stack) > stack:
                if type(self.app.screen).__name__ not in self.entered and depth < DEEP:
                    self.entered.add(type(self.app.screen).__name__)
                    await self.explore(depth + 1)
                while len(self.app.screen_stack) > stack:
                    self.app.pop_screen()
                    await settle(self.pilot)

    def keys(self, screen) -> list[str]:
        """Return what to press: each command of the screen, then row by row what Enter opens."""
        scope = AppraiseApp.scope_of(screen)
        scopes = {scope, EVERYWHERE}
        found = [
            command.first_key for command in COMMANDS if scopes & set(command.scopes) and command.id not in NOT_PRESSED
        ]
        # The forms have more rows of each kind than every second one; a record has few of each.
        steps = {"form": ["down", "down", "enter"] * STEPS, "record": ["down", "enter"] * 12}
        rows = ["home", "enter", *steps.get(scope, ["down", "enter"] * 2)]
        return [*found, *rows, "end", "enter"] if scope != EVERYWHERE else ["end", "tab", "f2"]

    def look(self, screen) -> None:
        """Hold what is shown to letters."""
        text = screen_text(self.app)
        name = type(screen).__name__
        self.seen.setdefault(name, text)
        assert not UNFIT.search(text), (name, sorted(set(UNFIT.findall(text))))
        assert "\\x1b" not in text


def in_situations(sheet, tables) -> list[Screen]:
    """Return the screens that no key opens, but something that has happened to the file."""
    from appraise.screens.like_sales import LikeSalesScreen
    from appraise.screens.merging import MergeScreen
    from appraise.screens.outcome import OutcomeScreen
    from appraise.screens.recovery import RecoveryScreen
    from appraise.screens.why import OfferScreen
    from appraise.services.history import Stacks
    from appraise.services.merging import Merging
    from appraise.services.opening import Unsaved
    from appraise.store.trail import Record

    other = everywhere(HOSTILE[::-1])
    moment = "2026-11-20T10:00:00Z"
    step = Record(1, "edit", moment, HOSTILE, HOSTILE, HOSTILE, HOSTILE, HOSTILE, (), {}, "0" * 64)
    return [
        OutcomeScreen(sheet),
        LikeSalesScreen(sheet),
        OfferScreen(HOSTILE[:80], sheet.reasons),
        RecoveryScreen(sheet, Unsaved((step,), None, None, False, HOSTILE)),
        RecoveryScreen(sheet, Unsaved((step, step), other, Stacks(other), True)),
        MergeScreen(HOSTILE[:80], Merging(None, sheet.case, other), tables),
    ]


@pytest.fixture(autouse=True)
def few_draws(monkeypatch):
    valued_once.few_draws(monkeypatch, 100, figures=False)
    monkeypatch.setattr(Input, "_toggle_cursor", lambda _self: None)
    paint_what_is_read(monkeypatch)
    wait_for_the_application(monkeypatch)


WALK, CASES, HAPPENED = "walk", "cases", "happened"
REACHED = {
    WALK: {"WalkScreen", "ResultScreen", "WhyScreen", "ParticularsScreen"},
    CASES: {"CasesScreen"},
    HAPPENED: {"OutcomeScreen", "RecoveryScreen", "MergeScreen"},
}
"""Where one begins, and screens that are met from there: by keys from a walk or the list, by what befell a file."""


@pytest.mark.parametrize("starts", whole([(WALK, HAPPENED, CASES)], [(WALK,), (HAPPENED,), (CASES,)]), ids="-".join)
async def test_hostile_words_on_every_screen(starts, tmp_path, tables):
    case = everywhere()
    case = replace(case, readings=worksheet_cases.grand(tables).readings)
    case = replace(case, photos=tuple(replace(photo, whole=True) for photo in case.photos))
    folder = tmp_path / "[bold]b [x]"
    folder.mkdir(parents=True)
    sheet = CaseSession(folder / "hostile.toml", case, tables)
    seen: dict[str, str] = {}
    for start in starts:
        app = AppraiseApp(folder, tables, None if start == CASES else sheet)
        async with app.run_test(size=(100, 40)) as pilot:
            await settle(pilot)
            walker = Walker(app, pilot)
            walker.entered = set(seen)
            if start != HAPPENED:
                await walker.explore()
            else:
                await happen(walker, sheet)
            seen |= walker.seen
        assert app.return_code in (0, None)
    assert set(seen) >= {name for start in starts for name in REACHED[start]}
    if is_deep():  # a quick run meets what the walk and the list of cases lead to, and what happens to a file
        missing = every_screen() - set(seen)
        assert missing == set(), f"screens that no key of another leads to: {missing}"
    shown = "".join(seen.values())
    assert "[bold]" in shown or "[/x]" in shown


async def happen(walker, sheet) -> None:
    """Look at what no key opens, and at what is asked when something is not saved."""
    app, pilot = walker.app, walker.pilot
    for screen in in_situations(sheet, sheet.tables):
        await app.push_screen(screen)
        for key in ("", "down", "left", "right", "end"):
            await pilot.press(*key.split())
            await settle(pilot)
            walker.look(app.screen)
        if app.screen is screen:
            app.pop_screen()
            await settle(pilot)
    sheet.set_reading("downweight_grand", 50.0, note=40)
    await pilot.press("ctrl+q")
    await settle(pilot)
    walker.look(app.screen)


def test_the_hostile_word_is_hostile():
    assert UNFIT.search(HOSTILE)
    assert every_screen() >= {"CasesScreen", "WalkScreen", "ResultScreen", "WhyScreen", "AskScreen"}
