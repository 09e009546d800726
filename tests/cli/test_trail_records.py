"""A wrongly typed value anywhere in a trail, the chain computed anew over it: `check` tells it, and work goes on.

What a record may hold is the program's own layout, so the values are tried at every place that is found by looking: in
each record of a trail that has each act once at least. What the case inside declares, `tests/store` tries.
"""

from __future__ import annotations

import json
import shutil
from copy import deepcopy
from dataclasses import replace

import pytest

from appraise.cli.parser import main
from appraise.services.file_state import digest
from appraise.services.history import saved_state, trail_lines
from appraise.services.opening import open_sheet
from appraise.store.plain_case import DecodeError
from appraise.store.read import read_case
from appraise.store.trail import START, line_of, parse_trail
from appraise.store.trail_file import read_trail
from appraise.store.trail_records import _NEEDED
from appraise.tables.load import load_tables
from tests.helpers.depth import whole
from tests.helpers.samples import copied_samples

TABLES = load_tables()
CASE, TRAIL, MODEL, SERIAL = "b.toml", "b.trail.jsonl", ("identity", "model"), ("identity", "serial")
WRONG = (None, True, 1.5, -1, "", [], {}, [[]], [{}], [7], {"a": []})
FREE = {"what", "by", "user", "reason", "of", "text", "from", "to", "file"}
"""Keys of which an empty text is no wrong type; a case that is no file yet has an empty SHA-256."""


def written_elsewhere(case, old, new):
    """Write the case file as another program would."""
    text = case.read_text(encoding="utf-8")
    assert f'"{old}"' in text
    case.write_text(text.replace(f'"{old}"', f'"{new}"', 1), encoding="utf-8")


def worked(folder):
    """Work on a case until its trail has each act; the work ends saved, under another name, with a report of it."""
    first, trail = folder / "a.toml", folder / "a.trail.jsonl"
    shutil.copyfile(copied_samples() / "removal_before.toml", first)
    for evidence in ("photos", "papers"):
        shutil.copytree(copied_samples() / evidence, folder / evidence)
    sheet = open_sheet(first, TABLES).worksheet
    sheet.put(MODEL, "A")
    sheet.put(SERIAL, "B")
    sheet.undo()
    sheet.redo()
    sheet.save()
    sheet.put(SERIAL, "C")
    written_elsewhere(first, "A", "Theirs")
    theirs, _ = read_case(first, TABLES)
    merged = replace(sheet.case, identity=replace(sheet.case.identity, model="Theirs"))
    sheet.merge(merged, sheet.saved, theirs, digest(first))
    sheet.save()
    sheet.put(SERIAL, "D")
    sheet.journal.note("aside", "", what="1 step set aside")
    sheet.close()
    written_elsewhere(first, "Theirs", "Outside")
    with trail.open("ab") as stream:
        stream.write(b'{"act":"ed')
    sheet = open_sheet(first, TABLES).worksheet
    sheet.put(SERIAL, "E")
    sheet.journal.note("replaced", "", what="as if")
    sheet.save()
    trail.write_bytes(b"".join(trail.read_bytes().splitlines(keepends=True)[:-1]))
    sheet.put(SERIAL, "F")
    sheet.save_as(folder / CASE)
    sheet.put(SERIAL, "G")
    sheet.close()
    written = ["report", folder / CASE, "--kind", "summary", "--draws", "100", "-o", folder / "b.md"]
    assert main([str(word) for word in written]) == 0


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("records")
    worked(folder)
    return folder


def bodies(folder):
    found = [json.loads(line) for line in (folder / TRAIL).read_bytes().splitlines()]
    return [{key: value for key, value in one.items() if key not in ("prev", "hash")} for one in found]


def chained(records):
    lines, head = [], START
    for one in records:
        raw, head = line_of(one, head)
        lines.append(raw)
    return b"".join(lines)


def places(node, above=()):
    """Yield the way to every value of a record; not into the case, nor what a change leads from and to."""
    for key, value in node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ():
        yield (*above, key)
        if key != "case" and not (len(above) > 1 and key in ("from", "to")):
            yield from places(value, (*above, key))


def spoilt(records):
    """Yield every wrong value at every kind of place once, as the records with it, its act, way and value."""
    seen = set()
    for at, record in enumerate(records):
        for way in places(record):
            kind = (record["act"], *(step if isinstance(step, str) else "" for step in way))
            if kind in seen:
                continue
            seen.add(kind)
            for wrong in WRONG:
                other = deepcopy(record)
                holder = other
                for step in way[:-1]:
                    holder = holder[step]
                right, holder[way[-1]] = holder[way[-1]], wrong
                if wrong == right and type(wrong) is type(right):
                    continue
                if way[-1] in FREE and wrong == "":
                    continue
                yield [*records[:at], other, *records[at + 1 :]], record["act"], way, wrong


def told(data):
    """Return whether a trail is told to be broken, or to lead nowhere."""
    trail = parse_trail(data)
    if trail.breaks:
        return True
    try:
        saved_state(trail.records)
    except DecodeError:
        return True
    return False


def test_each_act_is_tried(made):
    assert {one["act"] for one in bodies(made)} == set(_NEEDED)


def test_every_wrong_type_is_told(made):
    records = bodies(made)
    assert not told(chained(records))
    missed = [
        (act, way, wrong) for others, act, way, wrong in spoilt(records) if not told(chained(others)) and wrong != []
    ]
    # An empty list is a list: what it leaves out shows where the changes lead elsewhere.
    assert not missed, [str(one) for one in missed]


def test_every_key_left_out_is_told(made):
    records = bodies(made)
    for at, record in enumerate(records):
        for key in ("act", "at", "by", "user", "session", "k", *_NEEDED[record["act"]]):
            other = {name: value for name, value in record.items() if name != key}
            found = parse_trail(chained([*records[:at], other, *records[at + 1 :]])).breaks
            assert (found[0].line, found[0].key) == (at + 1, key)


def test_work_goes_on_behind_whatever_stands_there(made, tmp_path, capsys):
    """`k` as a list once ended every later edit and report in a TypeError."""
    every = list(spoilt(bodies(made)))
    for number, (others, act, way, wrong) in enumerate(whole(every, every[::40])):
        folder = shutil.copytree(made, tmp_path / str(number))
        (folder / TRAIL).write_bytes(chained(others))
        code = main(["check", str(folder / CASE)])
        assert code == 1 or wrong == [], (act, way, wrong)
        assert main(["check", str(folder / "b.md")]) in (0, 1)
        trail_lines(read_trail(folder / CASE).records)
        sheet = open_sheet(folder / CASE, TABLES).worksheet
        sheet.put(SERIAL, "Z")
        sheet.save()
        sheet.undo()
        sheet.close()
        assert read_case(folder / CASE, TABLES)[0].identity.serial == "Z"
        assert capsys.readouterr().err == ""
        shutil.rmtree(folder)


@pytest.mark.parametrize("raw", [b'{"act":"edit","what":"a","what":"b"}', b'{"act":"edit","k":NaN}'])
def test_what_two_readers_could_read_in_two_ways_is_no_record(raw):
    """JSON leaves open which of two values of one key counts, and has no NaN (RFC 8259, 4 and 6)."""
    found = parse_trail(raw[:-1] + b',"prev":"","hash":""}\n')
    assert found.breaks[0].found == "a line that is no record"
