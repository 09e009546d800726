"""Sales from cases: what a case says of an instrument that was sold, and what it was valued at."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.evidence.sale import Sale
from appraise.services.valuation_overrides import on_basis
from appraise.store.characters import sanitize_line
from appraise.store.files import digest_of
from appraise.store.own_settings import own_settings, settings_file

if TYPE_CHECKING:
    from datetime import date

    from appraise.model.case import Case
    from appraise.model.result import Valuation
    from appraise.tables.rows import Tables

BOOK = "sales.sqlite3"


def usual_book() -> Path:
    """Return where the book is looked for: where the settings say, else beside the settings file.

    A relative path of the settings counts from their folder, and ~ is the home.

    Raises:
        RuntimeError: There is no home.
        Unreadable: The settings file has problems.
    """
    return settings_file().parent / Path(own_settings().sales.book or BOOK).expanduser()


def outcome(case: Case, content: bytes, path: Path, price: Decimal, sold: date, sale: str, tables: Tables) -> Sale:
    """Return what became of a case: its facts, the price, and the range of this kind of sale on its day of inspection.

    Args:
        case: As it was read.
        content: The bytes of its file.
        path: Of the file.
        price: What it was sold for, in the currency of the case.
        sold: When.
        sale: Kind of sale.
        tables: To value it with.

    Raises:
        InputError: The kind of sale does not fit the case.
    """
    from appraise.engine.valuation import value_case

    found = value_case(on_basis(case, sale, tables), tables)
    ends = () if found.exact is None else (found.exact.low, found.exact.mid, found.exact.high)
    low, middle, high = (Decimal(str(round(end, 2))) for end in ends) if ends else (None, None, None)
    new = case.market.cost_new
    digest = digest_of(content)
    made = case.identity.made
    return Sale(
        date=sold,
        kind=str(case.identity.kind),
        price=price,
        currency=case.assignment.currency,
        sale=sale,
        made="" if made is None else str(made),
        maker=case.identity.maker,
        maker_class=case.identity.tier,
        size_cm=case.identity.size_cm,
        grade=general_grade(found),
        price_new=None if new is None else Decimal(str(round(new, 2))),
        low=low,
        middle=middle,
        high=high,
        tables_version=tables.version,
        case_file=sanitize_line(path.name),
        case_sha256=digest,
        file_sha256=digest,
        line=0,
    )


def general_grade(valuation: Valuation) -> float:
    """Return the general condition of an instrument: the grades of its parts, weighted by their share of the cost."""
    parts = [part for station in valuation.stations for part in station.components]
    return round(sum(part.share * part.grade.mid for part in parts) / sum(part.share for part in parts), 1)
