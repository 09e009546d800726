"""Dampers: ringing on, extent of the felts, uneven lift, and the hours they take."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from appraise.engine.instruments.dampers import Felts, felts_of, ringing
from appraise.engine.instruments.regulation import jobs_of
from appraise.engine.instruments.sampling import estimate_count
from appraise.engine.instruments.touch import Line
from appraise.model.measurement import Figure, Grid, Measurement, Value
from appraise.model.notes import LAST, name_of
from appraise.services.instruments.regulation import targets_of
from appraise.services.instruments.sampling_stats import METHOD, basis_of, judged_grade
from appraise.services.refused import InputError

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from appraise.model.case import Kind
    from appraise.tables.rows import Tables

RING, LIFT, PLACE = "damper_seat", "damper_lift", "damper_place"


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen of the dampers; notes are key numbers."""

    ring: Mapping[int, float] = field(default_factory=dict)
    """Seconds until silent [s]."""
    wedge: Collection[int] = ()
    flat: Collection[int] = ()
    uneven: Collection[int] | None = None
    """Early or late on the pedal; none: not looked at."""
    missing: Collection[int] | None = None
    """Miss a string; none: not looked at."""


def dampers_measurement(seen: Seen, kind: Kind, tables: Tables, *, level: float | None = None) -> Measurement:
    """Return what the dampers show.

    Args:
        seen: Readings and notes.
        kind: Grand or upright.
        tables: Every table.
        level: Confidence level [–]; none: as the settings say.

    Raises:
        InputError: Nothing was seen, or a note beyond the last damper.
    """
    if not (seen.ring or seen.wedge or seen.flat or seen.uneven is not None or seen.missing is not None):
        raise InputError("found nothing, expected seconds, felts or uneven notes")
    level = tables.setting("sampling_level") if level is None else level
    felts = felts_of(seen.wedge, seen.flat)
    usual = tables.damper_reach["last_damper"]
    told = felts.last is not None and bool(seen.flat)
    last = felts.last if told and felts.last is not None else int(usual.note_high)
    told_of: dict[str, Collection[int]] = {
        "ring": seen.ring,
        "uneven": seen.uneven or (),
        "missing": seen.missing or (),
    }
    for what, where in told_of.items():
        if where and max(where) > last:
            beyond = f"note {max(where)} ({name_of(max(where))})"
            why = "where the felts end" if told else "where the last damper commonly is; say --flat where it is higher"
            raise InputError(f"{what}: found {beyond}, expected a damper up to note {last}, {why}")
    norm = tables.note_norms["damper_ring"]
    over = ringing(seen.ring, norm.points)
    outputs: list[Figure] = []
    shares: dict[str, float] = {}
    ranges: dict[str, tuple[float, float]] = {}
    if seen.ring:
        share = estimate_count(len(over), len(seen.ring), last, level, 0.0)
        shares[RING], ranges[RING] = share.value, (share.low, share.high)
        check = tables.checks["damper_bleed"]
        values = [seen.ring[note] for note in sorted(seen.ring)]
        outputs += [
            Figure("n", "dampers timed", len(seen.ring)),
            Figure("ring_longest_s", "longest ring", max(values), "s"),
            Figure("ring_over", "ring on too long", len(over)),
            Figure("ring_grade", "grade of the ringing", judged_grade(check, values, last, tables)),
        ]
    for key, notes, check_key in ((LIFT, seen.uneven, "damper_pedal_lift"), (PLACE, seen.missing, "damper_seating")):
        if notes is not None:
            check = tables.checks[check_key]
            count = len(set(notes))
            shares[key], ranges[key] = count / last, (count / last,) * 2
            outputs.append(Figure(check_key, check.label.lower(), count))
            outputs.append(Figure(f"{check_key}_grade", "grade", judged_grade(check, [float(count)], last, tables)))
    outputs += _reach(felts)
    targets = targets_of(tables, kind, "dampers")
    adjustments = {key: target.adjustment for key, target in targets.items()}
    whole_from = tables.setting("regulation_whole_set_share")
    ways = (
        {key: low for key, (low, _) in ranges.items()},
        shares,
        {key: high for key, (_, high) in ranges.items()},
    )
    jobs = [jobs_of(adjustments, way, last, whole_from) for way in ways]
    names = (("hours_low", "work, hours from"), ("hours", "as it reads"), ("hours_high", "to"))
    outputs += [
        Figure(key, label, sum(job.hours for job in work), "h", "the times are the tables’" if key == "hours" else "")
        for (key, label), work in zip(names, jobs, strict=True)
    ]
    work = tuple((targets[job.key].row.label, round(job.notes, 1), job.hours) for job in jobs[1])
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
            Grid("work", "The work, as it reads", (("job", "job", ""), ("n", "dampers", ""), ("hours", "h", "")), work),
        ),
        tuple(_says(felts, over, tables)),
        tuple(row.text for row in tables.cautions.values() if "damper_felt" in row.components and seen.wedge),
        (
            basis_of("how long a note may ring", norm, tables),
            *(basis_of(f"how far felts go: {row.label}", row, tables) for row in tables.damper_reach.values()),
            *(
                basis_of(f"hours: {targets[key].row.label}", targets[key].row, tables)
                for key in targets
                if key in shares
            ),
            *METHOD[1:],
        ),
    )


def _reach(felts: Felts) -> list[Figure]:
    found = []
    if felts.last_wedge is not None:
        found.append(Figure("last_wedge", "last wedge felt", felts.last_wedge, "", name_of(felts.last_wedge)))
    if felts.last is not None:
        found.append(Figure("last_felt", "last felt", felts.last, "", name_of(felts.last)))
        found.append(Figure("bare", "notes without a felt", len(felts.bare)))
    return found


def _says(felts: Felts, over: Mapping[int, float], tables: Tables) -> list[str]:
    told = []
    if felts.last_wedge is not None:
        told.append(_reach_words(felts.last_wedge, tables))
    if felts.bare:
        notes = ", ".join(name_of(note) for note in felts.bare[:8])
        told.append(
            f"No felt was told of at {notes}{' and more' if len(felts.bare) > 8 else ''}: missing, or not noted."
        )
    if felts.both:
        told.append(f"{len(felts.both)} notes have both felts, as bass notes may; check again if that was a slip.")
    if over:
        worst = ", ".join(f"{name_of(note)} (+{more:.1f} s)" for note, more in list(over.items())[:6])
        told.append(f"Ring on too long: {worst}.")
    return told


def _reach_words(last: int, tables: Tables) -> str:
    rows = [row for row in tables.damper_reach.values() if row.felt == "wedge"]
    fitting = [row for row in rows if row.note_low <= last <= row.note_high]
    if fitting:
        return f"Wedge felts reach note {last}: {fitting[-1].label}."
    if last < min(row.note_low for row in rows):
        return f"Wedge felts reach note {last} only, less than is common; wedge felt damps better than flat."
    if last > max(row.note_high for row in rows):
        return f"Wedge felts reach note {last}, further than is commonly met."
    return f"Wedge felts reach note {last}, between the common extent and that of better instruments."


def _ring_grid(ring: Mapping[int, float], over: Mapping[int, float], line: Line) -> Grid:
    columns = (
        ("note", "note", ""),
        ("name", "name", ""),
        ("ring_s", "rings", "s"),
        ("allowed_s", "allowed", "s"),
        ("over", "too long", ""),
    )
    rows: list[tuple[Value, ...]] = [
        (note, name_of(note) if note <= LAST else "", ring[note], round(line.at(note), 2), note in over)
        for note in sorted(ring)
    ]
    return Grid("notes", "Note by note", columns, tuple(rows))
