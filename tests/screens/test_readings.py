"""Readings note by note on the keybed strip, by keys, by paste, from a file and with the mouse."""

import pytest
from textual.widgets import Input, Static

from appraise.screens.ask import AskScreen
from appraise.screens.readings import ReadingsScreen
from appraise.screens.walk import WalkScreen
from appraise.services.walk import readings_of
from appraise.store.document import case_text
from appraise.store.read import parse_case
from appraise.widgets.keybed import Keybed
from appraise.widgets.line_input import LineInput
from tests.helpers.screen_text import screen_text, settle

CHECK = "pin_torque"


@pytest.fixture
def reading(app_on, sheet):
    """The readings of the torque check, none yet."""
    sheet.clear(CHECK)

    class Opened:
        def __init__(self):
            self.app = app_on(sheet)

        async def __aenter__(self):
            self.run = self.app.run_test(size=(80, 24))
            self.pilot = await self.run.__aenter__()
            await settle(self.pilot)
            await self.app.push_screen(ReadingsScreen(sheet, sheet.tables.checks[CHECK]))
            await settle(self.pilot)
            return self

        async def __aexit__(self, *problem):
            await self.run.__aexit__(*problem)

        async def type(self, text):
            self.app.screen.query_one(Input).value = text
            await self.pilot.press("enter")
            await settle(self.pilot)

        @property
        def found(self):
            return {reading.note: reading.value for reading in readings_of(sheet.case, CHECK)}

        @property
        def keys(self):
            return self.app.screen.query_one(Keybed)

        @property
        def wrong(self):
            return str(self.app.screen.query_one("#wrong", Static).content)

    return Opened()


async def test_values_alone_run_up_the_keys(reading):
    async with reading as it:
        assert it.keys.cursor == 1
        for text in ("1 7,4", "7.6 N·m", "65 in·lb"):
            await it.type(text)
        assert {note: round(value, 2) for note, value in it.found.items()} == {1: 7.4, 2: 7.6, 3: 7.34}
        assert it.keys.cursor == 4


async def test_names_numbers_and_ranges(reading):
    async with reading as it:
        await it.type("A4 7.4")
        await it.type("40: 8")
        await it.type("60-62 = 9")
        assert it.found == {40: 8.0, 49: 7.4, 60: 9.0, 61: 9.0, 62: 9.0}


@pytest.mark.parametrize("text", ["99 7.4", "A4 700", "H2 7", "", "A4", "60-50 7"])
async def test_what_cannot_be_is_refused_and_nothing_lost(reading, text):
    async with reading as it:
        await it.type("49 7.4")
        await it.type(text)
        assert it.wrong.startswith("✗")
        assert it.found == {49: 7.4}
        assert it.app.screen.query_one(Input).value == text


async def test_a_value_alone_is_for_the_section_until_a_note_is_typed(reading, sheet):
    async with reading as it:
        await it.type("7.4")
        await it.type("8")
        assert [(found.note, found.value) for found in readings_of(sheet.case, CHECK)] == [(None, 7.4), (None, 8.0)]
        assert "section" in screen_text(it.app)
        await it.type("A4 9")
        await it.type("9.5")
        notes = [(found.note, found.value) for found in readings_of(sheet.case, CHECK) if found.note]
        assert notes == [(49, 9.0), (50, 9.5)]


async def test_the_arrows_put_a_value_alone_on_the_note_that_is_shown(reading):
    async with reading as it:
        await it.pilot.press("up")
        await it.type("7.4")
        assert it.found == {1: 7.4}


async def test_two_readings_at_one_note_are_both_kept(reading, sheet, tables):
    async with reading as it:
        await it.type("49 7.4")
        await it.type("49 8")
        assert "both are kept" in it.wrong
        assert [found.value for found in readings_of(sheet.case, CHECK)] == [7.4, 8.0]
        assert {found.note for found in readings_of(sheet.case, CHECK)} == {49}
        assert parse_case(case_text(sheet.case), tables, file="case.toml")[0] == sheet.case
        await it.pilot.press("ctrl+z")
        await settle(it.pilot)
        assert [found.value for found in readings_of(sheet.case, CHECK)] == [7.4]


@pytest.mark.parametrize(("answer", "kept"), [("enter", {None: 7.4}), ("right", {}), ("escape", None)])
async def test_a_value_that_was_not_entered_is_asked_about(reading, answer, kept):
    async with reading as it:
        await it.pilot.press("7", "full_stop", "4", "escape")
        await settle(it.pilot)
        assert isinstance(it.app.screen, AskScreen)
        assert "7.4" in screen_text(it.app)
        await it.pilot.press(*(("right", "enter") if answer == "right" else (answer,)))
        await settle(it.pilot)
        if kept is None:
            assert isinstance(it.app.screen, ReadingsScreen)
            assert it.app.screen.query_one(Input).value == "7.4"
        else:
            assert isinstance(it.app.screen, WalkScreen)
            assert it.found == kept


async def test_chosen_notes_are_written_and_struck_out_together(reading):
    async with reading as it:
        it.keys.focus()
        for key in ("home", "right", "shift+right", "shift+right"):
            await it.pilot.press(key)
        assert it.keys.chosen == (2, 3, 4)
        await it.pilot.press("8")
        await settle(it.pilot)
        await it.pilot.press("enter")
        await settle(it.pilot)
        assert it.found == {2: 8.0, 3: 8.0, 4: 8.0}
        it.keys.focus()
        it.keys.go(3)
        await it.pilot.press("delete")
        await settle(it.pilot)
        assert it.found == {2: 8.0, 4: 8.0}


