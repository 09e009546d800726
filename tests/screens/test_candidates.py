"""Candidates on the screen: filled in, put in order, filtered, compared, opened, written."""

import csv
import json
import re
import shutil
import threading
from functools import partial

import pytest
from textual.widgets import Input, ProgressBar

from appraise.app import AppraiseApp
from appraise.model.problem import InputError
from appraise.report.ranking import TAKEN
from appraise.screens import candidates, valuing
from appraise.screens.ask import AskScreen
from appraise.screens.candidates import CandidatesScreen
from appraise.screens.cases import CasesScreen
from appraise.screens.form import FormScreen
from appraise.screens.walk import WalkScreen
from appraise.screens.why import OfferScreen
from appraise.services import trade_in
from appraise.services.candidates import resale
from appraise.services.opening import open_sheet
from appraise.services.ordering import SORTS, Filter
from appraise.services.ranking import found, ranked
from appraise.services.trade_in import Terms
from appraise.store.own_settings import OwnSettings
from appraise.store.result_cache import ResultCache
from appraise.store.settings_sections import CurrencySettings
from appraise.store.trail_file import read_trail
from appraise.tables.folder import data_folder
from appraise.widgets.candidate_rows import COLUMNS, CandidateHeading, CandidateRows, shown_columns
from tests.helpers.samples import look_only
from tests.helpers.screen_text import screen_text, settle, shown, until

NAMES = ("recent_grand", "practice_upright", "trade_in_grand", "removal_before", "removal_after")


@pytest.fixture
def mixed(folder):
    """The cases with five candidates more, one in another currency; of its own, two have what an offer needs."""
    for name in NAMES:
        shutil.copy(data_folder("sample_cases") / f"{name}.toml", folder)
    return folder


@pytest.fixture
def shelf(mixed):
    """The same, all of them in one currency."""
    other = mixed / "trade_in_grand.toml"
    other.write_text(other.read_text(encoding="utf-8").replace('"GBP"', '"EUR"'), encoding="utf-8")
    return mixed


@pytest.fixture(autouse=True)
def few(monkeypatch):
    monkeypatch.setattr(valuing, "Terms", partial(Terms, draws=128))


async def open_candidates(app, pilot):
    await settle(pilot)
    await pilot.press("f6")
    await settle(pilot)
    assert isinstance(app.screen, CandidatesScreen)
    return app.screen


def names(app):
    """File names of the candidates, from top to bottom."""
    rows = app.screen.query_one(CandidateRows)
    return [app.screen._paths[int(row.key)].name for row in rows._rows if row.stop]


def said(app):
    return " ".join(str(app.screen.query_one("#said").content).split())


async def test_the_best_stands_first_and_what_is_left_out_says_why(app_on, shelf):
    app = app_on()
    async with app.run_test(size=(120, 40)) as pilot:
        await open_candidates(app, pilot)
        text = screen_text(app)
        assert names(app)[0] == "recent_grand.toml"
        assert "7 candidates · 2 left out" in text
        assert 'broken.toml:3: identity.kind: found "organ"' in text
        assert "bare.toml: market.replacement_cost_new" in text
        assert app.screen.query_one("#valuing").display is False


async def test_what_rests_on_a_quick_look_is_marked(app_on, shelf, tables):
    path = shelf / "practice_upright.toml"
    look_only(path, tables)
    for size in ((80, 24), (120, 40)):
        async with app_on().run_test(size=size) as pilot:
            app = pilot.app
            await open_candidates(app, pilot)
            marked = [line for line in screen_text(app).splitlines() if "prelim" in line]
            assert len(marked) == 1
            app.screen.query_one(CandidateRows).go(str([p.name for p in app.screen._paths].index(path.name)))
            await settle(pilot)
            assert "preliminary, graded in part at a quick look" in said(app)


