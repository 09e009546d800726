"""Figures, dates and lists as a locale writes them (by Babel), words from the catalogue or a country's English."""

from __future__ import annotations

import re
from dataclasses import field
from functools import cache, lru_cache
from gettext import GNUTranslations, NullTranslations
from importlib.resources import files
from io import BytesIO
from typing import TYPE_CHECKING

from babel import Locale
from babel.dates import format_date, format_skeleton
from babel.lists import format_list
from babel.numbers import format_currency, format_decimal, format_percent

from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import Formatter
from appraise.model.quantities import Units

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from appraise.model.span import Span


_KEEP_CAPITALS = frozenset({"de", "gsw", "lb", "nds"})
"""Languages that write nouns with a capital wherever they stand."""

_WITHOUT_ESZETT = frozenset({"CH", "LI"})
"""Countries that write German with ss throughout (Swiss Federal Chancellery, Schreibweisungen; from memory)."""

_DECIMALS = re.compile(r"0(?:\.0+)?(?=[^0.#]*(?:;|\Z))")
"""The last digit of a number pattern with its decimals, in each half of the pattern."""

_MARKS = re.compile("[\N{LEFT-TO-RIGHT MARK}\N{RIGHT-TO-LEFT MARK}]")
"""Marks of direction: no report lets any through, for they could make it show something else than it says."""

_APART = re.compile(r"(?<=[^\W\d_])(?=-?\d)|(?<=\d)(?=[^\W\d_])")
"""Between letters and digits of an amount: UTS #35 part 3, currency spacing, which Babel leaves out."""


@cache
def localised(locale: str, units: Units = Units.METRIC, kind: str = "") -> Localised:
    """Return the manner of a locale.

    Args:
        locale: As `Locale.parse` reads it: de_CH.
        units: What lengths and the like are given in.
        kind: The kind of report; a translation that does not cover it is not used.

    Raises:
        ValueError: That is no name of a locale.
        UnknownLocaleError: The CLDR has no such locale.
    """
    parsed = Locale.parse(locale)
    language = language_for([locale, f"{parsed.language}_{parsed.script}", parsed.language])
    if not covers(language) & {kind, "all"}:
        language = ""
    words = translations(language) if language else Variant(parsed.territory or "")
    return Localised(locale, units, parsed, language or "en", words)


@dataclass(frozen=True, slots=True)
class Localised(Formatter):
    """The manner of one locale; where its language has no translation, words and lists are English."""

    cldr: Locale = field(default_factory=lambda: Locale("en"), compare=False)
    language: str = "en"
    """Of the words."""
    words: NullTranslations = field(default_factory=NullTranslations, compare=False, repr=False)

    @property
    def tongue(self) -> str:
        """The language of the words, as BCP 47 writes it."""
        return self.language.replace("_", "-")

    def translated(self, text: str, many: str = "", number: int = 1) -> str:
        """Return a message of the catalogue in the reader's language, itself where it has none."""
        if not text:
            return text  # an empty message is the head of a catalogue
        said = self.words.ngettext(text, many, number) if many else self.words.gettext(text)
        return said.replace("\N{LATIN SMALL LETTER SHARP S}", "ss") if self.cldr.territory in _WITHOUT_ESZETT else said

    def small(self, label: str) -> str:
        """Return a label as it stands in the middle of a sentence of the language of the words."""
        return label if self.language.partition("_")[0] in _KEEP_CAPITALS else Formatter.small(self, label)

    def joints(self, words: Sequence[str]) -> list[str]:
        """Return what stands before each item of a list, by the list patterns of the language of the words."""
        if self.language == "en":
            return Formatter.joints(self, words)
        pieces = format_list(["\0"] * len(words), locale=self.language).split("\0")
        marks = ["", *pieces[1 : len(words)]] if words else []
        if any(", " in word for word in words):
            marks = [mark and f";{mark.removeprefix(',')}" for mark in marks]
        return marks

    def decimal(self, value: float, most: int, least: int = 0, *, grouped: bool = True) -> str:
        """Return a number rounded half to even, as the locale writes it."""
        pattern = _pattern(self.cldr.decimal_formats[None].pattern, most, least)
        rounded = round(value, most) + 0.0
        return format_decimal(rounded, format=pattern, locale=self.cldr, group_separator=grouped)

    def percentage(self, value: float, most: int) -> str:
        """Return a percentage [%] without needless noughts, as the locale writes it."""
        pattern = _pattern(self.cldr.percent_formats[None].pattern, most, 0)
        rounded = round(value, most) + 0.0
        text = format_percent(rounded / 100.0, format=pattern, locale=self.cldr, group_separator=False)
        return _MARKS.sub("", text)

    def coin(self, amount: float, currency: str, decimals: int) -> str:
        """Return an amount with its currency's sign and just so many decimals, as the locale writes it."""
        pattern = _pattern(self.cldr.currency_formats["standard"].pattern, decimals, decimals)
        rounded = round(amount, decimals) + 0.0
        text = format_currency(rounded, currency, format=pattern, locale=self.cldr, currency_digits=False)
        return _APART.sub("\N{NO-BREAK SPACE}", _MARKS.sub("", text))

    def day(self, when: date) -> str:
        """Return a date in the locale's long form."""
        return format_date(when, "long", locale=self.cldr)

    def month(self, when: date) -> str:
        """Return a month and its year."""
        return format_skeleton("yMMMM", when, locale=self.cldr)

    def short_day(self, when: date) -> str:
        """Return a date with its month cut short."""
        return format_skeleton("yMMMd", when, locale=self.cldr)

    def short_month(self, when: date) -> str:
        """Return a month cut short, and its year."""
        return format_skeleton("yMMM", when, locale=self.cldr)

    def year(self, when: date) -> str:
        """Return a year."""
        return format_skeleton("y", when, locale=self.cldr)

    def brief(self, span: Span) -> str:
        """Return a date known to the day, the month, the year or less."""
        return self.dated(span)


def _pattern(pattern: str, most: int, least: int) -> str:
    """Return a number pattern of the CLDR (UTS #35 part 3) with other decimals, its signs and groups untouched."""
    decimals = f".{'0' * least}{'#' * (most - least)}" if most else ""
    return _DECIMALS.sub(f"0{decimals}", re.sub(r"\.[0#]+", "", pattern))


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
    result = _COVERS.search(files(__package__).joinpath(f"{language}.po").read_text(encoding="utf-8"))
    return frozenset(result[1].replace(",", " ").split()) if result else frozenset()


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
        else _WORD.sub(lambda result: _as_written(result[0], _AMERICAN[result[0].lower()]), piece)
        for piece in re.split(r"(\{\w+\})", text)
    )


def _as_written(model: str, word: str) -> str:
    """Return a word with the capital of another."""
    return word[:1].upper() + word[1:] if model[:1].isupper() else word
