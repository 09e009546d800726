"""Odds, information and dating densities.

Sources: Bayes' rule on the screening tests of textbooks (from memory); SciPy's `stats.entropy`, `stats.uniform` and
`integrate`; practitioners' weighing of the clues (common practice, no source; strengths from memory).
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate, stats

from appraise.engine.clues import weigh
from appraise.engine.instruments.drying import chance_of_seeing, information, posterior, prior
from appraise.tables.load import load_tables
from appraise.tables.rows import Standing
from appraise.tables.rows_ageing import DatingClue
from appraise.tables.rows_measurements import ClueRole, DryingClue, DryingStory

OURS = {"standing": Standing.OUR_ASSUMPTION}
TABLES = load_tables()


def story(key, odds):
    return DryingStory(table="drying_stories", key=key, label=key, odds=odds, means=key, advice=key, **OURS)


def clue(key, seen, ratio):
    return DryingClue(
        table="drying_clues",
        key=key,
        label=key,
        section=key,
        role=ClueRole.DAMAGE,
        strength=3,
        seen_if_dried=seen,
        ratios={"age": ratio},
        **OURS,
    )


@pytest.mark.parametrize(
    ("prevalence", "sensitivity", "false_alarm", "seen", "answer"),
    [
        (0.01, 0.80, 0.096, True, 0.0776),  # the mammography question of textbooks, 7.8 % (from memory)
        (0.01, 0.80, 0.096, False, 0.00223),  # the same test negative, worked
        (0.001, 0.99, 0.05, True, 0.01943),  # one in a thousand, five percent false alarms: about 2 % (from memory)
        (0.005, 0.99, 0.01, True, 0.3322),  # drug test of textbooks, 33.2 % (from memory)
        (0.15, 0.80, 0.20, True, 0.41379),  # the cab problem: 12/29 (from memory)
    ],
)
def test_bayes_rule_on_textbook_questions(prevalence, sensitivity, false_alarm, seen, answer):
    stories = (story("dried_out", prevalence), story("age", 1 - prevalence))
    row = clue("a", sensitivity, sensitivity / false_alarm)
    assert posterior(stories, {"a": row}, {"a": seen})[0] == pytest.approx(answer, abs=6e-5)


@pytest.mark.parametrize("key", sorted(TABLES.drying_clues))
def test_expected_information_is_the_mutual_information_of_scipy(key):
    stories, row = tuple(TABLES.drying_stories.values()), TABLES.drying_clues[key]
    before, chance = prior(stories), chance_of_seeing(row, stories)
    joint = np.stack([before * chance, before * (1 - chance)])
    both = stats.entropy(joint.ravel(), base=2)
    mutual = stats.entropy(before, base=2) + stats.entropy(joint.sum(axis=1), base=2) - both
    assert information(stories, {key: row}, {})[key] == pytest.approx(mutual, abs=1e-12)


def test_a_clue_that_every_story_shows_alike_tells_nothing():
    stories = (story("dried_out", 1.0), story("age", 3.0))
    assert information(stories, {"a": clue("a", 0.4, 1.0)}, {})["a"] == pytest.approx(0.0, abs=1e-15)
    assert posterior(stories, {"a": clue("a", 0.4, 1.0)}, {"a": True}) == pytest.approx([0.25, 0.75])


def dating(key, low, high, reliability):
    return DatingClue(
        table="dating_clues",
        key=key,
        label=key,
        components=("hammers",),
        low=low,
        high=high,
        reliability=reliability,
        **OURS,
    )


def test_one_clue_is_a_mixture_of_two_uniforms_of_scipy():
    row, longest, flat = dating("a", 8, 20, 0.7), 100.0, 120.0
    inside, over = stats.uniform(8, 12), stats.uniform(0, longest)

    def mixed(year):
        return 0.7 * inside.pdf(year) + 0.3 / flat

    whole = integrate.quad(mixed, 0, longest, points=[8, 20])[0]
    found = weigh([row], longest, flat)
    for year in (4.0, 8.0, 11.0, 14.0, 20.0, 50.0, 90.0):
        expected = (0.7 * inside.cdf(year) + 0.3 / flat * longest * over.cdf(year)) / whole
        assert np.interp(year, found.years, found.cumulative) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("key", "strength"),
    # Strength 1 weak to 5 strong as practitioners weigh it: common practice, no source, from memory.
    [
        ("flat_throughout", 3),
        ("flat_soon", 4),
        ("returns_in_spring", 4),
        ("pins_loose", 4),
        ("pins_loose_in_line", 3),
        ("board_cracks_fresh", 4),
        ("shims_reopened", 4),
        ("ribs_or_rim_open", 3),
        ("crown_lost", 1),
        ("bridge_caps_split", 3),
        ("keytops_lifting", 3),
        ("keys_rattle", 2),
        ("screws_loose", 3),
        ("heads_clicking", 3),
        ("veneer_lines", 2),
        ("panels_warped", 2),
        ("centres_free", 3),
        ("winter_buzz", 4),
        ("air_dry_for_weeks", 5),
        ("heat_near", 2),
    ],
)
def test_strengths_of_the_clues(key, strength):
    assert TABLES.drying_clues[key].strength == strength


def test_a_stronger_clue_has_no_smaller_ratio_against_what_cannot_bring_it_about():
    rows = [row for row in TABLES.drying_clues.values() if row.role is not ClueRole.DAMP]
    best = {row.key: max(row.ratios.values()) for row in rows}
    for weak in rows:
        for strong in rows:
            if weak.strength < strong.strength:
                assert best[weak.key] <= best[strong.key], (weak.key, strong.key)
