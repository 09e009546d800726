"""Names of locales, as the CLDR has them; Babel is asked only where somebody names one."""

from __future__ import annotations

import re
from difflib import get_close_matches

EXPECTED = "a locale of the CLDR: a language, or a language and a country, such as de_CH"

_NAME = re.compile(r"[A-Za-z]{2,8}(?:[_-][A-Za-z0-9]{2,8}){0,3}\Z", re.ASCII)


def known_locale(name: str) -> str:
    """Return the CLDR's own spelling of a locale, empty where it has none such.

    Args:
        name: As somebody wrote it: "de_CH", "de-ch".
    """
    if not _NAME.match(name):
        return ""
    from babel import Locale, UnknownLocaleError

    try:
        found = Locale.parse(name.replace("-", "_"))
    except (ValueError, UnknownLocaleError):
        return ""
    return "" if found.language == "root" else str(found)


def nearest_locale(name: str) -> str:
    """Return `did you mean …?` for the locale most like a name, or nothing."""
    from babel.localedata import locale_identifiers

    if len(name) > 40:
        return ""
    wanted = name.lower().replace("-", "_")
    known = {each.lower(): each for each in locale_identifiers()}
    language = f"{wanted.partition('_')[0]}_"
    match = get_close_matches(wanted, [each for each in known if each.startswith(language)], n=1)
    match = match or get_close_matches(wanted, list(known), n=1)
    return f'did you mean "{known[match[0]]}"?' if match else ""
