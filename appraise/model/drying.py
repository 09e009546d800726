"""What the clues to drying say together: their weights, the odds of each explanation, and the conclusion."""

from __future__ import annotations

from appraise.model.lazy_dataclass import dataclass


@dataclass(frozen=True, slots=True)
class ClueEvidence:
    """A clue that was looked for."""

    clue: str
    seen: bool
    origin: str
    """assessor | check | climate | pitch log: whose word it is."""
    check: str = ""
    """The check it follows from."""
    moved: float = 0.0
    """By how much it moves the log odds of "dried out" [–]."""


@dataclass(frozen=True, slots=True)
class Explanation:
    """One story's probability."""

    key: str
    before: float
    """Before any clue [–]."""
    after: float
    """[–], the stories sum to 1."""


@dataclass(frozen=True, slots=True)
class DryingAssessment:
    """What the clues together say."""

    stories: tuple[Explanation, ...]
    """In table order."""
    witnesses: tuple[ClueEvidence, ...]
    """In table order."""
    most: str
    """Clue that moved "dried out" most, either way; empty without clues."""
    next_clues: tuple[tuple[str, float], ...]
    """Clues not yet looked for, and what looking can be expected to tell [bit], most first."""
    strong: tuple[str, ...]
    """Strong clues of damage seen, at most one a section."""
    dry_history: bool
    """The air is known to have been dry for long."""
    damp: bool
    """Signs of damp were seen."""
    conclusion: str
    """dried_out | suspected | one of the other stories | open | nothing (no sign of damage or damp seen)."""

    def after(self, story: str) -> float:
        """Return one story's probability after the clues [–]."""
        return next(one.after for one in self.stories if one.key == story)
