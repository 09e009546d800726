"""Has it dried out: odds from clues, what follows from checks, and what may be concluded."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from appraise.engine.drying import assess_drying, clue_evidence, weigh_clues
from appraise.engine.instruments.drying import chance_of_seeing, information, posterior
from appraise.explain.terms import CONCLUSIONS
from appraise.model.case import (
    Assignment,
    Case,
    Circumstances,
    DryingClueSeen,
    Grade,
    Identity,
    Kind,
    Reading,
)
from appraise.model.measurement import ClueEvidence
from appraise.model.problem import InputError
from appraise.services.instruments.drying import drying_from_clues, drying_of_case
from appraise.tables.load import load_tables
from appraise.tables.rows_measurements import DRIED_OUT
from tests.helpers.depth import examples
from tests.helpers.pitch_logs import log

TABLES = load_tables()
STORIES = tuple(TABLES.drying_stories.values())
CLUES = TABLES.drying_clues
OBSERVED = st.dictionaries(st.sampled_from(sorted(CLUES)), st.booleans(), max_size=12)
BARE = Case(Identity(Kind.GRAND), Assignment(date(2026, 11, 20)))


def conclude(seen=(), absent=()):
    looked = (
        *(ClueEvidence(key, True, "assessor") for key in seen),
        *(ClueEvidence(key, False, "assessor") for key in absent),
    )
    return weigh_clues(looked, TABLES)


@given(OBSERVED, st.randoms())
def test_the_posterior_sums_to_one_whatever_the_order(observed, random):
    mixed = list(observed.items())
    random.shuffle(mixed)
    one, other = posterior(STORIES, CLUES, observed), posterior(STORIES, CLUES, dict(mixed))
    assert list(one) == list(other)
    assert float(one.sum()) == pytest.approx(1.0, abs=1e-12)
    assert (one > 0).all()


@given(OBSERVED)
def test_one_after_the_other_is_all_at_once(observed):
    probability = posterior(STORIES, CLUES, {})
    for key, seen in observed.items():
        chance = chance_of_seeing(CLUES[key], STORIES)
        probability = probability * (chance if seen else 1 - chance)
        probability = probability / probability.sum()
    assert probability == pytest.approx(posterior(STORIES, CLUES, observed), abs=1e-12)


@settings(max_examples=examples(40))
@given(OBSERVED)
def test_before_looking_the_mean_after_looking_is_what_is_held_now(observed):
    now = posterior(STORIES, CLUES, observed)
    for key in sorted(set(CLUES) - set(observed))[:4]:
        chance = float(now @ chance_of_seeing(CLUES[key], STORIES))
        mean = chance * posterior(STORIES, CLUES, {**observed, key: True}) + (1 - chance) * posterior(
            STORIES, CLUES, {**observed, key: False}
        )
        assert mean == pytest.approx(now, abs=1e-12)


@given(OBSERVED)
def test_looking_never_tells_less_than_nothing(observed):
    told = information(STORIES, CLUES, observed)
    assert set(told) == set(CLUES) - set(observed)
    assert all(0 <= bits <= 1 for bits in told.values())


@given(OBSERVED)
def test_dried_out_never_without_two_sections_and_a_dry_history(observed):
    found = weigh_clues(tuple(ClueEvidence(key, seen, "assessor") for key, seen in observed.items()), TABLES)
    assert found.conclusion in CONCLUSIONS
    if found.conclusion == "dried_out":
        assert len({CLUES[key].section for key in found.strong}) == len(found.strong) >= 2
        assert all(CLUES[key].strength >= 3 for key in found.strong)
        assert observed.get("air_dry_for_weeks") or observed.get("dry_climate")


@pytest.mark.parametrize("key", sorted(CLUES))
def test_a_clue_for_it_raises_the_odds_and_its_absence_lowers_them(key):
    with_it, without = conclude([key]).after(DRIED_OUT), conclude([], [key]).after(DRIED_OUT)
    before = conclude().after(DRIED_OUT)
    if CLUES[key].role == "damp":
        assert with_it < before < without
    elif min(CLUES[key].ratios.values()) >= 1:
        assert with_it > before > without


@pytest.mark.parametrize(
    ("seen", "absent", "conclusion"),
    [
        ((), (), "nothing"),
        (("air_dry_for_weeks",), (), "nothing"),
        ((), tuple(CLUES), "nothing"),
        (("pins_loose",), (), "open"),
        (("pins_loose", "board_cracks_fresh", "air_dry_for_weeks"), (), "dried_out"),
        (("pins_loose", "board_cracks_fresh", "shims_reopened", "flat_soon"), (), "suspected"),
        (("pins_loose", "pins_loose_in_line", "air_dry_for_weeks"), ("rust",), "suspected"),
        (("pins_loose", "board_cracks_fresh", "air_dry_for_weeks", "rust", "keys_swollen"), (), "cycling"),
        (("flat_throughout",), ("pins_loose", "board_cracks_fresh", "screws_loose", "keytops_lifting"), "untuned"),
    ],
)
def test_what_may_be_concluded(seen, absent, conclusion):
    assert conclude(seen, absent).conclusion == conclusion


def test_the_clue_that_moved_it_most_and_the_next_one():
    found = conclude(["crown_lost", "pins_loose", "air_dry_for_weeks"])
    assert found.most == "air_dry_for_weeks"
    assert found.next_clues[0][1] == max(bits for _, bits in found.next_clues)
    assert not {key for key, _ in found.next_clues} & {"crown_lost", "pins_loose", "air_dry_for_weeks"}


@pytest.mark.parametrize(
    ("answers", "clue", "seen"),
    [
        ({"readings": (Reading("pin_torque", 3.0, "N·m"),)}, "pins_loose", True),
        ({"readings": (Reading("pin_torque", 9.0, "N·m"),)}, "pins_loose", False),
        ({"readings": (Reading("pin_torque", 22.0, "N·m"),)}, "pins_loose", False),  # too tight is not loose
        ({"readings": (Reading("pitch_a4", -60.0, "cents"),)}, "flat_throughout", True),
        ({"readings": (Reading("pitch_a4", 60.0, "cents"),)}, "flat_throughout", False),
        ({"readings": (Reading("board_cracks_open", 2.0),)}, "board_cracks_fresh", True),
        ({"readings": (Reading("board_cracks_open", 0.0),)}, "board_cracks_fresh", False),
        (
            {"readings": (Reading("rib_separation", 0.0), Reading("board_rim_joint_open", True))},
            "ribs_or_rim_open",
            True,
        ),
        ({"readings": (Reading("coverings_lifting", 3.0),)}, "keytops_lifting", True),
        ({"readings": (Reading("hammers_clicking", 9.0),)}, "heads_clicking", True),
        ({"readings": (Reading("centre_swings_grand", 12.0, "swings"),)}, "centres_free", True),
        ({"readings": (Reading("centre_swings_grand", 1.0, "swings"),)}, "centres_free", False),
        ({"readings": (Reading("centre_swings_grand", 1.0, "swings"),)}, "centres_tight", True),
        ({"grades": (Grade(4.5, check="odour_mould"),)}, "mould", True),
        ({"circumstances": Circumstances(climate="dry_heated")}, "dry_climate", True),
    ],
)
def test_clues_that_follow_from_what_the_case_holds(answers, clue, seen):
    found = {one.clue: one for one in clue_evidence(replace(BARE, **answers), TABLES)}
    assert found[clue].seen is seen
    assert found[clue].origin in ("check", "climate")


def test_a_bare_case_brings_no_clue():
    assert clue_evidence(BARE, TABLES) == ()


def test_the_assessors_own_word_wins():
    case = replace(
        BARE,
        readings=(Reading("pin_torque", 3.0, "N·m"),),
        drying_clues=(DryingClueSeen("pins_loose", False, "the wrench was off"),),
    )
    (one,) = clue_evidence(case, TABLES)
    assert (one.clue, one.seen, one.origin) == ("pins_loose", False, "assessor")


def test_a_seasonal_log_is_a_clue_and_a_short_one_is_none():
    readings = tuple(log(36, season=0.8))
    assert {one.clue: one.seen for one in clue_evidence(replace(BARE, pitch_log=readings), TABLES)} == {
        "returns_in_spring": True
    }
    assert clue_evidence(replace(BARE, pitch_log=readings[:3]), TABLES) == ()


def test_of_a_case_and_of_clues_alone_is_the_same():
    case = replace(BARE, drying_clues=(DryingClueSeen("pins_loose", True), DryingClueSeen("rust", False)))
    of_case, of_clues = drying_of_case(case, TABLES), drying_from_clues(["pins_loose"], ["rust"], TABLES)
    assert of_case == of_clues
    assert assess_drying(case, TABLES).after(DRIED_OUT) * 100 == pytest.approx(of_clues.outputs[1].value)


@pytest.mark.parametrize(
    ("seen", "absent", "words"),
    [(["pins_lose"], [], "did you mean pins_loose"), (["rust"], ["rust"], "twice"), (["qqqq"], [], "appraise sources")],
)
def test_clues_that_cannot_be_are_refused(seen, absent, words):
    with pytest.raises(InputError, match=words):
        drying_from_clues(seen, absent, TABLES)
