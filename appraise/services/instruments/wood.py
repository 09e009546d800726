"""Wood in the air of a room: moisture content, its inverse, change of width, what a gap speaks of, days to settle."""

from __future__ import annotations

from dataclasses import dataclass
from math import isnan
from typing import TYPE_CHECKING

from appraise.engine.instruments.moisture import (
    Sorption,
    equilibrium_moisture_content,
    moisture_change,
    relative_humidity,
    width_change,
)
from appraise.model.measurement import Figure, Grid, Measurement
from appraise.services.instruments.citations import ground, setting_ground
from appraise.services.instruments.typed_readings import checked, remark
from appraise.services.refused import InputError, quoted

if TYPE_CHECKING:
    from appraise.model.measurement import Basis
    from appraise.tables.rows import Tables
    from appraise.tables.rows_wood import Wood

FREE_WOOD = "upper bound: ribs and rim hold the board, so it moves less than free wood"
SWING = "as free wood: the board is restrained by ribs and rim"


@dataclass(frozen=True, slots=True)
class WoodReadings:
    """What was measured or asked; none: not."""

    temperature: float = 20.0
    """Of the air [°C]."""
    humidity: float | None = None
    """[% RH]."""
    moisture: float | None = None
    """Moisture content as a meter shows it [%]."""
    to_temperature: float | None = None
    """Of the air later [°C]; none: the same."""
    to_humidity: float | None = None
    """Later [% RH]."""
    width: float | None = None
    """Across the grain [mm]."""
    wood: str = "sitka_spruce"
    """Key of `woods`."""
    flat_sawn: bool = False
    """True: the tangential coefficient; a sound board is quarter-sawn."""
    gap: float | None = None
    """Sum of the gaps or opened shims across the width [mm]."""
    move: str | None = None
    """Key of `settling_times`."""


class _Page:
    """The answer while it grows."""

    def __init__(self, tables: Tables) -> None:
        self.tables = tables
        self.sorption = Sorption.of(tables.sorption)
        self.inputs: list[Figure] = []
        self.outputs: list[Figure] = []
        self.grids: list[Grid] = []
        self.says: list[str] = []
        self.cautions: list[str] = []
        self.rests_on: list[Basis] = []

    def given(self, key: str, label: str, value: float, unit: str, row: str) -> None:
        """Take one reading: refused where it cannot be, remarked on where it seldom is."""
        checked(value, row, self.tables)
        self.inputs.append(Figure(key, label, value, unit))
        unusual = remark(value, row, self.tables)
        if unusual and unusual not in self.says:
            self.says.append(unusual)

    def found(self, key: str, label: str, value: float | None, unit: str, note: str = "") -> None:
        """Add one figure found."""
        self.outputs.append(Figure(key, label, value, unit, note))

    def emc(self, temperature: float, humidity: float) -> float:
        """Return the equilibrium moisture content [%]."""
        return float(equilibrium_moisture_content(temperature, humidity, self.sorption))

    def humidity_of(self, temperature: float, moisture: float) -> float | None:
        """Return the humidity [%] that a moisture content speaks of, none beyond 0 to 100 %."""
        found = float(relative_humidity(temperature, moisture, self.sorption)) if moisture >= 0 else float("nan")
        return None if isnan(found) else found


