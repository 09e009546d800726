"""The rules every set of tables keeps, the user's rows included; problems are collected, not raised."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from appraise.model.case import Kind
from appraise.model.currency import DIGITS
from appraise.tables import rows, rows_ageing, rows_worth
from appraise.tables.columns import shown
from appraise.tables.layout import LAYOUTS
from appraise.tables.rows import Row, Source, Standing
from appraise.tables.sheet import Book, Sheet
from appraise.tables.validate_carriage import carriage_rules
from appraise.tables.validate_checks import check_rules, job_rules
from appraise.tables.validate_measurements import drying_rules, instrument_rules, wood_rules
from appraise.tables.validate_settings import setting_rules

if TYPE_CHECKING:
    from appraise.model.problem import Problem

_SHARE_TOLERANCE = 1e-6
LAWS = ("probable_life", "fixed_life", "straight_line", "ross", "declining_balance", "schedule")
"""Laws that the engine knows how to reckon with."""
_THREE = ("low", "typical", "high")
_RISING: dict[str, tuple[tuple[str, ...], ...]] = {
    "lives": (_THREE, ("heavy_low", "heavy_typical", "heavy_high")),
    "remedies": (("hours_low", "hours_typical", "hours_high"), ("parts_low", "parts_high")),
    "bases": (_THREE,),
    "market_factors": (_THREE,),
    "prices_new": (_THREE,),
    "damper_reach": (("note_low", "note_high"),),
    "woods": (("radial", "tangential"),),
    "settling_times": (("days_low", "days_high"),),
    "tension_ceilings": (("usual_pct", "ceiling_pct"),),
    "overpulls": (("usual_cents", "most_cents"),),
    "reading_ranges": (("low", "usual_low", "usual_high", "high"),),
    "wire_grid": (("low_ksi", "high_ksi"),),
    "pitch_raises": (("passes_low", "passes_high"),),
}
"""Columns of each table whose numbers rise or stay."""
_BELOW = {
    "market_factors": ("above_cm", "below_cm"),
    "prices_new": ("above_cm", "below_cm"),
    "dating_clues": ("low", "high"),
    "climate_limits": ("rh_low", "rh_high"),
    "pitch_raises": ("above_cents", "up_to_cents"),
}
"""Columns of which the first is less than the second, where a row has both."""
_KEY_OF = {
    "components": "the key of a component",
    "checks": "the key of a check",
    "remedies": "the key of a remedy",
    "climates": "the key of a climate",
    "regulation_targets": "the key of an adjustment",
}
"""What is expected of a column that names rows of another table."""
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
    _declared(book)
    _components(book)
    _lives(book)
    check_rules(book)
    job_rules(book)
    _market(book)
    _laws(book)
    _circumstances(book)
    drying_rules(book)
    _classes(book)
    _priors(book)
    _cautions(book)
    setting_rules(book, own["settings"])
    instrument_rules(book)
    wood_rules(book)
    carriage_rules(book)


def _declared(book: Book) -> None:
    """Check what columns declare: the table whose keys they name, or their words; and numbers that rise in a row."""
    for layout in LAYOUTS[1:]:
        rising, below = _RISING.get(layout.name, ()), _BELOW.get(layout.name)
        linked = [(name, column) for name, column in layout.columns.items() if column.of]
        for row in book.rows(layout.name, Row):
            for name, column in linked:
                value = getattr(row, column.field)
                values = (value,) if isinstance(value, str) and value else value
                if isinstance(column.of, str):
                    book.known(row, name, values, book.sheets[column.of].rows, _KEY_OF[column.of])
                else:
                    book.known(row, name, values, column.of, "one of " + ", ".join(column.of))
            for columns in rising:
                book.rising(row, *columns)
            if below is not None:
                book.below(row, *below)


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
    taken: set[tuple[str, str]] = set()
    for row in book.rows("lives", rows_ageing.Life):
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
    factors = book.rows("market_factors", rows_worth.MarketFactor)
    for row in factors:
        _points(book, row, "by_age", row.by_age, (0.0, 1000.0), "ages")
        sized = row.above_cm is not None or row.below_cm is not None
        if sized != (row.factor == "size"):
            book.wrong(row, "factor", shown(row.factor), "above_cm or below_cm in size classes, and only there")
    tiers = tuple({row.key: None for row in factors if row.factor == "tier"})
    for price in book.rows("prices_new", rows_worth.PriceNew):
        book.one_of(price, "tier", price.tier, tiers)
        if price.currency not in DIGITS:
            book.wrong(price, "currency", shown(price.currency), "a currency of ISO 4217 in use, such as EUR")
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
    for row in book.rows("climates", rows_ageing.Climate):
        if any(not 0.05 <= factor <= 20 for factor in row.factors.values()):
            book.wrong(row, "factors", shown(dict(row.factors)), "factors above 0, from 0.05 to 20")


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
    materials = {row.variant for row in book.rows("lives", rows_ageing.Life) if row.variant}
    for row in book.rows("cautions", rows.Caution):
        book.known(row, "materials", row.materials, materials, "a material of the table lives")
