"""Try many broken inputs: `python -m tests.fuzz --inputs 200000`, `python -m tests.fuzz --guided 100000`.

An input that failed is tried again with `--seed S --first N --inputs 1`.
"""

from __future__ import annotations

import argparse
import resource
import sys
import tempfile
import time
from pathlib import Path

CHUNK = 10_000
"""Inputs between two words on how far it has come."""

MEMORY = 3 * 1024**3
"""Address space allowed [bytes]: the libraries alone map nearly one."""


def main() -> int:
    """Run, and print what was tried and what failed."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("--inputs", type=int, default=20_000, metavar="N", help="inputs to try (20,000)")
    parser.add_argument("--seed", type=int, default=0, metavar="N", help="another seed, other inputs")
    parser.add_argument("--first", type=int, default=0, metavar="N", help="number of the first input")
    text = "instead, N inputs chosen by what code they reach (needs the package atheris)"
    parser.add_argument("--guided", type=int, metavar="N", help=text)
    args = parser.parse_args()
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    if args.guided:
        from tests.fuzz.guided import guided

        return guided(args.guided, args.seed)
    from tests.fuzz.run import Fuzzer, Tally

    started = time.perf_counter()
    with tempfile.TemporaryDirectory(prefix="fuzz-") as folder:
        fuzzer, tally, last = Fuzzer(Path(folder), args.seed), Tally(), args.first + args.inputs
        for first in range(args.first, last, CHUNK):
            tally = fuzzer.run(min(CHUNK, last - first), first)
            told = f"{tally.tried.total():,} tried, {len(tally.failures)} kinds of failure"
            print(f"{told}, {time.perf_counter() - started:.0f} s", file=sys.stderr, flush=True)
    for kind, count in sorted(tally.tried.items()):
        print(f"{kind:10} {count:8,} tried, {tally.accepted[kind]:8,} accepted")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{tally.tried.total():,} inputs in {time.perf_counter() - started:.0f} s, at most {peak:.0f} MB")
    for place, trace in tally.failures.items():
        print(f"\nFAILED {place}\n{trace}")
    return 1 if tally.failures else 0


if __name__ == "__main__":
    sys.exit(main())
