"""Sales from cases: what a case says of an instrument that was sold, and what it was valued at."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.evidence.sale import Sale
from appraise.model.problem import InputError, Unreadable, quoted
from appraise.model.unsafe import sanitize_line
from appraise.services.candidates import amount_typed
from appraise.services.valuation_overrides import on_basis
from appraise.store.files import digest_of
from appraise.store.own_settings import own_settings, settings_file
from appraise.store.read import read_case_file

if TYPE_CHECKING:
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


def write_outcome(path: Path, tables: Tables, price: float, sold: date, sale: str) -> str:
    """Write what became of a case into the usual book, begun where there is none.

    Args:
        path: Of the case file; it is read as it stands.
        tables: To value it with.
        price: What it was sold for, in the currency of the case.
        sold: When.
        sale: Kind of sale.

    Returns:
        What was written, in words.

    Raises:
        InputError: The day or the kind of sale does not fit, or the case is in the book already.
        RuntimeError: There is no home.
        Unreadable: The case or the book cannot be used.
    """
    case, problems, content = read_case_file(path, tables)
    if case is None or content is None:
        raise Unreadable(*problems)
    if wrong := sold_too_early(case, sold):
        raise InputError(wrong)
    one = outcome(case, content, path, Decimal(str(round(price, 2))), sold, sale, tables)
    there, count = entered(one, usual_book())
    if there is not None:
        raise InputError(f"this case is in the book already: sold on {there.date} for {there.price:,f}")
    ranged = "" if one.low is None or one.high is None else f"; valued at {one.low:,.0f} to {one.high:,.0f}"
    return f"In the sales book: sold on {sold} for {one.price:,f} {one.currency}{ranged}. {count:,} sales in it."


def sold_too_early(case: Case, sold: date) -> str:
    """Return what is wrong with the day of a sale before the instrument was made; empty where nothing is."""
    made = case.identity.made
    return "" if made is None or made.earliest <= sold else f"found {sold}, expected a day after it was made, {made}"


def entered(sale: Sale, place: Path) -> tuple[Sale | None, int]:
    """Enter a sale into a book, begun where there is none.

    Returns:
        The sale of the same case that the book holds already, so that nothing is entered, or none; and how many sales
        it holds now.

    Raises:
        Unreadable: The book cannot be used.
    """
    from appraise.evidence.book import book

    place.parent.mkdir(parents=True, exist_ok=True)
    with book(place, create=True) as kept:
        there = kept.sale_of(sale.case_sha256) if sale.case_sha256 else None
        if there is None:
            kept.add([sale])
        return there, kept.count()


def price_sold(text: str) -> float:
    """Return a price as typed, above 0.

    Raises:
        InputError: It is none.
    """
    found = amount_typed(text)
    if found is None or not 0 < found < 1e12:
        raise InputError(quoted(text), "a price above 0 such as 6500")
    return found


def day_sold(text: str) -> date:
    """Return a day as typed, none that is still to come.

    Raises:
        InputError: It is none.
    """
    try:
        found = date.fromisoformat(text.strip())
    except ValueError:
        raise InputError(quoted(text), "a day such as 2026-11-20") from None
    if found > datetime.now().astimezone().date():
        raise InputError(found, "a day that has been")
    return found
