"""Candidates as a person asks for them: filters and terms as typed, files written, what is said of them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from appraise.model.locale_format import PLAIN
from appraise.model.problem import InputError, quoted
from appraise.model.quantities import money
from appraise.model.quantities import number as typed_number
from appraise.model.ranking import COSTS
from appraise.report.ranking import (
    adds_up,
    amount,
    apart,
    called,
    from_tables,
    named,
    unstated,
    write_csv,
    write_json_lines,
)
from appraise.report.ranking_explanation import converted, in_reference, twins_text, unlike_text, why
from appraise.report.words import either
from appraise.services.ordering import Filter
from appraise.services.trade_in import sale_kinds
from appraise.store.read import read_case
from appraise.store.write import writing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from pathlib import Path

    from appraise.model.currency import Rates
    from appraise.model.reason import Reason
    from appraise.services.ordering import Ordered, SortKey
    from appraise.services.trade_in import Terms
    from appraise.tables.rows import Tables

    Row = dict[str, Any]

_number = PLAIN.number

ENDINGS = (".csv", ".jsonl")
"""Endings of the files that candidates can be written to."""


@dataclass(slots=True)
class View:
    """How candidates are looked at; it outlasts the screen."""

    terms: Terms | None = None
    """None: those of the tables."""
    order: str = "offer"
    backwards: bool = False
    wanted: Filter = field(default_factory=Filter)


_YEARS_FROM = 120.0
"""Time from which years are said instead of months [months]."""


def kind(text: str) -> str:
    """Read a kind of instrument, or its beginning; nothing typed is any.

    Raises:
        InputError: It is neither.
    """
    word = text.strip().casefold()
    found = [name for name in ("grand", "upright") if name.startswith(word)]
    if word and not found:
        raise InputError(quoted(text), "grand, upright, or nothing for both")
    return found[0] if word else ""


def percentage(low: float, high: float) -> Callable[[str], float | None]:
    """Return what reads a percentage between two bounds, both included [%]; nothing typed is none."""

    def read(text: str) -> float | None:
        plain = text.strip().removesuffix("%").rstrip()
        if not plain:
            return None
        found = typed_number(plain)
        if not low <= found <= high:
            raise InputError(quoted(text), f"a percentage from {low:g} to {high:g}")
        return found

    return read


def amount_typed(text: str) -> float | None:
    """Read an amount of money; nothing typed is none.

    Raises:
        InputError: Not an amount, or one that could be read in two ways.
    """
    return float(money(text)) if text.strip() else None


def months_typed(text: str) -> float | None:
    """Read a number of months; nothing typed is none.

    Raises:
        InputError: Not a number.
    """
    return typed_number(text) if text.strip() else None


def resales(tables: Tables) -> dict[str, str]:
    """Return the kinds of sale at which a candidate may be resold, labels by key: rows of `bases`."""
    return {key: tables.bases[key].label for key in sale_kinds(tables)}


def resale(tables: Tables) -> Callable[[str], str]:
    """Return what reads a kind of sale: its label, or the key of its row, or the beginning of either."""
    sales = resales(tables)
    words = {label.casefold(): key for key, label in sales.items()} | {key.replace("_", " "): key for key in sales}

    def read(text: str) -> str:
        typed = " ".join(text.casefold().replace("_", " ").split())
        found = list(dict.fromkeys(key for word, key in words.items() if typed and word.startswith(typed)))
        if typed in words:
            return words[typed]
        if len(found) != 1:
            which = "; ".join(sales[key] for key in found or sales)
            raise InputError(f"{quoted(text)}, which begins several" if found else quoted(text), f"one of {which}")
        return found[0]

    return read


def with_terms(terms: Terms, probability_pct: float | None, margin_pct: float | None, sold: str) -> Terms:
    """Return the terms with another sureness of the margin [%], another margin [%] and another resale."""
    probability = None if probability_pct is None else probability_pct / 100.0
    return replace(terms, probability=probability, margin_pct=margin_pct, resale=sold)


def terms_in_words(terms: Terms, wanted: Filter) -> str:
    """Say on what terms candidates are valued and which are shown."""
    probability = 100.0 * terms.resolved()[2]
    margin = "each its own margin" if terms.margin_pct is None else f"a margin of {_number(terms.margin_pct)}%"
    sold = terms.tables.bases[terms.resale].label
    words = [f"{margin} kept in {_number(probability)}% of the draws", f"resale: {sold[:1].lower()}{sold[1:]}"]
    return " · ".join(words) if wanted.empty else " · ".join([*words, f"only {filter_in_words(wanted)}"])


def filter_in_words(wanted: Filter) -> str:
    """Say which candidates are wanted."""
    words = [f"{wanted.kind}s"] if wanted.kind else []
    if wanted.above is not None:
        words.append(f"offer from {_number(wanted.above, 0)}")
    if wanted.risk_pct is not None:
        words.append(f"risk up to {_number(wanted.risk_pct)}%")
    if wanted.months is not None:
        words.append(f"{_number(wanted.months)} months or more")
    return ", ".join(words)


def about(row: Row) -> list[str]:
    """Return what there is to say of one candidate, a paragraph an item."""
    coin = row["currency"]
    identity = [row["kind"], f"{row['size_cm']:g} cm" if row["size_cm"] else "", row["made"] or ""]
    made = ", ".join(word for word in identity if word)
    paid = f"can pay up to {coin} {amount(row['offer'])}"
    if row["offer"] < 0:
        paid = f"would have to be paid {coin} {amount(-row['offer'])}"
    whole = row["course"] != "part_out"
    offer = (
        f"{_COURSES[row['course']]}, a dealer {paid}: the least margin of {_number(row['least_margin_pct'])}% is kept "
        f"in {_number(row['margin_kept_pct'])}% of the draws, and money is lost in {_number(row['loss_risk_pct'])}%."
    )
    what = "Resale" if whole else "Parts less disposal:"
    resale = f"{what} {coin} {amount(row['resale'])} ({_range(row, 'resale')})"
    if row["resale"] < 0:
        resale += ", for disposal costs more than the parts bring"
    if row["plan"]:
        resale += f" after work of {coin} {amount(row['work'])} ({_range(row, 'work')}): {row['plan']}"
    months = row["next_intervention_months"]
    if months is not None:
        part = PLAIN.small(str(row["next_intervention_part"]))
        time = f"{_number(months, 0)} months" if months < _YEARS_FROM else f"{_number(months / 12.0, 0)} years"
        due = "is due now" if round(months) < 1 else f"in about {time}"
        resale += f". Next large job {due} as is ({part})"
    seen = f"{_number(row['inspected_pct'], 0)}% inspected"
    if row["preliminary"]:
        seen += "; preliminary, graded in part at a quick look"
    found = [f"{called(row)} ({made}), {named(row)}: {seen}", offer, f"{adds_up(row)}.", f"{resale}."]
    rate = converted(row)
    notes = (f"{rate}." if rate else "", twins_text(row), unlike_text(row), apart(row), _not_stated(row))
    found += [text for text in notes if text]
    return found


_COURSES = {"after_work": "After work", "as_is": "As is", "part_out": "Parted out"}
"""How a sentence on an offer begins."""


def _not_stated(row: Row) -> str:
    """Say what the case leaves open, and what the tables state instead; empty where it leaves nothing open."""
    found = [f"{COSTS[key]} from the tables" for key in from_tables(row)]
    if unstated(row, "work"):
        found.append("no rate to cost work by, so no work is costed")
    return f"Not stated in the case: {'; '.join(found)}." if found else ""


def _range(row: Row, key: str) -> str:
    return f"{amount(row[f'{key}_low'])} to {amount(row[f'{key}_high'])}"


def set_beside(first: Row, second: Row) -> list[str]:
    """Say why the better of two candidates beats the other, or why they cannot be compared."""
    if _level(first, second) < _level(second, first):
        first, second = second, first
    first, second = ({**row, "file": named(row)} for row in (first, second))
    try:
        return list(why(first, second))
    except ValueError as error:
        return [f"{called(first)} and {called(second)}: {error}."]


def why_offer(path: Path, terms: Terms, rates: Rates | None) -> Reason:
    """Return why the highest offer for a candidate is what it is, on the terms of the ranking.

    Args:
        path: Its case file.
        terms: What it is valued with.
        rates: By which the offer is converted.

    Raises:
        InputError: The case cannot be valued.
    """
    from appraise.report.appraisal import appraisal
    from appraise.report.offer import OfferTerms, offer_reason

    case, problems = read_case(path, terms.tables)
    if case is None:
        raise InputError(str(problems[0]))
    if terms.margin_pct is not None:
        case = replace(case, costs=replace(case.costs, margin_pct=terms.margin_pct))
    item = appraisal(case, terms.tables, file=path.name, draws=terms.draws, seed=terms.seed)
    tree = offer_reason(item, OfferTerms(terms.resale, terms.probability, rates))
    if tree is None:
        raise InputError(f"{path.name}: found no replacement cost new, expected one for an offer")
    return tree


def _level(row: Row, other: Row) -> float:
    """Return an offer as it can be set against another's; nothing where it cannot."""
    if row["currency"] == other["currency"]:
        return float(row["offer"])
    return 0.0 if None in (row["rate"], other["rate"]) else float(in_reference(row)["offer"])


