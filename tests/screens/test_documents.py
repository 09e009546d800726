"""Documents written from the worksheet, by keys alone."""

import json

import pytest
from textual.widgets import Input, Static

from appraise.cli.parser import main
from appraise.model.quantities import Units
from tests.helpers.screen_text import screen_text, settle


async def pressed(pilot, *keys):
    for key in keys:
        await pilot.press(key)
        await settle(pilot)


def told(app):
    return str(app.screen.query_one("#outcome", Static).content)


@pytest.mark.parametrize("place", [[], ["f5"]], ids=["walk", "result"])
async def test_a_page_for_the_owner_in_two_forms(place, app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pressed(pilot, *place, "f12", "down", "enter", "space", "tab", "tab", "enter", "tab", "space", "f2")
        assert "✓ grand-summary.md" in told(app)
        assert "✓ grand-summary.json" in told(app)
    folder = sheet.path.parent
    assert not (folder / "grand-summary.pdf").exists()
    assert "Ostravell" in (folder / "grand-summary.md").read_text(encoding="utf-8")
    assert json.loads((folder / "grand-summary.json").read_text(encoding="utf-8"))["schema"] >= 1


async def test_the_case_is_saved_before_a_document_names_it_by_its_hash(app_on, sheet):
    import hashlib

    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        sheet.put(("assignment", "place"), "A barn", "place")
        await pressed(pilot, "f12", "enter", "space", "tab", "tab", "space", "f2")
        assert not sheet.dirty
        assert "✓ grand-full.md" in told(app)
    text = (sheet.path.parent / "grand-full.md").read_text(encoding="utf-8")
    assert hashlib.sha256(sheet.path.read_bytes()).hexdigest() in text
    assert "A barn" in text


async def test_a_file_of_the_same_name_is_kept_until_told_otherwise(app_on, sheet):
    there = sheet.path.parent / "mine.md"
    there.write_text("mine", encoding="utf-8")
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pressed(pilot, "f12", "enter", "space", "tab", "tab", "space", "tab", "tab", "tab", *"mine.md", "enter")
        assert "mine.md: there already" in screen_text(app)
        await pressed(pilot, "enter")  # another name
        assert app.focused.id == "file"
        assert there.read_text(encoding="utf-8") == "mine"
        await pressed(pilot, "f2", "right", "enter")
        assert "✓ mine.md" in told(app)
        assert there.read_text(encoding="utf-8") != "mine"
        # The next one begins anew: no name of the last, no leave to replace what is there.
        assert app.screen.query_one("#file", Input).value == ""
        assert app.focused.id == "kinds"
        there.write_text("mine again", encoding="utf-8")
        await pressed(pilot, "down")
        assert told(app) == ""
        app.screen.query_one("#file", Input).value = "mine"
        await pressed(pilot, "f2")
        assert "mine.md: there already" in screen_text(app)
        await pressed(pilot, "escape")
    assert there.read_text(encoding="utf-8") == "mine again"


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        (["enter", "space", "f2"], "tick at least one form"),
        (["enter", "tab", "tab", "tab", "tab", "tab", *"../x", "f2"], "without a folder"),
    ],
    ids=["no form", "a folder in the name"],
)
async def test_what_cannot_be_is_said_and_nothing_is_written(keys, words, app_on, sheet):
    before = sorted(path.name for path in sheet.path.parent.iterdir())
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pressed(pilot, "f12", *keys)
        assert words in told(app)
        await pressed(pilot, "escape")
        assert "Walk" in screen_text(app)
    assert sorted(path.name for path in sheet.path.parent.iterdir()) == before


async def test_a_folder_that_takes_nothing_is_said(app_on, sheet, monkeypatch):
    import appraise.services.documents as documents

    def full(path, content):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(documents, "write_file", full)
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pressed(pilot, "f12", "enter", "space", "tab", "tab", "space", "f2")
        assert "grand-full.md: found that it cannot be written (No space left on device)" in told(app)


@pytest.mark.usefixtures("figures_compared")
async def test_a_document_from_the_worksheet_is_written_as_its_case_asks(app_on, sheet):
    """In the case's own units and place, as the command does, and as JSON in none."""
    sheet.put(("assignment", "locale"), "de_CH", "locale")
    sheet.put(("assignment", "units"), Units.INCH, "units")
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pressed(pilot, "f12", "enter", "space", "tab", "tab", "space", "tab", "space", "f2")
        assert "✓ grand-full.md" in told(app)
        assert "✓ grand-full.json" in told(app)
    case = sheet.path
    for name in ("by-command.md", "by-command.json"):
        assert main(["report", str(case), "-o", str(case.with_name(name)), "--draws", "256"]) == 0
    for ending in (".md", ".json"):
        written = (case.with_name(f"{name}{ending}").read_bytes() for name in ("grand-full", "by-command"))
        assert len(set(written)) == 1, ending
    assert "72.8 in" in case.with_name("grand-full.md").read_text(encoding="utf-8")
