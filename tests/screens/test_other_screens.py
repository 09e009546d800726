"""List of cases, particulars, remarks, reasons, help, palette; hostile words on all of them."""

import re
import subprocess
import sys
from collections import Counter
from dataclasses import replace

import pytest
from textual.binding import Binding
from textual.widgets import Input, Static, TextArea, Tree

from appraise.app import AppraiseApp
from appraise.commands import COMMANDS, EVERYWHERE, SCOPES, bindings, of_scope
from appraise.screens.ask import AskScreen
from appraise.screens.cases import CasesScreen
from appraise.screens.charts import ChartsScreen
from appraise.screens.fields import RecordScreen
from appraise.screens.help import help_page
from appraise.screens.particulars import ParticularsScreen
from appraise.screens.remarks import RemarksScreen
from appraise.screens.result import ResultScreen
from appraise.screens.walk import WalkScreen
from appraise.screens.why import WhyScreen, path_to
from appraise.services.case_session import CaseSession
from appraise.services.fields import Accepts
from appraise.store.read import read_case
from appraise.themes import ORDER
from appraise.widgets.case_rows import CaseRows
from appraise.widgets.chart_rows import ChartRows
from appraise.widgets.field_rows import FieldRows
from appraise.widgets.footer import Foot
from appraise.widgets.result_rows import ResultRows
from tests.helpers import worksheet_cases
from tests.helpers.screen_text import screen_text, settle


async def test_the_list_names_bad_files_and_opens_good_ones(app_on):
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        text = screen_text(app)
        assert "broken.toml" in text
        assert "organ" in text
        assert "Ostravell" in text
        app.screen.query_one(CaseRows).go("broken.toml")
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, CasesScreen)
        app.screen.query_one(CaseRows).go("grand.toml")
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, WalkScreen)
        await pilot.press("escape")
        await settle(pilot)
        assert isinstance(app.screen, CasesScreen)


async def test_an_empty_or_missing_folder_is_said(tmp_path, tables):
    for folder, word in ((tmp_path, "No case files"), (tmp_path / "nowhere", "cannot be read")):
        app = AppraiseApp(folder, tables)
        async with app.run_test(size=(80, 24)) as pilot:
            await settle(pilot)
            assert word in " ".join(screen_text(app).split())  # a long path wraps where it will


async def test_new_case_is_written_and_opened(app_on, folder, tables):
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f3")
        await settle(pilot)
        app.screen.query_one("#maker", Input).value = "Invented [works]"
        app.screen.query_one("#made", Input).value = "soon"
        await pilot.press("f2")
        await settle(pilot)
        assert "✗" in screen_text(app)
        app.screen.query_one("#made", Input).value = "1925/1931"
        app.screen.query_one("#size_cm", Input).value = "185,5"
        await pilot.press("f2")
        await settle(pilot)
        assert isinstance(app.screen, WalkScreen)
        case, _ = read_case(folder / "invented-works.toml", tables)
        assert case.identity.maker == "Invented [works]"
        assert case.identity.size_cm == 185.5


async def test_new_case_never_overwrites(app_on, folder):
    app = app_on()
    before = (folder / "grand.toml").read_bytes()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f3")
        await settle(pilot)
        app.screen.query_one("#file", Input).value = "grand"
        await pilot.press("f2")
        await settle(pilot)
        assert "is there already" in screen_text(app)
    assert (folder / "grand.toml").read_bytes() == before


