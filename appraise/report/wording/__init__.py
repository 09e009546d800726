"""Wording: every message of the report in one catalogue, and the manner of a locale.

`appraise.pot` holds all messages, `LANGUAGE.po` a translation of them; what is not translated stays English.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.locale_format import PLAIN, Formatter
from appraise.model.quantities import Units

if TYPE_CHECKING:
    from appraise.model.case import Assignment

__all__ = ["manner_for", "manner_of", "paper_for"]

_LETTER = frozenset({"BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"})
"""Countries with American paper sizes: the supplemental data of the CLDR, from memory, for Babel leaves them out."""


def paper_for(locale: str) -> str:
    """Return the paper that is usual where a locale is spoken: letter or a4.

    Args:
        locale: As for `manner_for`; of a bare language, the land where it is mostly spoken counts.
    """
    if not locale:
        return "a4"
    from babel.core import Locale, get_global

    likely = get_global("likely_subtags").get(locale, locale)
    return "letter" if (Locale.parse(locale).territory or Locale.parse(likely).territory) in _LETTER else "a4"


def manner_for(locale: str = "", units: Units = Units.METRIC, kind: str = "") -> Formatter:
    """Return the manner of a locale.

    Args:
        locale: A locale that the CLDR knows, such as de_CH; empty: the house's own, without Babel.
        units: What lengths and the like are given in.
        kind: The kind of report, for a translation that covers some kinds only; empty: anything else.
    """
    if locale:
        from appraise.report.wording.localised import localised

        return localised(locale, units, kind)
    return PLAIN if units is Units.METRIC else Formatter("", units)


def manner_of(assignment: Assignment, locale: str | None = None, units: str | None = None, kind: str = "") -> Formatter:
    """Return the manner that a case asks for, or what a person asks for instead.

    Args:
        assignment: With its locale and units.
        locale: Instead of the case's; none: the case's.
        units: "metric" or "inch" instead of the case's; none: the case's.
        kind: As for `manner_for`.
    """
    return manner_for(
        assignment.locale if locale is None else locale, assignment.units if units is None else Units(units), kind
    )
