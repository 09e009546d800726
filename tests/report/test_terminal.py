"""What the terminal shows: a summary of one screen or two, and the tree of one figure."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from appraise.model.locale_format import PLAIN
from appraise.model.result import WorkList
from appraise.report.appraisal import appraisal
from appraise.report.cautions import PLATE, applicable
from appraise.report.terminal import value_page, why_tree
from appraise.report.value_texts import (
    LISTS,
    job_text,
    list_title,
    market_sentences,
    no_work_text,
    option_text,
    work_lists,
)
from appraise.tables.load import load_tables
from tests.helpers.golden import whole_or_digest
from tests.helpers.report_cases import grand
from tests.helpers.terminal_text import printed
from tests.report.conftest import GOLDEN, valued


def test_the_summary_of_each_case(item, text_snapshot):
    assert whole_or_digest(printed(*value_page(item)), whole=item.file in GOLDEN) == text_snapshot


def test_it_fits_the_narrow_terminal(item):
    assert max(len(line) for line in printed(*value_page(item)).splitlines()) <= 80


def test_the_range_best_estimate_and_next_checks_are_shown():
    item = valued("grand")
    text = printed(*value_page(item), width=120)
    for figure in ("value.low", "value", "value.high"):
        assert item.figures.shown(figure) in text
    for check in item.valuation.next_checks[:3]:
        assert check.label in text
    for station in item.valuation.stations:
        assert station.label in text


def test_the_lists_of_work_that_hold_any_stand_in_their_order_with_what_they_cost(item):
    text = printed(*value_page(item), width=200)
    lists = work_lists(item.valuation)
    held = [group for group, jobs in lists.items() if jobs]
    places = [text.index(list_title(item.valuation, group)) for group in held]
    assert places == sorted(places)
    assert all(heading not in text for group, heading in LISTS.items() if group not in held)
    for job in (job for jobs in lists.values() for job in jobs):
        line = next(line for line in text.splitlines() if line.startswith(job_text(job, PLAIN)))
        assert item.figures.shown(f"work.{job.remedy}.cost") in line
        assert job.group is not WorkList.NEEDED or job.if_left in line
    if not held:
        assert no_work_text(item.case, item.valuation, PLAIN) in text


def test_cautions_are_printed_the_plates_first(item):
    text = " ".join(printed(*value_page(item), width=4000).split())
    rows = applicable(item.case, item.tables, item.valuation)
    places = [text.index(" ".join(row.text.split())) for row in rows]
    assert places == sorted(places)
    first = [PLATE in row.components for row in rows]
    assert first == sorted(first, reverse=True)


def test_what_the_value_has_to_be_read_with_is_said():
    item = valued("priced")
    v = item.valuation
    text = printed(*value_page(item), width=200)
    for told in market_sentences(item.case, item.tables, v, PLAIN):
        assert told in text
    private = replace(v, basis="private_sale", market_factor_from="table", taking=523.4, option=2.0 * v.step)
    told = market_sentences(item.case, item.tables, private, PLAIN)
    assert "Market level from the tables (our assumption); two comparable sales would weigh more." in told
    assert f"A buyer pays about {v.currency} 523 for carriage and the first tunings, already deducted." in told
    assert told[-1].startswith(f"The best estimate includes about {v.currency} ")
    assert any(sentence.startswith("Exposure time: ") for sentence in told)
    silent = replace(private, taking=0.0, option=0.1 * v.step, market_factor_from="basis")
    assert not [one for one in market_sentences(item.case, item.tables, silent, PLAIN) if one.startswith("A buyer")]
    assert option_text(silent, PLAIN) == ""


def test_without_a_price_the_share_stands_in_place_of_the_value():
    text = printed(*value_page(valued("bare")))
    assert "No value in money" in text
    assert "Value: " not in text


def test_every_figure_stands_in_a_line_with_what_it_is(item):
    lines = printed(*value_page(item), width=4000).splitlines()
    assert not [line for line in lines if re.match(r"[\s\d.,%–−]*\d[\s\d.,%–−]*$", line)]
    assert not [line for line in lines if re.search(r"\S {2,}\S|[─━│┃]", line)]
    for station in item.valuation.stations:
        (line,) = [line for line in lines if line.startswith(f"{station.label}: grade ")]
        for part in ("grade", "inspected", "depreciation"):
            assert f"{part} {item.figures.shown(f'station.{station.station}.{part}')}" in line


def test_hostile_text_is_literal():
    item = valued("hostile")
    for colours in (False, True):
        text = printed(*value_page(item), why_tree(item.tree), width=400, colours=colours)
        plain = re.sub(r"\x1b\[[0-9;]*m", "", text)
        assert "[/x] | `b` *c* <i> # \\ [bold]d[/bold] &amp; \ufffd[2J \ufffdback 12" in plain
        assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e]", plain)


def test_a_figure_is_shown_down_to_its_table_rows(text_snapshot):
    node = valued("grand").figures.get("hammers.depreciation")
    assert node is not None
    assert printed(why_tree(node), width=110) == text_snapshot


def test_a_tree_can_be_cut():
    node = valued("grand").figures.get("station.action.depreciation")
    assert node is not None
    shallow, middle, whole = (printed(why_tree(node, depth), width=200) for depth in (0, 1, None))
    assert "figures below: station.action.grade, station.action.inspected" in shallow
    assert len(shallow) < len(middle) < len(whole)


@pytest.mark.usefixtures("value_anew")
def test_the_same_seed_gives_the_same_text():
    texts = {printed(*value_page(appraisal(grand(), load_tables(), draws=100, seed=7))) for _ in range(2)}
    assert len(texts) == 1
