"""The settings: the sections of the file, each with its fields, their defaults and the values they take."""

from __future__ import annotations

from dataclasses import field, make_dataclass
from typing import TYPE_CHECKING, Any, TypeVar

from appraise.commands import COMMANDS, SCOPES, key_name, key_names
from appraise.keymap import EXPECTED as EXPECTED_KEYS
from appraise.keymap import KEYS, keys_told, names_of
from appraise.model.lazy_dataclass import dataclass
from appraise.model.plausible import MOST_MARGIN_PCT
from appraise.model.quantities import Units
from appraise.store.findings import did_you_mean
from appraise.store.locales import EXPECTED, known_locale, nearest_locale
from appraise.store.own_values import (
    RATES,
    REFERENCE,
    NotTaken,
    amount_spelt,
    currency_spelt,
    day_spelt,
    day_typed,
    day_words,
    number_words,
    rates_spelt,
    rates_typed,
    rates_words,
    share_spelt,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from appraise.commands import Command

COLOURS = ("workshop", "daylight", "ansi-dark", "ansi-light")
"""The sets of colours that one key goes round: ours, then the terminal's own."""

CELLS, KITTY = "cells", "kitty"
"""How photos can be drawn; the second is the Kitty graphics protocol."""

_T = TypeVar("_T", bool, str)


@dataclass(frozen=True, slots=True)
class About:
    """Help of a setting, and the values it takes."""

    label: str
    help: str
    choices: tuple[tuple[str, str], ...] = ()
    """Its choices, with the words for them; none: yes or no, or a text."""
    most: int = 200
    """Characters of a text."""
    spelt: Callable[[str], str] | None = None
    """Returns a text as it is kept, or raises `NotTaken`."""
    words: Callable[[object], str] | None = None
    """Returns what the file has in another type as a text, or raises `NotTaken`; none: the file has a text."""
    typed: Callable[[str], object] | None = None
    """Returns a text as the file has it; none: as it is."""


def _locale(name: str) -> str:
    found = known_locale(name)
    if not found:
        raise NotTaken(EXPECTED, nearest_locale(name))
    return found


def _setting(default: _T, about: About) -> _T:
    made: _T = field(default=default, metadata={"about": about})
    return made


def _amount(label: str, help: str) -> str:
    about = About(label, f"{help} In the currency above.", spelt=amount_spelt, words=number_words)
    return _setting("", about)


def _share(label: str, help: str, most: float) -> str:
    def spelt(words: str) -> str:
        return share_spelt(words, most)

    return _setting("", About(label, help, spelt=spelt, words=number_words, typed=float))


_UNITS = (("", "not stated: metric"), (Units.METRIC.value, "metric"), (Units.INCH.value, "inches, pounds, °F"))


@dataclass(frozen=True, slots=True)
class WalkSettings:
    """How the walk and the particulars go."""

    move_on: bool = _setting(
        default=True,
        about=About("Go on after an answer", "Enter takes an answer and goes to the next row; no: it stays there."),
    )


@dataclass(frozen=True, slots=True)
class NewCaseSettings:
    """Defaults of a new case; an empty one stays as a case has it where nothing is said."""

    assessor: str = _setting("", About("Assessor", "Who inspects, as reports name you; with title and address."))
    equipment: str = _setting(
        "", About("Equipment", "What you measure with, and when each was last checked, as reports list it.")
    )
    currency: str = _setting("", About("Currency", "Three letters of ISO 4217; empty: EUR.", spelt=currency_spelt))
    locale: str = _setting(
        "", About("Locale", "How reports write figures and dates: de_CH, en_GB; empty: the house’s way.", spelt=_locale)
    )
    units: str = _setting("", About("Units", "What lengths, torque and weights are given in.", _UNITS))
    basis: str = _setting("", About("Basis", "Kind of value, a row of the table bases; empty: private_sale."))
    climate: str = _setting("", About("Climate", "Where instruments stand here, a row of climates; empty: seasonal."))
    labour_rate: str = _amount("Labour rate", "Your workshop's rate an hour; without one no work is costed.")
    parts_rate: str = _amount("Parts priced at", "Rate an hour by which parts are priced; empty: the labour rate.")
    overhead_pct: str = _share("Overhead", "On labour and parts, in %; empty: the tables'.", 1000)
    contingency_pct: str = _share("Contingency", "For what opening it shows, in %; empty: the tables'.", 1000)
    margin_pct: str = _share("Margin", "Of your resale, in %; empty: the tables'.", MOST_MARGIN_PCT)
    carriage: str = _amount("Carriage", "Of a purchase; empty: the tables'.")
    preparation: str = _amount("Preparation", "Before a resale; empty: the tables' hours.")
    guarantee: str = _amount("Guarantee", "Set aside for it; empty: the tables' share.")
    holding: str = _amount("Holding", "Until a resale; empty: the tables' rate and time.")
    removal: str = _amount("Disposal", "Taking an instrument away for good; empty: the tables' hours.")


@dataclass(frozen=True, slots=True)
class SalesSettings:
    """The file of own sales."""

    book: str = _setting(
        "", About("Book of sales", "File of your sales book; empty: sales.sqlite3 beside the settings file.")
    )


@dataclass(frozen=True, slots=True)
class PracticeSettings:
    """Under whose name documents go out; a new case takes it over, so that its documents are the same elsewhere."""

    name: str = _setting("", About("Practice", "Name at the head of every document of a new case."))
    address: str = _setting("", About("Address", "Street, place, telephone, on one line below the name.", most=500))
    letterhead: str = _setting(
        "", About("Letterhead", "A picture, PNG or JPEG, from the settings’ folder or with ~; copied to each new case.")
    )
    qualifications: str = _setting(
        "", About("Qualifications", "Training and memberships, printed over your signature.", most=500)
    )
    statement: str = _setting(
        "", About("Statement", "What you state over your signature in the whole appraisal.", most=2000)
    )
    signature: str = _setting("", About("Signature block", "Under the line to sign on: name and title.", most=500))


@dataclass(frozen=True, slots=True)
class CurrencySettings:
    """Rates by which amounts in several currencies are set side by side; none: they are not."""

    reference: str = _setting("", About("Reference currency", REFERENCE, spelt=currency_spelt))
    date: str = _setting(
        "",
        About(
            "Rates of", "Day that the rates hold for: 2026-11-27.", spelt=day_spelt, words=day_words, typed=day_typed
        ),
    )
    source: str = _setting("", About("Source of the rates", "Who publishes them, as every converted amount names it."))
    rates: str = _setting("", About("Rates", RATES, spelt=rates_spelt, words=rates_words, typed=rates_typed, most=4000))


@dataclass(frozen=True, slots=True)
class SignatureSettings:
    """By what signatures and time stamps beside documents are verified."""

    signers: str = _setting(
        "", About("Allowed signers", "File of those whose signatures `check` takes, as ssh-keygen has it.")
    )
    authority: str = _setting(
        "", About("Time stamp authority", "File of certificates, PEM, in which the chain of a time stamp ends.")
    )


def _keys(words: str) -> str:
    told = keys_told(words)
    for key in told:
        if key not in KEYS.values():
            raise NotTaken(EXPECTED_KEYS, did_you_mean(key, [key_name(known) for known in KEYS.values()]))
    if not told:
        raise NotTaken(EXPECTED_KEYS)
    return names_of(told)


def _own_keys(each: Command) -> tuple[str, type[str], Any]:
    places = "; ".join(SCOPES[scope] for scope in each.scopes)
    about = About(each.label, f"{each.help}. {places}. Ours: {key_names(each.keys)}.", spelt=_keys)
    return each.action, str, field(default=key_names(each.keys), metadata={"about": about})


KeySettings: Any = make_dataclass("KeySettings", map(_own_keys, COMMANDS), frozen=True, slots=True)
"""The keys in force, by command; a field each."""


@dataclass(frozen=True, slots=True)
class ScreenSettings:
    """How the terminal shows things."""

    theme: str = _setting(
        COLOURS[0],
        About(
            "Colours",
            "The set of colours; a key that changes it writes it here.",
            tuple(zip(COLOURS, COLOURS, strict=True)),
        ),
    )

    pictures: str = _setting(
        CELLS,
        About(
            "Photos are drawn",
            "In half cells, or by the Kitty graphics protocol in a terminal that has it, with Unicode placeholders and "
            "24-bit colour. The terminal is never asked; where it shows signs instead of a photo, choose half cells.",
            ((CELLS, "in half cells, at any terminal"), (KITTY, "sharp, by the Kitty graphics protocol")),
        ),
    )
