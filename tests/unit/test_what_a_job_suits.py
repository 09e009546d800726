"""Whether a job suits a part is decided by what was found: up to the limit of its row, not half a grade past it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from appraise.engine.comparison import prepared
from appraise.engine.sampler import Sampler
from appraise.engine.scenarios import draw_world
from appraise.model.case import Grade
from appraise.tables.load import load_tables
from tests.simulations.pianos import piano

TABLES = load_tables()


@pytest.mark.parametrize(("past", "cured"), [(-0.5, True), (0.0, True), (0.1, False), (0.5, False)])
def test_a_repair_cures_up_to_the_grade_of_its_row_in_every_draw_and_no_further(past, cured):
    job = TABLES.remedies["pins_glue"]
    grade = Grade(min(5.0, job.up_to + past), component="pin_block")
    case = replace(piano("grand", 30), grades=(grade,))
    setup = prepared(case, TABLES, Sampler(3, 512))
    worn = draw_world(setup, Sampler(3, 512)).state.worn["pin_block"]
    gate, after = np.asarray(worn.gate), np.asarray(worn.gate_after["pins_glue"])
    wanting = (
        gate < np.interp(job.improves["pin_block"], *zip(*TABLES.components["pin_block"].gate, strict=True)) - 1e-9
    )
    assert wanting.any()
    opened = after[wanting] > gate[wanting] + 1e-9
    assert opened.all() if cured else not opened.any()
