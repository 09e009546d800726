"""Tuning pins: torque by section against the check's anchors, what loose pins mean, and whether pins hold."""

from __future__ import annotations

from statistics import median
from typing import TYPE_CHECKING

from appraise.engine.instruments.sampling import describe, estimate_count
from appraise.engine.instruments.torque import (
    Loose,
    Pattern,
    Pin,
    by_section,
    drifts,
    loose_pins,
    low_anchors,
    value_at,
)
from appraise.model.measurement import Basis, Figure, Grid, Measurement, Value
from appraise.model.problem import InputError, Unreadable, quoted
from appraise.model.sentence import Amount, sentence
from appraise.services.instruments.citations import basis_of
from appraise.services.instruments.csv_reader import separated
from appraise.services.instruments.inputs import LEVEL, Field, Given, Tool, by_note, csv_field, unit_field
from appraise.services.instruments.sampling_stats import METHOD, judged_grade, seldom_words
from appraise.services.keybed_view import section_of
from appraise.services.quantity_limits import Quantity, quantity_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.tables.rows import Tables

PIN = Quantity("pin", "", (1.0, 300.0), ("number",), whole=True)
CENTS = Quantity("cents", "cents", (-600.0, 600.0))
HOURS = Quantity("hours", "", (0.1, 2000.0))
_COLUMNS = {"section": (), "row": (), "pin": ("number",), "torque": ("pin_torque",)}
_LIKE = 3
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


def _answer(given: Given) -> Measurement:
    tables, groups = given.tables, given["of"]
    if given["set"] or given["found"] or given["hours"]:
        if groups or given["csv"] is not None:
            raise InputError("torques beside a holding test", "one or the other")
        if not (given["set"] and given["found"] and given["hours"]):
            raise InputError("a holding test needs --set, --found and --hours")
        hours = HOURS.read(given["hours"])
        return holding_measurement(cents_typed(given["set"]), cents_typed(given["found"]), hours, tables)
    limit = quantity_of(tables.checks["pin_torque"], "torque")
    unit = given.meant(limit.unit)
    filed = given.from_file(groups, "--of")
    pins = pins_from(given["csv"], tables, unit) if filed else pins_typed(groups, tables, unit)
    below = limit.read(given["below"], meant=unit) if given["below"] else None
    return torque_measurement(pins, tables, below=below, population=given["pins"], level=given["level"])


def _of_case(case: Case, given: Given) -> Measurement:
    torques, tables = by_note(case, "pin_torque"), given.tables
    if not torques:
        raise InputError("No torques yet: measure some pins of each section at the station Pin block.")
    pins = [Pin(section_of(note, tables), "", note, torque) for note, torque in sorted(torques.items())]
    return torque_measurement(pins, tables)


TOOL = Tool(
    "torque",
    "Pins",
    "Pins are numbered along their row from the bass end; "
    "a torque is in N·m, or in in·lb with --units inch, unless its unit is written.",
    (
        Field(
            "--of",
            "a section or a row of it, and its pins, as often as needed: --of bass 1=7.4 --of tenor/2 1=60inlb",
            ("SECTION/ROW", "PIN=TORQUE"),
            kind="groups",
        ),
        csv_field("columns section, row, pin and torque; section and row may be missing"),
        unit_field("N·m, in·lb"),
        Field("--below", "a pin with less counts as loose", "TORQUE"),
        Field("--pins", "tuning pins of the instrument (230)", "N", whole=(50, 300)),
        LEVEL,
        Field("--set", "holding test: pitch as set", "PIN=CENTS", kind="words"),
        Field("--found", "holding test: pitch found later", "PIN=CENTS", kind="words"),
        Field("--hours", "holding test: hours between the two", "HOURS"),
    ),
    _answer,
    _of_case,
    feeds=("pin_torque",),
)


