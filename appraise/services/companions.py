"""The files that a case rests on, its frozen earlier state, photos, quotations and bids, taken to another folder."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.problem import Unreadable
from appraise.model.unsafe import error_text, sanitize_line
from appraise.store.baseline import READ_ONLY, earlier_case
from appraise.store.files import digest_of, put, sync_folder
from appraise.store.photos import LARGEST, look_for
from appraise.tables.content import content_of, resolved

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.tables.rows import Tables


def take_along(old: Path, new: Path, case: Case, tables: Tables) -> tuple[str, ...]:
    """Copy what a case rests on into the folder of its new file; nothing there is written over.

    Args:
        old: The case file as it was called.
        new: Where it goes on; it has been written already.
        case: What it holds.
        tables: What the earlier state is checked against.

    Returns:
        A line for each file that stayed where it was, with the reason; empty where all is there.
    """
    source, target = resolved(old).parent, resolved(new).parent
    if source == target:
        return ()
    wanted: dict[str, tuple[str, int | None]] = {file: (case.photo(file).sha256, None) for file in case.photo_files}
    wanted |= {file: (sha256, None) for _, _, file, sha256 in case.claim.papers}
    stayed: list[str] = []
    if case.earlier_state is not None:
        wanted[case.earlier_state.file] = (case.earlier_state.sha256, READ_ONLY)
        try:
            before, _ = earlier_case(old, case.earlier_state, tables)
            wanted = {file: (before.photo(file).sha256, None) for file in before.photo_files} | wanted
        except Unreadable:
            pass  # said below: it is gone or another
    stayed += _copied(source, target, wanted)
    return tuple(stayed)


def _copied(source: Path, target: Path, wanted: dict[str, tuple[str, int | None]]) -> Iterator[str]:
    for file, (sha256, mode) in wanted.items():
        shown, found = sanitize_line(file), look_for(source, file, sha256)
        if found.path is None:
            yield f"{shown}: {found.fault}"
            continue
        try:
            content, goal = content_of(found.path, LARGEST), target / file
            if not resolved(goal.parent).is_relative_to(target):
                yield f"{shown}: a link out of the folder"
            elif not goal.exists() and not goal.is_symlink():
                goal.parent.mkdir(parents=True, exist_ok=True)
                put(goal, content, mode)
                for folder in goal.parent.relative_to(target).parents:
                    sync_folder(target / folder)
            elif look_for(target, file, digest_of(content)).fault:
                yield f"{shown}: another file of this name is there"
        except (OSError, ValueError) as error:
            yield f"{shown}: {error_text(error)}"
