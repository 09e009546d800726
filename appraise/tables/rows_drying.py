"""The rows of the tables about drying out: the stories that compete, and the clues to them."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING

from appraise.tables.rows import Row

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

    label: str
    odds: float
    """Before any clue, relative to the other stories [–]."""
    means: str
    """What it would mean for the owner."""
    advice: str
    """What to watch or do where it leads."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingClue(Row):
    """Something to look for that speaks for or against drying out."""

    label: str
    section: str
    """Where it is seen; clues of one section are not independent witnesses."""
    role: ClueRole
    strength: float
    """1 weak to 5 strong, as practitioners weigh it."""
    seen_if_dried: float
    """How often it is seen in an instrument that has dried out [–]."""
    ratios: Mapping[str, float] = field(default_factory=dict)
    """Rival story → likelihood ratio of seeing the clue, dried out against that rival [–]."""
    checks: tuple[str, ...] = ()
    """Checks of the walk that tell of it."""
    from_grade: float | None = None
    """Seen when one of the checks grades this or worse."""
    above: float | None = None
    """And its reading is not below this, in the check's unit."""
    below: float | None = None
    """And its reading is not above this, in the check's unit."""
    climates: tuple[str, ...] = ()
    """Seen where the case states one of these climates."""
    verdict: str = ""
    """Seen when the pitch log comes to this verdict."""
    other: str = ""
    """Other explanations, in words."""
