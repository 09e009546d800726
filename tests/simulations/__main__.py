"""`python -m tests.simulations`: coverage of the range, promises kept, and what own sales teach."""

from __future__ import annotations

import argparse
import sys

from appraise.tables.load import load_tables
from tests.simulations.coverage import SEEN, coverage
from tests.simulations.market import proof
from tests.simulations.pianos import AGES
from tests.simulations.promise import promise


def main() -> None:
    """Simulate and print a line for each instrument."""
    parser = argparse.ArgumentParser(prog="python -m tests.simulations", description=__doc__)
    parser.add_argument("--pianos", type=int, default=2000, help="simulated pianos for each coverage")
    parser.add_argument("--visits", type=int, default=200, help="simulated visits for each promise")
    parser.add_argument("--minutes", type=float, nargs="+", default=[10.0, 30.0, 90.0], help="lengths of the visits")
    parser.add_argument("--only", choices=("coverage", "promise", "market"), help="one of the three")
    parser.add_argument("--sales", type=int, nargs="+", default=[6, 40, 200, 1000], help="own sales learned from")
    parser.add_argument("--markets", type=int, default=5, help="times that sales are drawn")
    parser.add_argument("--prices", type=int, default=120, help="prices each time that nobody learned from")
    parser.add_argument("--basis", default="retail", help="kind of sale")
    args = parser.parse_args()
    tables = load_tables()
    out = sys.stdout.write
    if args.only in (None, "market"):
        for line in proof(args.sales, args.markets, args.prices, tables):
            out(f"{line}\n")
            sys.stdout.flush()
    if args.only in (None, "promise"):
        for kind, age in AGES:
            for minutes in args.minutes:
                kept = promise(kind, age, minutes, args.visits, tables, basis=args.basis)
                out(
                    f"promise {kind} {age} years, {minutes:.0f} min: {kept.promised:.1f} % promised, "
                    f"{kept.realised:.1f} ± {kept.error:.1f} % kept, ratio {kept.ratio:.2f}\n"
                )
                sys.stdout.flush()
    if args.only in (None, "coverage"):
        for kind, age in AGES:
            for seen in SEEN:
                found = coverage(kind, age, seen, args.pianos, tables, basis=args.basis)
                out(
                    f"coverage {kind} {age} years, {100 * seen:.0f} % seen: {100 * found.share:.1f} % "
                    f"(below {100 * found.below / found.pianos:.1f}, above {100 * found.above / found.pianos:.1f}), "
                    f"relative width {found.width:.2f}\n"
                )
                sys.stdout.flush()


if __name__ == "__main__":
    main()