async def test_every_column_puts_in_order_by_key_and_by_mouse(app_on, shelf, tables):
    rows = {path.name: item.trade for path in found([shelf]) if (item := _alone(path, tables)) is not None}
    figure = {
        "offer": lambda trade: -trade.offer,
        "resale": lambda trade: -trade.resale.mid,
        "work": lambda trade: trade.work.mid,
        "carriage": lambda trade: trade.carriage,
        "preparation": lambda trade: trade.preparation,
        "guarantee": lambda trade: trade.guarantee,
        "holding": lambda trade: trade.holding,
        "margin": lambda trade: -trade.margin,
        "risk": lambda trade: trade.risk,
        "months": lambda trade: -trade.next_months,
    }
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        await open_candidates(app, pilot)
        for order in ("resale", "work", "margin", "risk", "months"):
            await pilot.press("right")
            column = [figure[order](rows[name]) for name in names(app) if name in rows]
            assert column == pytest.approx(sorted(column), abs=4.5), order  # rows are rounded to the unit
        await pilot.press("backspace")
        column = [figure["months"](rows[name]) for name in names(app) if name in rows]
        assert column == sorted(column, reverse=True)
        await pilot.press("right")
        assert app.screen._view.order == "file"
        await pilot.press("left", "left")
        assert app.screen._view.order == "risk"
        narrow = [column for column in COLUMNS if not column.least]
        start = 80 - 1 - sum(column.width for column in narrow)
        await pilot.click(CandidateHeading, offset=(start + 5, 0))
        assert (app.screen._view.order, app.screen._view.backwards) == ("offer", False)
        await pilot.click(CandidateHeading, offset=(start + 5, 0))
        assert (app.screen._view.order, app.screen._view.backwards) == ("offer", True)
        await pilot.press("f3")
        await settle(pilot)
        await pilot.press("end", "enter")
        await settle(pilot)
        assert names(app)[:7] == sorted(names(app)[:7])


def _alone(path, tables):
    item = trade_in.one(path, Terms(tables, draws=128))
    return None if isinstance(item, trade_in.Skipped) else item


async def test_a_wide_screen_has_every_cost_and_puts_by_it(app_on, shelf, tables):
    rows = {path.name: item.trade for path in found([shelf]) if (item := _alone(path, tables)) is not None}
    app = app_on()
    async with app.run_test(size=(120, 40)) as pilot:
        await open_candidates(app, pilot)
        text = screen_text(app)
        for heading in ("Carriage", "Prep.", "Guarantee", "Holding", "Margin", "Course"):
            assert heading in text
        for order in ("resale", "work", "carriage", "preparation", "guarantee", "holding"):
            await pilot.press("right")
            assert app.screen._view.order == order
        column = [rows[name].holding for name in names(app) if name in rows]
        assert column == pytest.approx(sorted(column), abs=0.5)


async def test_what_is_said_of_a_candidate_adds_up_and_names_the_tables_costs(app_on, shelf):
    app = app_on()
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await open_candidates(app, pilot)
        place = screen._paths.index(shelf / "recent_grand.toml")
        screen.query_one(CandidateRows).go(str(place))
        await pilot.pause()
        row, text = screen._ranking.row(place), said(app)
        assert f"EUR {row['offer']:,} = resale {row['resale']:,} − " in text
        assert f"− holding {row['holding']:,} − margin {row['margin']:,}." in text
        assert "holding from the tables." in text
        assert row["offer"] == row["resale"] - sum(row[key] for key in TAKEN) - row["margin"]


async def test_a_filter_leaves_out_and_says_so(app_on, shelf):
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        await open_candidates(app, pilot)
        await pilot.press("ctrl+f")
        await settle(pilot)
        assert isinstance(app.screen, FormScreen)
        app.screen.query_one("#kind", Input).value = "g"
        app.screen.query_one("#above", Input).value = "much"
        await pilot.press("f2")
        await settle(pilot)
        assert "Offer of at least: found “much”, expected an amount of" in screen_text(app)
        assert "14000 or 14000.50" in screen_text(app)
        app.screen.query_one("#above", Input).value = "5 000"
        app.screen.query_one("#risk_pct", Input).value = "10%"
        await pilot.press("f2")
        await settle(pilot)
        assert "only grands, offer from 5,000, risk up to 10%" in " ".join(screen_text(app).split())
        assert "of 7 candidates" in screen_text(app)
        rows = [app.screen._ranking.row(place) for place in app.screen.query_one(CandidateRows)._places]
        assert rows
        assert all(row["kind"] == "grand" and row["offer"] >= 5000 and row["loss_risk_pct"] <= 10 for row in rows)
        await pilot.press("ctrl+f")
        await settle(pilot)
        app.screen.query_one("#above", Input).value = "9000000"
        await pilot.press("f2")
        await settle(pilot)
        assert "0 of 7 candidates" in screen_text(app)


