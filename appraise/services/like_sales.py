"""Like sales of the book for a case: found by themselves, proposed, and made comparables of the case when told to."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from appraise.evidence.book import book
from appraise.model.case import Comparable
from appraise.model.plausible import LEAST_PRICE
from appraise.model.problem import InputError
from appraise.model.span import Span, years_between
from appraise.model.unsafe import sanitize_line
from appraise.services.sales import general_grade, own_sale
from appraise.store.sections import refusal

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from appraise.evidence.levels import Unused
    from appraise.evidence.like import Like, Likes
    from appraise.evidence.sale import Sale
    from appraise.model.case import Case
    from appraise.model.result import Valuation
    from appraise.tables.rows import Tables

SHOWN = 20
"""Like sales shown; the nearest of however many."""
_DRAWS = 128
"""Draws of condition behind the level at which a sale is marked: it is told to a tenth of its score at the most."""
FEWEST = 3
"""So many are proposed though they lie past the gross limit, up to a price adjusted by as much as it is."""


def likes(case: Case, valuation: Valuation, path: Path, book_file: Path, tables: Tables) -> Likes:
    """Look for like sales; a few tenths of a second, and longer in a book of many thousands, so call it aside.

    Args:
        case: As it stands.
        valuation: Of it, for its general condition.
        path: Its file; the sale of this very instrument is known by it and by what its trail tells.
        book_file: The book.
        tables: In force.

    Raises:
        InputError: The case does not say when the instrument was made.
        Unreadable: The book cannot be used.
    """
    from appraise.evidence.like import Likes, Subject, like

    if case.identity.made is None:
        raise InputError("found no year made, expected identity.made: like sales are told by age")
    subject = Subject(case, general_grade(valuation))
    with book(book_file) as kept:
        found, unused = like(subject, kept.sales(), tables, own_sale(case, path))
    known = {_facts(one) for one in case.market.comparables}
    new = tuple(one for one in found if _facts(comparable(one.sale, book_file.name, case)) not in known)
    limits = (tables.setting("gross_limit_pct") / 100.0, 1.0)
    within, half = (sum(one.distance <= most for one in new) for most in limits)
    proposed = min(max(within, min(half, FEWEST)), int(tables.setting("own_sales_proposed")))
    near = _marked(new[:SHOWN], case, book_file.name, tables)
    return Likes(sanitize_line(book_file.name), near + new[SHOWN:], proposed, len(found) - len(new), tuple(unused))


def _marked(near: tuple[Like, ...], case: Case, book_name: str, tables: Tables) -> tuple[Like, ...]:
    """Return like sales, those marked whose price would stand out among the comparables, were all of them taken.

    A sale that stands out stays, and is proposed as any other: it is told, and the assessor strikes it out or not.
    """
    from appraise.engine.comparison import prepared
    from appraise.engine.outlying import stand_out
    from appraise.engine.sampler import Sampler

    if not near or case.market.cost_new is None:
        return near
    with_all = with_comparables(case, near, book_name)
    marks = stand_out(prepared(with_all, tables, Sampler(int(tables.setting("seed")), _DRAWS)))
    return tuple(replace(one, outlying=mark) for one, mark in zip(near, marks[-len(near) :], strict=True)) or near


def comparable(sale: Sale, book_name: str, case: Case) -> Comparable:
    """Return a sale as a comparable of a case, the book named as its source.

    Args:
        sale: One that `evidence.like` took.
        book_name: Name of the book's file.
        case: Its market's yearly change brings the price new of that day to the day of the inspection.
    """
    years = years_between(sale.date, case.assignment.inspected)
    moved = Decimal(repr((1.0 + case.market.yearly_price_change_pct / 100.0) ** years))
    new = None if sale.price_new is None else (sale.price_new * moved).quantize(Decimal("0.01"))
    size = sale.size_cm if sale.size_cm is not None and not _refused("size_cm", sale.size_cm) else None
    label = " ".join(filter(None, (sanitize_line(sale.maker)[:100], sale.made))) or sale.kind
    place = sale.case_file or (f"{sale.file}, line {sale.line}" if sale.file else "typed")
    return Comparable(
        label=label,
        price=sale.price,
        date=sale.date,
        sale=sale.sale,
        made=Span.parse(sale.made),
        grade=sale.grade or 3.0,
        size_cm=size,
        replacement_cost_new=new if new is not None and new >= LEAST_PRICE else None,
        source=sanitize_line(f"own sales book {book_name}: {place}"),
    )


def _refused(name: str, value: object) -> str:
    return refusal(("market", "comparables", 0, name), value)


def _facts(one: Comparable) -> tuple[object, ...]:
    return (one.price, one.date, one.sale, str(one.made), one.grade, one.size_cm)


def with_comparables(case: Case, taken: Iterable[Like], book_name: str) -> Case:
    """Return the case with like sales among its comparables, behind those that it has."""
    new = tuple(comparable(one.sale, book_name, case) for one in taken)
    return replace(case, market=replace(case.market, comparables=(*case.market.comparables, *new)))


def adjustments(one: Like) -> str:
    """Return what a sale would be adjusted for, or could be wrong by, in words: the steps that are not nothing."""
    steps = (f"{name} {100 * step:.0f} %" for name, step in one.steps if step >= 0.005)
    return ", ".join(steps) or "nothing"


def unused_lines(unused: Sequence[Unused]) -> list[str]:
    """Return a line for each reason why sales of the book count for nothing here."""
    return [
        f"{one.count:,} sale{'' if one.count == 1 else 's'} of the book count{'s' if one.count == 1 else ''} for "
        f"nothing here: {one.reason}."
        for one in unused
    ]
