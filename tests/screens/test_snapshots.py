"""Every screen at both sizes: as text at 80×24, and at 120×40 where the room changes how it is laid out."""

import pytest

from tests.helpers.golden import whole_or_digest
from tests.helpers.screen_text import screen_text, settle

SIZES = [(80, 24), (120, 40)]
SCREENS = {
    "cases": ("cases", []),
    "new_case": ("cases", ["f3"]),
    "candidates": ("cases", ["f6"]),
    "candidates_two": ("cases", ["f6", "space", "down", "space"]),
    "candidates_left_out": ("cases", ["f6", "end"]),
    "candidates_order": ("cases", ["f6", "f3"]),
    "candidates_filter": ("cases", ["f6", "ctrl+f"]),
    "candidates_terms": ("cases", ["f6", "f6"]),
    "candidates_help": ("cases", ["f6", "f1"]),
    "walk": ("walk", []),
    "walk_answered": ("walk", ["left", "left"]),
    "quantity": ("walk", ["right", "7", "comma", "4"]),
    "readings": ("walk", ["enter"]),
    "grade_words": ("walk", ["down", "down", "down", "enter"]),
    "overrule": ("walk", ["f8"]),
    "result": ("walk", ["f5"]),
    "result_end": ("walk", ["f5", "end"]),
    "charts": ("walk", ["f5", "f5"]),
    "charts_drivers": ("walk", ["f5", "f5", "right"]),
    "charts_survival": ("walk", ["f5", "f5", "right", "right", "right"]),
    "why": ("walk", ["f4"]),
    "particulars": ("walk", ["f6"]),
    "particulars_end": ("walk", ["f6", "end"]),
    "choice": ("walk", ["f6", "enter"]),
    "remarks": ("walk", ["f7"]),
    "remark": ("walk", ["f7", "enter"]),
    "help": ("walk", ["f1"]),
    "instruments": ("walk", ["ctrl+t"]),
    "instruments_pins": ("walk", ["ctrl+t", "down", "down"]),
    "instruments_wood": ("walk", ["ctrl+t", "down", "down", "down", "down"]),
    "instruments_string": ("walk", ["ctrl+t", "end"]),
    "documents": ("walk", ["f5", "f12"]),
    "ask": ("walk", ["f8", "3", "enter", "x", "enter", "escape"]),
}

WIDE = {"cases", "candidates", "walk", "result", "charts", "particulars", "readings"}
"""Screens whose text is kept at 120×40 as well; of the others a digest tells whether they have changed."""


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", SCREENS)
async def test_screen(name, size, app_on, sheet, screen_snapshot):
    where, keys = SCREENS[name]
    app = app_on(sheet if where == "walk" else None)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        for key in keys:
            await pilot.press(key)
            await settle(pilot)
        text = screen_text(app)
    assert whole_or_digest(text, whole=size == SIZES[0] or name in WIDE) == screen_snapshot
