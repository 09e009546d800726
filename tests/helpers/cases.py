"""Random cases that are valid for a set of tables, for the property tests."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from functools import cache

from hypothesis import strategies as st

from appraise.model import plausible
from appraise.model.case import (
    STATIONS,
    Adjustment,
    Assignment,
    Case,
    Circumstances,
    Claim,
    Comparable,
    Costs,
    DryingClueSeen,
    EarlierState,
    EffectiveAge,
    Extent,
    Grade,
    Identity,
    Kind,
    Market,
    Origin,
    PhotoFile,
    PitchReading,
    Reading,
    Remark,
    Renewal,
)
from appraise.model.span import Span
from appraise.tables.rows import CheckKind, Tables

_BIDI = "".join(chr(code) for code in (*range(0x202A, 0x202F), *range(0x2066, 0x206A)))
_CHARACTERS = st.characters(exclude_categories=["Cs", "Cc"], exclude_characters=_BIDI, include_characters="\n\t")
_AWKWARD = ('say "so"', "[/b] [bold]", "a\nb", "# = '", "\\", '"""', "½ N·m", "'''", "{}")


pick = cache(st.sampled_from)
whole = cache(st.integers)
days = cache(st.dates)
"""Building a strategy costs more than drawing from it, so each is built once."""


@cache
def real(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers between two bounds."""
    return st.floats(low, high, allow_subnormal=False)


@cache
def several(options: tuple[str, ...], **more: object) -> st.SearchStrategy[list[str]]:
    """Some of the options."""
    return st.lists(pick(options), **more)


@cache
def _notes(compass: int) -> st.SearchStrategy[list[int]]:
    return st.lists(whole(1, compass), max_size=40)


@cache
def texts(longest: int = 30) -> st.SearchStrategy[str]:
    """Any text that a case file may hold, brackets, quotes and line ends among it."""
    return st.just("") | st.sampled_from(_AWKWARD) | st.text(_CHARACTERS, max_size=longest)


@cache
def said() -> st.SearchStrategy[str]:
    """Text that is not empty."""
    return st.builds("{}{}".format, st.sampled_from(("worn", "[b]", "x")), texts())


@cache
def grades() -> st.SearchStrategy[float]:
    """Condition grades in half steps."""
    return whole(2, 10).map(lambda half: half / 2)


@cache
def amounts(low: int = 1, high: int = 200_000) -> st.SearchStrategy[Decimal]:
    """Money with 0 to 2 decimals."""
    return st.builds(
        lambda cents, places: Decimal(cents).scaleb(-places),
        whole(low * 100, high * 100),
        whole(0, 2),
    )


@cache
def optional(strategy: st.SearchStrategy) -> st.SearchStrategy:
    """Sometimes nothing."""
    return st.none() | strategy


@cache
@st.composite
def spans(draw, first: date, last: date) -> Span:
    """Days, months, years and intervals that begin within two days."""
    start = draw(days(first, last))
    form = draw(pick(("day", "month", "year", "years", "days")))
    if form == "month" and start.day == 1:
        return Span.parse(f"{start:%Y-%m}")
    if form in ("year", "years") and date(start.year, 1, 1) >= first:
        return Span.parse(str(start.year) if form == "year" else f"{start.year}/{start.year + 7}")
    if form == "days":
        return Span(start, start + timedelta(days=draw(whole(0, 5000))))
    return Span(start, start)


@st.composite
def cases(draw, tables: Tables, *, priced: bool | None = None) -> Case:
    """Draw a valid case.

    Args:
        draw: Given by Hypothesis.
        tables: What its names are taken from.
        priced: Whether it has a replacement cost new and a labour rate; none: either.
    """
    kind = draw(pick(tuple(Kind)))
    inspected = draw(days(date(2000, 1, 1), date(2030, 12, 31)))
    made = draw(optional(spans(date(1850, 1, 1), inspected)))
    compass = draw(pick((88, 88, 88, 85, 97)))
    components = [row.key for row in tables.components.values() if kind in row.kinds]
    return Case(
        identity=_identity(draw, tables, kind, made, inspected, compass),
        assignment=Assignment(
            inspected=inspected,
            purpose=draw(texts()),
            basis=draw(pick(tuple(tables.bases))),
            currency=draw(pick(("EUR", "USD", "CHF", "JPY"))),
            reported=draw(optional(days(inspected, inspected + timedelta(days=60)))),
            place=draw(texts()),
            client=draw(texts()),
            limits=draw(texts()),
            law=draw(pick(tuple(tables.laws))),
        ),
        circumstances=Circumstances(
            climate=draw(pick(tuple(tables.climates))),
            use=draw(pick(tuple(tables.uses))),
            records=_class_of(draw, tables, kind, "records") or "none",
        ),
        renewals=tuple(_renewal(draw, tables, components, made, inspected) for _ in range(draw(whole(0, 3)))),
        grades=_grades(draw, tables, kind, components),
        readings=_readings(draw, tables, kind, compass),
        photos=_photos(draw, tuple(tables.checks)),
        remarks=tuple(_remark(draw, components, compass) for _ in range(draw(whole(0, 2)))),
        effective_ages=tuple(
            EffectiveAge(component, draw(real(0, 150)), draw(said()))
            for component in draw(several(tuple(components), max_size=2, unique=True))
        ),
        pitch_log=_pitch_log(draw, made, inspected, compass),
        drying_clues=tuple(
            DryingClueSeen(clue, draw(st.booleans()), draw(texts(10)))
            for clue in draw(several(tuple(tables.drying_clues), max_size=4, unique=True))
        ),
        market=_market(draw, tables, inspected, priced),
        costs=_costs(draw, priced),
        earlier_state=_earlier_state(draw, inspected) if draw(st.booleans()) else None,
        claim=_claim(draw),
        invented=draw(texts()),
    )


def _identity(draw, tables: Tables, kind: Kind, made: Span | None, inspected: date, compass: int) -> Identity:
    variants = {
        component: ["", *(row.variant for row in tables.lives.values() if row.component == component)]
        for component in ("finish", "key_coverings")
    }
    return Identity(
        overdamper=draw(optional(st.booleans())) if kind is Kind.UPRIGHT else None,
        drop_action=draw(optional(st.booleans())) if kind is Kind.UPRIGHT else None,
        straight_strung=draw(optional(st.booleans())),
        player=_class_of(draw, tables, kind, "fitted"),
        last_tuned=draw(optional(spans(made.latest, inspected))) if made and made.latest <= inspected else None,
        stairs=draw(optional(whole(0, 60))),
        owners=draw(optional(whole(1, 50))),
        kind=kind,
        maker=draw(texts()),
        model=draw(texts()),
        size_cm=draw(optional(real(100, 290))),
        serial=draw(texts(10)),
        made=made,
        made_evidence=draw(texts()),
        tier=_class_of(draw, tables, kind, "tier"),
        finish=draw(pick(tuple(variants["finish"]))),
        key_covering=draw(pick(tuple(variants["key_coverings"]))),
        compass=compass,
    )


def _class_of(draw, tables: Tables, kind: Kind, factor: str) -> str:
    rows = tables.market_factors.values()
    return draw(pick(("", *(row.key for row in rows if row.factor == factor and kind in row.kinds))))


def _renewal(draw, tables: Tables, components: list[str], made: Span | None, inspected: date) -> Renewal:
    first = made.earliest if made is not None else date(1900, 1, 1)
    extent = draw(pick(tuple(Extent)))
    back = draw(optional(real(0, 100))) if extent is Extent.REPAIRED else None
    return Renewal(
        components=tuple(draw(several(tuple(components), min_size=1, max_size=4, unique=True))),
        date=draw(optional(spans(first, inspected))),
        clues=tuple(draw(several(tuple(tables.dating_clues), max_size=2, unique=True))),
        extent=extent,
        gives_back_pct=back,
        by=draw(texts()),
        evidence=draw(texts()),
        note=draw(texts()),
    )


def _grades(draw, tables: Tables, kind: Kind, components: list[str]) -> tuple[Grade, ...]:
    graded = [row.key for row in tables.checks.values() if row.kind is CheckKind.GRADED and kind in row.kinds]
    checks = draw(several(tuple(graded), max_size=8, unique=True))
    overruled = draw(several(tuple(components), max_size=2, unique=True))
    return (
        *(Grade(draw(grades()), check=key, reason=draw(texts())) for key in checks),
        *(Grade(draw(grades()), component=key, reason=draw(said())) for key in overruled),
    )


def _readings(draw, tables: Tables, kind: Kind, compass: int) -> tuple[Reading, ...]:
    rows = [row for row in tables.checks.values() if row.kind is not CheckKind.GRADED and kind in row.kinds]
    drawn = []
    asked = set()
    for row in draw(several(tuple(rows), max_size=10)):
        if row.kind is CheckKind.YES_NO and row.key in asked:
            continue  # one answer to one question
        asked.add(row.key)
        low, high = row.plausible or (0.0, 1000.0)
        value = {
            CheckKind.MEASURED: real(low, high),
            CheckKind.COUNT: whole(int(low), int(high)).map(float),
            CheckKind.YES_NO: st.booleans(),
            CheckKind.RECORD: said(),
        }[row.kind]
        note = draw(whole(1, compass)) if row.per_note else None
        unit = row.unit if row.kind is CheckKind.MEASURED else ""
        drawn.append(Reading(row.key, draw(value), unit, note, draw(texts(10)), draw(texts(10))))
    return tuple(drawn)


def _earlier_state(draw, inspected: date) -> EarlierState:
    return EarlierState(
        file=draw(pick(("case.toml.before-2001-02-03", "a b [x].toml"))),
        sha256="ab" * 32,
        day=draw(days(inspected - timedelta(days=900), inspected)),
        purpose=draw(texts()),
        mended=tuple(draw(several((1, 2, 30), unique=True))),
    )


def _claim(draw) -> Claim:
    return Claim(
        delivered=draw(optional(days(date(2000, 1, 1), date(2031, 1, 1)))),
        weight_kg=draw(optional(real(20, 2000))),
        volume_m3=draw(optional(real(0.1, 150))),
        sum_insured=draw(optional(amounts())),
        value_at_risk=draw(optional(amounts())),
        excess=draw(optional(amounts(0))),
        special_condition=draw(st.booleans()),
        betterment=draw(st.booleans()),
        surrendered=draw(st.booleans()),
        residual=draw(optional(amounts(0))),
    )


PHOTOS = ("photo/1.jpg", "1.jpg", "ä ö, 2.jpg")


def _photos(draw, checks: tuple[str, ...]) -> tuple[PhotoFile, ...]:
    return tuple(
        PhotoFile(
            file,
            sha256=draw(pick(("", "0" * 64))),
            taken=draw(pick(("", "2026-11-20T10:23:45", "2026-11-20T10:23:45+01:00"))),
            caption=draw(texts()),
            checks=tuple(draw(several(checks, unique=True, max_size=2))),
            whole=draw(st.booleans()),
        )
        for file in draw(several(PHOTOS, unique=True, max_size=3))
    )


def _remark(draw, components: list[str], compass: int) -> Remark:
    earlier = draw(optional(whole(1, 5)))
    return Remark(
        place=draw(pick((*STATIONS, *components))),
        text=draw(said()),
        cause=draw(texts()),
        origin=draw(pick(tuple(Origin))),
        notes=tuple(draw(_notes(compass))),
        photos=tuple(draw(several(PHOTOS, unique=True, max_size=2))),
        earlier=earlier,
        worse=earlier is not None and draw(st.booleans()),
    )


def _pitch_log(draw, made: Span | None, inspected: date, compass: int) -> tuple[PitchReading, ...]:
    first = max(made.earliest if made is not None else date(1900, 1, 1), inspected - timedelta(days=2000))
    return tuple(
        PitchReading(
            date=draw(days(first, inspected)),
            note=draw(whole(1, compass)),
            cents=draw(real(*plausible.CENTS)),
            temperature=draw(optional(real(*plausible.CELSIUS))),
            humidity=draw(optional(real(*plausible.HUMIDITY))),
            remark=draw(texts(10)),
        )
        for _ in range(draw(whole(0, 4)))
    )


def _market(draw, tables: Tables, inspected: date, priced: bool | None) -> Market:
    cost = draw(amounts(500)) if priced or (priced is None and draw(st.booleans())) else None
    ranged = cost is not None and draw(st.booleans())
    weighed = draw(st.booleans())
    return Market(
        replacement_cost_new=cost,
        replacement_cost_low=cost * Decimal("0.9") if cost is not None and ranged else None,
        replacement_cost_high=cost * Decimal("1.2") if cost is not None and ranged else None,
        replacement_source=draw(texts()),
        comparables=tuple(_comparable(draw, tables, inspected) for _ in range(draw(whole(0, 3)))),
        adjustments=tuple(_adjustment(draw) for _ in range(draw(whole(0, 2)))),
        yearly_price_change_pct=draw(real(-5, 5)),
        weight_cost_pct=draw(real(0, 100)) if weighed else None,
        weight_reason=draw(said()) if weighed else "",
    )


def _comparable(draw, tables: Tables, inspected: date) -> Comparable:
    sold = draw(days(inspected - timedelta(days=3000), inspected))
    return Comparable(
        label=draw(texts()),
        price=draw(amounts(100)),
        date=sold,
        sale=draw(pick(tuple(tables.bases))),
        made=draw(spans(date(1900, 1, 1), sold)),
        grade=draw(grades()),
        size_cm=draw(optional(real(100, 290))),
        distance_km=draw(real(0, 2000)),
        replacement_cost_new=draw(optional(amounts(1000))),
        source=draw(texts()),
        note=draw(texts()),
    )


def _adjustment(draw) -> Adjustment:
    name, reason = draw(said()), draw(said())
    if draw(st.booleans()):
        return Adjustment(name, reason, pct=draw(real(-60, 60)))
    return Adjustment(name, reason, amount=draw(amounts()) * draw(pick((1, -1))))


def _costs(draw, priced: bool | None) -> Costs:
    rated = priced or (priced is None and draw(st.booleans()))
    return Costs(
        labour_rate=draw(amounts(10, 200)) if rated else None,
        overhead_pct=draw(optional(real(0, 150))),
        contingency_pct=draw(optional(real(0, 50))),
        margin_pct=draw(optional(real(0, 60))),
        carriage=draw(optional(amounts(0, 5000))),
        holding=draw(optional(amounts(0, 5000))),
        removal=draw(optional(amounts(0, 5000))),
    )
