"""The reason tree by address, so that sentences, tables and JSON all show the same node."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING

from appraise.model.locale_format import PLAIN, Formatter

if TYPE_CHECKING:
    from appraise.model.reason import Reason

NOTHING = "–"
"""Cell of a figure that does not exist."""


class Figures:
    """Every node of a reason tree by its address."""

    def __init__(self, tree: Reason, manner: Formatter = PLAIN) -> None:
        """Index the tree; where an address comes twice the first, highest node stands.

        Args:
            tree: The whole.
            manner: In which it was made, for ranges.
        """
        self._manner = manner
        self._nodes: dict[str, Reason] = {}
        for node in tree.walk():
            self._nodes.setdefault(node.figure, node)

    def get(self, address: str) -> Reason | None:
        """Return the node at an address, or none."""
        return self._nodes.get(address)

    def shown(self, address: str) -> str:
        """Return what people read for a figure, a dash where there is none."""
        node = self._nodes.get(address)
        return NOTHING if node is None or not node.shown else node.shown

    def spread(self, address: str) -> str:
        """Return a figure with its low and high: "12 years (5–22)", "EUR 900 (700–1,200)"."""
        node = self._nodes.get(address)
        return NOTHING if node is None or not node.shown else spread(node, self._manner)

    def nearest(self, address: str, count: int = 3) -> list[str]:
        """Return the addresses most like a mistyped one, best first.

        Args:
            address: What the person wrote.
            count: How many to return at most.
        """
        wanted = address.strip().lower().replace(" ", "_")
        known = [address for address in self._nodes if not address.endswith((".low", ".high"))]
        near = difflib.get_close_matches(wanted, known, n=count, cutoff=0.6)
        inside = [address for address in known if wanted and wanted in address.split(".")]
        return list(dict.fromkeys([*near, *inside]))[:count]


def edges(node: Reason) -> tuple[Reason, ...]:
    """Return the low and the high of a figure that is a range; empty for one that is not."""
    results = {part.figure: part for part in node.parts}
    low, high = results.get(f"{node.figure}.low"), results.get(f"{node.figure}.high")
    return () if low is None or high is None else (low, high)


def spread(node: Reason, manner: Formatter = PLAIN) -> str:
    """Return a figure with its low and high, where it has them and they differ.

    Args:
        node: Of the tree.
        manner: In which the tree was made.
    """
    ends = edges(node)
    if not ends or ends[0].shown == ends[1].shown:
        return node.shown
    return f"{node.shown} ({manner.span(ends[0].shown, ends[1].shown)})"


def below(node: Reason) -> tuple[Reason, ...]:
    """Return the figures that a figure rests on, its own low and high left out."""
    ends = edges(node)
    return tuple(part for part in node.parts if part not in ends)
