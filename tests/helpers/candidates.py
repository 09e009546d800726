"""Folders of candidates: the sample cases with other serials, years, grades and prices."""

from __future__ import annotations

import random
import re
from functools import cache
from typing import TYPE_CHECKING

from appraise.tables.folder import data_folder

if TYPE_CHECKING:
    from pathlib import Path

PER_FOLDER = 500
"""Files of one folder, so that a walk has folders below to enter."""


@cache
def _texts() -> tuple[str, ...]:
    return tuple(path.read_text(encoding="utf-8") for path in sorted(data_folder("sample_cases").glob("*.toml")))


def candidate(n: int) -> str:
    """Return the text of the nth case file: always the same, and unlike any other."""
    texts = _texts()
    text = texts[n % len(texts)]
    chance = random.Random(n)
    made = chance.randint(-6, 6)
    price = chance.uniform(0.8, 1.25)

    def graded(match: re.Match[str]) -> str:
        return f"{match[1]}{min(5.0, max(1.0, float(match[2]) + chance.choice((-0.5, 0.0, 0.0, 0.5)))):g}"

    def dated(match: re.Match[str]) -> str:
        return f"{match[1]}{int(match[2]) + made}"

    def priced(match: re.Match[str]) -> str:
        return f'{match[1]}"{round(float(match[2]) * price, -1):.0f}"'

    text = re.sub(r'^(serial = )".*"$', rf'\g<1>"{10_000 + n}"', text, flags=re.MULTILINE)
    text = re.sub(r"^(grade = )(\d(?:\.5)?)$", graded, text, flags=re.MULTILINE)
    text = re.sub(r"^(made = )(\d{4})$", dated, text, flags=re.MULTILINE)
    text = re.sub(r'^(replacement_cost_(?:new|low|high) = )"([\d.]+)"$', priced, text, flags=re.MULTILINE)
    return f"{text}\n# {n}\n"


def fill(folder: Path, count: int) -> None:
    """Write so many candidates into folders below this one."""
    for n in range(count):
        place = folder / f"{n // PER_FOLDER:03d}"
        place.mkdir(parents=True, exist_ok=True)
        (place / f"{n:05d}.toml").write_text(candidate(n), encoding="utf-8")
