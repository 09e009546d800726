"""`python -m tests.faults`: cut the power everywhere in a piece of work, and print what came back."""

from __future__ import annotations

import argparse
import time
from datetime import UTC, datetime

from appraise import __version__
from appraise.tables.load import load_tables
from tests.faults.cuts import FAR, OTHER, cut_everywhere


def main() -> int:
    """Print the counts, with date and version.

    Returns:
        1 where something acknowledged was lost.
    """
    parser = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    parser.add_argument("--cuts", type=int, metavar="N", help="an even choice of so many states; all without it")
    parser.add_argument("--works", type=int, default=0, metavar="N", help="so many pieces of random work besides")
    asked, tables, begun = parser.parse_args(), load_tables(), time.monotonic()
    found = cut_everywhere(tables, asked.cuts) + cut_everywhere(tables, asked.cuts, there=FAR)
    for seed in range(asked.works):
        found += cut_everywhere(tables, asked.cuts, seed, there=(OTHER, FAR)[seed % 2])
    tried = sum(found.tried.values())
    by = ", ".join(f"{count} {what}" for what, count in found.tried.items())
    lost = "nothing acknowledged was lost" if not found.wrong else f"{sum(found.wrong.values())} WRONG"
    took = time.monotonic() - begun
    print(  # noqa: T201
        f"{datetime.now(UTC):%Y-%m-%d}, release {__version__}: {found.states} states that a power cut can leave, "
        f"{tried} reopened in {took:.0f} s ({by}): {lost}"
    )
    for words, count in found.wrong.most_common():
        print(f"{count} × {words}")  # noqa: T201
    return bool(found.wrong)


if __name__ == "__main__":
    raise SystemExit(main())