def pins_typed(groups: Iterable[Sequence[str]], tables: Tables, unit: str = "") -> list[Pin]:
    """Read pins as typed: a section, with its row behind a slash, and readings `pin=torque`, in `unit` without one.

    Raises:
        InputError: Anything cannot be; the text is one line.
    """
    what = quantity_of(tables.checks["pin_torque"], "torque")
    result: list[Pin] = []
    for place, *words in groups:
        section, _, row = place.partition("/")
        for word in words:
            number, mark, value = word.partition("=")
            if not mark:
                raise InputError(quoted(word), "pin=torque such as 12=7.4", subject=quoted(place))
            try:
                pin = Pin(section.strip(), row.strip(), int(PIN.read(number)), what.read(value, meant=unit))
                _once(pin, result)
            except InputError as refused:
                raise refused.about(f"{quoted(place)}, pin {quoted(number)}") from None
            result.append(pin)
    return result


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
    result: list[Pin] = []
    problems = []
    for place, line in enumerate(read.lines, 1):
        cells = line.cells
        if not any(cells.values()):
            continue
        column = "pin"
        try:
            number = int(PIN.read(cells["pin"])) if "pin" in cells else place
            column = "torque"
            torque = what.read(cells.get("torque", ""), meant=read.units.get("torque") or unit)
            pin = Pin(cells.get("section", ""), cells.get("row", ""), number, torque)
            column = "pin"
            _once(pin, result)
        except InputError as refused:
            problems.append(read.problem(line, column, refused))
            continue
        result.append(pin)
    if problems:
        raise Unreadable(*problems)
    return result


def _once(pin: Pin, found: Iterable[Pin]) -> None:
    if any((one.section, one.row, one.number) == (pin.section, pin.row, pin.number) for one in found):
        raise InputError(f"pin {pin.number} twice in one row", "one reading a pin")


def cents_typed(words: Sequence[str]) -> dict[str, float]:
    """Read `pin=cents` each; a pin is named as the person likes.

    Raises:
        InputError: Not a pin and a value, or a pin twice.
    """
    result: dict[str, float] = {}
    for word in words:
        pin, mark, value = word.partition("=")
        if not mark or not pin.strip():
            raise InputError(quoted(word), "pin=cents such as 12=-1.5")
        if pin.strip() in result:
            raise InputError(f"pin {quoted(pin)} twice", "it once")
        result[pin.strip()] = CENTS.read(value)
    return result


