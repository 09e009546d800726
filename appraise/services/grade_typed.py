"""A condition grade as it is typed: whole or half, with a point, a comma, a fraction, or the 5 alone."""

from __future__ import annotations

import re

_GRADE = re.compile(r"([1-5])(?:(?P<whole>[.,]0)|(?P<half>[.,]5?|½|5))?\Z", re.ASCII)


def grade_typed(text: str) -> float | None:
    """Return the grade that a text names; none where it names none.

    "2" is 2; "2.", "2.5", "2,5", "2½" and "25" are 2.5.
    """
    match = _GRADE.match(text.strip())
    if match is None:
        return None
    grade = float(match[1]) + (0.5 if match["half"] else 0.0)
    return grade if grade <= 5.0 else None
