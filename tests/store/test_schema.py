"""The layout of the file and the model say the same."""

from __future__ import annotations

from dataclasses import MISSING, fields

import pytest

from appraise.model import case as model
from appraise.model import claim
from appraise.store import schema

PAIRS = {
    schema.IdentitySection: model.Identity,
    schema.AssignmentSection: model.Assignment,
    schema.CircumstancesSection: model.Circumstances,
    schema.RenewalSection: model.Renewal,
    schema.GradeSection: model.Grade,
    schema.ReadingSection: model.Reading,
    schema.RemarkSection: model.Remark,
    schema.PhotoSection: model.PhotoFile,
    schema.EffectiveAgeSection: model.EffectiveAge,
    schema.PitchReadingSection: model.PitchReading,
    schema.DryingClueSection: model.DryingClueSeen,
    schema.LeftOutSection: model.LeftOut,
    schema.ComparableSection: model.Comparable,
    schema.AdjustmentSection: model.Adjustment,
    schema.MarketSection: model.Market,
    schema.CostsSection: model.Costs,
    schema.EarlierStateSection: model.EarlierState,
    schema.ClaimSection: model.Claim,
    schema.QuotationSection: claim.Quotation,
    schema.SalvageBidSection: claim.SalvageBid,
    schema.NoticeSection: claim.Notice,
    schema.LimitRateSection: claim.LimitRate,
}


APART = {
    schema.MarketSection: {"comparables", "adjustments"},
    schema.ClaimSection: {"quotations", "salvage_bids", "notices", "rates"},
}
"""Lists that are tables of their own in the file."""

EARLIER = {schema.RemarkSection: {"photo", "sha256"}}
"""Keys that are read as earlier layouts have them, and never written."""


def test_every_table_of_the_file_has_its_pair():
    assert set(PAIRS) == {*schema.SECTIONS.values(), *schema.LISTS.values()}


@pytest.mark.parametrize("section", PAIRS, ids=lambda section: section.__name__)
def test_fields_and_defaults_agree(section):
    apart = APART.get(section, set())
    expected = {item.name: item for item in fields(PAIRS[section]) if item.name not in apart}
    keys = set(section.model_fields) - EARLIER.get(section, set())
    assert keys == set(expected)
    for name in keys:
        field = section.model_fields[name]
        assert field.is_required() == (expected[name].default is MISSING), name
        if not field.is_required():
            assert field.default == expected[name].default, name


@pytest.mark.parametrize("section", PAIRS, ids=lambda section: section.__name__)
def test_every_required_key_says_what_belongs_there(section):
    assert all(field.description for field in section.model_fields.values() if field.is_required())


def test_top_level_keys_are_the_case():
    names = {item.name for item in fields(model.Case)}
    assert set(schema.TOP_LEVEL) == names | {"schema"}
