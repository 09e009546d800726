"""Whether two states are one instrument, and which remark of the one is which of the other."""

from __future__ import annotations

import re
from difflib import SequenceMatcher
from typing import TYPE_CHECKING

from appraise.model.case import STATIONS
from appraise.model.claim import Origin
from appraise.model.lazy_dataclass import dataclass
from appraise.model.loss import RemarkClass, RemarkLine

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from appraise.model.case import Case, Remark
    from appraise.tables.rows import Tables

PLACE, NOTES, WORDS = 0.3, 0.2, 0.5
"""How much place, notes and words weigh in the likeness of two remarks [–]; they sum to 1."""

STATION_ONLY, OTHER_COMPONENT = 0.7, 0.3
"""Likeness of place where one remark names the station only, and where they name two components of one [–]."""

LONGEST = 2000
"""Characters of a text that are compared."""

MANY, SHORTEST = 2, 4
"""Words that a remark must share with another to be a part of it, and letters of a word that counts."""

_WORD = re.compile(r"\w+")
_FIGURE = re.compile(r"[0-9]{1,9}(?:[.,][0-9]{1,6})?")


@dataclass(frozen=True, slots=True)
class Mismatch:
    """Something that two states of one instrument cannot differ in."""

    what: str
    before: str
    after: str


def mismatches(before: Case, after: Case) -> tuple[Mismatch, ...]:
    """Return what shows that two cases are not one instrument, money or order: empty where they can be compared.

    Kind always counts; serial, maker and model where both state them; currency always, for the figures are
    subtracted; and the second state must not lie before the first. Letter case and spaces do not count.
    """
    one, two = before.identity, after.identity
    found = []
    if one.kind is not two.kind:
        found.append(Mismatch("kind", one.kind.value, two.kind.value))
    pairs = (("serial", one.serial, two.serial), ("maker", one.maker, two.maker), ("model", one.model, two.model))
    for what, first, second in pairs:
        if plain(first) and plain(second) and plain(first) != plain(second):
            found.append(Mismatch(what, first, second))
    if before.assignment.currency != after.assignment.currency:
        found.append(Mismatch("currency", before.assignment.currency, after.assignment.currency))
    if after.assignment.inspected < before.assignment.inspected:
        days = before.assignment.inspected.isoformat(), after.assignment.inspected.isoformat()
        found.append(Mismatch("day of inspection", *days))
    return tuple(found)


def plain(text: str) -> str:
    """Return a text without what does not tell two names apart: letter case and spaces."""
    return "".join(text.split()).casefold()


def match_remarks(
    before: Sequence[Remark],
    after: Sequence[Remark],
    tables: Tables,
    worse: Collection[str] = (),
    mended: Collection[int] = (),
) -> tuple[RemarkLine, ...]:
    """Pair the remarks of two states and class them.

    Args:
        before: Remarks of the first state.
        after: Of the second.
        tables: Components with their stations; settings.
        worse: Components whose checks grade them worse after.
        mended: Numbers of the remarks of the first state that the assessor found mended, counted from 1.

    Returns:
        The second state's remarks in their order, then those of the first that found no partner. What the assessor
        ticked counts before any likeness. Of the rest the most alike are paired first, each once; both must lie in
        one station and reach the likeness that the settings ask for. A remark left over whose words stand in one of
        the other state, already paired, is the same told in parts, unless it is put down to the move.
    """
    stations = {key: row.station for key, row in tables.components.items()}
    gone = {number - 1 for number in mended if 1 <= number <= len(before)}
    partner = {
        j: remark.earlier - 1
        for j, remark in enumerate(after)
        if remark.earlier is not None and 1 <= remark.earlier <= len(before)
    }
    ticked, taken = set(partner), gone | set(partner.values())
    scores = sorted(
        (-score, i, j)
        for i, one in enumerate(before)
        for j, two in enumerate(after)
        if i not in taken and j not in partner
        if (score := likeness(one, two, stations)) >= tables.setting("loss_match")
    )
    for _, i, j in scores:
        if i not in taken and j not in partner:
            partner[j] = i
            taken.add(i)
    least = tables.setting("loss_told_in_parts")
    parts = {
        j: i
        for j, remark in enumerate(after)
        if j not in partner and remark.attributed_to is not Origin.TRANSIT
        for i in [_whole_of(remark, before, taken - gone, stations, least)]
        if i is not None
    }
    partner |= parts
    joined = {
        i
        for i, remark in enumerate(before)
        if i not in taken and _whole_of(remark, after, partner, stations, least) is not None
    }
    lines = []
    for j, remark in enumerate(after):
        if j not in partner:
            lines.append(RemarkLine(RemarkClass.NEW, None, remark, 0.0))
            continue
        one = before[partner[j]]
        if j in ticked:
            outcome = RemarkClass.WORSE if remark.worse else RemarkClass.KEPT
        elif j in parts:
            outcome = RemarkClass.KEPT
        else:
            outcome = _outcome(one, remark, tables.setting("loss_same_words"), worse)
        lines.append(RemarkLine(outcome, one, remark, likeness(one, remark, stations), j in ticked))
    for i, one in enumerate(before):
        if i in joined:
            into = after[_known(_whole_of(one, after, partner, stations, least))]
            lines.append(RemarkLine(RemarkClass.KEPT, one, into, likeness(one, into, stations)))
        elif i not in taken or i in gone:
            lines.append(RemarkLine(RemarkClass.MENDED, one, None, 0.0, i in gone))
    return tuple(lines)


