"""Values nobody should send, and somebody will: in files, cells, keys, words of a command, and what is written out."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from random import Random

FORMULAS = (
    "=1+1",
    "+1",
    "-1",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "=cmd|' /C calc'!A0",
    "＝1",
    "＋1",
    "－1",
    "＠A1",
    " =1",
    "\u200b=1",
)
"""What a spreadsheet would reckon with, and what looks or is laid out like it."""

TEXTS = (
    "",
    " ",
    "\t",
    "\n",
    "x" * 400,
    "ü" * 200,
    "[/b] [bold] [@click=app.quit]x[/]",
    "\x1b[2J\x1b]0;title\x07",
    "\x9b31m",
    "\u202eterces\u202c",
    "a\u200bb\u2060c\ufeffd",
    "\u2028\u2029",
    "\U000e0041\U000e007f",
    "<script>alert(1)</script>",
    "[here](javascript:alert(1))",
    "![x](http://example.invalid/x.png)",
    *FORMULAS,
    "../../etc/passwd",
    "/etc/passwd",
    "C:\\windows",
    "\\\\host\\share",
    "%s%n{0}",
    "$HOME `id`",
    "nan",
    "inf",
    "1e999",
    "1_000",
    "٣",
    "½",
    "²",
    "−7,4",
    "7.4.4",
    "1,234.5",
    "--",
    "-o",
    "None",
    "null",
    "true",
    "1925/1931",
    "1931/1925",
    "9999-12-31",
    "0001-01-01",
    "2026-02-30",
    "A4",
    "H9",
    "46-58",
    "58-46",
    "1-99999999999",
    "A4=7.4",
    "=",
    "A4=",
    "46-58=51",
    "65 in·lb",
    "7 km",
    "1e5 mm",
    "0",
    "-0",
    "00001",
    "99999999999999999999",
    "\ud800",
)
"""Texts."""

NUMBERS: tuple[Any, ...] = (
    0,
    1,
    -1,
    2,
    3,
    5,
    88,
    89,
    255,
    1600,
    1931,
    9999,
    10_000,
    2**31,
    2**63 - 1,
    -(2**63),
    10**30,
    10**400,
    0.0,
    -0.0,
    0.1,
    2.5,
    1e-320,
    5e-324,
    1e12,
    1e300,
    float("nan"),
    float("inf"),
    float("-inf"),
)
"""Numbers."""

MOMENTS: tuple[Any, ...] = (
    date(1, 1, 1),
    date(1599, 12, 31),
    date(1931, 5, 12),
    date(2026, 11, 20),
    date(2500, 1, 1),
    date(9999, 12, 31),
    datetime(2026, 11, 20, 10, 0),
    datetime(2026, 11, 20, 10, 0, tzinfo=UTC),
    time(10, 0),
)
"""Days and times."""


def value(random: Random, depth: int = 0) -> Any:
    """Return a value of any type TOML has."""
    choice = random.randrange(8 if depth < 3 else 5)
    if choice == 0:
        return random.choice((True, False))
    if choice in (1, 2):
        return text(random)
    if choice == 3:
        return random.choice(NUMBERS)
    if choice == 4:
        return random.choice(MOMENTS)
    if choice == 5:
        return [value(random, depth + 1) for _ in range(random.randrange(4))]
    if choice == 6:
        return [{text(random): value(random, depth + 1)} for _ in range(random.randrange(3))]
    return {text(random): value(random, depth + 1) for _ in range(random.randrange(4))}


def text(random: Random) -> str:
    """Return a text that TOML can hold: a hostile one, or two joined."""
    words = random.choice(TEXTS[:-1])
    return words + random.choice(TEXTS[:-1]) if random.random() < 0.1 else words


def misspelt(random: Random, word: str) -> str:
    """Return a word with one slip of the finger."""
    if not word:
        return "x"
    place = random.randrange(len(word))
    return random.choice(
        (
            word[:place] + word[place + 1 :],
            word[:place] + word[place] + word[place:],
            word[:place] + random.choice("aeiouxyz_") + word[place + 1 :],
            word.upper(),
            word[::-1],
            f"{word}_",
        )
    )
