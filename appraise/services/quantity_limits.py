"""Quantities as a row of the tables expects them: read as typed, held to what can be, and where they call it sound."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from appraise.engine.instruments.sampling import bands
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import InputError
from appraise.model.quantities import Units, in_unit, unit_shown, within
from appraise.model.sentence import Amount, Sentence, bounds, joined, sentence
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from appraise.engine.instruments.sampling import Band
    from appraise.tables.rows import Check, Tables


@dataclass(frozen=True, slots=True)
class Quantity:
    """A quantity that may be typed or imported."""

    key: str
    """Its column: "downweight"."""
    unit: str = ""
    """Base unit, as `model.quantities` names it."""
    plausible: tuple[float, float] | None = None
    """Least and greatest that are taken."""
    others: tuple[str, ...] = ()
    """Other headings that mean it."""
    whole: bool = False
    label: str = ""
    """Named where it is refused; empty: it is clear which is meant."""

    def read(self, text: str, units: Units = Units.METRIC, *, meant: str = "") -> float:
        """Read the quantity in its base unit.

        Args:
            text: A number, with a unit behind it where another than the one shown is meant.
            units: What a number alone is in.
            meant: The unit of a number alone, instead of the one that `units` give.

        Raises:
            InputError: No number, a unit that does not fit, not whole where it is counted, or implausible.
        """
        meant = meant or unit_shown(self.unit, units)
        value = in_unit(text, self.unit, meant=meant, whole=self.whole)
        # The refusal speaks in the unit that was meant.
        return self.checked(value, Units.INCH if meant == unit_shown(self.unit, Units.INCH) else Units.METRIC)

    def checked(self, value: float, units: Units = Units.METRIC) -> float:
        """Return a value, in the base unit, that can be.

        Raises:
            InputError: Outside what can be; the text names the range.
        """
        if self.plausible is not None:
            return within(value, self.plausible, self.unit, units, subject=self.label)
        if self.whole and value < 0:
            raise InputError("fewer than none cannot be counted")
        return value


def quantity_of(check: Check, key: str = "", others: Sequence[str] = ()) -> Quantity:
    """Return the quantity that a check measures, its unit and plausible range from the row."""
    counted = check.kind is CheckKind.COUNT
    return Quantity(key or check.key, check.unit, check.plausible, (check.key, *others), counted)


def quantity_in_range(key: str, tables: Tables) -> Quantity:
    """Return the quantity of a row of `reading_ranges`, refused by the name it has there."""
    row = tables.reading_ranges[key]
    unit = "" if row.unit == "1" else row.unit
    return Quantity(row.key, unit, (row.low, row.high), label=row.label.lower())


def unusual(value: float, key: str, tables: Tables) -> Sentence | None:
    """Return a sentence about a value that can be but seldom is, by its row of `reading_ranges`, or none."""
    row = tables.reading_ranges[key]
    if row.usual_low <= value <= row.usual_high:
        return None
    unit = quantity_in_range(key, tables).unit
    return sentence(
        "{what} of {value} is unusual ({usual} is usual): check again.",
        what=row.label,
        value=Amount(value, unit),
        usual=bounds(row.usual_low, row.usual_high, unit),
    )


def tolerance(check: Check, units: Units = Units.METRIC) -> str:
    """Say in words where a quantity is good and where it needs work, from the check's anchors.

    Returns:
        "sound 6.8 to 15 N·m · needs work below 4 N·m", or nothing when the check has no anchors.
    """
    if not check.anchors:
        return ""
    sound = bands(check.anchors, 2.0)
    bad = bands(check.anchors, 3.5, worse=True)
    if check.kind is CheckKind.COUNT:  # what can be counted has no fractions
        sound, bad = _counted(sound), _counted(bad)
    parts = []
    if sound:
        parts.append(sentence("sound {limits}", limits=in_bands(sound, check.unit, units)))
    if bad:
        parts.append(sentence("needs work {limits}", limits=in_bands(bad, check.unit, units)))
    return joined(" · ", parts)


def _counted(found: Sequence[Band]) -> list[Band]:
    """Return the whole numbers within each interval."""
    return [
        (None if low is None else math.ceil(low - 1e-9), None if high is None else math.floor(high + 1e-9))
        for low, high in found
    ]


def in_bands(found: Iterable[Band], unit: str, units: Units = Units.METRIC) -> Sentence:
    """Return intervals in words: "up to 4 N·m or from 22 N·m"."""
    return joined(" or ", (bounds(_rounded(low), _rounded(high), unit, units) for low, high in found))


def _rounded(value: float | None) -> float | None:
    """Round an edge between two anchors: it is no sharper than the anchors are."""
    if value is None:
        return None
    return float(f"{value:.2g}") if abs(value) < 100 else round(value)
