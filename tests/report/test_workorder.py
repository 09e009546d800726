"""The work order: every job of the plan once, in the order of a workshop, with what it concerns."""

from __future__ import annotations

from dataclasses import replace

import pytest

from appraise.model.case import Remark
from appraise.model.result import WorkList
from appraise.report.document import FillInLines, Table, Ticks
from appraise.report.value_texts import job_text
from appraise.report.workorder import in_turn, work_order
from appraise.tables.load import load_tables
from tests.report.conftest import valued


def planned(name, *jobs):
    """Return a case with a plan of our own: only what is asked for is in it."""
    item = valued(name)
    known = {job.remedy: job for job in item.valuation.work}
    rows = load_tables().remedies
    like = item.valuation.work[0]
    steps = [replace(like, remedy=key, label=rows[key].label, step=True) for key in jobs if key not in known]
    work = tuple(
        replace(job, chosen=job.remedy in jobs, group=WorkList.NEEDED if job.remedy in jobs else WorkList.PLAYER)
        for job in (*known.values(), *steps)
    )
    return replace(item, valuation=replace(item.valuation, work=work))


def order(item) -> list[str]:
    return [job.remedy for job in in_turn(item)]


def test_a_plate_comes_out_first_and_strings_go_on_after():
    """Common practice, no source: tension down and plate out, block and board, strings, action, tuning last."""
    jobs = ("settle_tuning", "restring_grand", "pin_block_new_grand", "plate_out_grand", "soundboard_new_grand")
    assert order(planned("grand", *jobs)) == [
        "plate_out_grand",
        "soundboard_new_grand",
        "pin_block_new_grand",
        "restring_grand",
        "settle_tuning",
    ]


def test_regulation_follows_what_disturbs_it():
    jobs = ("regulate_grand", "hammers_new_grand", "wippens_new_grand", "keys_rebush")
    assert order(planned("grand", *jobs)) == ["keys_rebush", "wippens_new_grand", "hammers_new_grand", "regulate_grand"]


def test_jobs_that_need_each_other_have_different_turns():
    rows = load_tables().remedies
    for row in rows.values():
        for key in row.requires:
            assert rows[key].stage != row.stage, (row.key, key)


def section(document, key):
    return next(section for section in document.sections if section.key == key)


def test_every_job_of_the_plan_once(item):
    document = work_order(item)
    chosen = [job.remedy for job in item.valuation.work if job.group is not WorkList.PLAYER]
    keys = [part.key for part in document.sections if part.key.startswith("job_")]
    assert sorted(keys) == sorted(f"job_{key}" for key in chosen)
    if chosen:
        (table,) = [block for block in section(document, "jobs").blocks if isinstance(block, Table)]
        assert [row[1] for row in table.rows] == [job_text(job, item.manner) for job in in_turn(item)]


def test_what_goes_with_a_job_is_named_by_its_number():
    document = work_order(planned("grand", "restring_grand", "settle_tuning", "keys_rebush"))
    (table,) = [block for block in section(document, "jobs").blocks if isinstance(block, Table)]
    cells = {row[1]: (row[0], row[-1]) for row in table.rows}
    number, goes_with = cells["Restring with new tuning pins"]
    tuning, _ = cells["Pitch raise and tunings until new strings hold"]
    assert goes_with == f"No. {tuning}"
    assert int(number) < int(tuning)


@pytest.mark.parametrize("name", ["grand", "young", "hostile"])
def test_every_job_has_boxes_and_lines(name):
    document = work_order(planned("grand", "keys_rebush") if name == "grand" else valued(name))
    jobs = [part for part in document.sections if part.key.startswith("job_")]
    assert jobs
    for part in jobs:
        assert any(isinstance(block, Ticks) for block in part.blocks)
        (blanks,) = [block for block in part.blocks if isinstance(block, FillInLines)]
        assert blanks.labels == ("Hours spent", "Parts used", "Done by, on")


def test_every_remark_is_told_with_a_job_or_apart():
    item = planned("grand", "keys_rebush")
    remarks = (
        Remark("key_bushings", "rattles at the front", notes=(40,)),
        Remark("keys", "something at the station"),
        Remark("lid_and_hardware", "a scratch of old"),
    )
    document = work_order(replace(item, case=replace(item.case, remarks=remarks)))
    boxes = [
        text
        for block in section(document, "job_keys_rebush").blocks
        if isinstance(block, Ticks)
        for text in block.items
    ]
    assert "rattles at the front (note C4)" in boxes
    (left,) = section(document, "left").blocks
    assert "a scratch of old" in left.items
    told = [*boxes, *left.items]
    assert all(any(remark.text in text for text in told) for remark in remarks)


def test_without_a_rate_there_is_no_plan_and_it_says_so():
    document = work_order(valued("bare"))
    keys = [part.key for part in document.sections]
    assert "beside" not in keys
    assert "no labour rate" in section(document, "jobs").blocks[0].text
