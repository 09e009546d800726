"""Sales from cases: what a case says of an instrument that was sold, and what it was valued at."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from appraise.evidence.book import book
from appraise.evidence.sale import Sale
from appraise.model.problem import InputError, Unreadable, quoted
from appraise.model.unsafe import sanitize_line
from appraise.services.candidates import amount_typed
from appraise.services.file_state import digest
from appraise.services.ranking import found
from appraise.services.valuation_overrides import on_basis
from appraise.store.files import digest_of, read_all
from appraise.store.own_settings import beside_settings, own_settings
from appraise.store.read import read_case_file
from appraise.store.trail import LARGEST, parse_trail, trail_path

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from pathlib import Path

    from appraise.evidence.book import Book
    from appraise.model.case import Case
    from appraise.model.result import Valuation
    from appraise.tables.rows import Tables

BOOK = "sales.sqlite3"


def usual_book() -> Path:
    """Return where the book is looked for: where the settings say, else beside the settings file.

    Raises:
        RuntimeError: There is no home.
        Unreadable: The settings file has problems.
    """
    return beside_settings(own_settings().sales.book or BOOK)


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
    sha256 = digest_of(content)
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
        case_sha256=sha256,
        file_sha256=sha256,
        line=0,
    )


def general_grade(valuation: Valuation) -> float:
    """Return the general condition of an instrument: the grades of its parts, weighted by their share of the cost."""
    parts = [part for station in valuation.stations for part in station.components]
    return round(sum(part.share * part.grade.mid for part in parts) / sum(part.share for part in parts), 1)


def of_outcome(case: Case, content: bytes, path: Path, tables: Tables) -> Sale:
    """Return what the outcome of a case says: the sale as `outcome` has it, with what was asked and paid.

    Raises:
        InputError: The outcome lacks something, or does not fit the case.
    """
    found = case.outcome
    if found.sold is None or found.day is None or not found.sale:
        raise InputError("found no finished outcome, expected outcome.sold, outcome.day and outcome.sale in the case")
    if wrong := sold_too_early(case, found.day):
        raise InputError(wrong)
    made = outcome(case, content, path, found.sold, found.day, found.sale, tables)
    return replace(made, asked=found.asked, bought=found.bought, note=sanitize_line(found.verified))


def write_outcome(path: Path, tables: Tables, place: Path | None = None) -> str:
    """Write the outcome of a case into a book, begun where there is none, or correct what the book has of it.

    Args:
        path: Of the case file; it is read as it stands.
        tables: To value it with.
        place: The book; none: the usual one.

    Returns:
        What was written, in words.

    Raises:
        InputError: The outcome is not finished or does not fit, or stands in the book as it is.
        RuntimeError: There is no home.
        Unreadable: The case or the book cannot be used.
    """
    case, problems, content = read_case_file(path, tables)
    if case is None or content is None:
        raise Unreadable(*problems)
    one = of_outcome(case, content, path, tables)
    there, count = entered(one, place or usual_book(), same_case(case, path), correcting=True)
    if there is not None and _facts(there) == _facts(one):
        raise InputError(f"this case is in the book already: sold on {there.date} for {there.price:,f}")
    ranged = "" if one.low is None or one.high is None else f"; valued at {one.low:,.0f} to {one.high:,.0f}"
    done = "In the sales book" if there is None else "Corrected in the sales book"
    return f"{done}: sold on {one.date} for {one.price:,f} {one.currency}{ranged}. {count:,} sales in it."


def to_be_written(case: Case, path: Path, place: Path) -> bool:
    """Tell whether a finished outcome of a case is in a book neither as it is nor at all.

    Raises:
        Unreadable: There is a book, and it cannot be used.
    """
    found = case.outcome
    if not found.finished:
        return False
    if not place.exists():
        return True
    with book(place) as kept:
        there = _there(kept, same_case(case, path))
    said = (found.sold, found.day, found.sale, found.asked, found.bought, sanitize_line(found.verified))
    return there is None or _facts(there) != said


def _facts(sale: Sale) -> tuple[object, ...]:
    """Return what an outcome says of a sale."""
    return (sale.price, sale.date, sale.sale, sale.asked, sale.bought, sale.note)


def _there(kept: Book, own: Callable[[Sale], bool]) -> Sale | None:
    return next((sale for sale in kept.of_cases() if own(sale)), None)


def same_case(case: Case, path: Path) -> Callable[[Sale], bool]:
    """Return what tells whether a sale was written down of this case: of a state its trail knows, or by its name."""
    states = states_of(path)
    name, it = sanitize_line(path.name), case.identity
    made = "" if it.made is None else str(it.made)

    def same(sale: Sale) -> bool:
        if sale.case_sha256 in states:
            return True
        return sale.case_file == name and (sale.kind, sale.maker, sale.made) == (it.kind, it.maker, made)

    return same


def own_sale(case: Case, path: Path) -> Callable[[Sale], bool]:
    """Return what tells whether a sale is that of the subject: of its case, or with price and day of its outcome."""
    same, outcome = same_case(case, path), case.outcome

    def own(sale: Sale) -> bool:
        told = outcome.finished and (sale.price, sale.date) == (outcome.sold, outcome.day)
        return same(sale) or (told and sale.kind == case.identity.kind)

    return own


def states_of(path: Path) -> frozenset[str]:
    """Return the SHA-256 of a case file as it is, and as its trail knows that it was."""
    found = {digest(path)}
    try:
        records = parse_trail(read_all(trail_path(path), LARGEST)).records
    except (OSError, ValueError):
        records = ()
    return frozenset({*found, *(str(one.more["file"]) for one in records if "file" in one.more)} - {""})


def sold_too_early(case: Case, sold: date) -> str:
    """Return what is wrong with the day of a sale before the instrument was made; empty where nothing is."""
    made = case.identity.made
    return "" if made is None or made.earliest <= sold else f"found {sold}, expected a day after it was made, {made}"


def entered(
    sale: Sale, place: Path, own: Callable[[Sale], bool] | None = None, *, correcting: bool = False
) -> tuple[Sale | None, int]:
    """Enter a sale into a book, begun where there is none.

    Args:
        sale: What is entered.
        place: The book.
        own: Tells whether a sale of the book is of the same case; none: only of the very state of it.
        correcting: A sale of the same case takes the facts of this one, as one does that was struck out and is entered
            again. Its range of the time stays, for that is what was said before anybody knew; another kind of sale has
            another range.

    Returns:
        The sale of the same case that the book held, so that nothing was entered anew, or none; and how many sales it
        holds now.

    Raises:
        Unreadable: The book cannot be used.
    """
    place.parent.mkdir(parents=True, exist_ok=True)
    with book(place, create=True) as kept:
        there = kept.sale_of(sale.case_sha256) if sale.case_sha256 else None
        if there is None and own is not None:
            there = _there(kept, own)
        if there is None:
            kept.add([sale])
        elif there.withdrawn or (correcting and _facts(there) != _facts(sale)):
            facts = {name: getattr(sale, name) for name in ("price", "date", "sale", "asked", "bought", "note")}
            ends = {} if sale.sale == there.sale else {name: getattr(sale, name) for name in ("low", "middle", "high")}
            kept.put_in_place(there, replace(there, **facts, **ends, withdrawn=""))
        return None if there is not None and there.withdrawn else there, kept.count()


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


def with_outcomes(places: Iterable[Path], place: Path, tables: Tables) -> tuple[list[Sale], list[str]]:
    """Return the sales of a book, where there is one, and those of cases with a finished outcome that it does not have.

    Args:
        places: Cases, and folders of them.
        place: The book.
        tables: To value the cases with.

    Returns:
        The sales, and a line for each case that was left out.

    Raises:
        Unreadable: There is a book, and it cannot be used.
    """
    sales: list[Sale] = []
    of_cases: list[Sale] = []
    if place.exists():
        with book(place) as kept:
            sales, of_cases = list(kept.sales()), list(kept.of_cases())
    left = []
    for path in found(list(places)):
        case, problems, content = read_case_file(path, tables)
        if case is None or content is None:
            left.append(f"left out: {problems[0]}")
        elif case.outcome.finished and not any(map(same_case(case, path), of_cases)):
            try:
                sales.append(of_outcome(case, content, path, tables))
            except InputError as refused:
                left.append(f"left out: {sanitize_line(str(path))}: {refused}")
    return sales, left