def measure_wood(readings: WoodReadings, tables: Tables) -> Measurement:
    """Answer what the readings allow.

    Args:
        readings: What was measured or asked.
        tables: The tables.

    Returns:
        Moisture content, change of width, the swing behind a gap and days to settle, as far as they were asked for.

    Raises:
        InputError: A reading that cannot be, or one without the others it needs.
    """
    if readings.humidity is None and readings.moisture is None and readings.move is None:
        raise InputError("nothing to calculate from: a humidity, a moisture content or a move is needed")
    page = _Page(tables)
    page.given("temperature_c", "Temperature", readings.temperature, "°C", "air_temperature")
    now = _now(readings, page)
    later = _later(readings, page, now)
    wood = _wood(readings, tables)
    if readings.width is not None:
        page.given("width_mm", "Width across the grain", readings.width, "mm", "board_width")
        if now is not None and later is not None:
            _width(readings.width, wood, readings.flat_sawn, now, later, page)
        elif readings.gap is None:
            raise InputError("a width alone says nothing: give the humidity before and after, or a gap")
    if readings.gap is not None:
        _gap(readings, wood, now, page)
    if readings.move is not None:
        _settling(readings.move, page)
    if now is not None:
        page.rests_on.insert(0, ground("equilibrium moisture content", tables.sorption["w"], tables))
    return Measurement(
        "wood",
        "Wood and the air around it",
        tuple(page.inputs),
        tuple(page.outputs),
        tuple(page.grids),
        tuple(page.says),
        tuple(page.cautions),
        tuple(page.rests_on),
    )


def _now(readings: WoodReadings, page: _Page) -> float | None:
    """Return today's moisture content [%]: as metered, or where the air leads."""
    emc = None
    if readings.humidity is not None:
        page.given("humidity_pct", "Relative humidity", readings.humidity, "%", "air_humidity")
        emc = page.emc(readings.temperature, readings.humidity)
        page.found("moisture_content_pct", "Equilibrium moisture content", emc, "%", "where wood settles in this air")
        _band(readings.humidity, page)
    if readings.moisture is None:
        return emc
    page.given("metered_moisture_pct", "Moisture content as metered", readings.moisture, "%", "moisture_content")
    speaks = page.humidity_of(readings.temperature, readings.moisture)
    note = "the air in which wood would stay at that moisture content"
    page.found("humidity_of_moisture_pct", "Humidity the moisture content speaks of", speaks, "%", note)
    if emc is not None:
        way = "drying" if readings.moisture > emc else "taking up moisture"
        page.says.append(f"Metered against equilibrium: the wood is {way} until the two agree.")
    return readings.moisture


def _band(humidity: float, page: _Page) -> None:
    limits = sorted(page.tables.climate_limits.values(), key=lambda row: row.rh_high - row.rh_low)
    if not limits:
        return
    band = next((row for row in limits if row.rh_low <= humidity <= row.rh_high), None)
    if band is not None:
        page.says.append(f"{band.label}: {band.rh_low:g} to {band.rh_high:g} % relative humidity.")
    else:
        widest = limits[-1]
        side = "dry" if humidity < widest.rh_low else "damp"
        page.says.append(f"Too {side}: outside {widest.rh_low:g} to {widest.rh_high:g} % relative humidity.")
    page.rests_on.append(ground("humidity limits", (band or limits[-1]), page.tables))


def _later(readings: WoodReadings, page: _Page, now: float | None) -> float | None:
    if readings.to_humidity is None:
        if readings.to_temperature is not None:
            raise InputError("a later temperature needs the later humidity beside it")
        return None
    if now is None:
        raise InputError("a later humidity needs today’s humidity or a metered moisture content")
    warmth = readings.temperature if readings.to_temperature is None else readings.to_temperature
    page.given("to_temperature_c", "Later temperature", warmth, "°C", "air_temperature")
    page.given("to_humidity_pct", "Later relative humidity", readings.to_humidity, "%", "air_humidity")
    later = page.emc(warmth, readings.to_humidity)
    page.found("to_moisture_content_pct", "Later equilibrium moisture content", later, "%")
    page.found("moisture_change_pct", "Change of moisture content", later - now, "%", "percentage points")
    lag = page.tables.setting("moisture_lag_days")
    page.found("lag_95_days", "Time for 95 % of the change", 3.0 * lag, "days", f"first-order lag of {lag:g} days")
    page.rests_on.append(setting_ground("lag of wood behind the air", "moisture_lag_days", page.tables))
    return later


