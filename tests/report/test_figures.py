"""Figures by address: ranges in one cell, and the nearest addresses to a slip of the pen."""

from __future__ import annotations

import pytest

from appraise.model.reason import Reason
from appraise.report.figures import NOTHING, Figures, below, edges, spread
from tests.report.conftest import valued


def node(address, shown, *parts):
    return Reason(address, address, 1.0, "", shown, "", (), parts)


@pytest.mark.parametrize(
    ("mid", "low", "high", "text"),
    [
        ("12 years", "4.5 years", "22 years", "12 years (4.5–22)"),
        ("1.4 years", "1 year", "3 years", "1.4 years (1–3)"),
        ("EUR 900", "EUR 700", "EUR 1,200", "EUR 900 (700–1,200)"),
        ("EUR −90", "EUR −200", "EUR 10", "EUR −90 (−200 to 10)"),
        ("46%", "31%", "60%", "46% (31–60%)"),
        ("3.1", "2.5", "3.8", "3.1 (2.5–3.8)"),
        ("3.1", "3.1", "3.1", "3.1"),
    ],
)
def test_a_range_in_one_cell(mid, low, high, text):
    whole = node("a", mid, node("a.low", low), node("a.high", high), node("b", "1"))
    assert spread(whole) == text
    assert Figures(whole).spread("a") == text
    assert [part.figure for part in edges(whole)] == ["a.low", "a.high"]
    assert [part.figure for part in below(whole)] == ["b"]


def test_what_is_not_there_is_a_dash():
    figures = Figures(node("a", ""))
    assert figures.shown("a") == NOTHING
    assert figures.shown("b") == NOTHING
    assert figures.spread("b") == NOTHING
    assert figures.get("b") is None


@pytest.mark.parametrize(
    ("written", "first"),
    [
        ("hamers.depreciation", "hammers.depreciation"),
        ("Hammers.Grade", "hammers.grade"),
        ("station.sound board.grade", "station.soundboard.grade"),
        ("marketfactor", "market_factor"),
    ],
)
def test_a_slip_of_the_pen_finds_its_figure(written, first):
    near = valued("grand").figures.nearest(written)
    assert near[0] == first
    assert len(near) <= 3
    assert not any(address.endswith((".low", ".high")) for address in near)


def test_nonsense_finds_nothing():
    assert valued("grand").figures.nearest("qqqqqqqq") == []


def test_every_address_is_once_in_the_tree(item):
    addresses = [reason.figure for reason in item.tree.walk()]
    assert len(addresses) == len(set(addresses))
    assert all(item.figures.get(address) is not None for address in addresses)