def torque_measurement(
    pins: Sequence[Pin],
    tables: Tables,
    *,
    below: float | None = None,
    population: int | None = None,
    level: float | None = None,
) -> Measurement:
    """Return what pin torques say; a pin under `below` [N·m] is loose, where given.

    Raises:
        InputError: No pins, or more than the piano has.
    """
    if not pins:
        raise InputError("no readings", "torques")
    population = int(tables.setting("pin_count")) if population is None else population
    if len(pins) > population:
        raise InputError(f"{len(pins)} pins read", f"no more than the instrument's {population}")
    level = tables.setting("sampling_level") if level is None else level
    check, spread_check = tables.checks["pin_torque"], tables.checks["torque_spread"]
    limit = value_at(check.anchors, tables.setting("pin_loose_grade")) if below is None else below
    least = int(tables.setting("pin_line_least"))
    loose = loose_pins(pins, limit, least, tables.setting("runs_significance"))
    torques = sorted(pin.torque for pin in pins)
    whole, sections = describe(torques), by_section(pins)
    spreads = [max(values) - min(values) for values in sections.values() if len(values) > 1]
    chance, tested = (loose.chance, "were loose pins scattered") if loose.tested else (None, "nothing to test")
    spread_grade = judged_grade(spread_check, spreads, population, tables) if spreads else None
    alone = "" if spreads else "one pin of a section has none"
    count = sum(row.loose for row in loose.rows)
    return Measurement(
        "torque",
        f"Tuning pin torque: {len(pins)} of {population} pins",
        (
            Figure("loose_below_n_m", "loose under", limit, "N·m"),
            Figure("pins", "pins of the instrument", population),
            Figure("level", "confidence", level),
        ),
        (
            Figure("n", "pins read", whole.n),
            Figure("mean_n_m", "mean", whole.mean, "N·m"),
            Figure("least_n_m", "least", whole.least, "N·m"),
            Figure("greatest_n_m", "greatest", whole.greatest, "N·m"),
            Figure("loose", "loose pins", count, "", sentence("under {limit}", limit=Amount(limit, "N·m"))),
            Figure("pattern", "they stand", loose.pattern.value),
            Figure("chance", "chance of so few runs", chance, "", tested),
            Figure("grade", "grade of the torque", judged_grade(check, torques, population, tables)),
            Figure("spread_grade", "grade of the spread", spread_grade, "", alone),
        ),
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
    result = [_MEANING[loose.pattern]]
    for row in loose.rows:
        if len(row.line) >= least:
            place = " ".join(part for part in (row.section, f"row {row.row}" if row.row else "") if part)
            pins = ", ".join(str(number) for number in row.line)
            where = f" in {place}" if place else ""
            if row.unread:
                result.append(
                    f"{len(row.line)} loose ones follow each other among those read{where} ({pins}), but what stands "
                    "between them was not read: read it before you call it a line."
                )
            else:
                result.append(f"Line of {len(row.line)} loose neighbours{where}: pins {pins}.")
    result.append("That a pin holds matters more than its torque: set doubtful ones and measure again.")
    return result


def _sections(sections: dict[str, list[float]]) -> Grid:
    rows: list[tuple[Value, ...]] = []
    for section, values in sections.items():
        one = describe(values)
        sd, between = (one.sd, one.greatest - one.least) if one.n > 1 else (None, None)
        rows.append((section or "all", one.n, one.mean, sd, one.least, one.greatest, between))
    columns = "section | n | mean_n_m mean [N·m] | sd_n_m sd [N·m] | least_n_m least [N·m]"
    columns += " | greatest_n_m greatest [N·m] | spread_n_m spread [N·m]"
    return Grid.of("sections", "By section", columns, rows)


def _shares(torques: Sequence[float], anchors: Sequence[tuple[float, float]], population: int, level: float) -> Grid:
    rows = []
    for value, grade in anchors:
        under = sum(torque < value for torque in torques)
        share = estimate_count(under, len(torques), population, level, 0.0)
        rows.append((value, grade, under, 100.0 * share.value, 100.0 * share.low, 100.0 * share.high))
    columns = "below_n_m under [N·m] | grade grade there | n pins | share_pct share [%]"
    columns += " | share_low_pct of all, from [%] | share_high_pct to [%]"
    return Grid.of("anchors", "Share under each anchor", columns, rows)


def _rows(loose: Loose) -> Grid:
    rows: list[tuple[Value, ...]] = []
    for row in loose.rows:
        chance = row.runs.chance if 0 < row.loose < row.read else None
        found = (row.read, row.loose, row.runs.runs, row.runs.expected, chance, len(row.line))
        rows.append((row.section or "all", row.row, *found))
    columns = "section | row | n pins read | loose | runs | runs_expected expected | chance | line longest line"
    return Grid.of("rows", "Loose pins along the rows", columns, rows)


def holding_measurement(
    set_to: Mapping[str, float], found: Mapping[str, float], hours: float, tables: Tables
) -> Measurement:
    """Return whether pins held: pitch by pin [cents] when set, and when measured again so many hours later.

    Raises:
        InputError: No pin was measured twice, or a drift that cannot be.
    """
    moved = drifts(set_to, found)
    if not moved:
        raise InputError("no pin measured twice", "the same pins set and found")
    check = tables.checks["holding_test"]
    sizes = [abs(value) for value in moved.values()]
    if check.plausible is not None and max(sizes) > check.plausible[1]:
        raise InputError(f"a drift of {max(sizes):g} cents", f"{check.plausible[1]:g} at most")
    worst = max(moved, key=lambda pin: (abs(moved[pin]), pin))
    shared, least = median(moved.values()), tables.setting("holding_hours_least")
    says: list[str] = []
    if hours < least:
        says.append(
            sentence(
                "After {hours} hours it is too early to tell: a pin that holds should hold {least} and more.",
                hours=Amount(hours, digits=6),
                least=Amount(least, digits=6),
            )
        )
    if len(moved) >= _LIKE and all((value > 0) == (shared > 0) and value for value in moved.values()):
        says.append(
            sentence(
                "All pins moved the same way, by {cents} in the middle: compare notes whose pins were not touched; "
                "climate moves them together, loose pins do not.",
                cents=Amount(round(abs(shared), 1), "cents"),
            )
        )
    missing = sorted(set_to.keys() - found.keys())
    if missing:
        says.append(f"Set but not measured again: {', '.join(missing[:8])}.")
    rows = ((pin, set_to[pin], found[pin], value) for pin, value in moved.items())
    columns = "pin | set_cents set [cents] | found_cents found [cents] | drift_cents drift [cents]"
    return Measurement(
        "torque",
        f"Holding test: {len(moved)} pins after {hours:g} hours",
        (Figure("hours", "hours between", hours, "h"),),
        (
            Figure("n", "pins measured twice", len(moved)),
            Figure("worst_drift_cents", "worst drift", moved[worst], "cents", f"pin {worst}"),
            Figure("median_drift_cents", "drift in the middle", shared, "cents"),
            Figure("grade", "grade", judged_grade(check, sizes, len(sizes), tables)),
        ),
        (Grid.of("pins", "Pin by pin", columns, rows),),
        tuple(says),
        tuple(row.text for row in tables.cautions.values() if check.key in row.checks),
        (
            basis_of(f"tolerance: {check.label}", check, tables),
            basis_of("least time", tables.settings["holding_hours_least"], tables),
        ),
    )
