"""Which columns each reference table has, how each is read, and into what kind of row."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from appraise.model.case import STATIONS
from appraise.tables import columns as read
from appraise.tables import rows, rows_ageing, rows_carriage, rows_drying, rows_notes, rows_worth
from appraise.tables.columns import Column
from appraise.tables.layout_wood import WOOD_TABLES

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping


@dataclass(frozen=True, slots=True)
class Layout:
    """One table: the files it is kept in and its columns."""

    name: str
    """As `rows.Tables` calls it."""
    row: Callable[..., rows.Row | rows.Source]
    columns: Mapping[str, Column]
    files: tuple[str, ...]
    """File names relative to the folder of tables."""


def _must(reader: Callable[[object], object]) -> Column:
    return Column(reader, required=True)


_COMMON: dict[str, Column] = {
    "key": _must(read.key),
    "standing": _must(read.choice(rows.Standing)),
    "source": _must(read.filled),
    "where": Column(read.text),
    "note": Column(read.text, field="row_note"),
}
_FACTOR = read.between(0.001, 100.0)
"""A factor on a price or a life: never nothing, for it is divided by and its logarithm is taken."""
_LIFE = read.between(0.1, 5000.0)
"""A service life [years]."""
_HOURS = read.between(0.0, 10_000.0)
_LOW_TYPICAL_HIGH: dict[str, Column] = {name: _must(_FACTOR) for name in ("low", "typical", "high")}


def _table(
    name: str,
    row: Callable[..., rows.Row],
    own: Mapping[str, Column],
    files: tuple[str, ...] = (),
) -> Layout:
    return Layout(name, row, {**_COMMON, **own}, files or (f"{name}.toml",))


LAYOUTS: tuple[Layout, ...] = (
    Layout(
        "sources",
        rows.Source,
        {
            "key": _must(read.key),
            "author": _must(read.filled),
            "title": _must(read.filled),
            "publisher": Column(read.text),
            "year": Column(read.text),
            "url": Column(read.text),
            "licence": Column(read.text),
            "seen": Column(read.day),
            "note": Column(read.text),
        },
        ("sources.toml",),
    ),
    _table(
        "components",
        rows.Component,
        {
            "label": _must(read.filled),
            "station": _must(read.filled),
            "kinds": _must(read.some_kinds),
            "label_grand": Column(read.text),
            "label_upright": Column(read.text),
            "share_grand": Column(read.share),
            "share_upright": Column(read.share),
            "critical": Column(read.flag),
            "visibility": _must(read.between(0.15, 0.4)),
            "speaks": Column(read.between(0.0, 1.0)),
            "gate": Column(read.points),
            "appearance": Column(read.points),
            "due_from": Column(read.grade),
            "hazard": Column(read.flag),
        },
    ),
    _table(
        "lives",
        rows_ageing.Life,
        {
            "component": _must(read.filled),
            "variant": Column(read.text),
            **{name: _must(_LIFE) for name in ("low", "typical", "high", "heavy_low", "heavy_typical", "heavy_high")},
        },
        ("lives.csv",),
    ),
    _table(
        "checks",
        rows.Check,
        {
            "component": _must(read.filled),
            "kinds": _must(read.some_kinds),
            "label": _must(read.filled),
            "kind": _must(read.choice(rows.CheckKind)),
            "unit": Column(read.text),
            "anchors": Column(read.points),
            "statistic": Column(read.choice(rows.Statistic)),
            "per_note": Column(read.flag),
            "plausible": Column(read.pair),
            "half_difference": Column(read.names),
            "half_sum": Column(read.names),
            "grade_yes": Column(read.grade),
            "grade_no": Column(read.grade),
            "cap": Column(read.grade),
            "weight": Column(read.between(0.0, 1000.0)),
            "minutes": _must(read.between(0.05, 100_000.0)),
            "words": Column(read.wordings),
            "how": Column(read.text),
            "caution": Column(read.text),
            "wear": Column(read.between(0.0, 1.0)),
            "knock_out": Column(read.flag),
            "days": Column(read.flag),
            "judged_with": Column(read.names),
            "ahead": Column(read.between(0.0, 4.0)),
            "no_cure": Column(read.text),
            "put_right_by": Column(read.text),
            "each": Column(read.flag),
            "first_job": Column(read.text),
            "disputed": Column(read.text),
        },
        tuple(f"checks/{station}.toml" for station in STATIONS),
    ),
    _table(
        "remedies",
        rows_worth.Remedy,
        {
            "label": _must(read.filled),
            "kinds": _must(read.some_kinds),
            **{name: _must(_HOURS) for name in ("hours_low", "hours_typical", "hours_high")},
            "parts_low": Column(read.between(0.0, 1000.0)),
            "parts_high": Column(read.between(0.0, 1000.0)),
            "improves": Column(read.factors),
            "resets": Column(read.flag),
            "up_to": Column(read.grade),
            "requires": Column(read.names),
            "causes": Column(read.names),
            "per": Column(read.text),
            "setup_hours": Column(_HOURS),
            "size_grand": Column(read.points),
            "size_upright": Column(read.points),
            "safety": Column(read.flag),
            "benefit": Column(read.between(0.0, 1000.0)),
            "if_left": Column(read.text),
            "stage": Column(read.not_negative),
        },
    ),
    _table(
        "bases",
        rows_worth.Basis,
        {
            "label": _must(read.filled),
            "definition": _must(read.filled),
            "method": _must(read.filled),
            **{name: Column(_FACTOR) for name in ("low", "typical", "high")},
            "buyer_carries": Column(read.flag),
            "work_weighed": Column(read.flag),
            "obsolescence": Column(read.between(0.0, 1.0)),
            "market_level": Column(read.text),
            "exposure": Column(read.text),
        },
    ),
    _table(
        "market_factors",
        rows_worth.MarketFactor,
        {
            "factor": _must(read.filled),
            "kinds": _must(read.some_kinds),
            "label": _must(read.filled),
            "above_cm": Column(read.above_zero),
            "below_cm": Column(read.above_zero),
            **_LOW_TYPICAL_HIGH,
            "by_age": Column(read.points),
            "parts": Column(_FACTOR),
            "salvage": Column(_FACTOR),
        },
    ),
    _table(
        "laws",
        rows_ageing.Law,
        {
            "label": _must(read.filled),
            "how": _must(read.filled),
            "rate": Column(read.between(0.0, 1.0)),
            "schedule": Column(read.numbers),
        },
    ),
    _table(
        "climates",
        rows_ageing.Climate,
        {
            "label": _must(read.filled),
            "default": _must(read.between(0.05, 20.0)),
            "factors": Column(read.factors),
        },
    ),
    _table(
        "uses",
        rows_ageing.Use,
        {"label": _must(read.filled), "weight": _must(read.between(-1.0, 2.0))},
    ),
    _table(
        "dating_clues",
        rows_ageing.DatingClue,
        {
            "label": _must(read.filled),
            "components": _must(read.names),
            "low": _must(read.between(0.0, 1000.0)),
            "high": _must(read.between(0.01, 1000.0)),
            "reliability": _must(read.share),
        },
    ),
    _table(
        "drying_stories",
        rows_drying.DryingStory,
        {
            "label": _must(read.filled),
            "odds": _must(read.between(0.000_001, 1_000_000.0)),
            "means": _must(read.filled),
            "advice": _must(read.filled),
        },
    ),
    _table(
        "drying_clues",
        rows_drying.DryingClue,
        {
            "label": _must(read.filled),
            "section": _must(read.filled),
            "role": _must(read.choice(rows_drying.ClueRole)),
            "strength": _must(read.between(1.0, 5.0)),
            "seen_if_dried": _must(read.between(0.001, 0.999)),
            "ratios": _must(read.factors),
            "checks": Column(read.names),
            "from_grade": Column(read.grade),
            "above": Column(read.number),
            "below": Column(read.number),
            "climates": Column(read.names),
            "verdict": Column(read.text),
            "other": Column(read.text),
        },
    ),
    _table(
        "condition_classes",
        rows_ageing.ConditionClass,
        {
            "grade": _must(read.grade),
            "c_pct": _must(read.between(0.0, 100.0)),
            "label": _must(read.filled),
            "words": _must(read.filled),
        },
    ),
    _table(
        "priors",
        rows_ageing.Prior,
        {"consumed": _must(read.between(0.0, 1000.0)), "grade": _must(read.grade)},
    ),
    _table(
        "cautions",
        rows.Caution,
        {
            "text": _must(read.filled),
            "short": Column(read.text),
            "checks": Column(read.names),
            "components": Column(read.names),
            "stations": Column(read.names),
            "kinds": Column(read.kinds),
            "materials": Column(read.names),
            "before_start": Column(read.above_zero),
            "workshop": Column(read.flag),
        },
    ),
    _table(
        "settings",
        rows.Setting,
        {
            "value": _must(read.number),
            "least": Column(read.number),
            "most": Column(read.number),
            "whole": Column(read.flag),
            "unit": _must(read.text),
            "means": _must(read.filled),
        },
    ),
    _table(
        "note_norms",
        rows_notes.NoteNorm,
        {
            "check": _must(read.filled),
            "sense": _must(read.choice(rows_notes.Sense)),
            "points": _must(read.points),
            "departure": Column(read.not_negative),
            "even": Column(read.not_negative),
        },
    ),
    _table(
        "regulation_targets",
        rows_notes.RegulationTarget,
        {
            "label": _must(read.filled),
            "sheet": _must(read.filled),
            "kinds": _must(read.some_kinds),
            "check": Column(read.text),
            "unit": Column(read.text),
            "anchors": Column(read.points),
            "plausible": Column(read.pair),
            "how": Column(read.text),
            "minutes_per_note": _must(read.not_negative),
            "setup_hours": _must(read.not_negative),
            "disturbs": Column(read.names),
        },
    ),
    _table(
        "damper_reach",
        rows_notes.DamperReach,
        {
            "felt": _must(read.filled),
            "label": _must(read.filled),
            "note_low": _must(read.between(1.0, 88.0)),
            "note_high": _must(read.between(1.0, 88.0)),
        },
    ),
    _table(
        "carriage_rules",
        rows_carriage.CarriageRule,
        {
            "regime": _must(read.filled),
            "topic": _must(read.filled),
            "text": _must(read.filled),
            "unit": Column(read.text),
            **{name: Column(read.above_zero) for name in ("per_kg", "per_lb", "per_m3", "per_package")},
            **{name: Column(read.between(0, 3660)) for name in ("days_apparent", "days", "months")},
            **{name: Column(read.flag) for name in ("least", "no_sundays")},
        },
    ),
    _table(
        "damage_signs",
        rows_carriage.DamageSign,
        {
            "label": _must(read.filled),
            "kinds": _must(read.some_kinds),
            "places": _must(read.names),
            **{name: _must(read.filled) for name in ("typical", "fresh", "old")},
        },
    ),
    _table("move_steps", rows_carriage.MoveStep, {"when": _must(read.filled), "text": _must(read.filled)}),
    *(_table(name, row, own, (f"{name}.csv",)) for name, row, own in WOOD_TABLES),
)
"""Every table, the sources first."""

FILES: dict[str, Layout] = {file: layout for layout in LAYOUTS for file in layout.files}
"""The table of each file name."""
