"""The engine's depreciation laws and its value of a whole, reduced to single numbers for the examples here."""

from __future__ import annotations

import numpy as np

from appraise.engine.depreciation import depreciation
from appraise.engine.life import weibull
from appraise.engine.plan import Prices, outcome, space
from appraise.engine.plan_search import best_gains


def share_lost(law, age, life, tables, grade=1.0):
    """Return the engine's depreciation [–] at one age and one fixed life [years]."""
    # The laws used here know the median life alone; how lives spread about it does not enter.
    spread = weibull(0.5 * life, life, 1.5 * life)
    return float(depreciation(law, np.array([float(age)]), grade, spread, float(life), 0.0, tables)[0])


def prices(level, parts, after=None, costs=None):
    """Return what the engine's value of a whole needs.

    Args:
        level: Cost new of the whole [money].
        parts: Part → (its cost new [money], depreciation [–]).
        after: (job, part) → depreciation once the job is done [–].
        costs: Job → its cost [money].
    """
    return Prices(
        level=np.array([float(level)]),
        shares={part: cost / level for part, (cost, _) in parts.items()},
        left={part: np.array([loss]) for part, (_, loss) in parts.items()},
        after={key: np.array([loss]) for key, loss in (after or {}).items()},
        costs={job: np.array([float(cost)]) for job, cost in (costs or {}).items()},
        gates={},
        gates_after={},
    )


def best_course(plans, ours, handling, salvage):
    """Return the greatest of every plan, less carriage and holding, and of salvage [money], shape (n,)."""
    return np.maximum(best_gains(plans, ours, [ours.level])[0] - handling, salvage)


def money_lost(level, parts):
    """Return the depreciation of a whole made of parts [money], as the engine adds it up."""
    worth, _, _ = outcome(space({}), prices(level, parts), frozenset())
    return float(level - worth[0])