async def test_other_terms_give_other_offers_and_are_kept(app_on, shelf, monkeypatch, tables):
    valued = []
    real = trade_in.value
    monkeypatch.setattr(trade_in, "value", lambda case, terms: valued.append(terms) or real(case, terms))
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        await open_candidates(app, pilot)
        before = len(valued)
        assert before == 7
        await pilot.press("f6")
        await settle(pilot)
        app.screen.query_one("#sure", Input).value = "95"
        app.screen.query_one("#margin", Input).value = "40"
        app.screen.query_one("#sold", Input).value = "private"
        await pilot.press("f2")
        await settle(pilot)
        assert len(valued) == 14
        place = app.screen._paths.index(shelf / "recent_grand.toml")
        row = app.screen._ranking.row(place)
        alone = trade_in.one(
            shelf / "recent_grand.toml", Terms(tables, "private_sale", 0.95, draws=128, margin_pct=40.0)
        )
        assert (row["offer"], row["least_margin_pct"], row["probability_pct"]) == (round(alone.trade.offer), 40, 95)
        assert "A margin of 40% kept in 95% of the draws · resale: private sale" in screen_text(app)
        await pilot.press("f5")
        await settle(pilot)
        assert len(valued) == 15  # the one valued here; the screen's were kept


async def test_two_chosen_are_compared_in_two_sentences(app_on, mixed):
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        shelf, screen = mixed, await open_candidates(app, pilot)
        rows = screen.query_one(CandidateRows)
        rows.go(str(screen._paths.index(shelf / "removal_after.toml")))
        await pilot.press("space")
        rows.go(str(screen._paths.index(shelf / "removal_before.toml")))
        await pilot.pause()
        assert said(app).startswith("Against the one chosen: Ostravell OV 178 (")
        await pilot.press("space")
        text = said(app)
        assert text.count(". ") >= 1
        assert text.index("removal_before") < text.index("removal_after")
        assert "more than Ostravell OV 178" in text
        rows.go(str(screen._paths.index(shelf / "trade_in_grand.toml")))
        await pilot.press("space")
        assert "cannot be compared" in said(app)
        await pilot.press("space")
        assert len(screen._chosen) == 1


async def test_a_case_is_opened_and_valued_again_when_it_was_changed(app_on, shelf, tables):
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await open_candidates(app, pilot)
        place = screen._paths.index(shelf / "recent_grand.toml")
        screen.query_one(CandidateRows).go(str(place))
        offer = screen._ranking.row(place)["offer"]
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, WalkScreen)
        path = shelf / "recent_grand.toml"
        path.write_text(re.sub(r'(replacement_cost_\w+ = )".*"', r'\1"20000"', path.read_text()))
        await pilot.press("escape")
        await settle(pilot)
        assert app.screen is screen
        assert screen._ranking.row(place)["offer"] == round(_alone(path, tables).trade.offer) < offer
        screen.query_one(CandidateRows).go(str(screen._paths.index(shelf / "broken.toml")))
        await pilot.press("enter")
        await settle(pilot)
        assert app.screen is screen


@pytest.mark.parametrize(
    ("width", "orders"),
    [
        (40, ["file", "offer", "resale", "risk"]),
        (58, ["file", "offer", "resale", "margin", "risk", "months"]),
        (77, ["file", "offer", "resale", "work", "margin", "risk", "months"]),
        (
            117,
            [
                *("file", "offer", "resale", "work", "carriage", "preparation", "guarantee", "holding", "margin"),
                *("risk", "months", ""),
            ],
        ),
    ],
)
def test_a_narrow_screen_keeps_offer_resale_and_risk(width, orders):
    columns = shown_columns(width)
    assert [column.order for column in columns] == orders
    assert 2 + sum(column.width for column in columns) <= width


