"""The search for the best plan against trying every plan there is."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from appraise.engine.plan import Prices, outcome, space, with_needs
from appraise.engine.plan_search import best

PARTS = ("block", "board", "strings", "hammers", "keys")
GATED = ("block", "board")

fractions = st.floats(0.0, 1.0, allow_nan=False)


@st.composite
def problems(draw):
    """A random set of jobs over a few components, with random costs and outcomes."""
    count = draw(st.integers(0, 6))
    jobs = {}
    for n in range(count):
        improves = tuple(draw(st.sets(st.sampled_from(PARTS), max_size=2)))
        earlier = [f"job{k}" for k in range(n)]
        requires = tuple(draw(st.sets(st.sampled_from(earlier), max_size=2))) if earlier else ()
        jobs[f"job{n}"] = (improves, requires)
    draws = draw(st.integers(1, 3))
    column = st.lists(fractions, min_size=draws, max_size=draws).map(np.array)
    left = {part: draw(column) for part in PARTS}
    gates = {part: np.where(draw(column) > 0.5, 1.0, draw(column)) for part in GATED}
    after, gates_after = {}, {}
    for key, (improves, _) in jobs.items():
        for part in improves:
            after[key, part] = np.minimum(left[part], draw(column))
            if part in GATED:
                gates_after[key, part] = np.maximum(gates[part], draw(column))
    costs = {key: draw(st.lists(st.floats(0.0, 3000.0), min_size=draws, max_size=draws).map(np.array)) for key in jobs}
    level = draw(st.lists(st.floats(100.0, 20000.0), min_size=draws, max_size=draws).map(np.array))
    room = {part: np.minimum(left[part], draw(column)) for part in draw(st.sets(st.sampled_from(PARTS)))}
    prices = Prices(level, dict.fromkeys(PARTS, 0.2), left, after, costs, gates, gates_after, room)
    return jobs, prices


def every_plan(plans, jobs):
    """Every set of jobs that holds all it requires; of the jobs that only mend one part, at most one a part."""
    needed = {key for _, requires in jobs.values() for key in requires}
    for flags in product((False, True), repeat=len(jobs)):
        chosen = frozenset(key for key, flag in zip(jobs, flags, strict=True) if flag)
        if not all(plans.jobs[key].requires <= chosen for key in chosen):
            continue
        alone = [jobs[key][0] for key in chosen if key not in needed and len(jobs[key][0]) == 1]
        if len(alone) == len(set(alone)):
            yield chosen


@given(problems())
def test_exact_against_brute_force(problem):
    jobs, prices = problem
    plans = space(jobs)
    found = best(plans, prices)
    tried = [(chosen, *outcome(plans, prices, chosen)[:2]) for chosen in every_plan(plans, jobs)]
    expected = np.max([worth - cost for _, worth, cost in tried], axis=0)
    np.testing.assert_allclose(found.gain, expected, rtol=1e-9, atol=1e-6)
    worth, cost, _ = outcome(plans, prices, found.plans[0])
    assert abs((worth - cost)[0] - found.gain[0]) <= 1e-6 + 1e-9 * abs(found.gain[0])


@given(problems(), st.sampled_from(PARTS), fractions)
def test_worse_condition_never_helps(problem, part, more):
    jobs, prices = problem
    plans = space(jobs)
    before = best(plans, prices).gain
    left = dict(prices.left)
    left[part] = left[part] + (1.0 - left[part]) * more
    # What putting the part right gives back grows with what it has lost.
    room = {key: given + (left[key] - prices.left[key]) for key, given in prices.room.items()}
    worse = replace(prices, left=left, room=room)
    assert (best(plans, worse).gain <= before + 1e-6).all()


@given(problems(), st.floats(0.0, 2000.0))
def test_dearer_remedy_never_helps(problem, extra):
    jobs, prices = problem
    if not jobs:
        return
    plans = space(jobs)
    costs = dict(prices.costs)
    costs["job0"] = costs["job0"] + extra
    dearer = replace(prices, costs=costs)
    assert (best(plans, dearer).gain <= best(plans, prices).gain + 1e-6).all()


def test_shared_step_is_paid_once():
    jobs = {
        "strings_off": ((), ()),
        "new_block": (("block",), ("strings_off",)),
        "new_board": (("board",), ("strings_off",)),
    }
    one = np.ones(1)
    prices = Prices(
        level=one * 10000.0,
        shares=dict.fromkeys(PARTS, 0.2),
        left={part: one * (0.9 if part in GATED else 0.1) for part in PARTS},
        after={("new_block", "block"): one * 0.0, ("new_board", "board"): one * 0.0},
        costs={"strings_off": one * 1000.0, "new_block": one * 900.0, "new_board": one * 900.0},
        gates={},
        gates_after={},
    )
    plans = space(jobs)
    # Each job alone brings 1800 for 1900; both together bring 3600 for 2800.
    assert best(plans, prices).plans[0] == {"strings_off", "new_block", "new_board"}
    assert outcome(plans, prices, with_needs(plans, "new_block"))[1][0] == 1900.0
    assert outcome(plans, prices, frozenset(jobs))[1][0] == 2800.0
