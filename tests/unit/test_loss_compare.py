"""Two states of one instrument: what counts as loss, and what does not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from appraise.engine import costs as costing
from appraise.engine.condition import condition
from appraise.engine.loss.matching import mismatches
from appraise.engine.loss.repair import repair
from appraise.engine.sampler import Sampler
from appraise.engine.subject import assemble
from appraise.explain.loss_notes import assumptions, cautions
from appraise.explain.terms import answers_text
from appraise.explain.timeline import timeline
from appraise.model.case import (
    Assignment,
    Case,
    Costs,
    EarlierState,
    Grade,
    Identity,
    Kind,
    Market,
    Origin,
    Reading,
    Remark,
)
from appraise.model.locale_format import PLAIN
from appraise.model.loss import Measure, RemarkClass, Terms, WorseComponent
from appraise.model.span import Span
from appraise.services.loss import without_ticks
from appraise.store.read import read_case
from appraise.tables.load import load_tables
from tests.helpers.cases import cases
from tests.helpers.depth import examples
from tests.helpers.valued_once import compared_once
from tests.laws.pairs import broken, compared, pairs

TABLES = load_tables()
FOLDER = Path(__file__).parents[2] / "sample_cases"
TODAY = date(2026, 11, 25)
DRAWS = 128


def sample(name: str) -> Case:
    """Return one of the pair that was moved."""
    case, _ = read_case(FOLDER / f"removal_{name}.toml", TABLES, today=TODAY)
    assert case is not None
    return case


@pytest.fixture(scope="module")
def before() -> Case:
    return sample("before")


@pytest.fixture(scope="module")
def after() -> Case:
    return sample("after")


def told(one: Case, two: Case, **terms):
    """Say what limits the comparison of two states."""
    return cautions(compare(one, two, **terms), one, two, TABLES)


def compare(one: Case, two: Case, **terms):
    """Compare with few draws; in a quick run the same pair on the same terms once."""
    return compared_once(one, two, TABLES, terms=Terms(**terms), draws=DRAWS)


@settings(max_examples=examples(15))
@given(cases(TABLES))
def test_identical_states_are_no_loss(case):
    case = without_ticks(case)  # they name remarks of another state
    loss = compare(case, case)
    assert loss.components == ()
    assert loss.checks == ()
    assert {line.outcome for line in loss.remarks} <= {RemarkClass.KEPT}
    (found,) = loss.scenarios
    for measure in (found.repair, found.net_repair, found.diminution, found.payable):
        assert measure is None or (measure.low, measure.mid, measure.high) == (0.0, 0.0, 0.0)


def test_time_alone_is_no_loss(before):
    later = replace(before.assignment, inspected=before.assignment.inspected + timedelta(days=4000))
    (found,) = compare(before, replace(before, assignment=later)).scenarios
    assert (found.diminution.low, found.diminution.high) == (0.0, 0.0)


def test_dearer_prices_and_another_town_are_no_loss(before):
    market = replace(before.market, replacement_cost_new=Decimal(60000))
    (found,) = compare(before, replace(before, market=market)).scenarios
    assert found.diminution.high == 0.0


def test_the_grand_that_was_moved(before, after):
    loss = compare(before, after)
    classes = [line.outcome for line in loss.remarks]
    assert (classes.count(RemarkClass.KEPT), classes.count(RemarkClass.NEW)) == (3, 8)
    moved = {part.component for part in loss.components if part.origin is Origin.TRANSIT}
    assert {"pedals", "legs_and_casters", "key_frame", "damper_action", "lid_and_hardware", "casework"} == moved
    established, all_unknown = loss.scenarios
    assert set(established.components) == moved
    assert set(all_unknown.components) == {part.component for part in loss.components}
    assert established.diminution.low > 0.0
    assert all_unknown.diminution.mid > established.diminution.mid
    assert all_unknown.repair.mid > established.repair.mid


def test_a_part_past_mending_is_replaced(before, after):
    """A leg torn off is past the worst grade that tightening cures: the leg and its plate are rebuilt."""
    loss = compare(before, after)
    worse = {part.component: part.grade_after for part in loss.components}
    assert worse["legs_and_casters"] == 4.5
    for scenario in loss.scenarios:
        jobs = {item.remedy for item in scenario.items}
        assert "leg_plate_grand" in jobs
        assert "legs_mend" not in jobs
        # Keys out of level are levelled, whatever the grade that this makes: no punching is worn by a removal.
        assert "keys_level" in jobs
        assert "key_frame_renew" not in jobs
        adjusted = {check.put_right_by for check in TABLES.checks.values()}
        for item in scenario.items:
            for part in item.components if item.remedy not in adjusted else ():
                assert worse[part] <= TABLES.remedies[item.remedy].up_to + 1e-9


def test_common_uncertainty_cancels(before, after):
    loss = compare(before, after)
    assert loss.scenarios[0].diminution.width < 0.6 * loss.value_before.width


def test_a_pitch_that_fell_asks_for_a_tuning_and_not_for_strings(before, after):
    jobs = {item.remedy for item in compare(before, after).scenarios[1].items}
    assert "raise_and_tune" in jobs
    assert "restring_grand" not in jobs


def test_the_measure_is_the_lesser(before, after):
    for found in compare(before, after).scenarios:
        assert found.measure in (Measure.REPAIR, Measure.DIMINUTION)
        assert found.loss.mid == pytest.approx(min(found.repair_route.mid, found.diminution.mid), rel=0.01)


def test_betterment_is_a_switch(before):
    after = wrecked(before, "hammers", "lid_and_hardware")
    with_it, without = (compare(before, after, betterment=on).scenarios[0] for on in (True, False))
    assert with_it.betterment.mid > 0.0
    assert without.betterment.high == 0.0
    assert without.net_repair == without.repair
    for item in with_it.items:
        assert 0.0 <= item.betterment.low <= item.betterment.high <= item.cost.high
        assert item.replaces or item.betterment.high == 0.0


def test_average_and_excess(before, after):
    free = compare(before, after).scenarios[0]
    loss = compare(before, after, sum_insured=Decimal(10000), value_at_risk=Decimal(20000), excess=Decimal(100))
    assert loss.average == 0.5
    assert loss.scenarios[0].payable.mid == pytest.approx(0.5 * free.loss.mid - 100)
    spared = compare(before, after, sum_insured=Decimal(15000), value_at_risk=Decimal(20000), special_condition=True)
    assert spared.average == 1.0
    assert spared.scenarios[0].payable == free.loss


def wrecked(case: Case, *components: str) -> Case:
    """Return the case with these parts beyond repair, by the move."""
    return replace(
        case,
        grades=(*case.grades, *(Grade(5.0, component=part, reason="dropped") for part in components)),
        remarks=(*case.remarks, *(Remark(part, "Broken", origin=Origin.TRANSIT) for part in components)),
    )


def test_a_total_loss(before):
    broken = wrecked(before, "soundboard", "pin_block", "bridges", "hammers", "finish", "casework", "wippens")
    (found,) = compare(before, broken).scenarios
    assert found.total_loss
    assert found.repair_share >= 0.75
    assert found.measure is Measure.TOTAL_LOSS
    assert found.loss.mid > found.diminution.mid
    assert found.loss.mid == pytest.approx(compare(before, broken).value_before.mid - found.salvage.mid, rel=0.05)


def test_without_a_rate_or_a_price(before, after):
    unrated = replace(after, costs=replace(after.costs, labour_rate=None))
    found = compare(before, unrated).scenarios[0]
    assert (found.repair, found.measure) == (None, Measure.DIMINUTION)
    unpriced = replace(after, market=Market(comparables=after.market.comparables))
    found = compare(before, unpriced).scenarios[0]
    assert (found.diminution, found.measure) == (None, Measure.REPAIR)
    bare = replace(unpriced, costs=unrated.costs)
    neither = compare(before, bare)
    assert (neither.scenarios[0].loss, neither.scenarios[0].measure) == (None, Measure.NONE)
    assert sum("no labour rate" in text or "no replacement cost" in text for text in told(before, bare)) == 2


def test_new_for_old_shows_no_diminution(before, after):
    new = replace(after, assignment=replace(after.assignment, basis="replacement_new"))
    loss = compare(before, new)
    assert loss.value_before is None
    assert any("does not depend on condition" in text for text in told(before, new))


@pytest.mark.parametrize(("origin", "counted"), [(Origin.TRANSIT, 1), (Origin.CLIMATE, 0), (Origin.WEAR, 0)])
def test_only_the_move_is_counted(before, origin, counted):
    split = replace(
        before,
        grades=(*before.grades, Grade(4.0, component="soundboard", reason="split")),
        remarks=(*before.remarks, Remark("soundboard", "Split from end to end", origin=origin)),
    )
    (found,) = compare(before, split).scenarios
    assert len(found.components) == counted
    assert (found.diminution.mid > 0.0) == bool(counted)


def test_a_remark_of_the_station_gives_its_parts_their_origin(before):
    split = replace(
        before,
        grades=(*before.grades, Grade(4.0, component="casework", reason="split")),
        remarks=(*before.remarks, Remark("case", "Everything scraped", origin=Origin.TRANSIT)),
    )
    assert [part.origin for part in compare(before, split).components] == [Origin.TRANSIT]


def test_a_check_made_only_after_is_told(before):
    bare = replace(before, grades=tuple(each for each in before.grades if each.check != "lyre"))
    graded = (*(each for each in before.grades if each.check != "lyre"), Grade(4.0, check="lyre"))
    later = replace(before, grades=graded)
    (part,) = compare(bare, later).components
    assert (part.checks, part.only_after) == ((), ("lyre",))
    assert any("may be older than the move" in text for text in told(bare, later))


def test_a_remark_without_a_worse_grade_is_told(before):
    marked = replace(before, remarks=(*before.remarks, Remark("finish", "Scraped [/b]", origin=Origin.TRANSIT)))
    (said,) = [text for text in told(before, marked) if "Scraped [/b]" in text]
    assert "no grade or reading" in said


def test_a_remark_where_nobody_had_looked_before_is_told_so(before):
    unseen = replace(
        before,
        grades=tuple(each for each in before.grades if TABLES.checks[each.check].component != "finish"),
        readings=tuple(each for each in before.readings if TABLES.checks[each.check].component != "finish"),
    )
    remark = Remark("finish", "Scraped [/b]", origin=Origin.TRANSIT)
    graded = Grade(4.0, component="finish", reason="scraped through")
    later = replace(before, grades=(*before.grades, graded), remarks=(*before.remarks, remark))
    (said,) = [text for text in told(unseen, later) if "Scraped [/b]" in text]
    assert "was not inspected before it" in said
    assert "no grade or reading" not in said


@pytest.mark.parametrize(
    ("change", "what"),
    [
        ({"kind": Kind.UPRIGHT}, "kind"),
        ({"serial": "1"}, "serial"),
        ({"maker": "Another"}, "maker"),
        ({"model": "X"}, "model"),
    ],
)
def test_another_instrument_is_refused(before, change, what):
    other = replace(before, identity=replace(before.identity, **change))
    assert [found.what for found in mismatches(before, other)] == [what]
    with pytest.raises(ValueError, match="not of one instrument"):
        compare(before, other)


def test_what_one_file_leaves_open_is_no_mismatch(before):
    same = replace(before.identity, serial="", maker="  OSTRA VELL ", model="")
    assert mismatches(before, replace(before, identity=same)) == ()


def test_currency_and_order_of_days(before, after):
    other = replace(after, assignment=replace(after.assignment, currency="CHF"))
    assert [found.what for found in mismatches(before, other)] == ["currency"]
    assert [found.what for found in mismatches(after, before)] == ["day of inspection"]


def test_the_timeline_is_in_order_and_tells_nothing_twice(before, after):
    lines = timeline(before, after)
    assert [line.sort for line in lines] == sorted(line.sort for line in lines)
    assert [line.file for line in lines if line.what == "made"] == ["both"]


def grand() -> Case:
    return Case(
        identity=Identity(Kind.GRAND, made=Span.of_year(1990)),
        assignment=Assignment(inspected=date(2026, 11, 20)),
        market=Market(replacement_cost_new=Decimal(50000)),
        costs=Costs(labour_rate=Decimal(60)),
    )


PARTS = ("finish", "casework", "pedals", "key_frame", "key_sticks", "damper_action", "regulation")


@st.composite
def damages(draw):
    """A damaged part or two, each by what was said of the whole or by the findings of up to two checks."""
    found = []
    for key in draw(st.lists(st.sampled_from(PARTS), min_size=1, max_size=2, unique=True)):
        was = draw(st.integers(2, 6)) / 2
        own = [row.key for row in TABLES.checks.values() if row.component == key and Kind.GRAND in row.kinds]
        said = draw(st.lists(st.sampled_from(own), max_size=2, unique=True))
        graded = {check: min(5.0, was + draw(st.integers(1, 4)) / 2) for check in said}
        after = max(graded.values(), default=min(5.0, was + draw(st.integers(1, 4)) / 2))
        found.append((WorseComponent(key, key, "", was, after, tuple(said), (), Origin.TRANSIT), graded))
    return found


@settings(max_examples=examples(25))
@given(damages())
def test_no_cheaper_set_of_jobs_mends_as_well(damage):
    case = grand()
    parts, grades = [part for part, _ in damage], {check: at for _, graded in damage for check, at in graded.items()}
    subject, source = assemble(case, TABLES), Sampler(1, 64)
    worn = condition(subject, (), source, TABLES).left
    found = repair(case, TABLES, parts, subject, worn, source, deduct=True, grades=grades)
    chosen = {item.remedy for item in found.items}
    offered = {row.key: row for row in costing.offered(case, TABLES)}
    price = {
        key: float(cost[0]) for key, cost in costing.job_costs(case, TABLES, offered.values(), Sampler.centre()).items()
    }
    within, sound = TABLES.setting("loss_restored_within"), TABLES.setting("loss_sound_grade")
    faults = [
        (part.component, check, at, max(part.grade_before + within, sound))
        for part, graded in damage
        for check, at in (graded or {"": part.grade_after}).items()
    ]

    def reaches(job, component, check, grade):
        row = offered[job]
        if check and TABLES.checks[check].put_right_by == job:
            return 1.0
        # Damage of which no check speaks asks for a job on the part, not for one that answers a single finding.
        answers = check in row.causes if check else row.up_to < 5.0 and not row.per
        if component not in row.improves or grade > row.up_to or (row.causes and not answers):
            return grade
        return min(grade, row.improves[component])

    helpful = [job for job in offered if any(reaches(job, *fault[:3]) < fault[2] for fault in faults)]

    def left_over(jobs):
        return sum(
            max(0.0, min([grade, *(reaches(job, part, check, grade) for job in jobs)]) - enough)
            for part, check, grade, enough in faults
        )

    def needs(jobs):
        whole, waiting = set(jobs), list(jobs)
        while waiting:
            for step in offered[waiting.pop()].requires:
                if step not in whole:
                    whole.add(step)
                    waiting.append(step)
        return whole

    sets = [needs(jobs) for size in range(len(faults) + 1) for jobs in combinations(helpful, size)]
    ranked = min((round(left_over(jobs), 9), round(sum(price[job] for job in jobs), 6)) for jobs in sets)
    ours = (round(left_over(chosen), 9), round(sum(price[job] for job in chosen), 6))
    assert ours == pytest.approx(ranked)


def test_each_finding_of_a_part_is_mended_by_its_own_job(before):
    hit = {"legs_grand": 4.5, "casters": 3.5}
    struck = replace(
        before,
        grades=(
            *(each for each in before.grades if each.check not in hit),
            *(Grade(at, check=k) for k, at in hit.items()),
        ),
        readings=tuple(each for each in before.readings if each.check not in hit),
        remarks=(*before.remarks, Remark("legs_and_casters", "Torn off", origin=Origin.TRANSIT)),
    )
    jobs = {item.remedy for item in compare(before, struck).scenarios[0].items}
    assert "leg_plate_grand" in jobs
    assert jobs & {"caster_single", "casters_new"}
    assert "legs_casters_new" not in jobs


def snapped(case, count):
    """Return the case with so many action parts mended or broken."""
    kept = tuple(each for each in case.readings if each.check != "action_parts_mended")
    return replace(case, readings=(*kept, Reading("action_parts_mended", float(count))))


def cost_by_the_piece(case, one, two):
    after = snapped(case, two)
    after = replace(after, remarks=(*after.remarks, Remark("wippens", "Snapped", origin=Origin.TRANSIT)))
    (found,) = compare(snapped(case, one), after).scenarios
    (item,) = (each for each in found.items if each.remedy == "action_parts_single")
    return item.cost.mid


def test_two_snapped_shanks_are_worth_their_repair(before):
    # They move the grade of the whole action by half a step only.
    assert cost_by_the_piece(before, 0, 2) > 0.0


def test_pieces_broken_before_are_no_part_of_the_damage(before):
    assert cost_by_the_piece(before, 2, 8) == pytest.approx(0.75 * cost_by_the_piece(before, 0, 8), rel=1e-9)


@settings(max_examples=examples(20))
@given(pairs())
def test_no_claim_passes_the_value_before_and_no_cure_is_taken_off_at_less_than_it_costs(pair):
    assert broken(compared(pair)) == {}


def test_the_smallest_claim_that_was_above_its_value(before):
    # An instrument whose disposal costs money, wrecked: what that costs is no part of what was lost.
    poor = replace(
        before,
        market=Market(replacement_cost_new=Decimal(6_000)),
        costs=replace(before.costs, removal=Decimal(2_000)),
    )
    loss = compare(poor, wrecked(poor, *ALL))
    (found,) = loss.scenarios
    assert found.salvage.mid < 0.0
    assert loss.value_before.mid > 0.0
    assert found.loss.mid == pytest.approx(loss.value_before.mid)
    for each in found.alternatives:
        assert each.loss.high <= loss.value_before.high + 1e-6


@settings(max_examples=examples(15))
@given(cases(TABLES, priced=True), st.integers(1, 8).map(lambda n: n / 2 + 1.0))
def test_damage_never_raises_the_value(case, grade):
    looked_at = [each for each in case.grades if each.component]
    if not looked_at:
        looked_at = [Grade(1.0, component="plate", reason="seen")]
        case = replace(case, grades=(*case.grades, *looked_at))
    part = looked_at[0]
    worse = replace(part, grade=max(part.grade, grade))
    struck = replace(case, grades=tuple(worse if each is part else each for each in case.grades))
    for found in compare(case, struck).scenarios:
        assert found.diminution is None or found.diminution.low >= -1e-6
        assert found.payable is None or found.loss.mid >= found.payable.mid >= 0.0


def test_readings_are_told_as_people_read_them(before):
    read = replace(before, readings=(*before.readings, Reading("moth_hammers", value=True)))
    (change,) = (each for each in compare(before, read).checks if each.check == "moth_hammers")
    said = [answers_text(answers, change.unit, PLAIN) for answers in (change.before, change.after)]
    assert said == ["no", "no; yes"]


def test_what_a_repair_leaves_of_the_fall_in_value(before, after):
    for found in compare(before, after).scenarios:
        assert 0.0 <= found.residual.low <= found.residual.high
        assert found.residual.mid < found.diminution.mid
        assert found.repair_route.mid == pytest.approx(found.net_repair.mid + found.residual.mid, rel=0.02)
    stated = compare(before, after, residual=Decimal(700)).scenarios[0]
    assert (stated.residual.low, stated.residual.mid, stated.residual.high) == (700.0, 700.0, 700.0)


def test_a_part_made_as_good_as_it_was_leaves_nothing(before):
    # A new lid prop is no worse than the worn one: the grade it had was 4, and mending leaves it better.
    worn = replace(before, grades=(*before.grades, Grade(4.0, component="lid_and_hardware", reason="worn")))
    broken = wrecked(worn, "lid_and_hardware")
    broken = replace(broken, grades=(*before.grades, Grade(5.0, component="lid_and_hardware", reason="torn")))
    (found,) = compare(worn, broken).scenarios
    assert found.residual is None or found.residual.high == 0.0


ALL = ("soundboard", "pin_block", "bridges", "hammers", "finish", "casework", "wippens")


def test_a_total_loss_given_up_has_no_salvage_taken_off(before):
    kept, given = (compare(before, wrecked(before, *ALL), surrendered=on) for on in (False, True))
    assert given.scenarios[0].measure is Measure.TOTAL_LOSS
    assert given.scenarios[0].loss.mid == pytest.approx(given.value_before.mid, rel=0.01)
    assert given.scenarios[0].loss.mid > kept.scenarios[0].loss.mid
    assert any("passes to the insurer" in text for text in assumptions(given.terms, TABLES))


def test_a_constructive_total_loss_counts_the_carriage(before):
    carried = replace(before.costs, carriage=Decimal(1_000_000))
    split = wrecked(before, "lid_and_hardware")
    plain_, dear = (compare(before, replace(split, costs=costs)) for costs in (before.costs, carried))
    assert (plain_.scenarios[0].constructive, dear.scenarios[0].constructive) == (False, True)


def test_everything_lost(before):
    parts = [row.key for row in TABLES.components.values() if Kind.GRAND in row.kinds]
    gone = replace(
        before,
        grades=tuple(Grade(5.0, component=part, reason="burnt") for part in parts),
        readings=(),
        remarks=tuple(Remark(part, "Burnt", origin=Origin.TRANSIT) for part in parts),
    )
    (found,) = compare(before, gone).scenarios
    assert len(found.components) == len(parts)
    assert found.loss.mid <= compare(before, gone).value_before.mid + abs(found.salvage.mid)
    assert found.salvage.mid <= found.value_after.mid < 0.1 * compare(before, gone).value_before.mid
    alternatives = {each.measure: each.loss.mid for each in found.alternatives}
    assert alternatives[found.measure] == found.loss.mid


def test_every_measure_is_told_and_the_proposed_is_one_of_them(before, after):
    for found in compare(before, after, sum_insured=Decimal(9000), excess=Decimal(100)).scenarios:
        told = {each.measure: each for each in found.alternatives}
        assert told[found.measure].loss == found.loss
        assert told[found.measure].payable == found.payable
        # Beside both stands a total loss, so that nobody meets a jump where the repair reaches its share.
        assert set(told) == set(Measure) - {Measure.NONE}


@pytest.mark.parametrize(("side", "words"), [(0, "The earlier file"), (1, "The later file"), (2, "Neither file")])
def test_a_missing_serial_is_told(before, after, side, words):
    pair_ = [before, after]
    for at in (0, 1) if side == 2 else (side,):
        pair_[at] = replace(pair_[at], identity=replace(pair_[at].identity, serial=" "))
    assert any(text.startswith(words) for text in told(*pair_))
    assert not any("serial" in text for text in told(before, after))


def test_what_was_mended_for_certain_needs_no_caution(before):
    left = replace(before, remarks=before.remarks[1:])
    unsure = "was repaired, or was not noted again"
    assert any(unsure in text for text in told(before, left))
    kept = EarlierState("x", "ab" * 32, before.assignment.inspected, mended=(1,))
    assert not any(unsure in text for text in told(before, replace(left, earlier_state=kept)))


def test_checks_made_both_times_alike_are_counted(before, after):
    loss = compare(before, after)
    assert "plate_crack" in loss.unchanged
    assert not {change.check for change in loss.checks} & set(loss.unchanged)
    assert compare(before, replace(before, grades=(), readings=())).unchanged == ()


@settings(max_examples=examples(12))
@given(st.sampled_from(PARTS), st.lists(st.integers(3, 10), min_size=2, max_size=2, unique=True))
def test_a_worse_state_never_lowers_the_loss(part, halves):
    # New for old may: a part too far gone to mend is replaced, and most of a worn part's price is betterment.
    case = replace(grand(), grades=(Grade(1.5, component=part, reason="seen"),))
    mild, grave = (
        compare(
            case,
            replace(
                case,
                grades=(Grade(half / 2, component=part, reason="hit"),),
                remarks=(Remark(part, "Hit", origin=Origin.TRANSIT),),
            ),
            betterment=False,
        ).scenarios[0]
        for half in sorted(halves)
    )
    for name in ("diminution", "loss", "payable"):
        one, two = getattr(mild, name), getattr(grave, name)
        assert two.mid >= one.mid - 1e-6 * (1.0 + abs(one.mid)), name


@settings(max_examples=examples(12))
@given(st.integers(1, 60_000), st.integers(0, 40_000), st.booleans())
def test_a_larger_sum_insured_never_lowers_what_is_payable(insured, more, spared):
    case = replace(grand(), grades=(Grade(1.5, component="casework", reason="seen"),))
    hit = replace(
        case,
        grades=(Grade(4.5, component="casework", reason="hit"),),
        remarks=(Remark("casework", "Hit", origin=Origin.TRANSIT),),
    )
    small, large = (
        compare(case, hit, sum_insured=Decimal(amount), excess=Decimal(50), special_condition=spared).scenarios[0]
        for amount in (insured, insured + more)
    )
    assert large.payable.mid >= small.payable.mid
    assert large.payable.mid <= large.loss.mid