async def test_a_case_opened_from_here_is_held_and_its_edits_are_kept_at_once(app_on, shelf, tables):
    app = app_on()
    path = shelf / "practice_upright.toml"
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await open_candidates(app, pilot)
        screen.query_one(CandidateRows).go(str(screen._paths.index(path)))
        await pilot.press("enter")
        await settle(pilot)
        assert open_sheet(path, tables).held is not None
        app.screen.worksheet.overrule("finish", 4.0, "scratched all over")
        assert any(record.act == "edit" for record in read_trail(path).records)
        app.screen.worksheet.save()
        await pilot.press("escape")
        await settle(pilot)
        assert app.screen is screen
        again = open_sheet(path, tables)
        assert again.held is None
        again.worksheet.close()


async def test_a_long_list_is_written_behind_the_screen_and_not_on_terms_that_changed(app_on, shelf, monkeypatch):
    """What is written comes from a thread of its own, in pieces, and never on two sets of terms."""
    monkeypatch.setattr(candidates, "_AT_ONCE", 2)
    threads, halfway, go_on = set(), threading.Event(), threading.Event()
    real = candidates.said.write_candidates

    def slowly(path, rows):
        def watched():
            for row in rows:
                threads.add(threading.get_ident())
                halfway.set()
                go_on.wait(10)
                yield row

        real(path, watched())

    monkeypatch.setattr(candidates.said, "write_candidates", slowly)
    app = app_on()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        screen = await open_candidates(app, pilot)
        screen._write(shelf / "all.csv")
        while not halfway.is_set():
            await pilot.pause(0.01)
        screen._terms = Terms(screen._terms.tables, draws=128, probability=0.9)
        go_on.set()
        await shown(pilot, "the terms were changed")
        assert not (shelf / "all.csv").exists()
        screen._write(shelf / "all.csv")
        await settle(pilot)
        assert len((shelf / "all.csv").read_text().splitlines()) == 1 + screen._ranking.count()
        assert threading.get_ident() not in threads


@pytest.mark.parametrize("ending", ["csv", "jsonl"])
async def test_what_is_shown_is_written_as_the_command_writes_it(app_on, shelf, tmp_path, ending):
    app = app_on()
    target = tmp_path / f"rank.{ending}"
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        screen = await open_candidates(app, pilot)
        await pilot.press("f8")
        await settle(pilot)
        app.screen.query_one(Input).value = "rank.txt"
        await pilot.press("enter")
        await settle(pilot)
        assert "a name that ends in .csv or .jsonl" in screen_text(app)
        app.screen.query_one(Input).value = str(target)
        await pilot.press("enter")
        await settle(pilot)
        expected = list(screen._ranking.rows(SORTS["offer"]))
        if ending == "csv":
            with target.open(encoding="utf-8", newline="") as stream:
                read = list(csv.DictReader(stream))
            assert [row["file"] for row in read] == [row["file"] for row in expected]
        else:
            assert [json.loads(line) for line in target.read_text(encoding="utf-8").splitlines()] == expected
        target.write_text("mine")
        await pilot.press("f8")
        await settle(pilot)
        app.screen.query_one(Input).value = str(target)
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, AskScreen)
        await pilot.press("escape")
        await settle(pilot)
        assert target.read_text() == "mine"
        await pilot.press("f8")
        await settle(pilot)
        app.screen.query_one(Input).value = str(tmp_path / "none" / f"x.{ending}")
        await pilot.press("enter")
        await settle(pilot)
        assert "Not written" in screen_text(app)


@pytest.fixture
def slow(monkeypatch):
    """Candidates that come one by one, the third only when it is let through, and waits; whether they were let go."""
    gate, waits, closed = threading.Event(), threading.Event(), []

    def slowly(paths, terms, cache=None, **_):
        try:
            for at, item in enumerate(ranked(paths, terms, cache)):
                if at == 2:
                    waits.set()
                    gate.wait(120)
                yield item
        finally:
            closed.append(True)

    monkeypatch.setattr(valuing, "ranked", slowly)
    monkeypatch.setattr(valuing, "_PAUSE", 0.0)
    yield gate, waits, closed
    gate.set()


