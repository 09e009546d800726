"""The page for an owner: what it is, what was done, how it is, what it needs, what it is worth, and who says so."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.model.case import Extent
from appraise.model.findings import in_time
from appraise.report import household
from appraise.report.cautions import applicable
from appraise.report.document import Column, Facts, FillInLines, Paragraph, PhotoGrid, Section
from appraise.report.document_header import framed
from appraise.report.owner_money import needs, worth
from appraise.report.provenance import amended
from appraise.report.sections.cells import invented
from appraise.report.sections.identity import not_inspected
from appraise.report.sections.photos import shots
from appraise.report.sections.tables import lean
from appraise.report.value_texts import nothing_inspected
from appraise.report.words import capital, literal, said

if TYPE_CHECKING:
    from appraise.model.case import Renewal
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block, Document, Photo

_QUIET = frozenset({"nothing", "open", "untuned", "poor_work", "age"})
"""Conclusions on the clues to drying that an owner need not hear of."""


def owner_summary(item: Appraisal) -> Document:
    """Arrange a valued case for whoever owns the instrument, on one page or two; nothing that was written is cut.

    Args:
        item: The valued case.
    """
    sections = (_piano(item), _history(item), _state(item), needs(item), worth(item), _who(item))
    return framed(item, item.manner.say("Summary for the owner"), sections, close=True)


def _piano(item: Appraisal) -> Section:
    say, asked, it = item.manner.say, item.case.assignment, item.case.identity
    made = say("not known") if it.made is None else item.manner.dated(it.made)
    if it.made is not None and it.made_evidence.strip():
        made = say("{when}; evidence: {evidence}", when=made, evidence=literal(it.made_evidence))
    stated = (
        (say("Made"), made),
        (say("Serial number"), literal(it.serial)),
        (say("Inspected"), ", ".join(filter(None, (item.manner.day(asked.inspected), literal(asked.place))))),
        (say("For"), literal(asked.client)),
        (say("Purpose"), literal(asked.purpose)),
    )
    blocks: list[Block] = [*invented(item.case), Facts(tuple(row for row in stated if row[1]))]
    if (photo := _photo(item)) is not None:
        blocks.append(PhotoGrid(((photo,),)))
    return Section(say("The piano"), tuple(blocks), key="piano")


def _photo(item: Appraisal) -> Photo | None:
    """Return the first photo of the case, one of the whole before all others.

    Its file and digest are left to the full report.
    """
    used = shots(item.case, item.tables)
    if not used:
        return None
    found = item.photos[0] if item.photos else used[0].plate(item.tables)
    caption, problem = used[0].caption(item.tables, item.manner), item.manner.render(found.problem)
    return replace(found, file="", caption=caption, problem=problem, sha256="", taken="")


def _history(item: Appraisal) -> Section:
    say, tuned = item.manner.say, item.case.identity.last_tuned
    rows = [_done(item, renewal) for renewal in in_time(item.case.renewals)]
    if tuned is not None:
        rows.append((capital(item.manner.dated(tuned)), say("last tuned")))
    blocks: list[Block] = [Facts(tuple(rows))] if rows else []
    if not item.case.renewals:
        blocks.insert(0, Paragraph(say("No work is on record: every part is taken to be as old as the piano.")))
    return Section(say("Work on record"), tuple(blocks), key="history")


def _done(item: Appraisal, renewal: Renewal) -> tuple[str, str]:
    say = item.manner.say
    parts = item.manner.listed(household.named(item, part) for part in renewal.components)
    renewed = renewal.extent == Extent.RENEWED
    what = say("new or rebuilt: {parts}", parts=parts) if renewed else say("repaired: {parts}", parts=parts)
    if by := literal(renewal.by):
        what = say("{work}; by {workshop}", work=what, workshop=by)
    when = say("date not known") if renewal.date is None else item.manner.dated(renewal.date)
    return capital(when), what


def _state(item: Appraisal) -> Section:
    say, stations = item.manner.say, item.valuation.stations
    rows = tuple(
        (
            household.station(item, station.station),
            household.condition(item, station),
            household.inspected(item, station),
            _noted(item, {station.station, *(part.component for part in station.components)}),
        )
        for station in stations
    )
    heads = (say("Part of the piano"), say("Condition"), say("Inspected"), say("Noted"))
    blocks: list[Block] = [lean(tuple(map(Column, heads)), rows)]
    if nothing_inspected(item.valuation):
        blocks.append(Paragraph(say("Not inspected yet: the condition is the one expected for its age.")))
    elif any(station.inspected <= 0 for station in stations):
        blocks.append(Paragraph(say("For parts not inspected, the condition is the one expected for their age.")))
    if item.valuation.drying is not None and item.valuation.drying.conclusion not in _QUIET:
        drying = next(chapter for chapter in item.chapters if chapter.topic == "drying")
        blocks.append(Paragraph(drying.sentences[0].text))
    return Section(say("Condition"), tuple(blocks), key="state")


def _noted(item: Appraisal, places: set[str]) -> str:
    texts = (literal(remark.text).rstrip(".;") for remark in item.case.remarks if remark.place in places)
    return "; ".join(text for text in texts if text)


def _who(item: Appraisal) -> Section:
    say, asked = item.manner.say, item.case.assignment
    rows = [(say("Appraiser responsible"), literal(asked.assessor) or say("not stated"))]
    rows.append((say("Not inspected"), not_inspected(item)))
    left_out = [item.tables.checks[left.check] for left in item.case.left_out if left.check in item.tables.checks]
    if left_out:
        named = "; ".join(item.manner.small(literal(check.label)) for check in left_out)
        rows.append((say("Could not be checked"), named))
    if literal(asked.limits):
        rows.append((say("Limits of the visit"), literal(asked.limits)))
    cautions = household.of_the_household(applicable(item.case, item.tables, item.valuation))
    if cautions:
        rows.append((say("Cautions"), " ".join(said(item.manner, row.short or row.text) for row in cautions)))
    rows += amended(item.standing, item.manner)
    word = say(
        "The full report, with the definition of the value and the assumptions, prevails. The program informs and "
        "signs nothing; this page is no legal or tax advice."
    )
    return Section(
        say("Appraiser and limits"),
        (Facts(tuple(rows)), Paragraph(word), FillInLines((say("Date and signature"),))),
        key="who",
    )
