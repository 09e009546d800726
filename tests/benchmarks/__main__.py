"""One table of ratios, each measured against something that runs in the same minute on the same machine.

Run with `python -m tests.benchmarks` from the checkout. The best of several runs is taken: what disturbs a run only
ever makes it slower.
"""

from __future__ import annotations

import argparse

from tests.benchmarks.commands import commands, listing, tables
from tests.benchmarks.documents import full_report
from tests.benchmarks.engine import charts, recomputation
from tests.benchmarks.files import journal, logger_file
from tests.benchmarks.growth import growth
from tests.benchmarks.ranked import ranking
from tests.benchmarks.screens import graded, starts, strip
from tests.benchmarks.table import SAMPLE, line


def documents() -> None:
    """A case file to the full report as PDF, against an office suite printing a spreadsheet of the same case."""
    times = full_report(SAMPLE)
    if times is None:
        print("case file to full PDF, whole process: skipped: no soffice")
    else:
        line("case file to full PDF, whole process", times[0], "LibreOffice, spreadsheet to PDF", times[1], ", aim ≤ 1")


def main() -> None:
    """Print every ratio, or those asked for."""
    parts = {
        "commands": (commands, tables, listing),
        "engine": (recomputation, charts),
        "files": (logger_file, journal),
        "screens": (starts, strip, graded),
        "growth": (growth,),
        "documents": (documents,),
        "ranking": (lambda: ranking(asked.cases),),
    }
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--cases", type=int, default=5000, metavar="N", help="candidates to rank (5000)")
    parser.add_argument("--only", choices=tuple(parts), action="append", help="this alone; again for another")
    asked = parser.parse_args()
    print(f"{'':<44}{'ours':>12}{'reference':>12}{'ratio':>8}")
    for part, measures in parts.items():
        if asked.only is None or part in asked.only:
            for measure in measures:
                measure()


if __name__ == "__main__":
    main()
