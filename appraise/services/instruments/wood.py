"""Wood in the air of a room: moisture content, its inverse, change of width, what a gap speaks of, days to settle."""

from __future__ import annotations

from dataclasses import field
from math import isnan
from typing import TYPE_CHECKING

from appraise.engine.instruments.moisture import (
    Sorption,
    equilibrium_moisture_content,
    moisture_change,
    relative_humidity,
    width_change,
)
from appraise.model.lazy_dataclass import dataclass
from appraise.model.measurement import Figure, Grid, Measurement
from appraise.model.problem import InputError, quoted
from appraise.model.sentence import Amount, bounds, sentence
from appraise.services.instruments.citations import ground, setting_ground
from appraise.services.instruments.climate_log import FREE_WOOD, SPRUCE, cut_of, measure_log, wood_of
from appraise.services.instruments.inputs import Field, Given, Tool
from appraise.services.instruments.log_file import read_log
from appraise.services.quantity_limits import quantity_in_range, unusual

if TYPE_CHECKING:
    from appraise.model.measurement import Basis
    from appraise.tables.rows import Tables
    from appraise.tables.rows_measurements import Wood

SWING = "as free wood: the board is restrained by ribs and rim"
_UPPER_BOUND = (
    "Upper bound: it takes the whole gap for shrinking. A board held by ribs and rim is crushed when damp "
    "(compression set) and opens further on drying than the drying of the day explains; old gaps, failed glue and "
    "knocks add to it.",
    "Restraint works the other way too: a board whose ribs kept it from shrinking opens less than free wood would. "
    "Read the swing as an order of size, beside a hygrometer’s record.",
)


def _answer(given: Given) -> Measurement:
    tables, width = given.tables, given.quantity("width")
    wood, flat_sawn = given["wood"] or SPRUCE, bool(given["flat_sawn"])
    if given["log"] is not None:
        given.refuse_beside("--log", "temperature", "rh", "moisture", "to_temperature", "to_rh", "gap", "move")
        unit, month_first = given["unit"], bool(given["month_first"])
        log = given.file("log", lambda path: read_log(path, tables, unit=unit, month_first=month_first))
        return measure_log(log, tables, width=width, wood=wood, flat_sawn=flat_sawn)
    if given["unit"] is not None or given["month_first"]:
        raise InputError("--unit and --month-first belong to --log")
    temperature = given.quantity("temperature")
    readings = WoodReadings(
        temperature=20.0 if temperature is None else temperature,
        humidity=given.quantity("rh"),
        moisture=given.quantity("moisture"),
        to_temperature=given.quantity("to_temperature"),
        to_humidity=given.quantity("to_rh"),
        width=width,
        wood=wood,
        flat_sawn=flat_sawn,
        gap=given.quantity("gap"),
        move=given["move"],
    )
    return measure_wood(readings, tables)


TOOL = Tool(
    "wood",
    "Wood",
    "Quantities may carry their unit: 70F, 55in, 1.5mm; without one they are in °C and mm, or in °F and inches with "
    "--units inch. Write a negative one as --temperature=-5C. "
    "Widths are those of free wood: a board is held by ribs and rim.",
    (
        Field("--temperature", "of the air; 20 °C where it is not given", "T", row="air_temperature").form(
            "temperature", "21 °C or 70 °F", "20 °C", unit="°C"
        ),
        Field("--rh", "relative humidity of the air", "PERCENT", row="air_humidity").form(
            "humidity", "relative humidity at the board, as 38 %", "40 %"
        ),
        Field("--moisture", "moisture content, as a meter shows it", "PERCENT", row="moisture_content"),
        Field("--to-temperature", "of the air later; the same where it is not given", "T", row="air_temperature"),
        Field("--to-rh", "relative humidity later", "PERCENT", row="air_humidity").form(
            "later", "relative humidity later, or before"
        ),
        Field("--width", "width of the board across the grain", "LENGTH", row="board_width").form(
            "width", "across the grain, as 1200 mm or 48 in", unit="mm"
        ),
        Field("--wood", "`appraise sources woods` lists them", "KEY", default=SPRUCE),
        Field("--flat-sawn", "tangential; a soundboard is quarter-sawn", kind="flag"),
        Field("--gap", "gap or opened shim; the sum of several across the width", "LENGTH", row="gap_width").form(
            "gap", "all gaps or opened shims across that width, as 2 mm", unit="mm"
        ),
        Field("--move", "a kind of move, of `appraise sources settling_times`", "KEY"),
        Field("--log", "a data logger’s CSV: time, temperature, %%RH", "FILE", kind="file").form(
            "logger", "file of a data logger: time, temperature, humidity"
        ),
        Field("--unit", "of the log’s temperature, where its heading has none", choices=("C", "F")),
        Field("--month-first", "the log writes 01/31/2026 for 31 January", kind="flag"),
    ),
    _answer,
)


