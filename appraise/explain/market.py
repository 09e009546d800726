"""Why the market takes what it does: factor by age, kind of sale, price new, usability, renewals, looks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.condition import condition
from appraise.engine.market import factor_rows, tables_factor
from appraise.engine.market_age import factor_at, market_curve
from appraise.engine.points import along
from appraise.engine.sampler import Sampler
from appraise.engine.subject import assemble
from appraise.model.lazy_dataclass import dataclass
from appraise.model.quantities import Units

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from appraise.explain.nodes import Context
    from appraise.model.reason import Reason
    from appraise.model.result import ComponentResult
    from appraise.tables.rows_worth import MarketFactor

_SHIFT = 1e-9
"""A factor that differs from 1 by no more gets no node of its own [–]."""


def factor_nodes(context: Context) -> Iterator[Reason]:
    """Return the nodes of the market factor, the kind of sale, the price new, usability, renewals and looks."""
    central = _central(context)
    yield _market_factor(context)
    yield _channel(context)
    yield _price_new(context)
    yield _usability(context)
    yield from [] if central is None else [_renewal(context, central), _appearance(context, central)]


def _market_factor(context: Context) -> Reason:
    say, valuation = context.say, context.valuation
    rows: tuple[MarketFactor, ...] = ()
    parts: list[Reason] = []
    if valuation.market_factor_from == "comparables":
        how = say("the tables' factor times the median level of the comparables' market against that of the tables")
        parts = [_by_tables(context)]
    elif valuation.market_factor_from == "basis":
        basis = context.tables.bases[valuation.basis]
        how = say("this basis looks at cost and takes no market factor")
        if basis.obsolescence > 0.0:
            rows = tuple(row for row in factor_rows(context.case, context.tables) if row.factor == "base")
            how = say(
                "obsolescence of the design alone: the fall of the base factor with age, to the power of {share}",
                share=context.manner.factor(basis.obsolescence),
            )
    else:
        rows = tuple(factor_rows(context.case, context.tables))
        how = _how(context, rows)
        parts = _rows(context, rows)
    return context.spread(
        "market_factor", say("Market factor"), valuation.market_factor, "%", how, context.refer(*rows), parts
    )


def _how(context: Context, rows: Iterable[MarketFactor]) -> str:
    factor = context.manner.factor
    return context.say(
        "from the tables at a market age of {years}: {product}",
        years=context.show(context.valuation.market_age, "years"),
        product=" × ".join(f"{_called(context, row)} {factor(_at_age(context, row))}" for row in rows),
    )


def _at_age(context: Context, row: MarketFactor) -> float:
    return row.typical * factor_at((row,), context.valuation.market_age)


def _rows(context: Context, rows: Iterable[MarketFactor]) -> list[Reason]:
    """Return the market age, and each row of the tables with its factor at that age."""
    say, factor = context.say, context.manner.factor
    age = context.figure(
        "market_age",
        say("Age at which the market factor is taken"),
        context.valuation.market_age,
        "years",
        say("from the date of making to the effective date; renewals count as a factor of their own"),
    )
    nodes = []
    for row in rows:
        how = say("the same at every age")
        if row.by_age:
            points = "; ".join(f"{context.show(at, 'years')} {factor(there)}" for at, there in row.by_age)
            how = say("its factor by age, linear between the points: {points}", points=points)
        address, result = f"market_factor.{row.key}", _at_age(context, row)
        nodes.append(context.figure(address, _called(context, row), result, "factor", how, context.refer(row)))
    return [age, *nodes]


def _by_tables(context: Context) -> Reason:
    """Return what the tables have for the market factor, from which that of the comparables starts."""
    rows = factor_rows(context.case, context.tables)
    result = tables_factor(context.case, context.tables, context.valuation.market_age)
    label = context.say("Market factor of the tables")
    refs, parts = context.refer(*rows), _rows(context, rows)
    return context.spread("market_factor.tables", label, result, "%", _how(context, rows), refs, parts)


def _called(context: Context, row: MarketFactor) -> str:
    """Return what a row is called: its label, but a class of sizes by its bounds where these are not in cm."""
    say, manner = context.say, context.manner
    if row.factor != "size" or manner.units is Units.METRIC:
        return row.label
    low, high = ("" if end is None else manner.quantity(end, "cm") for end in (row.above_cm, row.below_cm))
    if low and high:
        return say("Size from {low} to under {high}", low=low, high=high)
    return say("Size from {low}", low=low) if low else say("Size under {high}", high=high)


def _channel(context: Context) -> Reason:
    say, basis = context.say, context.tables.bases[context.valuation.basis]
    reference = context.refer(basis)
    nodes = [
        context.words(address, label, text, how, reference)
        for address, label, text, how in (
            ("market_level", say("Level of the market"), basis.market_level, say("of the kind of value asked for")),
            ("exposure", say("Exposure time"), basis.exposure, say("as the kind of value supposes")),
        )
        if text
    ]
    label = say("{label}: share of the retail price", label=basis.label)
    return context.spread(
        "basis_factor", label, context.valuation.basis_factor, "%", basis.definition, reference, nodes
    )


def _price_new(context: Context) -> Reason:
    """Return the price of a new one on the market asked for, which no value exceeds without a named adjustment."""
    say, case = context.say, context.case
    how = say(
        "replacement cost new × share of the retail price; no value exceeds that without an adjustment of the assessor"
    )
    amount = (case.market.cost_new or 0.0) * context.valuation.basis_factor.mid
    return context.figure("price_new", say("Price of a new one on this market"), amount, "money", how)


def _usability(context: Context) -> Reason:
    say, case = context.say, context.case
    gated = [part for part in _parts(context) if part.usability < 1.0]
    how = say("least usability left by any component that the whole depends on; none of them holds it back")
    if gated:
        worst = min(gated, key=lambda part: part.usability)
        how = say(
            "least usability left by any component that the whole depends on: {part}, at grade {grade}",
            part=context.manner.small(worst.label),
            grade=context.manner.grade(worst.grade.mid),
        )
    rows = [row for row in context.tables.components.values() if row.gate and case.identity.kind in row.kinds]
    return context.figure("usability", say("Usability"), context.valuation.usability, "%", how, context.refer(*rows))


def _parts(context: Context) -> list[ComponentResult]:
    return [part for station in context.valuation.stations for part in station.components]


@dataclass(frozen=True, slots=True)
class _Central:
    """Return the market factor of each component's age at the central figures."""

    ages: tuple[tuple[str, float, float], ...]
    """(component, market age [years], factor against that of the instrument's age [–]), those renewed alone."""
    sound: float
    """Σ share of what a sound component of that age keeps, times that factor [–]."""


