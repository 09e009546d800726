"""The translations that are shipped, one file a language, read as they stand."""

from __future__ import annotations

import re
from functools import cache
from gettext import GNUTranslations, NullTranslations
from importlib.resources import files
from io import BytesIO
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence


def languages() -> list[str]:
    """Return the languages that there is a translation for, English not among them."""
    folder = files(__package__)
    return sorted(entry.name.removesuffix(".po") for entry in folder.iterdir() if entry.name.endswith(".po"))


def language_for(candidates: Sequence[str]) -> str:
    """Return the first of some names of a language or locale that there is a translation for, empty where none is."""
    known = languages()
    return next((name for name in candidates if name in known), "")


_COVERS = re.compile(r"(?m)^# Covers: (.+)$")


@cache
def covers(language: str) -> frozenset[str]:
    """Return the kinds of report that a translation holds all messages of, as its head says; "all" is every one.

    Half a report in another language is worse than none: where a kind is not covered its words stay English.
    """
    if not language:
        return frozenset()
    found = _COVERS.search(files(__package__).joinpath(f"{language}.po").read_text(encoding="utf-8"))
    return frozenset(found[1].replace(",", " ").split()) if found else frozenset()


@cache
def translations(language: str) -> NullTranslations:
    """Return the messages of a language; of an unknown one none, so that all stay English.

    Args:
        language: From `language_for`.
    """
    if not language:
        return NullTranslations()
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    with files(__package__).joinpath(f"{language}.po").open("rb") as file:
        catalogue = read_po(file, locale=language)
    compiled = BytesIO()
    write_mo(compiled, catalogue)
    compiled.seek(0)
    return GNUTranslations(compiled)
