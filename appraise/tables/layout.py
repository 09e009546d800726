"""Which files each reference table is kept in, and the row that declares its columns."""

from __future__ import annotations

from dataclasses import MISSING, fields
from typing import TYPE_CHECKING

from appraise.model.case import STATIONS
from appraise.model.lazy_dataclass import dataclass
from appraise.tables import rows, rows_ageing, rows_carriage, rows_measurements, rows_worth
from appraise.tables.columns import Column
from appraise.tables.rows import Row, Source

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping


@dataclass(frozen=True, slots=True)
class Layout:
    """One table: the files it is kept in and its columns."""

    name: str
    """As `rows.Tables` calls it."""
    row: Callable[..., Row | Source]
    columns: Mapping[str, Column]
    files: tuple[str, ...]
    """File names relative to the folder of tables."""


def _table(name: str, row: type[Row | Source], *files: str) -> Layout:
    columns = {}
    for own in fields(row):
        if "read" in own.metadata:
            required = own.metadata["required"] or (own.default is MISSING and own.default_factory is MISSING)
            column = own.metadata["column"] or own.name
            columns[column] = Column(own.metadata["read"], required, own.name, own.metadata["of"])
    return Layout(name, row, columns, files or (f"{name}.toml",))


LAYOUTS: tuple[Layout, ...] = (
    _table("sources", Source),
    _table("components", rows.Component),
    _table("lives", rows_ageing.Life, "lives.csv"),
    _table("checks", rows.Check, *(f"checks/{station}.toml" for station in STATIONS)),
    _table("remedies", rows_worth.Remedy),
    _table("bases", rows_worth.Basis),
    _table("market_factors", rows_worth.MarketFactor),
    _table("prices_new", rows_worth.PriceNew),
    _table("laws", rows_ageing.Law),
    _table("climates", rows_ageing.Climate),
    _table("uses", rows_ageing.Use),
    _table("dating_clues", rows_ageing.DatingClue),
    _table("drying_stories", rows_measurements.DryingStory),
    _table("drying_clues", rows_measurements.DryingClue),
    _table("condition_classes", rows_ageing.ConditionClass),
    _table("priors", rows_ageing.Prior),
    _table("cautions", rows.Caution),
    _table("settings", rows.Setting),
    _table("note_norms", rows_measurements.NoteNorm),
    _table("regulation_targets", rows_measurements.RegulationTarget),
    _table("damper_reach", rows_measurements.DamperReach),
    _table("carriage_rules", rows_carriage.CarriageRule),
    _table("damage_signs", rows_carriage.DamageSign),
    _table("move_steps", rows_carriage.MoveStep),
    _table("woods", rows_measurements.Wood, "woods.csv"),
    _table("sorption", rows_measurements.SorptionTerm, "sorption.csv"),
    _table("wire_grid", rows_measurements.WireGridPoint, "wire_grid.csv"),
    _table("wire_strengths", rows_measurements.WireStrength, "wire_strengths.csv"),
    _table("wire_materials", rows_measurements.WireMaterial, "wire_materials.csv"),
    _table("tension_ceilings", rows_measurements.TensionCeiling, "tension_ceilings.csv"),
    _table("pitch_raises", rows_measurements.PitchRaise, "pitch_raises.csv"),
    _table("overpulls", rows_measurements.Overpull, "overpulls.csv"),
    _table("climate_limits", rows_measurements.ClimateLimit, "climate_limits.csv"),
    _table("settling_times", rows_measurements.SettlingTime, "settling_times.csv"),
    _table("reading_ranges", rows_measurements.ReadingRange, "reading_ranges.csv"),
)
"""Every table, the sources first."""

FILES: dict[str, Layout] = {file: layout for layout in LAYOUTS for file in layout.files}
"""The table of each file name."""