def order_in_words(ranking: Ordered, key: SortKey, wanted: Filter, wrong: str) -> str:
    """Say how several currencies stand beside one another; empty where there is one.

    Args:
        ranking: The rows.
        key: Their order.
        wanted: Which are shown.
        wrong: Why the settings give no rates, where they are wrong.
    """
    coins, unconverted = ranking.currencies(wanted), ranking.unconverted(wanted)
    if len(coins) < 2:
        return ""
    if not unconverted:
        place = ranking.places(key, wanted=wanted)[0]
        row = ranking.row(place)
        if row is not None:
            return f"{', '.join(coins)} in one order by {row['reference_currency']}, rates of {row['rate_date']}"
    each = "each its own group" if key.money else "side by side, unconverted"
    return f"{', '.join(coins)} {each}: {wrong or 'no rate for ' + ', '.join(unconverted)}"


def named_for_writing(text: str, folder: Path) -> Path:
    """Return the file that a person named to write candidates to.

    Raises:
        InputError: Its ending is neither of `ENDINGS`, or it is a folder.
    """
    name = text.strip()
    path = folder / name
    if "\x00" in name or path.suffix.casefold() not in ENDINGS:
        raise InputError(quoted(name), f"a name that ends in {either(ENDINGS)}")
    if path.is_dir():
        raise InputError(f"{quoted(name)}, which is a folder", "a file")
    return path


def write_candidates(path: Path, rows: Iterable[Row]) -> None:
    """Write rows to a file, whole or not at all, as CSV or as JSON lines by its ending.

    Raises:
        OSError: It could not be written; what was there is as it was.
    """
    with writing(path) as stream:
        (write_csv if path.suffix.casefold() == ".csv" else write_json_lines)(stream, rows)
