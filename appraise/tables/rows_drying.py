"""The rows of the tables about drying out: the stories that compete, and the clues to them."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.tables import columns as read
from appraise.tables.columns import cell
from appraise.tables.row import Row

if TYPE_CHECKING:
    from collections.abc import Mapping


DRIED_OUT = "dried_out"
"""The story of `drying_stories` that every other is weighed against."""


class ClueRole(StrEnum):
    """What a clue to drying speaks of."""

    DAMAGE = "damage"
    """What drying does to wood and glue."""
    HISTORY = "history"
    """That the air was dry for long: the cause, not the damage."""
    CONTEXT = "context"
    """What makes dry air likely."""
    DAMP = "damp"
    """The opposite: signs of damp."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingStory(Row):
    """One of the stories that compete to explain what is seen."""

    label: str = cell(read.filled)
    odds: float = cell(read.between(1e-06, 1000000.0))
    """Before any clue, relative to the other stories [–]."""
    means: str = cell(read.filled)
    """What it would mean for the owner."""
    advice: str = cell(read.filled)
    """What to watch or do where it leads."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingClue(Row):
    """Something to look for that speaks for or against drying out."""

    label: str = cell(read.filled)
    section: str = cell(read.filled)
    """Where it is seen; clues of one section are not independent witnesses."""
    role: ClueRole = cell(read.choice(ClueRole))
    strength: float = cell(read.between(1.0, 5.0))
    """1 weak to 5 strong, as practitioners weigh it."""
    seen_if_dried: float = cell(read.between(0.001, 0.999))
    """How often it is seen in an instrument that has dried out [–]."""
    ratios: Mapping[str, float] = cell(read.factors, factory=dict, required=True)
    """Rival story → likelihood ratio of seeing the clue, dried out against that rival [–]."""
    checks: tuple[str, ...] = cell(read.names, ())
    """Checks of the walk that tell of it."""
    from_grade: float | None = cell(read.grade, None)
    """Seen when one of the checks grades this or worse."""
    above: float | None = cell(read.number, None)
    """And its reading is not below this, in the check's unit."""
    below: float | None = cell(read.number, None)
    """And its reading is not above this, in the check's unit."""
    climates: tuple[str, ...] = cell(read.names, ())
    """Seen where the case states one of these climates."""
    verdict: str = cell(read.text, "")
    """Seen when the pitch log comes to this verdict."""
    other: str = cell(read.text, "")
    """Other explanations, in words."""
