"""Odds from clues: which of several stories explains best what is seen, and what to look for next."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from appraise.tables.rows_measurements import DRIED_OUT

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from appraise.tables.rows_measurements import DryingClue, DryingStory


def prior(stories: Sequence[DryingStory]) -> NDArray[np.float64]:
    """Return the probability of each story before any clue [–], shape (stories,)."""
    odds = np.array([story.odds for story in stories], dtype=np.float64)
    found: NDArray[np.float64] = odds / odds.sum()
    return found


def chance_of_seeing(clue: DryingClue, stories: Sequence[DryingStory]) -> NDArray[np.float64]:
    """Return the probability that the clue is seen under each story [–], shape (stories,), inside (0, 1).

    Seen if dried out as often as the row says; under a rival that, over the likelihood ratio against it.
    """
    seen = clue.seen_if_dried
    return np.array([seen if story.key == DRIED_OUT else seen / clue.ratios[story.key] for story in stories])


def posterior(
    stories: Sequence[DryingStory], clues: Mapping[str, DryingClue], observed: Mapping[str, bool]
) -> NDArray[np.float64]:
    """Return the probability of each story after the clues [–], shape (stories,), summing to 1.

    Args:
        stories: Taken to exclude one another.
        clues: Rows by key.
        observed: Key of a clue → seen, or looked for and not there. Their order does not matter.

    References:
        Bayes' rule with the clues independent given the story: odds times likelihood ratios.
    """
    logs = np.log(prior(stories))
    for key in sorted(observed):
        chance = chance_of_seeing(clues[key], stories)
        logs = logs + np.log(chance if observed[key] else 1.0 - chance)
    weights = np.exp(logs - logs.max())
    found: NDArray[np.float64] = weights / weights.sum()
    return found


def moved(
    stories: Sequence[DryingStory], clues: Mapping[str, DryingClue], observed: Mapping[str, bool]
) -> dict[str, float]:
    """Return by how much each clue moves the log odds of "dried out" [–], against leaving that clue out."""
    at = [story.key for story in stories].index(DRIED_OUT)
    whole = _log_odds(posterior(stories, clues, observed)[at])
    found = {}
    for key in sorted(observed):
        others = {name: seen for name, seen in observed.items() if name != key}
        found[key] = whole - _log_odds(posterior(stories, clues, others)[at])
    return found


def information(
    stories: Sequence[DryingStory], clues: Mapping[str, DryingClue], observed: Mapping[str, bool]
) -> dict[str, float]:
    """Return what looking for each clue not yet looked for can be expected to tell [bit].

    Returns:
        By clue: entropy of the stories now, less its mean after looking; never below 0.

    References:
        D. V. Lindley, "On a measure of the information provided by an experiment", Annals of Mathematical Statistics
        27, 1956 (from memory); C. E. Shannon's entropy.
    """
    now = posterior(stories, clues, observed)
    found = {}
    for key, clue in clues.items():
        if key in observed:
            continue
        chance = chance_of_seeing(clue, stories)
        mean = 0.0
        for likelihood in (chance, 1.0 - chance):
            joint = now * likelihood
            mean += float(joint.sum()) * _entropy(joint / joint.sum())
        found[key] = max(0.0, _entropy(now) - mean)
    return found


def _entropy(probabilities: NDArray[np.float64]) -> float:
    held = probabilities[probabilities > 0.0]
    return float(-np.sum(held * np.log2(held)))


def _log_odds(probability: float) -> float:
    kept = min(max(float(probability), 1e-12), 1.0 - 1e-12)
    return float(np.log(kept / (1.0 - kept)))
