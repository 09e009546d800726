"""One case in which every text a person can write is hostile: the model is walked, so that no field is missed."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any

from appraise.model.case import Case, Exclusion, Remark
from tests.helpers import report_cases

CONTROLS = "\x1b[2J\x1b]0;title\x07\x9b31m\x9d0;t\x9c\x08\x7f"
REVERSALS = "\u202eback\u202c\u2066in\u2069\u061c\u200f"
UNSEEN = "\u200b\u2060\ufeff\U000e0041\u2028\u2029\u00ad"
MARKUP = "[/x] [bold]b[/bold] [@click=app.quit]q[/] <script>alert(1)</script> &amp; | `c` *i* # "
LINKS = "[l](javascript:a) ![i](http://h.invalid/p.png) <http://h.invalid> http://h.invalid"
HOSTILE = f"=1+1 {MARKUP}{LINKS} {CONTROLS}{REVERSALS}{UNSEEN} \\ $x 漢字 ﷽ e\u0301\u0301\u0301"
"""Formula, markup of four languages, links, terminal control, reversal, what is not seen, wide letters."""

_KEYS = frozenset(
    {
        *("kind", "basis", "currency", "law", "climate", "use", "records", "check", "component", "place", "unit"),
        *(
            "origin",
            "extent",
            "components",
            "clues",
            "clue",
            "sale",
            "tier",
            "finish",
            "key_covering",
            "player",
            "sha256",
            "taken",
            "locale",
            "language",
            "mark",
            "regime",
            "letterhead",  # the name of a picture that must be there
        ),
    }
)
"""Keys of tables and of lists of ours, and of a picture: what is none of them is refused."""


def everywhere(word: str = HOSTILE) -> Case:
    """Return a case with the word in every text that is free."""
    base = report_cases.hostile()
    base = replace(base, identity=replace(base.identity, finish="", key_covering=""), readings=(base.readings[1],))
    base = replace(base, remarks=(*base.remarks, Remark("soundboard", word)))
    found = _spoilt(base, word)
    assert isinstance(found, Case)
    # Signs for and against have an exclusion that they speak of.
    return replace(found, remarks=tuple(replace(each, exclusion=Exclusion.PACKING) for each in found.remarks))


def _spoilt(value: Any, word: str, name: str = "") -> Any:
    if is_dataclass(value) and not isinstance(value, type):
        changed = {item.name: _spoilt(getattr(value, item.name), word, item.name) for item in fields(value)}
        return replace(value, **changed)
    if isinstance(value, tuple):
        return tuple(_spoilt(item, word, name) for item in value)
    if type(value) is str and name not in _KEYS:
        return word[:250]
    if type(value) is str and name == "place" and value not in _places():
        return word[:250]
    return value


def _places() -> set[str]:
    from appraise.model.case import STATIONS
    from appraise.tables.load import load_tables

    return {*STATIONS, *load_tables().components}
