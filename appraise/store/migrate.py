"""Older layouts of the case file, brought to the present one a version at a time."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from appraise.model.case import SCHEMA

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    Step = Callable[[dict[str, Any]], dict[str, Any]]

STEPS: dict[int, Step] = {}
"""Version → what turns a document of that version into one of the next; empty while there is one version."""

OLDEST = min(STEPS, default=SCHEMA)
"""The oldest version that can still be read."""


def migrate(
    document: dict[str, Any], version: int, *, steps: Mapping[int, Step] = STEPS, target: int = SCHEMA
) -> dict[str, Any]:
    """Bring a document from its version to the target.

    Args:
        document: The parsed file; it is not changed.
        version: The version it says it has.
        steps: One step for every version from the oldest to the one before the target.
        target: The version wanted.

    Returns:
        A document of the target version, its `schema` key set.

    Raises:
        KeyError: No step leads on from some version on the way.
    """
    migrated = dict(document)
    for step in range(version, target):
        migrated = steps[step](migrated)
    migrated["schema"] = target
    return migrated
