"""Candidates kept between runs, one small file each, named by everything they hang on."""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from typing import TYPE_CHECKING, NoReturn

from appraise.model.ranking import Candidate
from appraise.model.unsafe import error_text
from appraise.store.plain_case import DecodeError, decode
from appraise.store.write import write_file
from appraise.tables.content import content_of
from appraise.tables.folder import cache_folder

if TYPE_CHECKING:
    from pathlib import Path

LAYOUT = 8
"""Version of what is kept; raised when a figure changes its meaning, so that older files are passed over."""

_LARGEST = 64 * 1024


class ResultCache:
    """A folder of results. Nothing here is needed: what is missing, damaged or unwritable is valued again."""

    def __init__(self, folder: Path) -> None:
        """Take a folder, made when something is first put in it."""
        self._folder = folder
        self.unwritable = ""
        """Why nothing more is written, once that has failed; empty while it works."""

    def get(self, key: str, file: str) -> Candidate | None:
        """Return what is kept under a name, or none.

        Args:
            key: From `services.trade_in.address`.
            file: How the candidate is named now; the same content may lie elsewhere than last time.
        """
        try:
            content = content_of(self._place(key), _LARGEST)
        except OSError:
            return None
        try:
            document = json.loads(content, parse_constant=_refuse)
            if not isinstance(document, dict) or (document.get("layout"), document.get("key")) != (LAYOUT, key):
                return None
            candidate: Candidate = decode(Candidate, document.get("candidate"))
        except (ValueError, RecursionError, DecodeError):
            return None
        return replace(candidate, file=file)

    def put(self, key: str, candidate: Candidate) -> None:
        """Keep a candidate, whole or not at all; after the first failure nothing more is tried."""
        if self.unwritable:
            return
        document = {"layout": LAYOUT, "key": key, "candidate": asdict(replace(candidate, file=""))}
        place = self._place(key)
        try:
            place.parent.mkdir(parents=True, exist_ok=True)
            write_file(place, json.dumps(document, allow_nan=False).encode(), fsync=False)
        except OSError as error:
            self.unwritable = error_text(error)

    def _place(self, key: str) -> Path:
        return self._folder / key[:2] / f"{key[2:]}.json"


def usual_folder() -> Path:
    """Return where results are kept unless told otherwise: below XDG_CACHE_HOME, else below ~/.cache.

    Raises:
        RuntimeError: There is no home.
    """
    return cache_folder() / "rank"


def _refuse(constant: str) -> NoReturn:
    raise ValueError(f"not a number of JSON: {constant}")
