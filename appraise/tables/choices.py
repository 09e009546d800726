"""Choices of a field of the case: rows of the tables, each by its key with its name for a person."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import STATION_LABELS
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from appraise.model.case import Kind
    from appraise.tables.rows import Tables


def choices(of: str, tables: Tables, kind: Kind | None = None) -> dict[str, str]:
    """Return what there is to choose from, key by label.

    Args:
        of: As a `Row` of the declaration names it: a table, or a choice from one.
        tables: The reference tables.
        kind: Of the instrument that the rows must fit; none: all rows.
    """

    def fits(kinds: tuple[Kind, ...]) -> bool:
        return kind is None or kind in kinds

    match of.split("."):
        case ["market_factors", factor]:
            classes: dict[str, str] = {}
            for row in tables.market_factors.values():
                if row.factor == factor and fits(row.kinds):
                    classes.setdefault(row.key, row.label)
            return classes
        case ["lives", component]:
            named = [row.variant for row in tables.lives.values() if row.component == component and row.variant]
            return {variant: variant.replace("_", " ") for variant in named}
        case ["finishes"]:  # that change the life of the surface, the price of the whole, or both
            return {**choices("lives.finish", tables, kind), **choices("market_factors.finish", tables, kind)}
        case ["regimes"]:
            return {row.regime: row.regime for row in tables.carriage_rules.values()}
        case ["remedies"]:
            return {key: row.label for key, row in tables.remedies.items() if fits(row.kinds)}
        case ["checks"]:
            return {key: row.label for key, row in tables.checks.items() if fits(row.kinds)}
        case ["questions"]:
            questions = {key for key, row in tables.checks.items() if row.kind is CheckKind.YES_NO}
            return {key: label for key, label in choices("checks", tables, kind).items() if key in questions}
        case ["components"]:
            rows = tables.components.items()
            return {key: row.label if kind is None else row.named(kind) for key, row in rows if fits(row.kinds)}
        case ["sales"]:
            return {key: row.label for key, row in tables.bases.items() if row.method in ("market", "residual")}
        case ["places"]:
            parts = choices("components", tables, kind)
            return {**{key: label for key, label in STATION_LABELS.items() if key not in parts}, **parts}
    return {key: row.label for key, row in getattr(tables, of).items()}