def _whole_of(
    part: Remark, others: Sequence[Remark], among: Collection[int], stations: Mapping[str, str], least: float
) -> int | None:
    """Return which of some remarks of one station tells nearly all that another tells; none where none does."""
    words = _telling(part.text)
    if len(words) < MANY:
        return None
    found = [
        (len(words & _telling(others[at].text)) / len(words), -at)
        for at in among
        if stations.get(others[at].place, others[at].place) == stations.get(part.place, part.place)
        and not set(part.notes) - set(others[at].notes)
    ]
    share, at = max(found, default=(0.0, 0))
    return -at if share >= least else None


def _telling(text: str) -> set[str]:
    """Return the words of a text that say something."""
    return {word for word in _WORD.findall(text[:LONGEST].casefold()) if len(word) >= SHORTEST}


def _known(at: int | None) -> int:
    assert at is not None  # noqa: S101 - asked before
    return at


def likeness(one: Remark, two: Remark, stations: Mapping[str, str]) -> float:
    """Return how alike two remarks are in place, notes and words [–], 0–1; 0 in different stations.

    Args:
        one: A remark.
        two: Another.
        stations: Component → its station.
    """
    if stations.get(one.place, one.place) != stations.get(two.place, two.place):
        return 0.0
    place = 1.0
    if one.place != two.place:
        # A component named once and its station the other time may well be the same place.
        place = STATION_ONLY if one.place in STATIONS or two.place in STATIONS else OTHER_COMPONENT
    words = similarity(one.text, two.text)
    if not one.notes and not two.notes:
        return (PLACE * place + WORDS * words) / (PLACE + WORDS)
    both, either = set(one.notes) & set(two.notes), set(one.notes) | set(two.notes)
    return PLACE * place + NOTES * len(both) / len(either) + WORDS * words


def similarity(one: str, two: str) -> float:
    """Return the share of like words of two texts [–], 0–1, the same whichever comes first."""
    first, second = (_WORD.findall(text[:LONGEST].casefold()) for text in (one, two))
    if first == second:
        return 1.0
    ratios = (SequenceMatcher(None, *pair, autojunk=False).ratio() for pair in ((first, second), (second, first)))
    return max(ratios)


def _outcome(before: Remark, after: Remark, same: float, worse: Collection[str]) -> RemarkClass:
    """Class a pair.

    Worse: it reaches further notes, is put down to the move only now, a figure in it has grown, or it is told in
    other words of a component whose checks got worse. Other words alone are kept: people do not repeat themselves.
    """
    if set(after.notes) - set(before.notes):
        return RemarkClass.WORSE
    if after.attributed_to is Origin.TRANSIT and before.attributed_to is not Origin.TRANSIT:
        return RemarkClass.WORSE
    first, second = (_figures(remark.text) for remark in (before, after))
    if len(first) == len(second) and any(two > one for one, two in zip(first, second, strict=True)):
        return RemarkClass.WORSE
    if similarity(before.text, after.text) < same and after.place in worse:
        return RemarkClass.WORSE
    return RemarkClass.KEPT


def _figures(text: str) -> list[float]:
    return [float(figure.replace(",", ".")) for figure in _FIGURE.findall(text[:LONGEST])]
