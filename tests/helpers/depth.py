"""How deep the tests go: every case with `--deep`, as a change must pass, else a sample of each law, sooner."""

from __future__ import annotations

import math
from collections import defaultdict
from typing import TYPE_CHECKING, TypeVar
from zlib import crc32

from hypothesis import settings

if TYPE_CHECKING:
    from collections.abc import Sequence

_T = TypeVar("_T")

EXAMPLES = 30
"""Random cases that a property meets in a deep run, where it does not ask for another number."""
_SHARE = 0.25
"""Of them in a quick run."""
_MOST = 30
"""In a quick run, however many a property wants in a deep one."""

SAMPLED = {
    "cli/test_check_report.py": 4,
    "cli/test_guide.py": 3,
    "cli/test_rank.py": 3,
    "cli/test_rank.py::test_peak_memory": 1,
    "cli/test_schema.py": 4,
    "cli/test_terminals.py": 2,
    "cli/test_tamperings.py": 8,
    "cli/test_why_offer.py": 3,
    "faults/test_every_call.py": 3,
    "faults/test_strace.py": 4,
    "fuzz/test_found.py": 10,
    "fuzz/test_sizes.py": 3,
    "hygiene/test_imports.py": 5,
    "hygiene/test_own_rows.py": 4,
    "report/test_amendments.py": 1,
    "report/test_charts.py": 3,
    "report/test_commands.py": 4,
    "report/test_dossier_pages.py": 1,
    "report/test_formats_agree.py": 8,
    "report/test_kinds.py": 8,
    "report/test_letterhead.py": 6,
    "report/test_letters.py": 2,
    "report/test_loss.py": 3,
    "report/test_markdown.py": 8,
    "report/test_pages.py": 2,
    "report/test_pdf.py": 4,
    "report/test_places.py": 2,
    "report/test_rationale.py": 5,
    "report/test_user_text.py": 3,
    "screens/": 1,
    "screens/test_snapshots.py": 14,
    "screens/test_arrival.py": 4,
    "security/test_network.py": 5,
    "security/test_outputs.py": 8,
    "store/test_comments.py": 4,
    "terminal/": 1,
    "unit/test_monotone.py": 5,
    "unit/test_process_pool.py": 1,
    "unit/test_ranking.py": 4,
    "unit/test_reasons_add_up.py": 4,
    "unit/test_sales_learning.py": 2,
    "unit/test_simulated_pianos.py": 1,
}
"""Cases of one parametrised test in a quick run, by the beginning of its address: the longest that fits counts.

Here stand the files whose cases start a process, draw a screen, set a PDF or value an instrument; all others run whole.
"""


ALIKE = ("fuzz/", "hygiene/", "published/", "store/", "unit/")
"""Folders where a deep run differs only in what a file asks of this module or of hypothesis: no screens or commands."""


def register_profiles(*, deep: bool, **options: object) -> None:
    """Tell hypothesis how many random cases there are; from then on `is_deep`, `examples` and `whole` know it too."""
    settings.register_profile("deep", max_examples=EXAMPLES, **options)
    settings.register_profile("quick", max_examples=math.ceil(EXAMPLES * _SHARE), **options)
    settings.load_profile("deep" if deep else "quick")


def is_deep() -> bool:
    """Return whether this run tries everything."""
    return settings().max_examples >= EXAMPLES


def whole(all_of_it: _T, sample: _T) -> _T:
    """Return what a deep run takes, else its sample."""
    return all_of_it if is_deep() else sample


def examples(deep: int) -> int:
    """Return the number of random cases of a property that wants so many in a deep run."""
    return whole(deep, min(_MOST, math.ceil(deep * _SHARE)))


def chosen(items: Sequence[_T], most: int, name: str) -> list[_T]:
    """Return so many of the cases of one test, spread evenly; where they begin hangs on the name alone."""
    count = len(items)
    if count <= most:
        return list(items)
    first = crc32(name.encode()) % count
    places = sorted({(first + int(step * count / most)) % count for step in range(most)})
    return [items[place] for place in places]


def limit_of(address: str) -> int | None:
    """Return how many cases of a test run, by its address below tests/ or its file's; none: all of them."""
    fitting = [start for start in SAMPLED if address.startswith(start)]
    return SAMPLED[max(fitting, key=len)] if fitting else None


def sampled(nodeids: Sequence[str]) -> set[str]:
    """Return which of the tests collected run in a quick run: never none of one test."""
    cases: dict[str, list[str]] = defaultdict(list)
    for nodeid in nodeids:
        cases[nodeid.partition("[")[0]].append(nodeid)
    kept: set[str] = set()
    for name, found in cases.items():
        most = limit_of(name.removeprefix("tests/"))
        # Several begin by the file, so that what its tests look at in turn is made for few cases; one by the test.
        start = name if most == 1 else name.partition("::")[0]
        kept.update(found if most is None else chosen(found, most, start))
    return kept


def is_alike(address: str, source: str) -> bool:
    """Return whether a test does the same in a quick run as in a deep one.

    Args:
        address: Of the test, below tests/.
        source: The text of its file.
    """
    follows = "depth" in source or "hypothesis" in source
    return address.startswith(ALIKE) and limit_of(address) is None and not follows
