"""Which record of one version of a case is the same as which of another."""

from __future__ import annotations

from difflib import SequenceMatcher
from typing import TYPE_CHECKING, Any

from appraise.model.case import (
    Adjustment,
    Comparable,
    DryingClueSeen,
    EffectiveAge,
    Grade,
    LeftOut,
    PhotoFile,
    PitchReading,
    Reading,
    Remark,
    Renewal,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

_ALIKE = 0.6
"""Share of its words that a remark keeps when it is reworded, at least: our assumption."""

_MANY = 200
"""Records left over beyond which words are no longer compared."""


def name_of(record: object) -> str:
    """Return what a record is about, in its keys: what a person would find it by."""
    match record:
        case Grade():
            return record.check or record.component
        case Reading():
            note = "" if record.note is None else f" note {record.note}"
            return f"{record.check}{note}{f' {record.place}' if record.place else ''}"
        case Remark():
            return record.place
        case Renewal():
            return ", ".join(record.components)
        case PhotoFile():
            return record.file
        case EffectiveAge():
            return record.component
        case PitchReading():
            return f"{record.date.isoformat()} note {record.note}"
        case DryingClueSeen():
            return record.clue
        case LeftOut():
            return record.check
        case Comparable():
            return record.label
        case Adjustment():
            return record.name
    return ""


def certain(record: object) -> bool:
    """Say whether the name of a record tells it from every other of its list."""
    return isinstance(record, Grade | Reading | PhotoFile | EffectiveAge | PitchReading | DryingClueSeen | LeftOut)


def matched(first: Sequence[Any], second: Sequence[Any]) -> list[tuple[int | None, int | None]]:
    """Pair the records of two versions of a list.

    Equal records are paired first, then those of one name in their order; of remarks at one place, those whose words
    are most alike; last, a renewal, comparable or adjustment whose name alone was changed.

    Args:
        first: Records of one version.
        second: Those of the other.

    Returns:
        Indexes of pairs, one of them none where a record has no counterpart; in the order of the second, those that
        only the first has at the end.
    """
    partner: dict[int, int] = {}
    free = dict.fromkeys(range(len(first)))
    waiting: dict[Any, list[int]] = {}
    for at, record in enumerate(first):
        waiting.setdefault(record, []).append(at)
    for at, record in enumerate(second):
        if waiting.get(record):
            partner[at] = waiting[record].pop(0)
            del free[partner[at]]
    open_ones = [at for at in range(len(second)) if at not in partner]
    for at in open_ones:
        found = _nearest(second[at], [(other, first[other]) for other in free], len(open_ones))
        if found is not None:
            partner[at] = found
            del free[found]
    pairs: list[tuple[int | None, int | None]] = [(partner.get(at), at) for at in range(len(second))]
    return [*pairs, *((at, None) for at in free)]


def _nearest(record: Any, others: list[tuple[int, Any]], crowd: int) -> int | None:  # noqa: ANN401
    name = name_of(record)
    named = [(at, other) for at, other in others if name_of(other) == name]
    if certain(record) or not isinstance(record, Remark):
        if named or certain(record):
            return named[0][0] if named else None
        return next((at for at, other in others if _same_but_name(record, other)), None)
    if crowd > _MANY:
        return named[0][0] if named else None
    scored = [(SequenceMatcher(None, record.text, other.text).ratio(), at) for at, other in named or others]
    best = max(scored, key=lambda pair: (pair[0], -pair[1]), default=None)
    if best is None or (best[0] < _ALIKE and not (named and (len(named) == 1 or not record.text))):
        return None
    return best[1]


def _same_but_name(record: Any, other: Any) -> bool:  # noqa: ANN401
    """Say whether two records without a certain name agree in what else tells them apart."""
    match record, other:
        case Renewal(), Renewal():
            return (
                record.date is not None
                and record.date == other.date
                and bool({*record.components} & {*other.components})
            )
        case Comparable(), Comparable():
            return bool((record.price, record.date) == (other.price, other.date))
        case Adjustment(), Adjustment():
            return bool(record.reason == other.reason)
    return False
