"""An outline's lines as a tree, for the writers whose lists stand inside each other."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from appraise.report.document import Outline

DEEPEST = 12
"""Lists within lists; what lies deeper stands beside its parent."""


@dataclass(slots=True)
class Branch:
    """One line, with the lines below it."""

    text: str
    below: list[Branch] = field(default_factory=list)


def branches(outline: Outline) -> list[Branch]:
    """Return the lines of an outline that stand at the top, each with those below it.

    A line that jumps deeper than one step below the line before it is taken as one step below.
    """
    top: list[Branch] = []
    open_lists = [top]
    for depth, text in outline.entries:
        del open_lists[min(depth, DEEPEST - 1) + 1 :]
        branch = Branch(text)
        open_lists[-1].append(branch)
        open_lists.append(branch.below)
    return top
