"""Touchweight across the compass: from downweights and upweights to friction, balance and where to look."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from appraise.engine.instruments.touch import (
    QUANTITIES,
    Cause,
    Flag,
    Line,
    balance,
    cause_of,
    flags_of,
    friction,
    line_of,
)
from appraise.model.case import Kind
from appraise.model.measurement import Basis, Figure, Grid, Measurement, Plot, Value
from appraise.model.notes import LAST, name_of
from appraise.model.problem import InputError
from appraise.services.instruments.citations import basis_of
from appraise.services.instruments.inputs import (
    COMPASS,
    KIND,
    LEVEL,
    Field,
    Given,
    Tool,
    by_note,
    compass_of,
    csv_field,
    unit_field,
)
from appraise.services.instruments.sampling_stats import (
    METHOD,
    asked_of,
    bounded,
    judged_grade,
    more_words,
    sample_of,
    seldom_words,
)
from appraise.services.quantity_limits import quantity_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.model.case import Case
    from appraise.tables.rows import Check, Tables
    from appraise.tables.rows_measurements import NoteNorm

NAMES = ("downweight", "upweight", "friction", "balance")
UPRIGHT = (
    "In an upright springs act on key and hammer: the upweight, and friction and balance from it, say little. "
    "Only the downweight is judged."
)
_CAUSES = {
    Cause.FRICTION: "heavy, and friction is high: look at bushings and centres",
    Cause.WEIGHT: "heavy without high friction: look at hammers, leads and leverage",
    Cause.HIDDEN: "friction is high though the key feels right: leads carry it",
    Cause.LOOSE: "friction is below its place: look for worn or loose centres and bushings",
    Cause.LIGHT: "light: look at leads and springs",
}


def _answer(given: Given) -> Measurement:
    kind, checks, most = Kind(given["kind"]), given.tables.checks, given["compass"]
    down = quantity_of(checks[QUANTITIES[kind]["downweight"]], "downweight", ("down", "d"))
    up = quantity_of(checks[QUANTITIES[Kind.GRAND]["upweight"]], "upweight", ("up", "u"))
    found = given.by_note({"down": down, "up": up}, "readings", given["unit"], most)
    return touch_measurement(found["down"], found["up"], kind, given.tables, population=most, level=given["level"])


def _of_case(case: Case, given: Given) -> Measurement:
    kind = case.identity.kind
    down, up = (by_note(case, QUANTITIES[kind].get(name, "")) for name in ("downweight", "upweight"))
    if not down:
        raise InputError("No downweights yet: weigh some keys at the station Action, down and up.")
    return touch_measurement(down, up, kind, given.tables, population=compass_of(case))


TOOL = Tool(
    "touch",
    "Touch",
    "Weigh with the right pedal down; notes 1, 16, 28, 40, 52, 64, 76 and 88 make a quick pass.",
    (
        Field("--down", "downweights: A4=52, 46-58=51", "NOTE=G", kind="words"),
        Field("--up", "upweights of the same notes", "NOTE=G", kind="words"),
        csv_field("columns note, down and up"),
        KIND,
        unit_field("g (meant where none is said), oz"),
        COMPASS,
        LEVEL,
    ),
    _answer,
    _of_case,
    feeds=("downweight_grand", "downweight_upright"),
)


def derived(down: Mapping[int, float], up: Mapping[int, float]) -> dict[str, dict[int, float]]:
    """Return every quantity of touch by key number [g]; friction and balance where down- and upweight are known.

    Raises:
        InputError: An upweight over the downweight of its note.
    """
    found: dict[str, dict[int, float]] = {"downweight": dict(down), "upweight": dict(up), "friction": {}, "balance": {}}
    for note in sorted(down.keys() & up.keys()):
        try:
            found["friction"][note] = friction(down[note], up[note])
            found["balance"][note] = balance(down[note], up[note])
        except ValueError as error:
            raise InputError(f"note {note} ({name_of(note)}): {error}") from None
    return {name: {note: values[note] for note in sorted(values)} for name, values in found.items()}


def touch_measurement(
    down: Mapping[int, float],
    up: Mapping[int, float],
    kind: Kind,
    tables: Tables,
    *,
    population: int = LAST,
    level: float | None = None,
) -> Measurement:
    """Return what down- and upweights [g] by key number say of a compass of so many notes.

    Raises:
        InputError: No readings, an upweight over its downweight, or more notes than the compass has.
    """
    if not down and not up:
        raise InputError("no readings", "downweights")
    if max((*down, *up)) > population:
        raise InputError(f"note {max((*down, *up))}", f"one of the compass, up to {population}")
    level = tables.setting("sampling_level") if level is None else level
    values = derived(down, up)
    checks = {name: tables.checks[key] for name, key in QUANTITIES[kind].items() if values[name]}
    lines = {name: line_of(_norm(check, tables)) for name, check in checks.items()}
    flags = {name: flags_of(values[name], lines[name], checks[name].anchors) for name in checks}
    causes = _causes(values, lines) if kind is Kind.GRAND else {}
    outputs: list[Figure] = []
    rows: list[tuple[Value, ...]] = []
    says: list[str] = []
    for name in NAMES:
        if read := values[name]:
            outputs.append(Figure(f"{name}_mean_g", f"mean {name}", sum(read.values()) / len(read), "g"))
        if name in checks:
            rows.append((name, *_statistics(checks[name], list(read.values()), population, level, tables)))
            sample = sample_of(list(read.values()), asked_of(checks[name], tables), population, level)
            told = more_words(sample, population)
            says += [f"{name.capitalize()}: {told}"] if told else []
            says += seldom_words(read, checks[name])
    for cause, _ in Counter(causes.values()).most_common():
        where = _named([note for note, one in causes.items() if one is cause])
        says.append(f"{_CAUSES[cause].capitalize()} ({where}).")
    free = [note for note, rubbing in values["friction"].items() if rubbing == 0.0]
    if free:
        says.append(f"No friction at all at {_named(free)}: weigh again, the key may not have been let move slowly.")
    flagged = len({flag.note for found in flags.values() for flag in found})
    columns = "quantity | n | mean_g mean [g] | sd_g sd [g] | mean_low_g from [g] | mean_high_g to [g] | out"
    columns += " | verdict the compass | more_notes more | grade"
    return Measurement(
        "touch",
        f"Touchweight, {kind}: {len(down.keys() | up.keys())} of {population} notes",
        (
            Figure("kind", "kind", kind.value),
            Figure("population", "notes of the compass", population),
            Figure("level", "confidence", level),
        ),
        (*outputs, Figure("notes_flagged", "notes that stand out", flagged)),
        (_notes(values, lines, flags, causes), Grid.of("statistics", "The whole compass", columns, rows)),
        tuple(says),
        (UPRIGHT,) if kind is Kind.UPRIGHT else (),
        (
            Basis("friction (D − U)/2 and balance (D + U)/2", "common practice", "", "definition"),
            *(basis_of(f"tolerance: {check.label}", check, tables) for check in checks.values()),
            *(basis_of(f"expected at each note: {n}", _norm(c, tables), tables) for n, c in checks.items()),
            *METHOD,
        ),
        tuple(
            Plot(name, f"{name.capitalize()} across the compass", "note", "g", tuple(values[name].items()))
            for name in ("downweight", "friction", "balance")
            if len(values[name]) > 1
        ),
    )


def _norm(check: Check, tables: Tables) -> NoteNorm:
    return next(row for row in tables.note_norms.values() if row.check == check.key)


def _statistics(check: Check, read: list[float], population: int, level: float, tables: Tables) -> tuple[Value, ...]:
    sample = sample_of(read, asked_of(check, tables), population, level)
    spread, several = sample.spread, sample.spread.n > 1
    bounds = bounded(sample.mean.low), bounded(sample.mean.high)
    more, grade = sample.settled.more if several else None, judged_grade(check, read, population, tables)
    return spread.n, spread.mean, spread.sd if several else None, *bounds, sample.out, sample.verdict, more, grade


def _causes(values: Mapping[str, Mapping[int, float]], lines: Mapping[str, Line]) -> dict[int, Cause]:
    if "friction" not in lines:
        return {}
    down, up, expected = values["downweight"], values["upweight"], (lines["downweight"], lines["friction"])
    found = {note: cause_of(down[note], up[note], *expected, note) for note in values["friction"]}
    return {note: cause for note, cause in found.items() if cause is not Cause.NONE}


def _named(notes: list[int]) -> str:
    names = [name_of(note) for note in notes]
    return ", ".join(names[:8]) + (f" and {len(names) - 8} more" if len(names) > 8 else "")


def _notes(
    values: Mapping[str, Mapping[int, float]],
    lines: Mapping[str, Line],
    flags: Mapping[str, tuple[Flag, ...]],
    causes: Mapping[int, Cause],
) -> Grid:
    rows = []
    for note in sorted(values["downweight"].keys() | values["upweight"].keys()):
        told = {name: [flag.fault.value for flag in flags.get(name, ()) if flag.note == note] for name in NAMES}
        found = "; ".join(f"{name} {', '.join(faults)}" for name, faults in told.items() if faults)
        expected = round(lines["downweight"].at(note), 1) if "downweight" in lines else None
        figures = [values[name].get(note) for name in NAMES]
        rows.append((note, name_of(note), *figures, expected, found, causes[note].value if note in causes else ""))
    weights = " | ".join(f"{name}_g {name} [g]" for name in NAMES)
    columns = f"note | name | {weights} | expected_downweight_g expected [g] | flags stands out | cause look at"
    return Grid.of("notes", "Note by note", columns, rows)
