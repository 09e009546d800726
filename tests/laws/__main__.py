"""`python -m tests.laws`: every law over as many random cases as asked, the breaks listed and kept."""

from __future__ import annotations

import argparse
import pickle
import sys
import time
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

from tests.helpers.cases import cases
from tests.laws.broken import (
    apart,
    law_names,
    less_sure,
    like_sales,
    narrowed,
    not_like,
    out_of_bounds,
    raised,
    shuffled,
    times,
    valued,
)
from tests.laws.pairs import broken as unbounded
from tests.laws.pairs import compared, pairs
from tests.laws.worse import TABLES, WORSE

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.model.loss import Terms

ALIKE = (
    ("overruled_grade", "general_grade"),
    ("labour", "parts", "contingency", "overhead"),
    ("margin", "holding", "carriage", "stairs", "removal"),
)
"""Of laws so much alike one is tried in each case."""


def main() -> None:
    """Check every law of every case and print how many held."""
    parser = argparse.ArgumentParser(prog="python -m tests.laws", description=__doc__)
    parser.add_argument("--cases", type=int, default=4000)
    parser.add_argument("--draws", type=int, default=64)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", nargs="+", choices=law_names(), default=law_names(), help="some of the laws")
    parser.add_argument("--kept", type=Path, help="file to which the broken pairs of cases are written (pickle)")
    args = parser.parse_args()
    tried: Counter[str] = Counter()
    broken: dict[str, list[tuple[float, dict[str, float], tuple[object, ...]]]] = {}
    begun = time.monotonic()

    def note(law: str, found: dict[str, float], *kept: object) -> None:
        tried[law] += 1
        if found:
            broken.setdefault(law, []).append((max(map(abs, found.values())), found, kept))

    def tell() -> None:
        sys.stdout.write(f"--- {max(tried.values())} cases, {time.monotonic() - begun:.0f} s\n")
        for law in tried:
            breaks = broken.get(law, [])
            worst = max((size for size, _, _ in breaks), default=0.0)
            middles = sum(any("mid" in name for name in found) for _, found, _ in breaks)
            beyond = sum(size > 1.0 for size, _, _ in breaks)
            sys.stdout.write(
                f"{law}: {len(breaks)} of {tried[law]} broken ({middles} at the middle, {beyond} by more than a step, "
                f"worst {worst:.3g} steps)\n"
            )
        sys.stdout.flush()
        if args.kept:
            args.kept.write_bytes(pickle.dumps(broken))

    many = settings(
        max_examples=args.cases,
        deadline=None,
        database=None,
        derandomize=False,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )

    @seed(args.seed)
    @many
    @given(cases(TABLES, priced=True), st.data())
    def every(case: object, data: st.DataObject) -> None:
        base = valued(case, args.draws)
        sold = " (with sales)" if case.market.comparables else ""
        note("bounds", out_of_bounds(base, case), case)
        alike = [data.draw(st.sampled_from(names)) for names in ALIKE]
        for name, law in WORSE.items():
            wanted = name in args.only and (name in alike or not any(name in names for names in ALIKE))
            pair = law(data.draw, case) if wanted else None
            if pair is not None:
                one, two = pair
                better = base if one is case else valued(one, args.draws)
                note(name + sold, raised(better, valued(two, args.draws)), one, two)
        if "order" in args.only:
            other = shuffled(data.draw, case)
            note("order", apart(base, valued(other, args.draws)), case, other)
        if "scale" in args.only:
            k = data.draw(st.sampled_from(["0.01", "7", "1000"]))
            scaled = times(case, k)
            note("scale", apart(base, valued(scaled, args.draws), float(k)), case, scaled)
        if "less_sure" in args.only and (doubted := less_sure(data.draw, case)) is not None:
            many_draws = max(1024, args.draws)  # a width by few draws is chance
            found = narrowed(valued(case, many_draws), valued(doubted, many_draws))
            note("less_sure" + sold, found, case, doubted)
        if "like_sales" in args.only and (like := like_sales(data.draw, case)) is not None:
            note("like_sales", not_like(*like, args.draws), like[0])
        if tried["bounds"] % 100 == 0:
            tell()

    @seed(args.seed)
    @many
    @given(pairs())
    def losses(pair: tuple[Case, Case, Terms]) -> None:
        note("loss", unbounded(compared(pair, args.draws)), *pair)
        if tried["loss"] % 100 == 0:
            tell()

    if set(args.only) - {"loss"}:
        every()
    if "loss" in args.only:
        losses()
    tell()


if __name__ == "__main__":
    main()
