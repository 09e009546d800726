"""Photos on the screens: chosen from the folder, drawn, said in words, and what is in the folder and nowhere used."""

from __future__ import annotations

import hashlib
import os

import pytest
from textual.widgets import Static

from appraise.screens.ask import AskScreen
from appraise.screens.choose_photos import ChoosePhotosScreen
from appraise.screens.fields import RecordScreen
from appraise.screens.photo import PhotoScreen
from appraise.screens.photos import PhotosScreen
from appraise.services.case_session import CaseSession
from appraise.store.own_settings import OwnSettings
from appraise.store.settings_sections import KITTY, ScreenSettings
from appraise.widgets.field_rows import FieldRows
from appraise.widgets.photo_cells import UPPER, PhotoCells
from appraise.widgets.photo_rows import PhotoRows
from tests.helpers import worksheet_cases
from tests.helpers.screen_text import screen_text, settle

SIZES = [(80, 24), (120, 40)]


@pytest.fixture
def pictured(folder, tables):
    """An upright that nobody has looked at, with photos beside it, the newest first: red, below, broken."""
    from PIL import Image

    blank = CaseSession(folder / "cottage.toml", worksheet_cases.upright(), tables)

    (folder / "below").mkdir()
    Image.new("RGB", (400, 300), (200, 10, 10)).save(folder / "crack.png")
    Image.new("RGB", (300, 400), (10, 10, 200)).save(folder / "below" / "crown.jpg")
    (folder / "broken.jpg").write_bytes(b"\xff\xd8\xff no more")
    for at, name in enumerate(("broken.jpg", "below/crown.jpg", "crack.png")):
        os.utime(folder / name, (1_795_000_000 + at, 1_795_000_000 + at))
    return blank


async def to_remark(pilot):
    """Begin a remark and choose its photos."""
    await settle(pilot)
    await pilot.press("f7", "f3")
    await settle(pilot)
    pilot.app.screen.query_one(FieldRows).go("remarks.0.photos")
    await pilot.press("enter")
    await settle(pilot)
    assert isinstance(pilot.app.screen, ChoosePhotosScreen)


def shown(app):
    return [row.key for row in app.screen.query_one(PhotoRows)._rows]


def said(app, id):
    return str(app.screen.query_one(id, Static).render())


def colours(drawn):
    """The colours that a picture shows in half cells, to what JPEG and the like leave of them."""
    return {
        tuple(side.triplet)
        for line in range(drawn.size.height)
        for segment in drawn.render_line(line)
        if segment.text == UPPER
        for side in (segment.style.color, segment.style.bgcolor)
    }


@pytest.mark.parametrize("size", SIZES)
async def test_several_are_marked_and_hashed_as_one_edit(app_on, pictured, size):
    app = app_on(pictured)
    async with app.run_test(size=size) as pilot:
        await to_remark(pilot)
        assert shown(app) == ["crack.png", "below/crown.jpg", "broken.jpg"]
        await pilot.press("space", "down", "space", "enter")
        await settle(pilot)
        assert isinstance(app.screen, RecordScreen)
        assert "crack.png, below/crown.jpg" in screen_text(app)
        assert pictured.case.remarks[0].photos == ("crack.png", "below/crown.jpg")
        folder = pictured.path.parent
        assert [(photo.file, photo.sha256) for photo in pictured.case.photos] == [
            (name, hashlib.sha256((folder / name).read_bytes()).hexdigest())
            for name in ("crack.png", "below/crown.jpg")
        ]
        await pilot.press("ctrl+z")
        assert (pictured.case.photos, pictured.case.remarks[0].photos) == ((), ())


async def test_typing_narrows_down_and_what_is_not_there_is_refused(app_on, pictured):
    app = app_on(pictured)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_remark(pilot)
        await pilot.press(*"crow")
        await settle(pilot)
        assert shown(app) == ["below/crown.jpg"]
        await pilot.press("x", "enter")
        await settle(pilot)
        assert shown(app) == []
        assert "no photo of that name" in said(app, "#wrong")
        await pilot.press("backspace", "enter")
        await settle(pilot)
        assert pictured.case.remarks[0].photos == ("below/crown.jpg",)


async def test_marks_are_asked_about_before_they_are_dropped(app_on, pictured):
    app = app_on(pictured)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_remark(pilot)
        await pilot.press("space", "space", "escape")  # as it was: nothing to ask
        await settle(pilot)
        assert isinstance(app.screen, RecordScreen)
        await pilot.press("enter")
        await settle(pilot)
        await pilot.press("space", "down", "space", "escape")
        await settle(pilot)
        assert isinstance(app.screen, AskScreen)
        assert "What you marked is not taken yet" in screen_text(app)
        await pilot.press("escape")
        await settle(pilot)
        assert "2 marked" in said(app, "#sought")
        await pilot.press("escape", "enter")
        await settle(pilot)
        assert pictured.case.remarks[0].photos == ("crack.png", "below/crown.jpg")


