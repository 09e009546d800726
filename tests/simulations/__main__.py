"""`python -m tests.simulations`: coverage of the range and promises kept, with as many simulated pianos as asked."""

from __future__ import annotations

import argparse
import sys

from appraise.tables.load import load_tables
from tests.simulations.coverage import SEEN, coverage
from tests.simulations.pianos import AGES
from tests.simulations.promise import promise


def main() -> None:
    """Simulate and print a line for each instrument."""
    parser = argparse.ArgumentParser(prog="python -m tests.simulations", description=__doc__)
    parser.add_argument("--pianos", type=int, default=2000, help="simulated pianos for each coverage")
    parser.add_argument("--visits", type=int, default=200, help="simulated visits for each promise")
    parser.add_argument("--minutes", type=float, nargs="+", default=[10.0, 30.0, 90.0], help="lengths of the visits")
    parser.add_argument("--only", choices=("coverage", "promise"), help="one of the two")
    parser.add_argument("--basis", default="retail", help="kind of sale")
    args = parser.parse_args()
    tables = load_tables()
    out = sys.stdout.write
    if args.only != "coverage":
        for kind, age in AGES:
            for minutes in args.minutes:
                kept = promise(kind, age, minutes, args.visits, tables, basis=args.basis)
                out(
                    f"promise {kind} {age} years, {minutes:.0f} min: {kept.promised:.1f} % promised, "
                    f"{kept.realised:.1f} ± {kept.error:.1f} % kept, ratio {kept.ratio:.2f}\n"
                )
                sys.stdout.flush()
    if args.only != "promise":
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