def _wood(readings: WoodReadings, tables: Tables) -> Wood:
    wood = tables.woods.get(readings.wood)
    if wood is None:
        raise InputError(f"found {quoted(readings.wood)}, expected a wood of the table: {', '.join(tables.woods)}")
    return wood


def _coefficient(wood: Wood, flat: bool, page: _Page) -> float:
    value = wood.tangential if flat else wood.radial
    cut = "flat-sawn" if flat else "quarter-sawn"
    if not any(figure.key == "coefficient" for figure in page.inputs):
        page.inputs.append(Figure("wood", "Wood", wood.key, "", f"{wood.label}, {cut}"))
        page.inputs.append(Figure("coefficient", "Dimensional change coefficient", value, "per %"))
        page.rests_on.append(ground("dimensional change coefficient", wood, page.tables))
    return value


def _width(width: float, wood: Wood, flat: bool, now: float, later: float, page: _Page) -> None:
    change = width_change(width, _coefficient(wood, flat, page), now, later)
    page.found("width_change_mm", "Change of width", change, "mm", FREE_WOOD)
    _within(page, now, later)


def _within(page: _Page, *moistures: float) -> None:
    low, high = (page.tables.setting(f"coefficient_range_{end}") for end in ("low", "high"))
    if any(not low <= value <= high for value in moistures):
        page.says.append(
            f"The coefficients hold from {low:g} to {high:g} % moisture content; beyond, read the width as rough."
        )


def _gap(readings: WoodReadings, wood: Wood, now: float | None, page: _Page) -> None:
    if readings.gap is None or readings.width is None or now is None:
        raise InputError("a gap needs the width of the board and today’s humidity or moisture content beside it")
    page.given("gap_mm", "Gap", readings.gap, "mm", "gap_width")
    if readings.gap >= readings.width:
        raise InputError("a gap is narrower than the board it stands in")
    drop = moisture_change(readings.gap, readings.width, _coefficient(wood, readings.flat_sawn, page))
    then = now + drop
    page.found("gap_moisture_drop_pct", "Moisture lost since the gap was closed", drop, "%", SWING)
    page.found("closed_moisture_pct", "Moisture content when it was closed", then, "%", SWING)
    closed, today = page.humidity_of(readings.temperature, then), page.humidity_of(readings.temperature, now)
    note = SWING if closed is not None else "beyond 100 %: drying alone cannot have opened it"
    page.found("closed_humidity_pct", "Humidity when it was closed", closed, "%", note)
    swing = None if closed is None or today is None else closed - today
    page.found(
        "humidity_swing_pct", "Humidity swing it speaks of", swing, "%", "points of relative humidity; upper bound"
    )
    page.says.append(
        "Upper bound: it takes the whole gap for shrinking. A board held by ribs and rim is crushed when damp "
        "(compression set) and opens further on drying than the drying of the day explains; old gaps, failed glue and "
        "knocks add to it."
    )
    page.says.append(
        "Restraint works the other way too: a board whose ribs kept it from shrinking opens less than free wood would. "
        "Read the swing as an order of size, beside a hygrometer’s record."
    )
    _within(page, now, then)


def _settling(key: str, page: _Page) -> None:
    times = page.tables.settling_times
    row = times.get(key)
    if row is None:
        raise InputError(f"found {quoted(key)}, expected a kind of move of the table: {', '.join(times)}")
    page.inputs.append(Figure("move", "Move", row.key, "", row.label))
    page.found("settle_days_low", "Days to settle, fewest", row.days_low, "days", row.advice)
    page.found("settle_days_high", "Days to settle, most", row.days_high, "days")
    columns = (("key", "move", ""), ("label", "what", ""), ("days_low", "from", "days"), ("days_high", "to", "days"))
    cells = tuple((each.key, each.label, each.days_low, each.days_high) for each in times.values())
    page.grids.append(Grid("settling", "Days to settle: opinions, side by side", columns, cells))
    page.rests_on.append(ground("days to settle", row, page.tables))