@dataclass(frozen=True, slots=True)
class WoodReadings:
    """The readings of a board and its air; none: not measured, or not asked."""

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
    wood: str = SPRUCE
    """Key of `woods`."""
    flat_sawn: bool = False
    """True: the tangential coefficient; a soundboard is quarter-sawn."""
    gap: float | None = None
    """Sum of the gaps or opened shims across the width [mm]."""
    move: str | None = None
    """Key of `settling_times`."""


@dataclass(slots=True)
class _Page:
    """The answer while it grows."""

    tables: Tables
    sorption: Sorption
    inputs: list[Figure] = field(default_factory=list)
    outputs: list[Figure] = field(default_factory=list)
    grids: list[Grid] = field(default_factory=list)
    says: list[str] = field(default_factory=list)
    rests_on: list[Basis] = field(default_factory=list)

    def given(self, key: str, label: str, value: float, unit: str, row: str) -> None:
        """Take one reading: refused where it cannot be, remarked on where it seldom is."""
        quantity_in_range(row, self.tables).checked(value)
        self.inputs.append(Figure(key, label, value, unit))
        seldom = unusual(value, row, self.tables)
        if seldom and seldom not in self.says:
            self.says.append(seldom)

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
    """Return moisture content, change of width, the swing behind a gap and days to settle, as far as asked for.

    Raises:
        InputError: A reading that cannot be, or one without the others it needs.
    """
    if readings.humidity is None and readings.moisture is None and readings.move is None:
        raise InputError("nothing to calculate from: a humidity, a moisture content or a move is needed")
    page = _Page(tables, Sorption.of(tables.sorption))
    page.given("temperature_c", "Temperature", readings.temperature, "°C", "air_temperature")
    now = _now(readings, page)
    later = _later(readings, page, now)
    wood = wood_of(readings.wood, tables)
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
        rests_on=tuple(page.rests_on),
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
        within = bounds(band.rh_low, band.rh_high, "%")
        page.says.append(sentence("{label}: {limits} relative humidity.", label=band.label, limits=within))
    else:
        widest = limits[-1]
        side = "dry" if humidity < widest.rh_low else "damp"
        beyond = bounds(widest.rh_low, widest.rh_high, "%")
        page.says.append(sentence("Too {side}: outside {limits} relative humidity.", side=side, limits=beyond))
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
    note = sentence("first-order lag of {lag}", lag=Amount(lag, "days"))
    page.found("lag_95_days", "Time for 95 % of the change", 3.0 * lag, "days", note)
    page.rests_on.append(setting_ground("lag of wood behind the air", "moisture_lag_days", page.tables))
    return later


def _coefficient(wood: Wood, flat: bool, page: _Page) -> float:
    value, cut = cut_of(wood, flat=flat)
    if not any(figure.key == "coefficient" for figure in page.inputs):
        page.inputs.append(Figure("wood", "Wood", wood.key, "", cut))
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
            sentence(
                "The coefficients hold from {limits} moisture content; beyond, read the width as rough.",
                limits=bounds(low, high, "%"),
            )
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
    note = "points of relative humidity; upper bound"
    page.found("humidity_swing_pct", "Humidity swing it speaks of", swing, "%", note)
    page.says += _UPPER_BOUND
    _within(page, now, then)


def _settling(key: str, page: _Page) -> None:
    times = page.tables.settling_times
    row = times.get(key)
    if row is None:
        raise InputError(quoted(key), f"a kind of move of the table: {', '.join(times)}")
    page.inputs.append(Figure("move", "Move", row.key, "", row.label))
    page.found("settle_days_low", "Days to settle, fewest", row.days_low, "days", row.advice)
    page.found("settle_days_high", "Days to settle, most", row.days_high, "days")
    rows = ((each.key, each.label, each.days_low, each.days_high) for each in times.values())
    columns = "key move | label what | days_low from [days] | days_high to [days]"
    page.grids.append(Grid.of("settling", "Days to settle: opinions, side by side", columns, rows))
    page.rests_on.append(ground("days to settle", row, page.tables))