@pytest.mark.parametrize("key", ["f7", "escape", "f10"])
async def test_keys_are_answered_while_it_fills_and_it_stops_when_told(app_on, shelf, slow, key):
    gate, waits, closed = slow
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f6")
        await until(pilot, lambda: isinstance(app.screen, CandidatesScreen) and app.screen._done > 0)
        screen = app.screen
        assert screen.query_one("#valuing").display
        assert screen.query_one(ProgressBar).total == 9
        # The second is shown with the first, at once, or with the third, however long the first took to be drawn.
        await until(pilot, waits.is_set)
        await pilot.pause()
        done = screen._done
        assert done in {1, 2}
        assert screen.query_one(ProgressBar).progress == done
        await pilot.press("right")
        assert screen._view.order == "resale"
        await pilot.press(key)
        gate.set()
        await until(pilot, lambda: closed)
        if key == "f7":
            await settle(pilot)
            assert f"Stopped at {done} of 9: F5 goes on" in screen_text(app)
            assert screen._done == done
            await pilot.press("f5")
            await settle(pilot)
            assert screen._done == 9
        elif key == "escape":
            await settle(pilot)
            assert isinstance(app.screen, CasesScreen)


async def test_answers_on_terms_left_behind_are_passed_over(app_on, shelf):
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await open_candidates(app, pilot)
        place = screen._paths.index(shelf / "recent_grand.toml")
        before = screen._ranking.row(place)
        screen.post_message(screen.Came(screen._run - 1, [(place, "late")]))
        await settle(pilot)
        assert screen._ranking.row(place) == before


async def test_hostile_names_are_letters(app_on, shelf):
    path = shelf / "recent_grand.toml"
    name = "[/bold] [red]x $primary \\u001b[2J 漢字 " + "y" * 200
    old = next(line for line in path.read_text().splitlines() if line.startswith("maker"))
    path.write_text(path.read_text().replace(old, f'maker = "{name}"'))
    (shelf / "[b]bad.toml").write_text(
        'schema = 1\n[identity]\nkind = "[/] harp"\n[assignment]\ninspected = 2026-11-20\n'
    )
    for size in ((80, 24), (120, 40)):
        async with app_on().run_test(size=size) as pilot:
            app = pilot.app
            await open_candidates(app, pilot)
            text = screen_text(app)
            assert "[/bold] [red]" in text
            assert "[/bold] [red]x $primary" in said(app)
            assert "\x1b" not in text
            await pilot.press("end")
            await settle(pilot)
            assert "[/] harp" in screen_text(app)


async def test_an_empty_or_missing_folder_is_said(tmp_path, tables):
    for folder, word in ((tmp_path, "No case file in this folder"), (tmp_path / "nowhere", "cannot be read")):
        app = AppraiseApp(folder, tables)
        async with app.run_test(size=(80, 24)) as pilot:
            await open_candidates(app, pilot)
            assert word in screen_text(app)
            await pilot.press("space", "enter", "right", "backspace", "f7")
            await settle(pilot)


async def test_results_that_cannot_be_kept_are_said_once(app_on, shelf, monkeypatch, tmp_path):
    (tmp_path / "in the way").write_text("")
    monkeypatch.setattr(valuing, "_cache", lambda: ResultCache(tmp_path / "in the way"))
    app = app_on()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await open_candidates(app, pilot)
        assert "could not be kept" in screen_text(app)
        app.unsay()
        await settle(pilot)
        assert "7 candidates" in screen_text(app)


async def test_every_key_of_the_screen_does_something(app_on, shelf):
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        await open_candidates(app, pilot)
        for key in ("f3", "f4", "ctrl+f", "f6", "f8", "f1"):
            await pilot.press(key)
            await until(pilot, lambda: not isinstance(app.screen, CandidatesScreen))
            await settle(pilot)
            assert not isinstance(app.screen, CandidatesScreen), key
            await pilot.press("escape")
            await settle(pilot)
            assert isinstance(app.screen, CandidatesScreen)


