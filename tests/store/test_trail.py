"""The trail: lines chained by hashes, a torn one dropped, a changed one named."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from appraise.store.trail import START, line_of, parse_trail, problems_of


def body(number, **more):
    """Return what an edit puts down beside its changes."""
    who = {"by": "", "user": "somebody@elsewhere", "session": "1"}
    return {"act": "edit", "at": f"2026-11-20T14:05:{number:02}Z", **who, "k": number, **more}


def trail(count=6):
    """Return the bytes of a trail, and its lines."""
    head, lines = START, []
    for number in range(count):
        line, head = line_of(body(number, what="ä \u2028 " + "x" * number), head)
        lines.append(line)
    return b"".join(lines), lines


def test_the_chain_can_be_followed_without_us():
    """Each hash is SHA-256 (FIPS 180-4) of the line up to it, as any other program computes it."""
    previous = START
    for line in trail()[0].splitlines():
        body, _, stated = line.rpartition(b',"hash":"')
        assert hashlib.sha256(body + b"}").hexdigest() == stated.removesuffix(b'"}').decode()
        assert json.loads(line)["prev"] == previous
        previous = json.loads(line)["hash"]


@given(at=st.integers(0, 10_000), value=st.integers(0, 255))
def test_any_byte_changed_shows_at_its_line(at, value):
    data, lines = trail()
    at %= len(data) - len(lines[-1])
    changed = data[:at] + bytes([value]) + data[at + 1 :]
    found = parse_trail(changed)
    line = data[:at].count(b"\n") + 1
    if changed == data:
        assert not found.breaks
    else:
        assert found.breaks
        assert found.breaks[0].line in (line, line + 1)


def test_what_was_taken_out_put_in_or_exchanged_shows():
    _, lines = trail()
    for spoilt, line in (
        (lines[:2] + lines[3:], 3),
        ([*lines[:2], lines[1], *lines[2:]], 3),
        ([lines[0], lines[2], lines[1], *lines[3:]], 2),
        (lines[1:], 1),
        ([*lines[:3], line_of(body(9), json.loads(lines[2])["hash"])[0], *lines[3:]], 5),
    ):
        found = parse_trail(b"".join(spoilt))
        assert found.breaks[0].line == line
        problem = str(problems_of(Path("case.trail.jsonl"), found)[0])
        assert problem.startswith(f"case.trail.jsonl:{line}: ")
        assert "expected" in problem


@given(cut=st.integers(1, 400))
def test_a_torn_line_is_dropped_and_no_more(cut):
    data, lines = trail()
    cut = min(cut, len(lines[-1]))
    found = parse_trail(data[:-cut])
    assert not found.breaks
    assert len(found.records) == 5
    assert data[: found.whole] == b"".join(lines[:-1])
    assert found.torn == data[found.whole : -cut]


def test_a_last_line_of_zeros_is_torn_and_one_in_the_middle_is_not():
    data, lines = trail()
    zeros = b"\0" * len(lines[-1])
    found = parse_trail(data[: -len(zeros)] + zeros)
    assert (len(found.records), found.breaks) == (5, ())
    spoilt = data.replace(lines[2], b"\0" * (len(lines[2]) - 1) + b"\n")
    assert parse_trail(spoilt).breaks[0].line == 3


@given(st.binary(max_size=300))
def test_anything_can_be_read(data):
    found = parse_trail(data + b"\n")
    assert len(problems_of(Path("x"), found)) <= data.count(b"\n") * 2 + 3


def test_lines_that_are_no_records_of_ours_do_not_stop_the_reading():
    deep = b"[" * 100_000
    for raw in (b"null", b"[]", b"{}", deep, b'{"hash":1,"prev":[],"changes":{"a":1}}', b'{"a":1e999,"hash":""}'):
        data, _ = trail(2)
        found = parse_trail(data + raw + b"\n" + data)
        assert found.breaks
        assert found.breaks[0].line == 3
