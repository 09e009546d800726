"""Everything that a check can find has a job that answers it, or a sentence that says why none is made."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from appraise.engine.costs import job_costs, offered
from appraise.engine.grade import anchored
from appraise.engine.sampler import Sampler
from appraise.model.case import Assignment, Case, Costs, Identity, Kind, Reading
from appraise.tables.load import load_tables
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from appraise.tables.rows import Check
    from appraise.tables.rows_worth import Remedy

TABLES = load_tables()
SIMPLE_REPAIR = 3.0
"""Grade from which a finding needs a repair."""

WHOLE_SETS = {"hammers_reglue", "keys_free_single"}
"""Jobs by the piece that are done to any number: old heads and keys are kept, however many there are."""


def worst(check: Check) -> float:
    """Return the worst grade that a check alone can cause."""
    if check.kind is CheckKind.YES_NO:
        reached = max(check.grade_yes, check.grade_no)
    elif check.anchors:
        reached = max(anchored(value, check.anchors) for value, _ in check.anchors)
    else:
        reached = 5.0
    return min(reached, check.cap)


def answers(remedy: Remedy, check: Check, kind: Kind) -> bool:
    """Tell whether a job puts right what a check found: it renews or repairs the part, or names the check."""
    if kind not in remedy.kinds or check.component not in remedy.improves:
        return False
    return not remedy.causes or check.key in remedy.causes


FINDINGS = [
    pytest.param(check, kind, id=f"{check.key}-{kind}")
    for check in TABLES.checks.values()
    for kind in check.kinds
    if check.kind is not CheckKind.RECORD
]


@pytest.mark.parametrize(("check", "kind"), FINDINGS)
def test_every_finding_has_a_cure_or_a_reason_why_none_is_made(check, kind):
    if worst(check) < SIMPLE_REPAIR and check.kind is not CheckKind.YES_NO:
        return
    jobs = [row for row in TABLES.remedies.values() if answers(row, check, kind)]
    if check.no_cure:
        assert not any(check.key in row.causes for row in jobs), "a job answers what is said to have no cure"
        assert check.no_cure[0].isupper()
        assert check.no_cure.endswith(".")
        return
    # The worst that it finds is within reach of one of them, and that one leaves the part better.
    able = [row for row in jobs if row.up_to >= worst(check) and row.improves[check.component] < worst(check)]
    assert able, [row.key for row in jobs]


@pytest.mark.parametrize("component", TABLES.components.values(), ids=lambda row: row.key)
def test_every_part_graded_as_a_whole_can_be_put_right(component):
    """A part whose grade no check explains is repaired by its usual jobs, and renewed past those."""
    for kind in component.kinds:
        usual = [
            row
            for row in TABLES.remedies.values()
            if kind in row.kinds
            and component.key in row.improves
            and not row.per
            and not (row.causes and row.up_to >= 5)
        ]
        assert any(not row.causes and row.up_to >= 5 for row in usual), kind


def test_a_finding_without_a_cure_is_the_exception():
    assert {check.key for check in TABLES.checks.values() if check.no_cure} == {"plate_repair"}


@pytest.mark.parametrize("remedy", TABLES.remedies.values(), ids=lambda row: row.key)
def test_causes_are_checks_of_what_the_job_improves(remedy):
    for key in remedy.causes:
        check = TABLES.checks[key]
        assert check.kind is not CheckKind.RECORD
        assert set(check.kinds) & set(remedy.kinds)
        # A job that improves no part, as cleaning or a humidity system, answers findings of any.
        assert check.component in remedy.improves or not remedy.improves
    # Every part that a job with causes improves is one where it answers something.
    if remedy.causes:
        found = {TABLES.checks[key].component for key in remedy.causes}
        assert set(remedy.improves) <= found or not remedy.improves


def test_jobs_that_improve_nothing_are_few_and_known():
    idle = {row.key for row in TABLES.remedies.values() if not row.improves}
    assert idle == {
        "plate_out_grand",
        "plate_out_upright",
        "clean_inside",
        "humidity_system",
        "disposal_grand",
        "disposal_upright",
    }


@pytest.mark.parametrize("remedy", [row for row in TABLES.remedies.values() if row.per], ids=lambda row: row.key)
def test_past_about_a_dozen_pieces_the_set_is_renewed(remedy):
    for key in remedy.causes:
        check = TABLES.checks[key]
        if check.kind is CheckKind.COUNT and remedy.key not in WHOLE_SETS:
            within = [n for n in range(1, 88) if min(anchored(n, check.anchors), check.cap) <= remedy.up_to]
            assert max(within) <= 14, key
        for kind in check.kinds:
            rivals = [row for row in TABLES.remedies.values() if answers(row, check, kind) and not row.per]
            assert any(row.up_to >= worst(check) for row in rivals), key


def test_what_can_be_due_says_what_happens_if_it_is_left():
    for row in TABLES.remedies.values():
        due = [part for part in row.improves if row.up_to >= TABLES.components[part].due_from]
        if row.safety or (due and row.key != "settle_tuning"):  # the step belongs to new strings
            assert row.if_left, row.key
        if row.if_left:
            assert row.if_left[0].isupper()
            assert row.if_left.endswith(".")


def test_safety_is_said_of_the_plate_legs_lid_mould_and_borers_alone():
    parts = {part for row in TABLES.remedies.values() if row.safety for part in row.improves}
    assert parts == {"plate", "legs_and_casters", "lid_and_hardware", "mould", "infestation"}


def test_no_row_quotes_a_guide():
    for row in TABLES.remedies.values():
        assert "guide gives" not in row.row_note
        assert row.source == "none"


def test_disposal_takes_the_hours_of_the_settings():
    for kind in Kind:
        assert TABLES.remedies[f"disposal_{kind}"].hours_typical == TABLES.setting(f"removal_hours_{kind}")


def case_of(kind: Kind, *readings: tuple[str, float | bool]) -> Case:
    return Case(
        Identity(kind),
        Assignment(date(2026, 11, 20)),
        readings=tuple(Reading(key, value) for key, value in readings),
        costs=Costs(labour_rate=Decimal(60)),
    )


def answering(check: str, kind: Kind, *readings: tuple[str, float | bool]) -> dict[str, float]:
    """Return what each job costs that is offered and answers a check [money]."""
    case = case_of(kind, *readings)
    jobs = [row for row in offered(case, TABLES) if answers(row, TABLES.checks[check], kind)]
    return {key: float(cost[0]) for key, cost in job_costs(case, TABLES, jobs, Sampler.centre()).items()}


@pytest.mark.parametrize("kind", Kind)
def test_live_borers_are_treated_and_not_dried(kind):
    assert set(answering("borers_rodents", kind, ("borers_rodents", True))) == {"borers_treat"}
    assert TABLES.remedies["borers_treat"].safety


@pytest.mark.parametrize("kind", Kind)
@pytest.mark.parametrize("count", [1, 4, 10])
def test_clicking_heads_are_reglued_for_less_than_new_hammers(kind, count):
    found = answering("hammers_clicking", kind, ("hammers_clicking", float(count)))
    assert {"hammers_reglue", f"hammers_new_{kind}"} <= set(found)
    assert found["hammers_reglue"] < 0.5 * found[f"hammers_new_{kind}"]
    assert TABLES.remedies["hammers_reglue"].up_to >= worst(TABLES.checks["hammers_clicking"])


@pytest.mark.parametrize("kind", Kind)
def test_heads_that_do_not_click_are_not_reglued(kind):
    assert "hammers_reglue" not in answering("hammers_clicking", kind)
    assert "hammers_reglue" not in answering("hammers_clicking", kind, ("hammers_clicking", 0.0))


@pytest.mark.parametrize("kind", Kind)
def test_loose_plate_screws_are_tightened(kind):
    check = TABLES.checks["plate_bolts_snug"]
    assert anchored(8, check.anchors) == 3.5
    found = answering("plate_bolts_snug", kind, ("plate_bolts_snug", 8.0))
    assert min(found, key=lambda key: found[key]) == "plate_screws"
    assert TABLES.remedies["plate_screws"].up_to >= 3.5
    assert "without forcing" in TABLES.remedies["plate_screws"].label


@pytest.mark.parametrize("kind", Kind)
@pytest.mark.parametrize(("count", "cheapest"), [(3, "keys_free_single"), (40, "keys_free")])
def test_sticking_keys_are_eased(kind, count, cheapest):
    found = answering("sticking_keys", kind, ("sticking_keys", float(count)))
    assert min(found, key=lambda key: found[key]) == cheapest
    assert "key_single" not in found


@pytest.mark.parametrize("kind", Kind)
@pytest.mark.parametrize("check", ["moth_hammers", "moth_dampers"])
def test_moths_are_treated_before_the_felt_is_renewed(kind, check):
    found = answering(check, kind, (check, True))
    assert "moth_treat" in found
    part = TABLES.checks[check].component
    treat = TABLES.remedies["moth_treat"]
    renew = [row for row in TABLES.remedies.values() if row.key in found and row.resets]
    assert renew
    assert all(treat.stage < row.stage for row in renew)
    # The treatment brings no felt back: new felt is worth more than what it leaves.
    assert all(row.improves[part] < treat.improves[part] for row in renew)


@pytest.mark.parametrize("kind", Kind)
def test_a_far_fallen_pitch_is_raised_in_stages(kind):
    check = TABLES.checks["pitch_a4"]
    for cents in (-10, -60, -150):
        grade = anchored(cents, check.anchors)
        able = {key for key in answering("pitch_a4", kind) if TABLES.remedies[key].up_to >= grade}
        assert "raise_in_stages" in able
        assert ("raise_and_tune" in able) == (cents >= -100)
        assert ("tune" in able) == (cents > -40)


def test_a_lyre_torn_off_is_not_rebushed():
    assert "pedals_overhaul" not in answering("lyre", Kind.GRAND)
    assert "lyre_rebuild" in answering("lyre", Kind.GRAND)


@pytest.mark.parametrize(
    ("check", "job"),
    [
        ("strings_missing", "strings_mend"),
        ("winding_buzz", "bass_string_single"),
        ("action_parts_mended", "action_parts_single"),
        ("coverings_chipped", "key_coverings_mend"),
        ("mended_keys", "key_single"),
        ("key_leads", "key_leads_single"),
    ],
)
@pytest.mark.parametrize("kind", Kind)
def test_single_pieces_have_jobs_cheaper_than_the_set(kind, check, job):
    found = answering(check, kind, (check, 2.0))
    others = [cost for key, cost in found.items() if TABLES.remedies[key].resets]
    assert others
    assert found[job] < 0.5 * min(others)


@pytest.mark.parametrize("kind", Kind)
def test_single_dampers_are_those_that_ring_on(kind):
    ringing = tuple(Reading("damper_bleed", value, "s", note) for note, value in ((20, 4.0), (21, 1.0), (22, 5.0)))
    case = replace(case_of(kind), readings=ringing)
    assert "damper_single" in {row.key for row in offered(case, TABLES)}
    assert "damper_single" not in {row.key for row in offered(case_of(kind), TABLES)}