async def test_the_terms_take_the_words_that_people_read(app_on, shelf, tables):
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        await open_candidates(app, pilot)
        await pilot.press("f6")
        await settle(pilot)
        assert isinstance(app.screen, FormScreen)
        field = app.screen.query_one("#sold", Input)
        assert field.value == tables.bases["retail"].label
        note = str(app.screen.query_one("#note").content)
        assert "private_sale" not in note
        assert tables.bases["private_sale"].label in note
        field.value = "Auction, specialist sale"
        await pilot.press("f2")
        await settle(pilot)
        assert app.screen._terms.resale == "auction_specialist"


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("Private sale", "private_sale"),
        ("private_sale", "private_sale"),
        ("priv", "private_sale"),
        ("retail market", "retail"),
        ("RETAIL", "retail"),
        ("auction", "auction"),
        ("Auction, general  sale", "auction"),
        ("auction_sp", "auction_specialist"),
        ("orderly", "orderly_sale"),
        ("Orderly liquidation", "orderly_sale"),
    ],
)
def test_a_kind_of_resale_is_known_by_label_and_by_key(tables, typed, key):
    assert resale(tables)(typed) == key


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("", "expected one of Retail market value; Private sale; "),
        ("x", "expected one of Retail market value; Private sale; "),
        ("trade-in", "expected one of Retail market value; Private sale; "),
        ("auct", "begins several, expected one of Auction, general sale; Auction, specialist sale$"),
    ],
)
def test_what_names_no_one_kind_of_resale_is_refused_with_the_labels(tables, typed, words):
    with pytest.raises(InputError, match=words):
        resale(tables)(typed)


async def test_who_is_hidden_by_the_filter_speaks_no_more(app_on, shelf):
    app = app_on()
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await open_candidates(app, pilot)
        hidden = screen._ranking.row(int(app.screen.query_one(CandidateRows).key))
        await pilot.press("space", "down")
        await settle(pilot)
        assert "Against the one chosen" in said(app)
        screen._view.wanted = Filter(kind="upright" if hidden["kind"] == "grand" else "grand")
        screen.show()
        await settle(pilot)
        assert "Against the one chosen" not in said(app)
        # The next that is chosen is the first of two.
        await pilot.press("space")
        await settle(pilot)
        assert len(screen._chosen) == 1
        screen._view.wanted = Filter()
        screen.show()
        assert len(screen._chosen) == 1


async def test_currencies_stand_in_groups_without_rates(app_on, mixed):
    app = app_on()
    async with app.run_test(size=(120, 40)) as pilot:
        await open_candidates(app, pilot)
        text = " ".join(screen_text(app).split())
        assert "EUR, GBP each its own group: no rate for EUR, GBP" in text
        assert text.index("In EUR: 6") < text.index("In GBP: 1") < text.index("Thornquill")


async def test_one_order_by_rates_twins_and_the_reasons_of_an_offer(app_on, mixed):
    rates = CurrencySettings("EUR", "2026-11-27", "an example, invented", "GBP 1.16")
    app = app_on()
    app.settings = OwnSettings(currencies=rates)
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await open_candidates(app, pilot)
        assert "EUR, GBP in one order by EUR, rates of 2026-11-27" in " ".join(screen_text(app).split())
        assert "In GBP" not in screen_text(app)
        assert screen_text(app).count(" twin") == 2
        rows = screen.query_one(CandidateRows)
        rows.go(str([path.name for path in screen._paths].index("trade_in_grand.toml")))
        await settle(pilot)
        assert "GBP 1 = EUR 1.16 of 27 November 2026, an example, invented" in said(app)
        line = re.search(r"GBP [\d,]+ = resale [^.]+ margin [\d,]+", said(app))[0]
        await pilot.press("f4")
        await until(pilot, lambda: isinstance(app.screen, OfferScreen))
        await settle(pilot)
        told = " ".join(str(app.screen.query_one("#node").content).split())
        assert line in told  # as `appraise why CASE offer` has it, from the same function
        assert "GBP 1 = EUR 1.16" in told
        await pilot.press("escape")
        await settle(pilot)
        assert isinstance(app.screen, CandidatesScreen)


async def test_terms_order_and_filter_stay_when_the_screen_is_left(app_on, shelf):
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        await open_candidates(app, pilot)
        await pilot.press("right", "f6")
        await settle(pilot)
        app.screen.query_one("#margin", Input).value = "45"
        await pilot.press("f2")
        await settle(pilot)
        await pilot.press("escape")
        await settle(pilot)
        screen = await open_candidates(app, pilot)
        assert (screen._view.order, screen._terms.margin_pct) == ("resale", 45.0)
        assert "A margin of 45%" in " ".join(screen_text(app).split())
