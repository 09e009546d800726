"""The rules every set of tables keeps, the user's rows included; problems are collected, not raised."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from appraise.model.case import STATIONS, Kind
from appraise.model.currency import DIGITS
from appraise.tables import rows, rows_ageing, rows_worth
from appraise.tables.columns import shown
from appraise.tables.rows import Row, Source, Standing
from appraise.tables.sheet import Book, Sheet
from appraise.tables.validate_carriage import carriage_rules, move_rules
from appraise.tables.validate_checks import check_rules, job_rules
from appraise.tables.validate_measurements import drying_rules, instrument_rules, wood_rules
from appraise.tables.validate_settings import setting_rules

if TYPE_CHECKING:
    from appraise.model.problem import Problem

_SHARE_TOLERANCE = 1e-6
LAWS = ("probable_life", "fixed_life", "straight_line", "ross", "declining_balance", "schedule")
"""Laws that the engine knows how to reckon with."""
_METHODS = ("replacement", "depreciated", "market", "residual")
_FACTORS = ("base", "tier", "size", "finish", "records", "design", "fitted")
_CLASSES = tuple(1 + step / 2 for step in range(9))


def validate(sheets: dict[str, Sheet], problems: list[Problem], own: dict[str, Sheet]) -> None:
    """Check every rule that looks at more than one cell.

    Args:
        sheets: Every table, ours with the user's rows laid over.
        problems: What is wrong is added here.
        own: Every table of ours, nothing laid over it.
    """
    book = Book(sheets, problems)
    _sources(book)
    _components(book)
    _lives(book)
    check_rules(book)
    job_rules(book)
    _market(book)
    _laws(book)
    _circumstances(book)
    _clues(book)
    drying_rules(book)
    _classes(book)
    _priors(book)
    _cautions(book)
    setting_rules(book, own["settings"])
    instrument_rules(book)
    wood_rules(book)
    carriage_rules(book)
    move_rules(book)


def _sources(book: Book) -> None:
    sources = book.sheets["sources"].rows
    used: set[str] = set()
    for name, sheet in book.sheets.items():
        if name == "sources":
            continue
        for row in sheet.rows.values():
            if not isinstance(row, Row):
                continue
            used.add(row.source)
            if row.source != "none":
                book.known(row, "source", (row.source,), sources, 'the key of a source, or "none"')
            if row.standing is not Standing.PUBLISHED:
                continue
            if row.source == "none":
                book.wrong(row, "source", '"none"', "a source, since the standing is published")
            if not row.where.strip():
                book.wrong(row, "where", "nothing", "the place in the source, since the standing is published")
    laid_over = any(sheet.yours for sheet in book.sheets.values())
    for source in book.rows("sources", Source):
        if laid_over and source.key not in book.sheets["sources"].yours:
            continue  # the user may have replaced the rows that rest on it
        if source.key not in used:
            book.wrong(source, "key", f"{shown(source.key)}, which no row uses", "a source in use", "take it out")


def _components(book: Book) -> None:
    components = book.rows("components", rows.Component)
    for row in components:
        book.one_of(row, "station", row.station, STATIONS)
        for kind in Kind:
            column, share = f"share_{kind}", row.share(kind)
            if row.hazard and share > 0:
                book.wrong(row, column, f"{share:g}", "no share, since it is a hazard and no part")
            if kind in row.kinds and share <= 0 and not row.hazard:
                book.wrong(row, column, f"{share:g}", f"a share above 0, since it is part of {kind.named}")
            if kind not in row.kinds and share > 0:
                book.wrong(row, column, f"{share:g}", f"no share, since it is no part of {kind.named}")
        if any(not 1 <= grade <= 5 or not 0 <= factor <= 1 for grade, factor in row.appearance):
            book.wrong(row, "appearance", shown(row.appearance), "grades from 1 to 5 with factors from 0 to 1")
        if any(first[1] < second[1] for first, second in pairwise(row.appearance)):
            book.wrong(row, "appearance", shown(row.appearance), "factors that never rise as the grade worsens")
        if row.critical and not row.gate:
            book.wrong(row, "", "no gate", "one, since the component is critical")
        if any(not 1 <= grade <= 5 or not 0 <= factor <= 1 for grade, factor in row.gate):
            book.wrong(row, "gate", shown(row.gate), "grades from 1 to 5 with factors from 0 to 1")
        if any(first[1] < second[1] for first, second in pairwise(row.gate)):
            book.wrong(row, "gate", shown(row.gate), "factors that never rise as the grade worsens")
    for kind in Kind:
        total = sum(row.share(kind) for row in components)
        if components and abs(total - 1) > _SHARE_TOLERANCE:
            last = next((row for row in reversed(components) if row.yours), components[-1])
            book.wrong(last, f"share_{kind}", f"shares of {kind.named} that sum to {total:.9g}", "a sum of 1")


def _lives(book: Book) -> None:
    components = book.sheets["components"].rows
    taken: set[tuple[str, str]] = set()
    for row in book.rows("lives", rows_ageing.Life):
        book.known(row, "component", (row.component,), components, "the key of a component")
        book.rising(row, "low", "typical", "high")
        book.rising(row, "heavy_low", "heavy_typical", "heavy_high")
        for low, high in (("low", "high"), ("heavy_low", "heavy_high")):
            least, most = getattr(row, low), getattr(row, high)
            if least > most * 0.95:
                book.wrong(row, low, f"{least:g}", f"less than {high} by a twentieth or more, {most:g}")
            elif least < most * 0.001:
                book.wrong(row, low, f"{least:g}", f"a thousandth of {high} or more, {most:g}")
        if (row.component, row.variant) in taken:
            book.wrong(row, "variant", shown(row.variant), "one row for each component and material")
        taken.add((row.component, row.variant))
    for component in book.rows("components", rows.Component):
        if not any(name == component.key for name, _ in taken):
            book.wrong(component, "key", f"{shown(component.key)} without a service life", "a row in lives")


def _points(
    book: Book,
    row: Row,
    column: str,
    points: tuple[tuple[float, float], ...],
    span: tuple[float, float],
    what: str,
) -> None:
    """Check that points are in a plausible span, and their factors above nothing."""
    if any(not span[0] <= place <= span[1] or not 0.001 <= factor <= 100 for place, factor in points):
        expected = f"{what} from {span[0]:g} to {span[1]:g} with factors from 0.001 to 100"
        book.wrong(row, column, shown(points), expected)


def _market(book: Book) -> None:
    for basis in book.rows("bases", rows_worth.Basis):
        book.one_of(basis, "method", basis.method, _METHODS)
        book.rising(basis, "low", "typical", "high")
    factors = book.rows("market_factors", rows_worth.MarketFactor)
    for row in factors:
        book.one_of(row, "factor", row.factor, _FACTORS)
        book.rising(row, "low", "typical", "high")
        _points(book, row, "by_age", row.by_age, (0.0, 1000.0), "ages")
        sized = row.above_cm is not None or row.below_cm is not None
        if sized != (row.factor == "size"):
            book.wrong(row, "factor", shown(row.factor), "above_cm or below_cm in size classes, and only there")
        if row.above_cm is not None and row.below_cm is not None and row.above_cm >= row.below_cm:
            book.wrong(row, "above_cm", f"{row.above_cm:g}", f"less than below_cm, {row.below_cm:g}")
    tiers = tuple({row.key: None for row in factors if row.factor == "tier"})
    for price in book.rows("prices_new", rows_worth.PriceNew):
        book.rising(price, "low", "typical", "high")
        book.one_of(price, "tier", price.tier, tiers)
        if price.currency not in DIGITS:
            book.wrong(price, "currency", shown(price.currency), "a currency of ISO 4217 in use, such as EUR")
        if price.above_cm is not None and price.below_cm is not None and price.above_cm >= price.below_cm:
            book.wrong(price, "above_cm", f"{price.above_cm:g}", f"less than below_cm, {price.below_cm:g}")
    for kind in Kind:
        base = [row for row in factors if row.factor == "base" and kind in row.kinds]
        if len(base) != 1 and factors:
            last = base[-1] if base else factors[-1]
            book.wrong(last, "factor", f"{len(base)} base factors for {kind.named}", "one")


def _laws(book: Book) -> None:
    for row in book.rows("laws", rows_ageing.Law):
        book.one_of(row, "key", row.key, LAWS)
        if row.key == "declining_balance" and not row.rate:
            book.wrong(row, "", "no rate", "a rate above 0")
        if row.key == "schedule" and not row.schedule:
            book.wrong(row, "", "no schedule", "percent good after each year")
        good = (100.0, *row.schedule)
        if min(good) < 0 or any(first < second for first, second in pairwise(good)):
            book.wrong(row, "schedule", shown(row.schedule), "percents from 100 to 0 that never rise")


def _circumstances(book: Book) -> None:
    components = book.sheets["components"].rows
    for row in book.rows("climates", rows_ageing.Climate):
        book.known(row, "factors", row.factors, components, "the key of a component")
        if any(not 0.05 <= factor <= 20 for factor in row.factors.values()):
            book.wrong(row, "factors", shown(dict(row.factors)), "factors above 0, from 0.05 to 20")


def _clues(book: Book) -> None:
    components = book.sheets["components"].rows
    for row in book.rows("dating_clues", rows_ageing.DatingClue):
        book.known(row, "components", row.components, components, "the key of a component")
        if row.low >= row.high:
            book.wrong(row, "low", f"{row.low:g}", f"less than high, {row.high:g}")


def _classes(book: Book) -> None:
    classes = sorted(book.rows("condition_classes", rows_ageing.ConditionClass), key=lambda row: row.grade)
    if classes and tuple(row.grade for row in classes) != _CLASSES:
        grades = shown([row.grade for row in classes])
        book.wrong(
            next((row for row in classes if row.yours), classes[-1]),
            "grade",
            f"classes {grades}",
            "the nine classes from 1 to 5 by halves",
        )
    for first, second in pairwise(classes):
        if first.c_pct > second.c_pct:
            found = f"{first.c_pct:g}", f"{second.c_pct:g}"
            book.in_order(first, second, "c_pct", found, "percents that never fall")


def _priors(book: Book) -> None:
    priors = book.rows("priors", rows_ageing.Prior)
    for first, second in pairwise(priors):
        if first.consumed >= second.consumed or first.grade > second.grade:
            found = f"{first.consumed:g}", f"{second.consumed:g}"
            book.in_order(first, second, "consumed", found, "rows that rise in consumed, never better in grade")


def _cautions(book: Book) -> None:
    checks, components = book.sheets["checks"].rows, book.sheets["components"].rows
    materials = {row.variant for row in book.rows("lives", rows_ageing.Life) if row.variant}
    for row in book.rows("cautions", rows.Caution):
        book.known(row, "checks", row.checks, checks, "the key of a check")
        book.known(row, "components", row.components, components, "the key of a component")
        book.known(row, "stations", row.stations, STATIONS, "one of " + ", ".join(STATIONS))
        book.known(row, "materials", row.materials, materials, "a material of the table lives")
