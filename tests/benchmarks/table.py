"""What every benchmark shares: the sample, the clock, the fit, and a line of the table."""

from __future__ import annotations

import os
import subprocess
import time
from math import log
from pathlib import Path

FRAME_MS = 1000.0 / 60.0
SAMPLE = Path(__file__).resolve().parents[2] / "sample_cases" / "renewed_grand.toml"


def best(action, times: int) -> float:
    """Return the shortest of several runs [s]."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        action()
        found.append(time.perf_counter() - start)
    return min(found)


def process(*arguments: str) -> float:
    """Return the shortest run of a whole process [s]."""
    environment = {**os.environ, "TEXTUAL_ANIMATIONS": "none"}

    def run() -> None:
        subprocess.run(arguments, check=True, capture_output=True, env=environment)

    return best(run, 5)


def line(name: str, ours: float, reference: str, theirs: float, aim: str = "") -> None:
    """Print one ratio."""
    print(f"{name:<44}{ours * 1e3:>9.1f} ms{theirs * 1e3:>9.1f} ms{ours / theirs:>8.2f}   {reference}{aim}")


def exponent(sizes, seconds) -> float:
    """Return the power with which cost grows with size: the slope of a straight line through their logarithms."""
    xs, ys = [log(size) for size in sizes], [log(spent) for spent in seconds]
    mean_x, mean_y = sum(xs) / len(xs), sum(ys) / len(ys)
    return sum((x - mean_x) * (y - mean_y) for x, y in zip(xs, ys, strict=True)) / sum((x - mean_x) ** 2 for x in xs)
