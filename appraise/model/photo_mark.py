"""An arrow or a circle on a photo, as the case keeps it: `circle 40 62`, per cent from the left and from the top."""

from __future__ import annotations

import re

from appraise.model.lazy_dataclass import dataclass

_PER_CENT = r"(100|\d{1,2}(?:\.\d)?)"

FORM = rf"^(?:(arrow|circle) {_PER_CENT} {_PER_CENT})?$"
"""Form of such a text; empty: no mark."""


@dataclass(frozen=True, slots=True)
class Mark:
    """The tip of an arrow, or the middle of a circle."""

    shape: str
    """`arrow` or `circle`."""
    x: float
    """From the left edge of the upright picture [% of its width]."""
    y: float
    """From its top edge [% of its height]."""


def mark_of(text: str) -> Mark | None:
    """Return the mark that a text names; none where it names none, or is none."""
    found = re.match(FORM, text)
    if found is None or found[1] is None:
        return None
    return Mark(found[1], float(found[2]), float(found[3]))
