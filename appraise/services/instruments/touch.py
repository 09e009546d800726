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
from appraise.services.instruments.sampling_stats import (
    METHOD,
    asked_of,
    basis_of,
    bounded,
    judged_grade,
    more_words,
    sample_of,
    seldom_words,
)
from appraise.services.refused import InputError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.tables.rows import Check, Tables
    from appraise.tables.rows_notes import NoteNorm

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


def derived(down: Mapping[int, float], up: Mapping[int, float]) -> dict[str, dict[int, float]]:
    """Return every quantity of touch by key number [g].

    Args:
        down: Downweights [g].
        up: Upweights [g]; friction and balance are known where both are.

    Raises:
        InputError: An upweight over the downweight of its note.
    """
    both = sorted(down.keys() & up.keys())
    found: dict[str, dict[int, float]] = {"downweight": dict(down), "upweight": dict(up), "friction": {}, "balance": {}}
    for note in both:
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
    """Return what touchweights say.

    Args:
        down: Downweight by key number [g].
        up: Upweight by key number [g].
        kind: Grand or upright.
        tables: Every table.
        population: Notes of the compass.
        level: Confidence level [–]; none: as the settings say.

    Raises:
        InputError: No readings, an upweight over its downweight, or more notes than the compass has.
    """
    if not down and not up:
        raise InputError("found no readings, expected downweights")
    if max((*down, *up)) > population:
        raise InputError(f"found note {max((*down, *up))}, expected one of the compass, up to {population}")
    level = tables.setting("sampling_level") if level is None else level
    values = derived(down, up)
    checks = {name: tables.checks[key] for name, key in QUANTITIES[kind].items() if values[name]}
    lines = {name: _line(check, tables) for name, check in checks.items()}
    flags = {name: flags_of(values[name], lines[name], checks[name].anchors) for name in checks}
    causes = _causes(values, lines) if kind is Kind.GRAND else {}
    outputs: list[Figure] = []
    rows: list[tuple[Value, ...]] = []
    says: list[str] = []
    for name in NAMES:
        if values[name]:
            outputs.append(_mean(name, values[name]))
        if name in checks:
            check = checks[name]
            sample = sample_of(list(values[name].values()), asked_of(check, tables), population, level)
            grade = judged_grade(check, list(values[name].values()), population, tables)
            more = sample.settled.more if sample.spread.n > 1 else None
            bounds = bounded(sample.mean.low), bounded(sample.mean.high)
            spread = sample.spread
            sd = spread.sd if spread.n > 1 else None
            rows.append((name, spread.n, spread.mean, sd, *bounds, sample.out, sample.verdict, more, grade))
            told = more_words(sample, population)
            says += [f"{name.capitalize()}: {told}"] if told else []
            says += seldom_words(values[name], check)
    says += _cause_words(causes)
    cautions = [UPRIGHT] if kind is Kind.UPRIGHT else []
    free = [note for note, rubbing in values["friction"].items() if rubbing == 0.0]
    if free:
        says.append(f"No friction at all at {_named(free)}: weigh again, the key may not have been let move slowly.")
    return Measurement(
        "touch",
        f"Touchweight, {kind}: {len(down.keys() | up.keys())} of {population} notes",
        (
            Figure("kind", "kind", kind.value),
            Figure("population", "notes of the compass", population),
            Figure("level", "confidence", level),
        ),
        (*outputs, Figure("notes_flagged", "notes that stand out", len({f.note for fs in flags.values() for f in fs}))),
        (_notes(values, lines, flags, causes), _statistics(rows)),
        tuple(says),
        tuple(cautions),
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


def _line(check: Check, tables: Tables) -> Line:
    return line_of(_norm(check, tables))


def _mean(name: str, values: Mapping[int, float]) -> Figure:
    return Figure(f"{name}_mean_g", f"mean {name}", sum(values.values()) / len(values), "g")


def _causes(values: Mapping[str, Mapping[int, float]], lines: Mapping[str, Line]) -> dict[int, Cause]:
    if "friction" not in lines:
        return {}
    found = {
        note: cause_of(
            values["downweight"][note], values["upweight"][note], lines["downweight"], lines["friction"], note
        )
        for note in values["friction"]
    }
    return {note: cause for note, cause in found.items() if cause is not Cause.NONE}


def _cause_words(causes: Mapping[int, Cause]) -> list[str]:
    counts = Counter(causes.values())
    return [
        f"{_CAUSES[cause].capitalize()} ({_named([note for note, one in causes.items() if one is cause])})."
        for cause, _ in counts.most_common()
    ]


def _named(notes: list[int]) -> str:
    names = [name_of(note) for note in notes]
    return ", ".join(names[:8]) + (f" and {len(names) - 8} more" if len(names) > 8 else "")


def _notes(
    values: Mapping[str, Mapping[int, float]],
    lines: Mapping[str, Line],
    flags: Mapping[str, tuple[Flag, ...]],
    causes: Mapping[int, Cause],
) -> Grid:
    columns = [("note", "note", ""), ("name", "name", "")]
    columns += [(f"{name}_g", name, "g") for name in NAMES]
    columns += [("expected_downweight_g", "expected", "g"), ("flags", "stands out", ""), ("cause", "look at", "")]
    rows = []
    for note in sorted(values["downweight"].keys() | values["upweight"].keys()):
        told = {name: [flag.fault.value for flag in flags.get(name, ()) if flag.note == note] for name in NAMES}
        found = [f"{name} {', '.join(faults)}" for name, faults in told.items() if faults]
        expected = round(lines["downweight"].at(note), 1) if "downweight" in lines else None
        cause = causes[note].value if note in causes else ""
        figures = [values[name].get(note) for name in NAMES]
        rows.append((note, name_of(note), *figures, expected, "; ".join(found), cause))
    return Grid("notes", "Note by note", tuple(columns), tuple(rows))


def _statistics(rows: list[tuple[Value, ...]]) -> Grid:
    columns = (
        ("quantity", "quantity", ""),
        ("n", "n", ""),
        ("mean_g", "mean", "g"),
        ("sd_g", "sd", "g"),
        ("mean_low_g", "from", "g"),
        ("mean_high_g", "to", "g"),
        ("out", "out", ""),
        ("verdict", "the compass", ""),
        ("more_notes", "more", ""),
        ("grade", "grade", ""),
    )
    return Grid("statistics", "The whole compass", columns, tuple(rows))
