"""What is in doubt, what workshops ask and what is bid for the wreck: each with and without, in every figure alike."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import Phase, given, settings

from appraise.explain.loss_notes import cautions
from appraise.model.case import Reading, Remark
from appraise.model.claim import Claim, Finding, Origin, Quotation, SalvageBid, Stage
from appraise.model.loss import Counting, Doubt, Measure, QuotationUse
from tests.helpers.depth import examples
from tests.laws.pairs import broken, compared, pairs
from tests.unit.test_loss_compare import TABLES, compare, sample

DAY = date(2026, 11, 3)
JOB = "plate_screws"
"""Nothing that the move did asks for it."""


@pytest.fixture(scope="module")
def before():
    return replace(sample("before"), readings=(*sample("before").readings, Reading("plate_crack", value=False)))


@pytest.fixture(scope="module")
def after():
    one = replace(sample("after"), claim=Claim())
    kept = tuple(each for each in one.readings if each.check != "plate_crack")
    return replace(one, readings=(*kept, Reading("plate_crack", value=False)))


@pytest.fixture(scope="module")
def plain(before, after):
    return compare(before, after)


def with_remarks(case, *remarks):
    return replace(case, remarks=(*case.remarks, *remarks))


def with_claim(case, **said):
    return replace(case, claim=replace(case.claim, **said))


def doubt_of(loss, text):
    (found,) = [each for each in loss.doubtful if each.line.latest.text == text]
    return found


def test_a_suspected_plate_crack_is_told_with_and_without(before, after, plain):
    text = "A dark line at the second strut, nothing to be felt."
    crack = Remark("plate", text, origin=Origin.TRANSIT, finding=Finding.SUSPECTED, check="plate_crack")
    loss = compare(before, with_remarks(after, crack))
    established = loss.scenarios[0]
    assert established == plain.scenarios[0]  # what is suspected establishes nothing
    found = doubt_of(loss, text)
    assert (found.doubt, found.probability, found.costed) == (Doubt.SUSPECTED, 0.5, True)
    assert found.without == established.loss
    assert found.counted.mid > 3 * found.without.mid
    yes = with_remarks(after, replace(crack, finding=Finding.YES, check=""))
    kept = tuple(each for each in after.readings if each.check != "plate_crack")
    surely = compare(before, replace(yes, readings=(*kept, Reading("plate_crack", value=True))))
    assert found.counted == surely.scenarios[0].loss
    assert "plate" in loss.scenarios[-1].components
    stated = compare(before, with_remarks(after, replace(crack, probability_pct=20.0)))
    assert doubt_of(stated, text).probability == 0.2


@pytest.mark.parametrize(("finding", "doubt"), [(Finding.NO, None), (Finding.NOT_SEEN, Doubt.NOT_SEEN)])
def test_what_was_not_found_or_not_seen_counts_for_nothing(before, after, plain, finding, doubt):
    loss = compare(before, with_remarks(after, Remark("plate", "Crack", origin=Origin.TRANSIT, finding=finding)))
    assert loss.scenarios == plain.scenarios
    assert [each.doubt for each in loss.doubtful if each.line.latest.text == "Crack"] == ([doubt] if doubt else [])


def test_each_of_unknown_origin_has_its_own_scenario(before, after, plain):
    unknown = [each for each in plain.doubtful if each.doubt is Doubt.UNKNOWN]
    fresh = [line for line in plain.remarks if line.fresh and line.origin is Origin.UNKNOWN]
    assert [each.line for each in unknown] == fresh
    assert unknown
    for each in unknown:
        assert each.without == plain.scenarios[0].loss
        assert each.counted.mid >= each.without.mid
    loss = compare(before, with_remarks(after, Remark("plate", "Gilding rubbed off, age not known.", jobs=(JOB,))))
    assert JOB not in {item.remedy for item in loss.scenarios[0].items}
    assert JOB in {item.remedy for item in loss.scenarios[-1].items}
    assert loss.scenarios[-1].counting is Counting.ALL_UNKNOWN


def test_established_damage_is_never_worth_nothing_in_silence(before, after, plain):
    text = "Caster cup cut the parquet of the platform."
    marked = with_remarks(after, Remark("plate", text, origin=Origin.TRANSIT))
    silent = compare(before, marked)
    found = doubt_of(silent, text)
    assert (found.doubt, found.costed, found.without) == (Doubt.UNMOVED, False, found.counted)
    assert any(text in caution for caution in cautions(silent, before, marked, TABLES))
    mended = with_remarks(after, Remark("plate", text, origin=Origin.TRANSIT, jobs=(JOB,)))
    costed = compare(before, mended)
    found = doubt_of(costed, text)
    assert found.costed
    assert found.counted == costed.scenarios[0].loss
    assert found.without == plain.scenarios[0].loss
    assert not any(text in caution for caution in cautions(costed, before, mended, TABLES))


def test_climate_during_the_carriage_is_the_carriage(before, after):
    wet = [replace(each, origin=Origin.CLIMATE, stage=Stage.IN_TRANSIT) for each in after.remarks]
    moved = [replace(each, origin=Origin.TRANSIT) for each in after.remarks]
    one, two = (compare(before, replace(after, remarks=tuple(found))) for found in (wet, moved))
    assert one.scenarios == two.scenarios
    dry = [replace(each, stage=Stage.AFTER) for each in wet]
    assert not compare(before, replace(after, remarks=tuple(dry))).scenarios[0].components


def test_one_wreck_has_one_value(before, after):
    bids = (SalvageBid("Ulverdale Pianos", Decimal(900), DAY), SalvageBid("Brimmick & Son", Decimal(1400), DAY))
    loss = compare(before, with_claim(after, salvage_bids=bids), total_loss_pct=Decimal(10))
    for found in loss.scenarios:
        assert (found.salvage.low, found.salvage.mid, found.salvage.high) == (1400, 1400, 1400)
        assert found.measure is Measure.TOTAL_LOSS
        assert found.loss.mid == pytest.approx(loss.value_before.mid - 1400, rel=1e-9)
        assert found.value_after.low >= 1400


def test_a_total_loss_stands_beside_both_measures_whatever_its_share(before, after):
    low, high = (compare(before, after, total_loss_pct=Decimal(share)).scenarios[0] for share in (10, 200))
    assert (low.total_loss, high.total_loss) == (True, False)
    assert low.alternatives == high.alternatives
    assert high.measure is not Measure.TOTAL_LOSS


def test_a_quotation_stands_in_place_of_the_table(before, after, plain):
    items = plain.scenarios[0].items
    jobs = tuple(item.remedy for item in items if item.components)[:2]
    quotation = Quotation("Corvane & Lisk", Decimal(1850), jobs, DAY, number="114", tax=Decimal(370))
    loss = compare(before, with_claim(after, quotations=(quotation,)))
    found = loss.scenarios[0]
    (work,) = found.quotations
    assert (work.use, work.counted) == (QuotationUse.TAKEN, 2220)
    quoted = [item for item in found.items if item.remedy in jobs]
    assert sum(item.cost.mid for item in quoted) == pytest.approx(2220)
    table = {item.remedy: item.cost for item in items}
    assert all(item.by_table == table[item.remedy] for item in quoted)
    assert all(item.cost == table[item.remedy] for item in found.items if item.remedy not in jobs)
    recovered = compare(before, with_claim(after, quotations=(quotation,), tax_recovered=True)).scenarios[0]
    assert recovered.quotations[0].counted == 1850


def test_a_quotation_that_cannot_be_taken_says_why(before, after, plain):
    jobs = tuple(item.remedy for item in plain.scenarios[0].items if item.components)
    outside = next(key for key in TABLES.remedies if key not in {item.remedy for item in plain.scenarios[0].items})
    given = (
        Quotation("A", Decimal(500), jobs[:1], DAY, valid_until=date(2026, 11, 2)),
        Quotation("B", Decimal(500), (jobs[0], outside), DAY),
        Quotation("C", Decimal(700), jobs[:1], DAY),
        Quotation("D", Decimal(600), jobs[:2], DAY),
    )
    found = compare(before, with_claim(after, quotations=given)).scenarios[0]
    assert [each.use.value for each in found.quotations] == ["expired", "beyond", "overlaps", "taken"]
    assert found.quotations[1].by_table is None
    nothing = compare(before, with_claim(after, quotations=given[:2])).scenarios[0]
    assert nothing.items == plain.scenarios[0].items


def test_a_share_put_down_to_the_move_is_a_share_of_every_measure(before, after, plain):
    halved = tuple(replace(each, share_pct=50.0, share_reason="old joint") for each in after.remarks)
    found, whole = (loss.scenarios[0] for loss in (compare(before, replace(after, remarks=halved)), plain))
    assert found.apportioned == pytest.approx(0.5)
    assert (found.repair, found.diminution) == (whole.repair, whole.diminution)
    assert found.loss.mid == pytest.approx(0.5 * whole.loss.mid)


@settings(max_examples=examples(12), phases=[Phase.generate])
@given(pairs())
def test_bids_quotations_and_a_residual_keep_the_laws(pair):
    before, after, terms = pair
    plain = compared(pair).scenarios[-1]
    jobs = tuple(item.remedy for item in plain.items)
    claim = Claim(salvage_bids=(SalvageBid("A", Decimal(300), DAY),))
    if jobs:
        claim = replace(claim, quotations=(Quotation("B", Decimal(4000), jobs, DAY),))
    terms = replace(terms, residual=Decimal(200), total_loss_pct=Decimal(100))
    loss = compared((before, replace(after, claim=claim), terms))
    assert not broken(loss)
    for found in loss.scenarios:
        if found.diminution is not None:
            for edge in ("low", "mid", "high"):
                most = max(0.0, getattr(loss.value_before, edge) - 300)
                assert getattr(found.diminution, edge) <= most + 1e-3 * (300 + loss.value_before.width)
