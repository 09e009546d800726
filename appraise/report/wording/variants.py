"""English as the United States and Britain write it: spelling, and a few terms of the trade and of insurance.

Only messages pass through here; what a user wrote stays as it was written.
"""

from __future__ import annotations

import re
from functools import lru_cache
from gettext import NullTranslations

_AMERICAN = {
    "ageing": "aging",
    "catalogue": "catalog",
    "centre": "center",
    "centred": "centered",
    "centres": "centers",
    "colour": "color",
    "coloured": "colored",
    "colours": "colors",
    "excess": "deductible",
    "excess (deductible)": "deductible",
    "grey": "gray",
    "harbours": "harbors",
    "judgement": "judgment",
    "labour": "labor",
    "licence": "license",
    "licences": "licenses",
    "metre": "meter",
    "metres": "meters",
    "millimetre": "millimeter",
    "millimetres": "millimeters",
    "mould": "mold",
    "moulding": "molding",
    "mouldings": "moldings",
    "mouldy": "moldy",
    "neighbour": "neighbor",
    "neighbouring": "neighboring",
    "neighbours": "neighbors",
    "odour": "odor",
    "odours": "odors",
    "pin block": "pinblock",
    "recognised": "recognized",
    "towards": "toward",
}
"""The house writes British spelling; common practice, no source."""

_BRITISH = {"pin block": "pin block (wrest plank)"}
"""A gloss beside the name of the part, for readers who know it by the older one; common practice, no source."""

_WORD = re.compile(
    r"(?<!in )\b(" + "|".join(sorted(map(re.escape, _AMERICAN), key=len, reverse=True)) + r")(?!\w)", re.I
)


class Variant(NullTranslations):
    """The messages of the house in the English of one land."""

    def __init__(self, territory: str) -> None:
        """Take the land as the CLDR names it: US or GB."""
        super().__init__()
        self._territory = territory

    def gettext(self, message: str) -> str:
        """Return a message as that land writes it."""
        return in_english_of(self._territory, message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Return the form for one or for many as that land writes it."""
        return in_english_of(self._territory, msgid1 if n == 1 else msgid2)


@lru_cache(maxsize=8192)
def in_english_of(territory: str, text: str) -> str:
    """Return a message as the United States or Britain write it; of any other land as the house does.

    Args:
        territory: As the CLDR names it: US, GB.
        text: A message, its places unfilled; the names of places are left alone.
    """
    if territory == "GB":
        gloss = _BRITISH.get(text.casefold())
        return text if gloss is None else _as_written(text, gloss)
    if territory != "US":
        return text
    return "".join(
        piece
        if piece.startswith("{")
        else _WORD.sub(lambda found: _as_written(found[0], _AMERICAN[found[0].lower()]), piece)
        for piece in re.split(r"(\{\w+\})", text)
    )


def _as_written(model: str, word: str) -> str:
    """Return a word with the capital of another."""
    return word[:1].upper() + word[1:] if model[:1].isupper() else word