async def test_enter_goes_on_to_the_next_field_and_escape_stays(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f6")
        await settle(pilot)
        rows = app.screen.query_one(FieldRows)

        async def asked(*keys):
            for key in keys:
                await pilot.press(key)
                await settle(pilot)
            return rows.key

        rows.go("identity.maker")
        # A line: taken as it stands, typed, refused, left, emptied.
        assert await asked("enter", "enter") == "identity.model"
        assert await asked("x", "enter") == "identity.size_cm"
        assert await asked("enter", "x", "enter", "escape", "right", "enter") == "identity.size_cm"
        assert await asked("enter", "escape") == "identity.size_cm"
        assert await asked("delete") == "identity.size_cm"
        # The last of its section, over the heading behind it: a heading is no field.
        rows.go("identity.owners")
        assert await asked("enter", "enter") == "assignment.inspected"
        assert await asked("enter", "enter", "enter", "escape") == "assignment.basis"
        assert await asked("enter", "enter") == "assignment.currency"
        # Behind the last field stands something else: the cursor stays.
        fields = [row for row in rows._fields if row.field is not None]
        rows.go(fields[-1].key)
        await asked("enter", "enter" if fields[-1].field.accepts is not Accepts.SEVERAL else "f2")
        assert rows.key == fields[-1].key
        # In a record as well.
        await asked("escape", "f7", "enter")
        rows = app.screen.query_one(FieldRows)
        assert rows.key == "remarks.0.place"
        assert await asked("enter", "enter") == "remarks.0.text"
        assert await asked("enter", "f2") == "remarks.0.cause"


async def test_particulars_are_filled_in_and_undone(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f6")
        await settle(pilot)
        assert isinstance(app.screen, ParticularsScreen)
        app.screen.query_one(FieldRows).go("costs.labour_rate")
        await pilot.press("7", "0", "comma", "5", "enter")
        await settle(pilot)
        assert str(sheet.case.costs.labour_rate) == "70.5"
        app.screen.query_one(FieldRows).go("costs.labour_rate")
        await pilot.press("delete")
        assert sheet.case.costs.labour_rate is None
        await pilot.press("ctrl+z")
        assert str(sheet.case.costs.labour_rate) == "70.5"
        app.screen.query_one(FieldRows).go("assignment.basis")
        await pilot.press("enter")
        await settle(pilot)
        await pilot.press("home", "enter")
        await settle(pilot)
        assert sheet.case.assignment.basis == next(iter(sheet.tables.bases))


async def test_records_are_added_edited_and_taken_out(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f7")
        await settle(pilot)
        assert isinstance(app.screen, RemarksScreen)
        await pilot.press("f3")
        await settle(pilot)
        assert isinstance(app.screen, RecordScreen)
        app.screen.query_one(FieldRows).go("remarks.1.text")
        await pilot.press("w", "o", "r", "n")
        await settle(pilot)
        await pilot.press("f2")
        await settle(pilot)
        assert sheet.case.remarks[1].text == "worn"
        await pilot.press("escape")
        await settle(pilot)
        assert "worn" in screen_text(app)
        app.screen.query_one(FieldRows).go("remarks.1")
        await pilot.press("delete")
        assert len(sheet.case.remarks) == 1


async def test_a_text_that_was_written_is_not_dropped_unasked(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f6")
        await settle(pilot)

        async def limits(*keys):
            app.screen.query_one(FieldRows).go("assignment.limits")
            await pilot.press(*keys)
            await settle(pilot)

        # What only was looked at is left at once.
        await limits("enter")
        assert "What could not be seen or opened" in screen_text(app)
        await pilot.press("escape")
        await settle(pilot)
        assert isinstance(app.screen, ParticularsScreen)
        for leave in ("escape", "ctrl+q"):
            await limits("enter", "n", "o", leave)
            assert isinstance(app.screen, AskScreen)
            # Esc goes back to the text, which stands there yet.
            await pilot.press("escape")
            await settle(pilot)
            assert app.screen.query_one(TextArea).text.endswith("no")
            await pilot.press("escape", "right", "enter")
            await settle(pilot)
            assert isinstance(app.screen, ParticularsScreen)
            assert not sheet.case.assignment.limits.endswith("no")
        await limits("enter", "n", "o", "escape", "enter")
        assert isinstance(app.screen, ParticularsScreen)
        assert sheet.case.assignment.limits.endswith("no")


async def test_undoing_the_addition_closes_the_record(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f7", "f3")
        await settle(pilot)
        await pilot.press("ctrl+z")
        await settle(pilot)
        assert isinstance(app.screen, RemarksScreen)


async def test_components_of_a_renewal_are_ticked(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f6")
        await settle(pilot)
        app.screen.query_one(FieldRows).go("renewals.0")
        await pilot.press("enter")
        await settle(pilot)
        await pilot.press("enter")
        await settle(pilot)
        await pilot.press("home", "space", "f2")
        await settle(pilot)
        first = next(key for key, row in sheet.tables.components.items() if "grand" in row.kinds)
        assert set(sheet.case.renewals[0].components) == {first, "hammers", "knuckles"}


async def test_why_opens_at_every_figure_of_the_result(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await pilot.press("f5")
        await settle(pilot)
        assert isinstance(app.screen, ResultScreen)
        rows = app.screen.query_one(ResultRows)
        missing = [figure for figure in set(rows._figures.values()) if not path_to(sheet.reasons, figure)]
        assert missing == []
        wanted = {"value", "left_alone", "salvage", "share_of_new", "market_factor", "usability", "next_intervention"}
        wanted |= {f"work.{item.remedy}.value_added" for item in sheet.valuation.work}
        assert wanted <= set(rows._figures.values())
        rows.go("market_factor")
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, WhyScreen)
        assert app.screen.query_one(Tree).cursor_node.data.figure == "market_factor"


async def test_result_names_work_range_and_what_was_not_seen(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 400)) as pilot:
        await settle(pilot)
        await pilot.press("f5")
        await settle(pilot)
        text = screen_text(app)
        valuation = sheet.valuation
        assert f"{valuation.value.low:,.0f} – {valuation.value.high:,.0f}" in text
        unseen = [part.label for station in valuation.stations for part in station.components if not part.inspected]
        for heading in ("Value", "Work", "Reasons", "Approaches", "Comparables", "Not inspected"):
            assert heading in text
        for label in unseen:
            assert label[:30] in text


async def test_charts_say_why_and_are_walked_one_by_one(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for key in ("f5", "f5"):
            await pilot.press(key)
            await settle(pilot)
        assert isinstance(app.screen, ChartsScreen)
        rows = app.screen.query_one(ChartRows)
        missing = [figure for figure in set(rows._figures.values()) - {""} if not path_to(sheet.reasons, figure)]
        assert missing == []
        assert rows.figure == "value"
        await pilot.press("right")
        await settle(pilot)
        assert "Causes of the width of the range" in screen_text(app).splitlines()[1]
        await pilot.press("right", "right", "right", "right", "right")
        await settle(pilot)
        last = rows.key
        await pilot.press("right")
        assert rows.key == last
        await pilot.press("left")
        await settle(pilot)
        assert rows.key != last
        await pilot.press("end")
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, WhyScreen)
        await pilot.press("escape", "escape")
        await settle(pilot)
        assert isinstance(app.screen, ResultScreen)


async def test_charts_without_a_price_show_what_can_be_told(app_on, folder, tables):
    app = app_on(CaseSession(folder / "bare.toml", worksheet_cases.bare(), tables))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for key in ("f5", "f5"):
            await pilot.press(key)
            await settle(pilot)
        text = screen_text(app)
        assert "The value and its range" not in text
        assert "Causes of the width of the range" in text


def test_commands_are_declared_once_and_do_not_collide():
    assert max(Counter(command.id for command in COMMANDS).values()) == 1
    for scope in SCOPES:
        keys = [key for command in {*of_scope(scope), *of_scope(EVERYWHERE)} for key in command.keys.split(",")]
        assert max(Counter(keys).values()) == 1, scope
        shown = [command for command in COMMANDS if {scope, EVERYWHERE} & set(command.footer)]
        assert len(shown) <= 5, scope
        assert all(not (len(key) == 1 and key.isalpha()) for key in keys)
        assert not {"ctrl+b", "ctrl+a", "ctrl+c"} & set(keys)
        assert all(isinstance(binding, Binding) for binding in bindings(scope))
    assert all("," in command.keys for command in COMMANDS if "ctrl+q" in command.keys or "ctrl+s" in command.keys)


@pytest.mark.parametrize(
    "screen",
    [
        CasesScreen,
        WalkScreen,
        ResultScreen,
        ChartsScreen,
        WhyScreen,
        ParticularsScreen,
        RemarksScreen,
        RecordScreen,
    ],
)
def test_every_command_of_a_screen_has_its_action(screen):
    scope = AppraiseApp.scope_of(screen.__new__(screen))
    assert scope != EVERYWHERE
    for command in of_scope(scope):
        assert callable(getattr(screen, f"action_{command.action}")), command.id
    for command in of_scope(EVERYWHERE):
        assert callable(getattr(AppraiseApp, f"action_{command.action}")), command.id


def test_help_names_every_command():
    for scope in SCOPES:
        page, whole = (help_page(scope, 200, unfolded=unfolded).plain for unfolded in (False, True))
        for command in COMMANDS:
            words = f"{command.label}: {command.help}"
            assert words in whole
            here = scope in command.scopes or EVERYWHERE in command.scopes
            alike = any((other.label, other.help) == (command.label, command.help) for other in of_scope(scope))
            assert (words in page) == (here or alike), "the keys of this screen only; the rest is folded"


async def test_the_keys_of_other_screens_unfold_and_fold(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f1")
        await settle(pilot)
        page = app.screen.query_one("#page", Static)
        heads = [SCOPES[scope] for scope in SCOPES]

        def shown():
            lines = str(page.render()).splitlines()
            return [head for head in heads if head in lines]

        assert shown() == [SCOPES[EVERYWHERE], "During the inspection"]
        await pilot.press("space")
        await settle(pilot)
        assert shown() == heads
        await pilot.press("space")
        await settle(pilot)
        assert shown() == [SCOPES[EVERYWHERE], "During the inspection"]


async def test_help_and_palette_offer_the_commands_of_the_screen(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        offered = {command.title for command in app.get_system_commands(app.screen)}
        assert {"Save", "Next check", "Why?", "Undo", "Quit", "Help"} <= offered
        await pilot.press("f1")
        await settle(pilot)
        assert "During the inspection" in screen_text(app)
        await pilot.press("escape")
        await settle(pilot)
        keys = app.screen.query_one(Foot).keys
        assert len(keys) <= 6
        assert [key.description for key in keys][-1] == "More"


HOSTILE_KEYS = [
    keys.split()
    for keys in (
        "",
        "f5",
        "f5 end",
        "f5 f5",
        "f5 f5 end",
        "f4",
        "f6",
        "f6 end",
        "f6 down enter",
        "f7",
        "f7 enter",
        "f7 enter down enter",
        "f8",
        "f3",
        "f1",
        "left left left",
    )
]


@pytest.mark.parametrize("keys", HOSTILE_KEYS, ids=lambda keys: "-".join(keys) or "walk")
async def test_hostile_words_stay_words(keys, app_on, folder, tables):
    sheet = CaseSession(folder / "hostile.toml", worksheet_cases.hostile(tables), tables)
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for key in keys:
            await pilot.press(key)
            await settle(pilot)
        text = screen_text(app)
        assert "\x1b" not in text
        assert "\x07" not in text
        assert "\u202e" not in text
    assert app.return_code in (0, None)


async def test_hostile_words_on_the_list_of_cases(folder, tables):
    (folder / "hostile [bold] [b.toml").write_text('[identity]\nkind = "[/red] \\u001b[2J"\nmaker = "[/"\n')
    app = AppraiseApp(folder, tables)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        text = screen_text(app)
        assert "hostile [bold] [b.toml" in text
        assert "\x1b" not in text


@pytest.mark.parametrize("theme", ORDER)
async def test_every_set_of_colours_shows_the_same_words(theme, app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        before = screen_text(app)
        while app.theme != theme:
            await pilot.press("f9")
        await settle(pilot)
        assert screen_text(app) == before


async def test_without_colour_the_grades_are_still_there(monkeypatch, folder, tables):
    monkeypatch.setenv("NO_COLOR", "1")
    case = worksheet_cases.grand(tables)
    app = AppraiseApp(folder, tables, CaseSession(folder / "grand.toml", replace(case), tables))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("left")
        await settle(pilot)
        text = screen_text(app)
        assert "1·●·3·4·5" in text or "1·2●3·4·5" in text
        assert "Sound" in text


def test_the_list_of_cases_is_imported_without_the_array_library():
    code = "import sys, appraise.app; sys.exit('numpy' in sys.modules or 'scipy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_editing_knows_no_screen():
    code = (
        "import sys, appraise.services.case_session, appraise.services.particulars; sys.exit('textual' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


async def test_a_record_in_which_nothing_was_written_is_not_kept(app_on, sheet):
    before = sheet.case.remarks
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for key in ("f7", "insert", "escape", "escape"):
            await pilot.press(key)
            await settle(pilot)
        assert sheet.case.remarks == before
        await pilot.press("f2")
        await settle(pilot)
        assert not sheet.dirty


@pytest.mark.parametrize("end", ["low", "high"])
async def test_one_end_of_the_cost_new_is_said_to_be_too_little(app_on, sheet, end):
    from decimal import Decimal

    sheet.put(("market", "replacement_cost_new"), None, "cost")
    for each in ("low", "high"):
        sheet.put(("market", f"replacement_cost_{each}"), Decimal(40000) if each == end else None, each)
    app = app_on(sheet)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        assert "no value by one end of the replacement cost new (F6)" in screen_text(app)
        await pilot.press("f5")
        await settle(pilot)
        shown = " ".join(screen_text(app).split())
        assert f"No value: only the {end} figure of the replacement cost new was given, EUR 40,000" in shown
        await pilot.press("f2")
        await settle(pilot)
    assert not sheet.dirty  # it can be saved so


@pytest.mark.parametrize("keys", [[], ["ctrl+o"], ["ctrl+u"]], ids=["walk", "quick look", "missing"])
async def test_on_a_wide_window_what_belongs_together_stands_together(app_on, folder, tables, keys):
    app = app_on(CaseSession(folder / "cottage.toml", worksheet_cases.upright(), tables))
    async with app.run_test(size=(200, 60)) as pilot:
        await settle(pilot)
        await pilot.press(*keys)
        await settle(pilot)
        lines = [line.rstrip() for line in screen_text(app).splitlines()[4:-1]]
        gaps = [gap for line in lines for gap in re.findall(r"(?<=\S) {105,}(?=[^ │▁▂▃▄▅▆▇█])", line)]
        assert any(line.strip() for line in lines)
        assert not gaps