async def test_octaves_and_ends(reading):
    async with reading as it:
        it.keys.focus()
        for key, note in (("end", 88), ("up", 88), ("down", 76), ("home", 1), ("left", 1), ("up", 13)):
            await it.pilot.press(key)
            assert it.keys.cursor == note


async def test_many_lines_are_pasted_as_one_edit(reading, sheet):
    async with reading as it:
        it.app.screen.post_message(LineInput.Pasted("7.1\n7.2\nA4 7,3\n"))
        await settle(it.pilot)
        assert it.found == {1: 7.1, 2: 7.2, 49: 7.3}
        sheet.undo()
        assert it.found == {}
        it.app.screen.post_message(LineInput.Pasted("7.1\nnonsense\n"))
        await settle(it.pilot)
        assert "nothing was written" in it.wrong
        assert it.found == {}


async def test_a_file_is_brought_in(reading, tmp_path):
    path = tmp_path / "torque.csv"
    path.write_text("note;torque\nA4;65 in·lb\nC5;7,5\n".replace("torque", CHECK), encoding="utf-8")
    broken = tmp_path / "broken.csv"
    broken.write_text(f"note;{CHECK}\nA4;many\n", encoding="utf-8")
    async with reading as it:
        for file in (broken, path):
            await it.pilot.press("f3")
            await settle(it.pilot)
            it.app.screen.query_one(Input).value = str(file)
            await it.pilot.press("enter")
            await settle(it.pilot)
            if file is broken:
                assert "broken.csv:2" in it.wrong
                assert it.found == {}
        assert {note: round(value, 2) for note, value in it.found.items()} == {49: 7.34, 52: 7.5}


async def test_a_key_is_clicked(reading):
    async with reading as it:
        left = 6
        await it.pilot.click(Keybed, offset=(left, 2))
        assert it.keys.cursor == 1
        await it.pilot.click(Keybed, offset=(left, 1))
        assert it.keys.cursor == 2
        await it.pilot.click(Keybed, offset=(left + 51, 2))
        assert it.keys.cursor == 88


async def test_what_is_seldom_met_is_asked_about_and_kept(reading):
    async with reading as it:
        await it.type("49 0.4")
        assert "seldom met: measure again?" in it.wrong
        assert it.found == {49: 0.4}
        await it.type("50 8")
        assert it.wrong == ""


async def test_one_line_is_pasted_once(reading):
    async with reading as it:
        from textual import events

        line = it.app.screen.query_one(Input)
        line.focus()
        it.app.post_message(events.Paste("0.7"))
        await settle(it.pilot)
        await it.pilot.pause()
        assert line.value == "0.7"
        line.value = ""
        it.app.post_message(events.Paste("7.1\r7.2"))
        await settle(it.pilot)
        await it.pilot.pause()
        assert it.found == {1: 7.1, 2: 7.2}


async def test_typing_on_the_keys_loses_no_letter(reading):
    async with reading as it:
        it.keys.focus()
        await it.pilot.press("6", "0", "space", "8", "enter")
        await settle(it.pilot)
        assert it.found == {60: 8.0}


async def test_a_file_headed_note_and_value(reading, tmp_path):
    path = tmp_path / "readings.csv"
    path.write_text("note,value\n49,7.4\n", encoding="utf-8")
    async with reading as it:
        await it.pilot.press("f3")
        await settle(it.pilot)
        it.app.screen.query_one(Input).value = str(path)
        await it.pilot.press("enter")
        await settle(it.pilot)
        assert it.found == {49: 7.4}


async def test_help_tells_the_keys_of_the_strip(reading):
    async with reading as it:
        from tests.helpers.screen_text import screen_text

        await it.pilot.press("f1")
        await settle(it.pilot)
        assert "Note by note" in screen_text(it.app)


async def test_what_was_written_here_is_taken_back_and_no_more(reading, sheet):
    async with reading as it:
        await it.pilot.press("up", "7", "enter", "8", "enter", "ctrl+z")
        await settle(it.pilot)
        assert list(it.found.values()) == [7.0]
        await it.pilot.press("ctrl+y")
        assert list(it.found.values()) == [7.0, 8.0]
        before = len(sheet.case.grades)
        await it.pilot.press("ctrl+z", "ctrl+z", "ctrl+z", "ctrl+z")
        assert it.found == {}
        assert len(sheet.case.grades) == before


async def test_a_column_headed_by_what_was_measured(reading, tmp_path):
    path = tmp_path / "gauge.csv"
    path.write_text("note;torque\n49;7,4\n", encoding="utf-8")
    async with reading as it:
        await it.pilot.press("f3")
        await settle(it.pilot)
        it.app.screen.query_one(Input).value = str(path)
        await it.pilot.press("enter")
        await settle(it.pilot)
        assert it.found == {49: 7.4}


async def test_inches_and_a_fraction_are_not_taken_for_a_note(reading):
    async with reading as it:
        it.app.screen.query_one(Input).value = "1 3/4 in"
        await it.pilot.press("enter")
        await settle(it.pilot)
        assert it.found == {}
        assert "1-3/4 in" in str(it.app.screen.query_one("#wrong", Static).content)
