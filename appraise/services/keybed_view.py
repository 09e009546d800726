"""The keybed strip: a grade at each note, the scale of the plot, and the sample's verdict on the compass."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.instruments.sampling import bands, describe, within
from appraise.model.notes import LAST, name_of
from appraise.model.quantities import Units, span, with_unit

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from appraise.model.case import Reading
    from appraise.tables.rows import Check, Tables


def sections(tables: Tables) -> tuple[tuple[str, int], ...]:
    """Return the sections of the scale and the note each begins with, as usual; instruments differ."""
    return (
        ("bass", 1),
        ("tenor", int(tables.setting("tenor_from_note"))),
        ("treble", int(tables.setting("treble_from_note"))),
    )


def note_label(note: int, compass: int) -> str:
    """Return a note as people read it: "49 A4"; without a name where the compass is not the usual one."""
    return f"{note} {name_of(note)}" if note <= LAST and compass <= LAST else str(note)


def strip_marks(check: Check, readings: Sequence[Reading]) -> dict[int, tuple[float, float]]:
    """Return value and grade at each note that was measured."""
    from appraise.engine.grade import anchored

    result = {}
    for reading in readings:
        if reading.note is not None and isinstance(reading.value, float):
            grade = anchored(reading.value, check.anchors) if check.anchors else 1.0
            result[reading.note] = (reading.value, min(grade, check.cap))
    return result


def unusual(value: float, notes: Sequence[int], check: Check, compass: int, units: Units = Units.METRIC) -> str:
    """Return a question about a reading that can be but seldom is; nothing where it is usual.

    A reading beyond the last anchor on a side that grades badly is further out than the table reckons with.
    """
    from appraise.services.instruments.sampling_stats import seldom_met

    if seldom_met(value, check):
        where = f" at {note_label(notes[0], compass)}" if notes else ""
        return f"{with_unit(value, check.unit, units)}{where} is written down, but seldom met: measure again?"
    return ""


def strip_band(check: Check, values: Sequence[float]) -> tuple[float, float, tuple[tuple[float, float], ...]] | None:
    """Return the scale of the plot and where on it a value is sound.

    The scale holds the sound values and nearly all that was read; the few beyond it are marked at its edge.
    """
    if not values:
        return None
    places = [value for value, _ in check.anchors]
    ordered = sorted(values)
    keep = max(0, len(ordered) // 20)
    low, high = ordered[keep], ordered[-1 - keep]
    sound = bands(check.anchors, 2.0) if check.anchors else []
    edges = [edge for band in sound for edge in band if edge is not None]
    low, high = min([low, *edges]), max([high, *edges])
    room = 0.08 * (high - low) or abs(high) * 0.1 or 1.0
    low, high = low - room, high + room
    if places and min(places) >= 0.0:
        low = max(0.0, low)
    closed = tuple((low if a is None else a, high if b is None else b) for a, b in sound)
    return low, high, closed


def summary(
    check: Check, readings: Sequence[Reading], compass: int, tables: Tables, units: Units = Units.METRIC
) -> list[str]:
    """Return what the readings say, in a few lines: the sample, the whole compass, what is still to be measured."""
    values = {note: value for note, (value, _) in strip_marks(check, readings).items()}
    whole = [one.value for one in readings if one.note is None and isinstance(one.value, float)]
    if whole:
        mean = with_unit(_short(sum(whole) / len(whole)), check.unit, units)
        said = f"for the section: {mean}{f' ({len(whole)} readings)' if len(whole) > 1 else ''}"
        return [
            said,
            *(summary(check, [one for one in readings if one.note], compass, tables, units) if values else ()),
        ]
    if not values:
        return ["Nothing measured yet. A few notes of each section tell most of it."]
    spread = describe(list(values.values()))
    lines = [f"1 of {compass} notes · {with_unit(spread.mean, check.unit, units)}"]
    if spread.n > 1:
        lines = [
            f"{spread.n} of {compass} notes · mean {with_unit(_short(spread.mean), check.unit, units)} · "
            f"spread {with_unit(_short(spread.sd), check.unit, units)} · "
            f"{span(spread.least, spread.greatest, check.unit, units)}"
        ]
    if check.anchors:
        lines += _of_the_whole(check, values, compass, tables, units)
    return lines


def _of_the_whole(check: Check, values: Mapping[int, float], compass: int, tables: Tables, units: Units) -> list[str]:
    from appraise.services.instruments.sampling_stats import asked_of, more_words, sample_of
    from appraise.services.quantity_limits import in_bands

    level = tables.setting("sampling_level")
    asked = asked_of(check, tables)
    notes = [note for note in values if 1 <= note <= compass]
    sample = sample_of([values[note] for note in notes], asked, compass, level)
    out = sorted(note for note in notes if not within(values[note], asked.limits))
    lines = []
    if out:
        named = ", ".join(note_label(note, compass) for note in out[:6])
        more = f" and {len(out) - 6} more" if len(out) > 6 else ""
        lines.append(f"out of tolerance ({in_bands(asked.limits, check.unit, units)}): {named}{more}")
    if len(notes) < compass:
        whole = f"whole compass, {level:.0%} sure: {sample.notes_low} to {sample.notes_high} of {compass} notes out"
        if len(notes) > 1:
            whole += f" · mean {span(_short(sample.mean.low), _short(sample.mean.high), check.unit, units)}"
        lines.append(whole)
    held = "its mean in tolerance" if asked.by_mean else f"no more than {asked.allowed:.0%} of the notes out"
    lines.append(f"wanted: {held} · {sample.verdict}")
    if len(notes) > 1:
        told = more_words(sample, compass)
        lines += [told] if told else []
    return lines


def _short(value: float) -> float:
    """Round what was calculated to three digits: it is no sharper than the readings."""
    return float(f"{value:.3g}")


def section_of(note: int, tables: Tables) -> str:
    """Return the section of the scale that a note lies in, as usual."""
    return next(name for name, first in reversed(sections(tables)) if note >= first)
