"""The columns of the tables about wood, climate and strings; each is kept as CSV under its own name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.tables import columns as read
from appraise.tables import rows_wood as rows
from appraise.tables.columns import Column

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from appraise.tables.rows import Row

_LABEL = Column(read.filled, required=True)
_NUMBER = Column(read.number, required=True)
_POSITIVE = Column(read.above_zero, required=True)
_MAYBE = Column(read.above_zero)
_PERCENT = Column(read.between(0.0, 100.0), required=True)
_NOT_NEGATIVE = Column(read.not_negative, required=True)

WOOD_TABLES: tuple[tuple[str, Callable[..., Row], Mapping[str, Column]], ...] = (
    ("woods", rows.Wood, {"label": _LABEL, "radial": _POSITIVE, "tangential": _POSITIVE}),
    ("sorption", rows.SorptionTerm, {"label": _LABEL, "constant": _NUMBER, "linear": _NUMBER, "quadratic": _NUMBER}),
    ("wire_grid", rows.WireGridPoint, {"diameter_in": _POSITIVE, "low_ksi": _POSITIVE, "high_ksi": _POSITIVE}),
    (
        "wire_strengths",
        rows.WireStrength,
        {
            "label": _LABEL,
            "method": _LABEL,
            "a_mpa": _MAYBE,
            "exponent": _MAYBE,
            "from_mm": _MAYBE,
            "to_mm": _MAYBE,
        },
    ),
    ("wire_materials", rows.WireMaterial, {"label": _LABEL, "density": _POSITIVE, "modulus": _MAYBE}),
    ("tension_ceilings", rows.TensionCeiling, {"label": _LABEL, "usual_pct": _PERCENT, "ceiling_pct": _PERCENT}),
    (
        "pitch_raises",
        rows.PitchRaise,
        {
            "above_cents": _NOT_NEGATIVE,
            "up_to_cents": _POSITIVE,
            "action": _LABEL,
            "passes_low": _NOT_NEGATIVE,
            "passes_high": _NOT_NEGATIVE,
            "follow_up": Column(read.text),
        },
    ),
    ("overpulls", rows.Overpull, {"label": _LABEL, "usual_cents": _NOT_NEGATIVE, "most_cents": _POSITIVE}),
    ("climate_limits", rows.ClimateLimit, {"label": _LABEL, "rh_low": _PERCENT, "rh_high": _PERCENT}),
    (
        "settling_times",
        rows.SettlingTime,
        {"label": _LABEL, "days_low": _NOT_NEGATIVE, "days_high": _NOT_NEGATIVE, "advice": _LABEL},
    ),
    (
        "reading_ranges",
        rows.ReadingRange,
        {"label": _LABEL, "unit": _LABEL, **dict.fromkeys(("low", "usual_low", "usual_high", "high"), _NUMBER)},
    ),
)
"""Name, row and own columns of each."""
