"""An arrow whose bytes come in two pieces is an arrow, however long the reader stood still between them."""

from __future__ import annotations

import os
import time

import pytest
from textual import constants

from appraise.whole_keys import WholeKeys, read_whole_keys


@pytest.fixture
def typed():
    """A terminal that is read from, and one's end of it."""
    read, write = os.pipe()
    keys = WholeKeys()
    keys.terminal = read
    yield keys, read, write
    os.close(read)
    os.close(write)


def names(events):
    return [event.key for event in events]


def test_the_rest_of_a_key_that_is_waiting_is_waited_for(typed):
    keys, read, write = typed
    assert names(keys.feed("n\x1b")) == ["n"]
    os.write(write, b"[C2")
    time.sleep(constants.ESCAPE_DELAY * 1.5)
    assert names(keys.tick()) == []
    assert names(keys.feed(os.read(read, 9).decode())) == ["right", "2"]


def test_escape_alone_is_escape_when_nothing_follows(typed):
    keys, *_ = typed
    assert names(keys.feed("\x1b")) == []
    assert names(keys.tick()) == []
    time.sleep(constants.ESCAPE_DELAY * 1.5)
    assert names(keys.tick()) == ["escape"]


def test_a_terminal_that_is_gone_keeps_nobody_waiting(typed):
    keys, *_ = typed
    keys.terminal = 999_999
    list(keys.feed("\x1b"))
    time.sleep(constants.ESCAPE_DELAY * 1.5)
    assert names(keys.tick()) == ["escape"]


def test_the_worksheet_reads_so():
    from textual.drivers import linux_driver

    read_whole_keys()
    assert linux_driver.XTermParser is WholeKeys
