"""Tuning pins: torque by section against the check's anchors, and what loose pins speak of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.instruments.sampling import describe, estimate_count
from appraise.engine.instruments.torque import Loose, Pattern, Pin, by_section, loose_pins, low_anchors, value_at
from appraise.model.measurement import Basis, Figure, Grid, Measurement, Value
from appraise.model.problem import Unreadable
from appraise.services.displayed_quantities import with_unit
from appraise.services.instruments.csv_reader import separated
from appraise.services.instruments.note_values import Quantity, amount, quantity_of
from appraise.services.instruments.sampling_stats import METHOD, basis_of, judged_grade, seldom_words
from appraise.services.refused import InputError, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from appraise.tables.rows import Tables

PIN = Quantity("pin", "", (1.0, 300.0), ("number",), whole=True)
_COLUMNS = {"section": (), "row": (), "pin": ("number",), "torque": ("pin_torque",)}
RUNS = Basis(
    "runs test",
    "from memory",
    "A. Wald and J. Wolfowitz, “On a test whether two samples are from the same population”, Annals of Mathematical "
    "Statistics 11",
    "1940; exact up to 200 pins in a row, normal approximation with a correction of one half beyond",
)
_MEANING = {
    Pattern.NONE: "No pin read is loose.",
    Pattern.SCATTERED: "The loose pins stand scattered: that speaks of worn or dry holes, to be repaired pin by pin, "
    "and not of a crack.",
    Pattern.LINE: "Loose pins stand together in a line more than chance would have it: within the field that usually "
    "means a crack or layers parting, which ends the block; along the edge of the flange it may be crushing only. Look "
    "at the block itself before anything is decided.",
    Pattern.DOUBTFUL_LINE: "Some loose pins are neighbours, but chance alone could place them so. Read the pins beside "
    "them.",
    Pattern.THROUGHOUT: "More than half of the pins read are loose: the block as a whole has dried or worn.",
}


def pins_typed(groups: Iterable[Sequence[str]], tables: Tables, unit: str = "") -> list[Pin]:
    """Read pins as typed: a section, with its row behind a slash, and readings `pin=torque`.

    Args:
        groups: ("tenor/2", "1=7.4", "2=60 in·lb") each.
        tables: Every table.
        unit: The unit meant where none is written.

    Raises:
        InputError: Anything cannot be; the text is one line.
    """
    what = quantity_of(tables.checks["pin_torque"], "torque")
    found: list[Pin] = []
    for place, *words in groups:
        section, _, row = place.partition("/")
        for word in words:
            number, mark, value = word.partition("=")
            if not mark:
                raise InputError(f"{quoted(place)}: found {quoted(word)}, expected pin=torque such as 12=7.4")
            try:
                pin = Pin(section.strip(), row.strip(), int(amount(number, PIN)), amount(value, what, unit))
                _once(pin, found)
            except InputError as refused:
                raise InputError(f"{quoted(place)}, pin {quoted(number)}: {refused}") from None
            found.append(pin)
    return found


def pins_from(path: Path, tables: Tables, unit: str = "") -> list[Pin]:
    """Import pins from a file with the columns section, row, pin and torque; section and row may be missing.

    Args:
        path: The file.
        tables: Every table.
        unit: The unit meant where neither cell nor heading says.

    Raises:
        Unreadable: Anything is wrong; carries every problem, with line and column.
    """
    what = quantity_of(tables.checks["pin_torque"], "torque")
    read = separated(path, _COLUMNS, ("pin", "torque"))
    found: list[Pin] = []
    problems = []
    for place, line in enumerate(read.lines, 1):
        cells = line.cells
        if not any(cells.values()):
            continue
        column = "pin"
        try:
            number = int(amount(cells["pin"], PIN)) if "pin" in cells else place
            column = "torque"
            torque = amount(cells.get("torque", ""), what, read.units.get("torque") or unit)
            pin = Pin(cells.get("section", ""), cells.get("row", ""), number, torque)
            column = "pin"
            _once(pin, found)
        except InputError as refused:
            problems.append(read.problem(line, column, refused))
            continue
        found.append(pin)
    if problems:
        raise Unreadable(*problems)
    return found


def _once(pin: Pin, found: Iterable[Pin]) -> None:
    if any((one.section, one.row, one.number) == (pin.section, pin.row, pin.number) for one in found):
        raise InputError(f"found pin {pin.number} twice in one row, expected one reading a pin")


def torque_measurement(
    pins: Sequence[Pin],
    tables: Tables,
    *,
    below: float | None = None,
    population: int | None = None,
    level: float | None = None,
) -> Measurement:
    """Return what pin torques say.

    Args:
        pins: As read.
        tables: Every table.
        below: A pin with less is loose [N·m]; none: as the settings say.
        population: Pins of the instrument; none: as the settings say.
        level: Confidence level [–]; none: as the settings say.

    Raises:
        InputError: No pins, or more than the instrument has.
    """
    if not pins:
        raise InputError("found no readings, expected torques")
    population = int(tables.setting("pin_count")) if population is None else population
    if len(pins) > population:
        raise InputError(f"found {len(pins)} pins read, expected no more than the instrument's {population}")
    level = tables.setting("sampling_level") if level is None else level
    check, spread_check = tables.checks["pin_torque"], tables.checks["torque_spread"]
    limit = value_at(check.anchors, tables.setting("pin_loose_grade")) if below is None else below
    least = int(tables.setting("pin_line_least"))
    loose = loose_pins(pins, limit, least, tables.setting("runs_significance"))
    torques = sorted(pin.torque for pin in pins)
    whole = describe(torques)
    sections = by_section(pins)
    spreads = [max(values) - min(values) for values in sections.values() if len(values) > 1]
    count = sum(row.loose for row in loose.rows)
    outputs = (
        Figure("n", "pins read", whole.n),
        Figure("mean_n_m", "mean", whole.mean, "N·m"),
        Figure("least_n_m", "least", whole.least, "N·m"),
        Figure("greatest_n_m", "greatest", whole.greatest, "N·m"),
        Figure("loose", "loose pins", count, "", f"under {with_unit(limit, 'N·m')}"),
        Figure("pattern", "they stand", loose.pattern.value),
        Figure(
            "chance",
            "chance of so few runs",
            loose.chance if loose.tested else None,
            "",
            "were loose pins scattered" if loose.tested else "nothing to test",
        ),
        Figure("grade", "grade of the torque", judged_grade(check, torques, population, tables)),
        Figure(
            "spread_grade",
            "grade of the spread",
            judged_grade(spread_check, spreads, population, tables) if spreads else None,
            "",
            "" if spreads else "one pin of a section has none",
        ),
    )
    return Measurement(
        "torque",
        f"Tuning pin torque: {len(pins)} of {population} pins",
        (
            Figure("loose_below_n_m", "loose under", limit, "N·m"),
            Figure("pins", "pins of the instrument", population),
            Figure("level", "confidence", level),
        ),
        outputs,
        (_sections(sections), _shares(torques, low_anchors(check.anchors), population, level), _rows(loose)),
        (*seldom_words({pin.number: pin.torque for pin in pins}, check), *_says(loose, least)),
        (check.caution, *(row.text for row in tables.cautions.values() if check.key in row.checks)),
        (
            basis_of("anchors of the torque", check, tables),
            basis_of("spread of a section", spread_check, tables),
            basis_of("what a line of loose pins means", tables.checks["pins_failed"], tables),
            basis_of("where a pin is loose", tables.settings["pin_loose_grade"], tables),
            RUNS,
            *METHOD[1:],
        ),
    )


def _says(loose: Loose, least: int) -> list[str]:
    told = [_MEANING[loose.pattern]]
    for row in loose.rows:
        if len(row.line) >= least:
            place = " ".join(part for part in (row.section, f"row {row.row}" if row.row else "") if part)
            pins = ", ".join(str(number) for number in row.line)
            where = f" in {place}" if place else ""
            if row.unread:
                told.append(
                    f"{len(row.line)} loose ones follow each other among those read{where} ({pins}), but what stands "
                    "between them was not read: read it before you call it a line."
                )
            else:
                told.append(f"Line of {len(row.line)} loose neighbours{where}: pins {pins}.")
    told.append("That a pin holds matters more than its torque: set doubtful ones and measure again.")
    return told


def _sections(sections: dict[str, list[float]]) -> Grid:
    columns = (
        ("section", "section", ""),
        ("n", "n", ""),
        ("mean_n_m", "mean", "N·m"),
        ("sd_n_m", "sd", "N·m"),
        ("least_n_m", "least", "N·m"),
        ("greatest_n_m", "greatest", "N·m"),
        ("spread_n_m", "spread", "N·m"),
    )
    rows: list[tuple[Value, ...]] = []
    for section, values in sections.items():
        one = describe(values)
        sd = one.sd if one.n > 1 else None
        between = one.greatest - one.least if one.n > 1 else None
        rows.append((section or "all", one.n, one.mean, sd, one.least, one.greatest, between))
    return Grid("sections", "By section", columns, tuple(rows))


def _shares(torques: Sequence[float], anchors: Sequence[tuple[float, float]], population: int, level: float) -> Grid:
    columns = (
        ("below_n_m", "under", "N·m"),
        ("grade", "grade there", ""),
        ("n", "pins", ""),
        ("share_pct", "share", "%"),
        ("share_low_pct", "of all, from", "%"),
        ("share_high_pct", "to", "%"),
    )
    rows = []
    for value, grade in anchors:
        under = sum(torque < value for torque in torques)
        share = estimate_count(under, len(torques), population, level, 0.0)
        rows.append((value, grade, under, 100.0 * share.value, 100.0 * share.low, 100.0 * share.high))
    return Grid("anchors", "Share under each anchor", columns, tuple(rows))


def _rows(loose: Loose) -> Grid:
    columns = (
        ("section", "section", ""),
        ("row", "row", ""),
        ("n", "pins read", ""),
        ("loose", "loose", ""),
        ("runs", "runs", ""),
        ("runs_expected", "expected", ""),
        ("chance", "chance", ""),
        ("line", "longest line", ""),
    )
    rows = tuple(
        (
            row.section or "all",
            row.row,
            row.read,
            row.loose,
            row.runs.runs,
            row.runs.expected,
            row.runs.chance if 0 < row.loose < row.read else None,
            len(row.line),
        )
        for row in loose.rows
    )
    return Grid("rows", "Loose pins along the rows", columns, rows)
