"""What an appraisal report of personal property must hold, item by item, and where the full report answers it.

Sources:
    USPAP: Uniform Standards of Professional Appraisal Practice 2018-2019, Standards Rule 8-2(a), contents of an
    appraisal report of personal property, page 52, as read in copies; wording and numbering shift by edition. The
    certification (Standards Rule 8-3) from memory, but for the naming of those who helped, which was read.
    IVS: International Valuation Standards, editions effective 2017 to 2022, IVS 103 Reporting; the number as read in a
    slide copy, the list of contents from memory. From 2025 on reporting is IVS 106, from memory.
    RICS: Valuation, Global Standards (Red Book), effective 31 January 2022, VPS 3 Valuation reports, as read in study
    cards; VPS 6 in the edition effective 31 January 2025, from memory.

The texts are in our words. An item names the sections that answer it by their keys, and facts of a case that have to
stand in one of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from appraise.report.words import day, literal

if TYPE_CHECKING:
    from collections.abc import Callable

    from appraise.report.appraisal import Appraisal

USPAP = "USPAP 2018-2019, SR 8-2(a)"
CERTIFIED = "USPAP 2018-2019, SR 8-3, from memory"
IVS = "IVS 103 (2022), from memory"
RICS = "RICS VPS 3 (2022)"


@dataclass(frozen=True)
class Wanted:
    """One item of a list."""

    standard: str
    item: str
    sections: tuple[str, ...]
    facts: Callable[[Appraisal], tuple[str, ...]]
    """Texts that have to stand in one of the sections."""

    def __str__(self) -> str:
        return f"{self.standard}: {self.item}"


def said(*texts: str) -> Callable[[Appraisal], tuple[str, ...]]:
    """Return facts that are the same for every case."""
    return lambda _: texts


def _basis(item: Appraisal) -> tuple[str, ...]:
    row = item.tables.bases[item.valuation.basis]
    return literal(row.label), literal(row.definition), "Source of the definition"


def _value(item: Appraisal) -> tuple[str, ...]:
    shown = item.figures.shown
    return shown("value.low"), shown("value.high"), shown("value"), item.valuation.currency


def _identity(item: Appraisal) -> tuple[str, ...]:
    it = item.case.identity
    return literal(it.maker), literal(it.model), literal(it.serial), literal(it.made_evidence)


def _inspected(item: Appraisal) -> tuple[str, ...]:
    done = sum(station.checks_done for station in item.valuation.stations)
    return f"{done} of ", literal(item.case.assignment.limits).rstrip("."), "Measured with", "Air on the day"


def _grades(item: Appraisal) -> tuple[str, ...]:
    parts = [literal(part.label) for station in item.valuation.stations for part in station.components]
    return (*(literal(station.label) for station in item.valuation.stations), *parts)


def _sales(item: Appraisal) -> tuple[str, ...]:
    return tuple(literal(sale.label) for sale in item.case.market.comparables)


def _source(item: Appraisal) -> tuple[str, ...]:
    return item.figures.shown("replacement_cost_new"), literal(item.case.market.replacement_source)


def _asked(*names: str) -> Callable[[Appraisal], tuple[str, ...]]:
    return lambda item: tuple(literal(getattr(item.case.assignment, name)) for name in names)


def _dates(item: Appraisal) -> tuple[str, ...]:
    asked = item.case.assignment
    assert asked.reported is not None
    return day(asked.inspected), day(asked.reported)


WANTED = (
    Wanted(USPAP, "client and intended users, by name or type", ("assignment",), _asked("client", "intended_users")),
    Wanted(USPAP, "intended use", ("assignment",), _asked("purpose")),
    Wanted(USPAP, "identification of the property", ("identity",), _identity),
    Wanted(USPAP, "interest valued", ("assignment",), said("Interest valued", "full ownership")),
    Wanted(USPAP, "type of value, its definition and the source of that", ("assignment",), _basis),
    Wanted(USPAP, "effective date and date of the report", ("assignment",), _dates),
    Wanted(USPAP, "scope of work", ("scope",), _inspected),
    Wanted(
        USPAP,
        "who gave significant help, and with what",
        ("statement",),
        said("The persons named below gave significant help", "Others who gave significant help, and which"),
    ),
    Wanted(
        USPAP,
        "information analysed, methods used",
        ("approaches", "comparables", "grid"),
        lambda item: ("Cost approach", "Sales comparison", *_sales(item)),
    ),
    Wanted(
        USPAP,
        "reasoning that supports the analyses and the conclusion",
        ("reasons_value", "reconciliation"),
        lambda item: (item.figures.shown("share_of_new"), item.figures.shown("market_factor"), "weighted by"),
    ),
    Wanted(USPAP, "why an approach was left out", ("approaches",), said("The income approach was left out: ")),
    Wanted(USPAP, "the value", ("summary",), _value),
    Wanted(
        USPAP,
        "extraordinary assumptions and hypothetical conditions, and that they may affect the result",
        ("assumptions",),
        said("extraordinary assumption", "hypothetical condition", "would change the value"),
    ),
    Wanted(USPAP, "exposure time, where one was developed", ("assignment",), said("Exposure time")),
    Wanted(USPAP, "a signed certification", ("statement",), said("Signature: ", "Name: ", "Place and date: ")),
    Wanted(
        USPAP,
        "characteristics, quality and condition of the property and of its parts (7-2)",
        ("condition", "depreciation"),
        _grades,
    ),
    Wanted(CERTIFIED, "the facts are true", ("statement",), said("stated here as fact is true")),
    Wanted(
        CERTIFIED,
        "the conclusions are the appraiser's own, limited only by what is stated, without bias",
        ("statement",),
        said("conclusions are my own", "without bias", "limited only by the assumptions and conditions stated"),
    ),
    Wanted(CERTIFIED, "no interest, or the one disclosed", ("statement",), said("no present or prospective interest")),
    Wanted(CERTIFIED, "services on the property in the three years before", ("statement",), said("three years")),
    Wanted(
        CERTIFIED,
        "neither the engagement nor the fee hangs on the result",
        ("statement",),
        said("Neither my engagement nor my fee depends on the value found"),
    ),
    Wanted(
        CERTIFIED,
        "which standards were kept to",
        ("statement",),
        said("Standards of practice, with their edition: "),
    ),
    Wanted(
        CERTIFIED,
        "inspected in person or not",
        ("statement",),
        said("I inspected the instrument myself", "I did not inspect the instrument myself"),
    ),
    Wanted(IVS, "scope of the work, and limits to it", ("scope", "assumptions"), _inspected),
    Wanted(IVS, "intended use", ("assignment",), _asked("purpose")),
    Wanted(IVS, "approach or approaches adopted", ("approaches",), said("Cost approach", "Sales comparison")),
    Wanted(IVS, "method or methods applied", ("depreciation",), lambda item: ("Law of depreciation: ",)),
    Wanted(IVS, "key inputs used", ("reconciliation",), _source),
    Wanted(IVS, "assumptions made", ("assumptions",), said("taken as given where no evidence is named")),
    Wanted(IVS, "conclusion of value and the main reasons for it", ("summary", "reasons_value"), _value),
    Wanted(IVS, "date of the report", ("assignment",), lambda item: (_dates(item)[1],)),
    Wanted(
        RICS,
        "the valuer, and whether there is an interest",
        ("assignment", "statement"),
        lambda item: (literal(item.case.assignment.assessor), "Qualifications: ", "Interest, and services"),
    ),
    Wanted(RICS, "client and other intended users", ("assignment",), _asked("client", "intended_users")),
    Wanted(RICS, "purpose", ("assignment",), _asked("purpose")),
    Wanted(RICS, "the asset valued", ("identity",), _identity),
    Wanted(RICS, "basis of value", ("assignment",), _basis),
    Wanted(RICS, "valuation date", ("assignment",), lambda item: (_dates(item)[0],)),
    Wanted(RICS, "extent of the investigation", ("scope",), _inspected),
    Wanted(
        RICS,
        "information relied on, and where it comes from",
        ("sources", "comparables", "reconciliation"),
        lambda item: ("Used for", *_source(item)[1:], *_sales(item)),
    ),
    Wanted(RICS, "assumptions and special assumptions", ("assumptions",), said("taken as given", "hypothetical")),
    Wanted(
        RICS,
        "approach and reasoning",
        ("approaches", "reconciliation", "reasons_value"),
        lambda item: ("Cost approach", item.figures.shown("market_factor")),
    ),
    Wanted(RICS, "the figure and its currency", ("summary",), _value),
    Wanted(RICS, "restrictions on use", ("assumptions",), said("for the client and the intended users named")),
    Wanted(RICS, "compliance with standards", ("statement",), said("I kept to the standards of practice named below")),
    Wanted(
        RICS,
        "comment on the market and on uncertainty",
        ("range", "reasons_range"),
        lambda item: ("P10: one draw in ten came out lower", item.figures.shown("value.p50")),
    ),
)
