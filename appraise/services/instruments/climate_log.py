"""A data logger's record: the air of a room, and the wood in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.instruments import climate
from appraise.engine.instruments.moisture import Sorption, equilibrium_moisture_content, followed, width_change
from appraise.model.lazy_dataclass import dataclass
from appraise.model.measurement import Figure, Grid, Measurement, Plot
from appraise.model.problem import InputError, quoted
from appraise.model.sentence import Amount, Sentence, bounds, joined, sentence
from appraise.services.instruments.citations import ground, setting_ground
from appraise.services.quantity_limits import quantity_in_range

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from appraise.model.measurement import Value
    from appraise.services.instruments.log_file import ClimateLog
    from appraise.tables.rows import Tables
    from appraise.tables.rows_measurements import Wood

    Floats = NDArray[np.float64]

FREE_WOOD = "upper bound: ribs and rim hold the board, so it moves less than free wood"
SPRUCE = "sitka_spruce"
_MONTHS = (
    "month | days observed [days] | temperature_c mean [°C] | humidity_min_pct least [% RH] | humidity_mean_pct mean "
    "[% RH] | humidity_max_pct most [% RH] | outside_pct outside [% of time] | moisture_min_pct wood from [% MC] | "
    "moisture_max_pct wood to [% MC]"
)
DRAWN = 240
"""Points of a plot at most: more than a line of letters has."""


@dataclass(frozen=True, slots=True, eq=False)
class FollowedLog:
    """A log with the moisture content that a board beside it would have had: what a plot draws."""

    days: Floats
    """Since the first reading [days], shape (n,)."""
    weight: Floats
    """Time each reading stands for [days], shape (n,)."""
    equilibrium: Floats
    """Moisture content that the wood was heading for [% moisture content], shape (n,)."""
    moisture: Floats
    """Moisture content it had, by a first-order lag [% moisture content], shape (n,)."""


def wood_of(key: str, tables: Tables) -> Wood:
    """Return a wood by its key.

    Raises:
        InputError: No such row.
    """
    if key not in tables.woods:
        raise InputError(quoted(key), f"a wood of the table: {', '.join(tables.woods)}")
    return tables.woods[key]


def cut_of(wood: Wood, *, flat: bool) -> tuple[float, str]:
    """Return the dimensional change coefficient [1/%] of a wood by its cut, and the two in words."""
    cut = "flat-sawn" if flat else "quarter-sawn"
    return wood.tangential if flat else wood.radial, f"{wood.label}, {cut}"


def follow_log(log: ClimateLog, tables: Tables) -> FollowedLog:
    """Let wood follow a log: equilibrium and lagged moisture content of every reading.

    The wood starts at the mean equilibrium of the first days, as many as the lag (our assumption); over a gap it goes
    straight from one reading to the next.
    """
    lag = tables.setting("moisture_lag_days")
    days = (log.seconds - log.seconds[0]) / climate.DAY
    weight = climate.weights(log.seconds, tables.setting("log_gap_hours") * 3600.0)
    emc = equilibrium_moisture_content(log.temperature, log.humidity, Sorption.of(tables.sorption))
    early = days <= lag
    return FollowedLog(days, weight, emc, followed(days, emc, lag, climate.weighted_mean(emc[early], weight[early])))


def measure_log(
    log: ClimateLog, tables: Tables, *, width: float | None = None, wood: str = SPRUCE, flat_sawn: bool = False
) -> Measurement:
    """Return means and extremes, time outside the limits, the longest dry spell, moisture content, and a grid by month.

    With the width [mm] of a board across the grain, quarter-sawn unless `flat_sawn`, also how far it moves.

    Raises:
        InputError: A width that cannot be, or no such wood.
    """
    path = follow_log(log, tables)
    lag, silence = tables.setting("moisture_lag_days"), tables.setting("log_gap_hours") * 3600.0
    limits = sorted(tables.climate_limits.values(), key=lambda row: row.rh_high - row.rh_low)
    kind, widest = limits[0], limits[-1]
    dry, damp = log.humidity < widest.rh_low, log.humidity > widest.rh_high
    spell = climate.longest_spell(dry, log.seconds, silence)
    observed, last = float(path.weight.sum()), float(path.days[-1])
    swing, apart = float(np.ptp(path.moisture)), float(np.ptp(path.equilibrium))
    too_dry, too_damp = (100.0 * climate.share(side, path.weight) for side in (dry, damp))
    outside = {row.key: (log.humidity < row.rh_low) | (log.humidity > row.rh_high) for row in limits}
    outputs = [
        *_three("temperature", "Temperature", "_c", "°C", log.temperature, path.weight),
        *_three("humidity", "Relative humidity", "_pct", "%", log.humidity, path.weight),
        *_three("moisture", "Moisture content of the wood", "_pct", "%", path.moisture, path.weight),
    ]
    for row in limits:
        share = 100.0 * climate.share(outside[row.key], path.weight)
        note = sentence("{what}: {limits}", what=row.label.lower(), limits=bounds(row.rh_low, row.rh_high, "%"))
        outputs.append(Figure(f"outside_{row.key}_pct", "Time outside limits", share, "%", note))
    outputs += [
        Figure("too_dry_pct", "Time too dry", too_dry, "%", sentence("below {low}", low=Amount(widest.rh_low))),
        Figure("too_damp_pct", "Time too damp", too_damp, "%", sentence("above {high}", high=Amount(widest.rh_high))),
        Figure("dry_spell_days", "Longest dry spell", spell.days, "days", _from_to(log, spell)),
        Figure("moisture_swing_pct", "Swing of moisture content", swing, "%", "with the lag"),
        Figure("equilibrium_swing_pct", "Swing of the air’s equilibrium", apart, "%", "without it"),
    ]
    rests_on = [
        ground("equilibrium moisture content", tables.sorption["w"], tables),
        setting_ground("lag of wood behind the air", "moisture_lag_days", tables),
        setting_ground("what counts as a gap", "log_gap_hours", tables),
        *(ground(f"humidity limits, {row.label.lower()}", row, tables) for row in limits),
    ]
    inputs = [
        Figure("readings", "Readings", len(log.seconds)),
        Figure("from", "From", _moment(log.seconds[0])),
        Figure("to", "To", _moment(log.seconds[-1])),
        Figure("span_days", "Span", last, "days"),
        Figure("observed_days", "Observed", observed, "days", "silences of the logger not counted"),
        Figure("moisture_lag_days", "Lag of the wood", lag, "days", "our assumption"),
    ]
    if width is not None:
        quantity_in_range("board_width", tables).checked(width)
        species = wood_of(wood, tables)
        coefficient, cut = cut_of(species, flat=flat_sawn)
        change = width_change(width, coefficient, float(path.moisture.min()), float(path.moisture.max()))
        inputs.append(Figure("width_mm", "Width across the grain", width, "mm", cut))
        outputs.append(Figure("width_swing_mm", "Swing of width", change, "mm", FREE_WOOD))
        rests_on.append(ground("dimensional change coefficient", species, tables))
    label = f"By month; outside {kind.rh_low:g} to {kind.rh_high:g} % RH"
    return Measurement(
        "wood",
        "Data logger: the air of the room and the wood in it",
        tuple(inputs),
        tuple(outputs),
        (Grid.of("months", label, _MONTHS, _by_month(log, path, outside[kind.key])),),
        tuple(_says(log, spell.days, last, observed)),
        (),
        tuple(rests_on),
        (
            _drawn("humidity", "Relative humidity", "%", path.days, log.humidity),
            _drawn("moisture", "Moisture content of the wood", "%", path.days, path.moisture),
        ),
    )


def _drawn(key: str, label: str, unit: str, days: Floats, values: Floats) -> Plot:
    """Return a plot of no more than so many points, evenly taken."""
    every = max(1, -(-len(days) // DRAWN))
    points = zip(days[::every].tolist(), values[::every].tolist(), strict=True)
    return Plot(key, label, "days", unit, tuple(points))


def _three(key: str, label: str, unit_key: str, unit: str, values: Floats, weight: Floats) -> list[Figure]:
    low, high = float(values.min()), float(values.max())
    return [
        Figure(f"{key}_min{unit_key}", f"{label}, least", low, unit),
        Figure(f"{key}_mean{unit_key}", f"{label}, mean", climate.weighted_mean(values, weight), unit),
        Figure(f"{key}_max{unit_key}", f"{label}, most", high, unit),
    ]


def _by_month(log: ClimateLog, path: FollowedLog, outside: NDArray[np.bool_]) -> list[tuple[Value, ...]]:
    edges, names = climate.months(log.seconds)
    rows: list[tuple[Value, ...]] = []
    for name, a, b in zip(names, edges[:-1].tolist(), edges[1:].tolist(), strict=True):
        weight, wet, wood = path.weight[a:b], log.humidity[a:b], path.moisture[a:b]
        warmth, damp = (climate.weighted_mean(values, weight) for values in (log.temperature[a:b], wet))
        share = 100.0 * climate.share(outside[a:b], weight)
        humidity = (float(wet.min()), damp, float(wet.max()))
        rows.append((name, float(weight.sum()), warmth, *humidity, share, float(wood.min()), float(wood.max())))
    return rows


def _says(log: ClimateLog, dry_days: float, last: float, observed: float) -> list[str]:
    says: list[str] = ["The wood follows the air with a first-order lag: our assumption, no measurement of this board."]
    if last < 300.0:
        says.append(f"{last:.0f} days are no year: a heating season or a damp summer may be missing.")
    if last - observed > 0.02 * last:
        silent, span = Amount(last - observed, digits=3), Amount(last, "days", 3)
        says.append(sentence("The logger was silent for {silent} of {span}.", silent=silent, span=span))
    if log.passed:
        says.append(f"{log.passed} rows had an empty cell and were passed over.")
    if log.moved:
        says.append(f"{log.moved} readings stood before an earlier one and were put in order: was the clock set back?")
    if dry_days >= 14.0:
        says.append(
            "Weeks of dry air are a cause of drying out, not a proof of damage: look for cracks and loose pins."
        )
    if float(np.ptp(log.humidity)) == 0.0:
        says.append("Every humidity is the same: is the sensor stuck?")
    return says


def _from_to(log: ClimateLog, spell: climate.Spell) -> str:
    if spell.first < 0:
        return "none"
    return joined(" to ", (_moment(log.seconds[spell.first]), _moment(log.seconds[spell.last])))


def _moment(seconds: float) -> Sentence:
    when = np.datetime64(int(seconds), "s").item()
    return joined(" ", (when.date(), f"{when:%H:%M}"))
