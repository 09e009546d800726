"""Dampers: ringing on, extent of the felts, uneven lift, and the hours they take."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from appraise.engine.instruments.regulation import Felts, felts_of, ringing
from appraise.engine.instruments.sampling import estimate_count
from appraise.engine.instruments.touch import Line
from appraise.model.case import Kind
from appraise.model.lazy_dataclass import dataclass
from appraise.model.measurement import Figure, Grid, Measurement, Value
from appraise.model.notes import LAST, name_of, notes_of
from appraise.model.problem import InputError
from appraise.model.sentence import Amount, joined, sentence
from appraise.services.instruments.citations import basis_of
from appraise.services.instruments.inputs import KIND, LEVEL, Field, Given, Tool, by_note, csv_field
from appraise.services.instruments.regulation import hours_of, targets_of, work_of
from appraise.services.instruments.sampling_stats import METHOD, judged_grade
from appraise.services.quantity_limits import quantity_of

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from appraise.model.case import Case
    from appraise.tables.rows import Tables

RING, LIFT, PLACE = "damper_seat", "damper_lift", "damper_place"


def _answer(given: Given) -> Measurement:
    ring = quantity_of(given.tables.checks["damper_bleed"], "ring", ("seconds",))
    seen = Seen(
        given.by_note({"ring": ring}, "--ring")["ring"],
        _notes(given, "wedge") or (),
        _notes(given, "flat") or (),
        _notes(given, "uneven"),
        _notes(given, "missing"),
    )
    return dampers_measurement(seen, Kind(given["kind"]), given.tables, level=given["level"])


def _notes(given: Given, key: str) -> tuple[int, ...] | None:
    """Read notes; "none" is none of them, nothing is that nobody looked."""
    text = given[key]
    if text is None:
        return None
    try:
        return () if text.strip().casefold() == "none" else notes_of(text)
    except InputError as error:
        raise error.about(f"--{key}") from None


def _of_case(case: Case, given: Given) -> Measurement:
    ring = by_note(case, "damper_bleed")
    if not ring:
        raise InputError("Nothing timed yet: let some notes ring on after the damper falls, at the station Dampers.")
    return dampers_measurement(Seen(ring=ring), case.identity.kind, given.tables)


TOOL = Tool(
    "dampers",
    "Dampers",
    "Notes are names, numbers or ranges: A4, 49, 46-58, C3-E5.",
    (
        Field("--ring", "time until silent: 12=1.4", "NOTE=SECONDS", kind="words"),
        csv_field("columns note and ring"),
        Field("--wedge", "notes with wedge or half-wedge felts: 1-33", "NOTES"),
        Field("--flat", "notes with flat felts: 34-68", "NOTES"),
        Field("--uneven", "notes early or late on the pedal; none: all even", "NOTES"),
        Field("--missing", "notes whose damper misses a string; none: all meet", "NOTES"),
        KIND,
        LEVEL,
    ),
    _answer,
    _of_case,
    feeds=("damper_bleed",),
)


@dataclass(frozen=True, slots=True)
class Seen:
    """Observations of the dampers; notes are key numbers."""

    ring: Mapping[int, float] = field(default_factory=dict)
    """Seconds until silent [s]."""
    wedge: Collection[int] = ()
    flat: Collection[int] = ()
    uneven: Collection[int] | None = None
    """Early or late on the pedal; none: not looked at."""
    missing: Collection[int] | None = None
    """Miss a string; none: not looked at."""


def dampers_measurement(seen: Seen, kind: Kind, tables: Tables, *, level: float | None = None) -> Measurement:
    """Return what the dampers show, with a confidence level [–].

    Raises:
        InputError: Nothing was seen, or a note beyond the last damper.
    """
    if not (seen.ring or seen.wedge or seen.flat or seen.uneven is not None or seen.missing is not None):
        raise InputError("nothing", "seconds, felts or uneven notes")
    level = tables.setting("sampling_level") if level is None else level
    felts = felts_of(seen.wedge, seen.flat)
    told = felts.last is not None and bool(seen.flat)
    last = felts.last if told and felts.last is not None else int(tables.damper_reach["last_damper"].note_high)
    _up_to(last, seen, told=told)
    norm = tables.note_norms["damper_ring"]
    over = ringing(seen.ring, norm.points)
    outputs: list[Figure] = []
    shares: dict[str, tuple[float, float, float]] = {}
    if seen.ring:
        share = estimate_count(len(over), len(seen.ring), last, level, 0.0)
        shares[RING] = share.low, share.value, share.high
        values = [seen.ring[note] for note in sorted(seen.ring)]
        grade = judged_grade(tables.checks["damper_bleed"], values, last, tables)
        outputs += [
            Figure("n", "dampers timed", len(seen.ring)),
            Figure("ring_longest_s", "longest ring", max(values), "s"),
            Figure("ring_over", "ring on too long", len(over)),
            Figure("ring_grade", "grade of the ringing", grade),
        ]
    for key, notes, check_key in ((LIFT, seen.uneven, "damper_pedal_lift"), (PLACE, seen.missing, "damper_seating")):
        if notes is not None:
            check, count = tables.checks[check_key], len(set(notes))
            shares[key] = (count / last,) * 3
            outputs.append(Figure(check_key, check.label.lower(), count))
            outputs.append(Figure(f"{check_key}_grade", "grade", judged_grade(check, [float(count)], last, tables)))
    outputs += _reach(felts)
    targets = targets_of(tables, kind, "dampers")
    jobs = work_of(targets, [{key: share[n] for key, share in shares.items()} for n in range(3)], last, tables)
    outputs += hours_of(jobs, "work, hours from", ("", "the times are the tables’", ""))[0]
    work = ((targets[job.key].row.label, round(job.notes, 1), job.hours) for job in jobs[1])
    return Measurement(
        "dampers",
        f"Dampers, {kind}",
        (
            Figure("kind", "kind", kind.value),
            Figure("last_damper", "last damper", last, "", "" if told else "commonly; the felts were not told"),
            Figure("level", "confidence", level),
        ),
        tuple(outputs),
        (
            _ring_grid(seen.ring, over, Line(norm.points, None, 0.0, 0.0)),
            Grid.of("work", "The work, as it reads", "job | n dampers | hours h", work),
        ),
        tuple(_says(felts, over, tables)),
        tuple(row.text for row in tables.cautions.values() if "damper_felt" in row.components and seen.wedge),
        (
            basis_of("how long a note may ring", norm, tables),
            *(basis_of(f"how far felts go: {row.label}", row, tables) for row in tables.damper_reach.values()),
            *(basis_of(f"hours: {one.row.label}", one.row, tables) for key, one in targets.items() if key in shares),
            *METHOD[1:],
        ),
    )


def _up_to(last: int, seen: Seen, *, told: bool) -> None:
    for what, where in (("ring", seen.ring), ("uneven", seen.uneven or ()), ("missing", seen.missing or ())):
        if where and max(where) > last:
            beyond = f"note {max(where)} ({name_of(max(where))})"
            why = "where the felts end" if told else "where the last damper commonly is; say --flat where it is higher"
            raise InputError(beyond, f"a damper up to note {last}, {why}", subject=what)


def _reach(felts: Felts) -> list[Figure]:
    result = []
    if felts.last_wedge is not None:
        result.append(Figure("last_wedge", "last wedge felt", felts.last_wedge, "", name_of(felts.last_wedge)))
    if felts.last is not None:
        result.append(Figure("last_felt", "last felt", felts.last, "", name_of(felts.last)))
        result.append(Figure("bare", "notes without a felt", len(felts.bare)))
    return result


def _says(felts: Felts, over: Mapping[int, float], tables: Tables) -> list[str]:
    says: list[str] = []
    if felts.last_wedge is not None:
        says.append(f"Wedge felts reach note {felts.last_wedge}{_reach_words(felts.last_wedge, tables)}")
    if felts.bare:
        notes = ", ".join(name_of(note) for note in felts.bare[:8]) + (" and more" if len(felts.bare) > 8 else "")
        says.append(f"No felt was told of at {notes}: missing, or not noted.")
    if felts.both:
        says.append(f"{len(felts.both)} notes have both felts, as bass notes may; check again if that was a slip.")
    if over:
        worst = (
            sentence("{note} (+{more})", note=name_of(note), more=Amount(more, "s", places=1))
            for note, more in list(over.items())[:6]
        )
        says.append(sentence("Ring on too long: {notes}.", notes=joined(", ", worst)))
    return says


def _reach_words(last: int, tables: Tables) -> str:
    rows = [row for row in tables.damper_reach.values() if row.felt == "wedge"]
    fitting = [row for row in rows if row.note_low <= last <= row.note_high]
    if fitting:
        return f": {fitting[-1].label}."
    if last < min(row.note_low for row in rows):
        return " only, less than is common; wedge felt damps better than flat."
    if last > max(row.note_high for row in rows):
        return ", further than is commonly met."
    return ", between the common extent and that of better instruments."


def _ring_grid(ring: Mapping[int, float], over: Mapping[int, float], line: Line) -> Grid:
    rows: list[tuple[Value, ...]] = [
        (note, name_of(note) if note <= LAST else "", ring[note], round(line.at(note), 2), note in over)
        for note in sorted(ring)
    ]
    columns = "note | name | ring_s rings [s] | allowed_s allowed [s] | over too long"
    return Grid.of("notes", "Note by note", columns, rows)