async def test_a_photo_that_went_meanwhile_is_refused(app_on, pictured):
    app = app_on(pictured)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_remark(pilot)
        (pictured.path.parent / "crack.png").unlink()
        await pilot.press("enter")
        await settle(pilot)
        assert "no such file, expected the photo crack.png" in said(app, "#wrong")
        assert pictured.case.remarks[0].photos == ()


async def test_the_mouse_marks_and_takes(app_on, pictured):
    app = app_on(pictured)
    async with app.run_test(size=(120, 40)) as pilot:
        await to_remark(pilot)
        await pilot.click(PhotoRows, offset=(1, 1))
        await settle(pilot)
        assert "1 marked" in said(app, "#sought")
        await pilot.click(PhotoRows, offset=(10, 2))
        await settle(pilot)
        assert "cannot be read as a picture" in screen_text(app)
        await pilot.double_click(PhotoRows, offset=(10, 2))
        await settle(pilot)
        assert pictured.case.remarks[0].photos == ("below/crown.jpg", "broken.jpg")


async def test_photos_of_a_check_are_drawn_and_told(app_on, pictured):
    app = app_on(pictured)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("ctrl+f")
        await settle(pilot)
        assert isinstance(app.screen, PhotosScreen)
        assert "In the folder, not used: 3" in screen_text(app)
        await pilot.press("enter")
        await settle(pilot)
        await pilot.press("enter")  # what stands under the cursor
        await settle(pilot)
        (photo,) = pictured.case.photos
        assert (photo.file, len(photo.checks)) == ("crack.png", 1)
        assert "In the folder, not used: 2" in screen_text(app)
        await pilot.press("up", "enter")
        await settle(pilot)
        assert isinstance(app.screen, PhotoScreen)
        await app.workers.wait_for_complete()
        await settle(pilot)
        drawn = app.screen.query_one(PhotoCells)
        red = [segment for segment in drawn.render_line(3) if segment.text == UPPER]
        assert red
        assert {segment.style.color.triplet[:2] for segment in red} == {(200, 10)}
        assert {segment.style.bgcolor.triplet[:2] for segment in red} == {(200, 10)}
        for words in ("crack.png: as it was entered", "size", "capture time not recorded", photo.sha256[:20], "shows "):
            assert words in said(app, "#told-of-photo")
        await pilot.press("enter", *"rib 4", "enter")
        await settle(pilot)
        assert pictured.case.photos[0].caption == "rib 4"
        await pilot.press("f4", *"square 4 2", "enter")
        await settle(pilot)
        assert "expected a mark such as circle 40 62" in " ".join(screen_text(app).split())
        await pilot.press("ctrl+u", *"Circle 40%, 62.5", "enter")
        await settle(pilot)
        assert pictured.case.photos[0].mark == "circle 40 62.5"
        assert "marked: circle 40 62.5" in said(app, "#told-of-photo")
        assert len(colours(drawn)) > 2, "the circle is drawn on the picture at once"
        await pilot.press("f4", "ctrl+u", "enter")
        await settle(pilot)
        assert colours(drawn) == {(200, 10, 10)}, "and goes with the mark"
        (pictured.path.parent / "crack.png").write_bytes(b"another")
        await pilot.press("escape")
        await settle(pilot)
        assert "changed since it was entered" in screen_text(app)
        await pilot.press("delete")
        await settle(pilot)
        assert pictured.case.photos == ()


async def test_without_a_terminal_a_photo_is_drawn_in_half_cells_whatever_is_asked_for(app_on, pictured):
    app = app_on(pictured)
    app.settings = OwnSettings(screen=ScreenSettings(pictures=KITTY))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("ctrl+f", "enter", "enter", "up", "enter")
        await settle(pilot)
        assert isinstance(app.screen, PhotoScreen)
        await app.workers.wait_for_complete()
        await settle(pilot)
        assert not app.draws_pictures
        assert any(segment.text == UPPER for segment in app.screen.query_one(PhotoCells).render_line(3))


async def test_what_is_asked_above_a_screen_is_not_closed_in_its_place(app_on, pictured):
    app = app_on(pictured)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("ctrl+f", "enter")
        await settle(pilot)
        *_, below, above = app.screen_stack
        assert isinstance(above, ChoosePhotosScreen)
        below.dismiss(None)
        await settle(pilot)
        assert app.screen_stack[-2:] == [below, above]