def _central(context: Context) -> _Central | None:
    """Work the central figures out again; none where the price new alone counts."""
    case, tables = context.case, context.tables
    method = tables.bases[context.valuation.basis].method
    if method == "replacement":
        return None
    subject, curve = assemble(case, tables), None
    if method in ("market", "residual"):
        rho = tables.setting("renewal_market_share")
        curve = market_curve(tuple(factor_rows(case, tables)), subject.age, rho)
    state = condition(subject, (), Sampler.centre(), tables, curve)
    sound = sum(part.share * float(state.worn[part.key].sound[0]) for part in subject.parts)
    ages = []
    for part in subject.parts:
        left = 1.0 - float(state.left[part.key][0])
        factor = float(state.worn[part.key].kept[0]) / left if left > 0.0 else 1.0
        if curve is not None and abs(factor - 1.0) > _SHIFT and not part.row.hazard:
            made = subject.age
            ages.append((part.key, made - curve.renewal_share * max(0.0, made - part.age), factor))
    return _Central(tuple(ages), sound)


def _renewal(context: Context, central: _Central) -> Reason:
    say, valuation = context.say, context.valuation
    labels = {part.component: part.label for part in _parts(context)}
    reference = context.setting("renewal_market_share")
    parts = [
        context.figure(
            f"{key}.market_factor",
            say("{label}: its market's factor against that of the instrument's age", label=labels[key]),
            factor,
            "factor",
            say(
                "at a market age of {years}: the age of the instrument less a share of what its renewal took off",
                years=context.show(age, "years"),
            ),
            reference,
        )
        for key, age, factor in central.ages
    ]
    how = say("nothing was renewed")
    if parts:
        how = say(
            "mean of the components' factors, 1 where there was no renewal, each by its share of replacement cost × (1 "
            "− depreciation)"
        )
    label = say("Effect of renewals on the market age")
    return context.figure("renewal", label, valuation.renewal, "factor", how, reference, parts)


def _appearance(context: Context, central: _Central) -> Reason:
    say, valuation, tables = context.say, context.valuation, context.tables
    looks = [part for part in _parts(context) if tables.components[part.component].appearance]
    parts = [
        context.figure(
            f"{part.component}.look",
            say("{label}: share of the value left by its cosmetic condition", label=part.label),
            _look(tables.components[part.component].appearance, part.grade.mid),
            "%",
            say("by its grade, linear between the points of the table"),
            context.refer(tables.components[part.component]),
        )
        for part in looks
    ]
    how = say("what a sound instrument of its age and renewals counts, every part at the grade of a sound one")
    parts.append(context.figure("looks.sound", say("A sound instrument of this age"), central.sound, "%", how))
    how = say(
        "1 − the sum of what each component's looks take off × what a sound instrument of this age counts ÷ what "
        "condition and renewals leave of this one before usability"
    )
    rows = context.refer(*(tables.components[part.component] for part in looks))
    return context.figure(
        "appearance", say("Share left by cosmetic condition"), valuation.appearance, "%", how, rows, parts
    )


def _look(points: tuple[tuple[float, float], ...], grade: float) -> float:
    return float(along(points, grade))
