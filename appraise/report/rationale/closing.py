"""The closing chapters: what was not inspected, why the range is as wide as it is, the cautions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.cautions import applicable
from appraise.report.rationale.story import Chapter, Narrator, Piece, quote, verb
from appraise.report.value_texts import nothing_inspected
from appraise.report.words import literal

if TYPE_CHECKING:
    from appraise.model.reason import Sentence


def not_inspected(story: Narrator) -> Chapter:
    """List what nobody inspected, and say that it is not assumed to be good."""
    topic = "not inspected"
    sentences: list[Sentence] = []
    unseen = [station for station in story.valuation.stations if station.inspected <= 0]
    if nothing_inspected(story.valuation):
        sentences.append(story.tell(topic, "Nothing was inspected: only the identity of the instrument is known."))
    elif unseen:
        sentences.append(
            story.tells(
                topic,
                "The {stations} was not inspected.",
                "The {stations} were not inspected.",
                verb(len(unseen), unseen[0].label),
                stations=story.series([[story.name(story.say(station.label))] for station in unseen]),
            )
        )
    passed = _passed_over(story)
    if passed and unseen:
        sentences.append(story.tell(topic, "Parts not inspected elsewhere: {parts}.", parts=passed))
    elif passed:
        sentences.append(story.tell(topic, "Parts not inspected: {parts}.", parts=passed))
    if sentences:
        sentences.append(
            story.tell(
                topic,
                "A part that was not inspected is not assumed to be good: it counts with the condition expected for "
                "its age, and with a wide margin.",
            )
        )
    looked = _at_quick_look(story)
    if looked:
        sentences.append(story.tell(topic, "Graded at a quick look only: {parts}.", parts=looked))
    left_out = _left_out(story)
    if left_out:
        sentences.append(story.tell(topic, "Checks that could not be made here: {checks}.", checks=left_out))
    limits = story.case.assignment.limits
    if limits.strip():
        sentences.append(story.tell(topic, "Limits of the visit: {limits}.", limits=story.said(limits)))
    return Chapter(topic, story.say("Not inspected"), tuple(sentences))


def _at_quick_look(story: Narrator) -> list[Piece]:
    """List the parts whose grade is that of a quick look."""
    parts = [part for station in story.valuation.stations for part in station.components]
    return story.series([[story.name(part.label)] for part in parts if part.component in story.case.preliminary])


def _left_out(story: Narrator) -> list[Piece]:
    """List the checks that could not be made, with the reason given for each."""
    rows = story.tables.checks
    items: list[list[Piece]] = [
        [story.name(rows[left.check].label), *([" (", *story.said(left.reason), ")"] if left.reason.strip() else [])]
        for left in story.case.left_out
        if left.check in rows
    ]
    return story.series(items)


def _passed_over(story: Narrator) -> list[Piece]:
    """List the parts that nobody looked at, in brackets after each station that was looked at otherwise."""
    pieces: list[Piece] = []
    for station in story.valuation.stations:
        parts = [part for part in station.components if part.inspected <= 0]
        if not parts or station.inspected <= 0:
            continue
        pieces += [", " if pieces else "", story.name(story.say(station.label)), " ("]
        for index, part in enumerate(parts):
            pieces += ["; " if index else "", story.name(part.label)]
        pieces.append(")")
    return pieces


def cautions(story: Narrator) -> Chapter:
    """Quote the cautions that apply here and say what this rationale is not."""
    topic = "caution"
    sentences = [
        story.tell(topic, "{caution}.", caution=quote(row.text))
        for row in applicable(story.case, story.tables, story.valuation)
    ]
    sentences.append(
        story.tell(
            topic,
            "This is a reasoned estimate; it certifies nobody and nothing, and the judgement is that of the person "
            "who signs.",
        )
    )
    if story.case.invented.strip():
        sentences.append(story.tell(topic, "{caution}.", caution=quote(literal(story.case.invented))))
    return Chapter(topic, story.say("Cautions"), tuple(sentences))


SPREAD = "range"

LARGEST = 3
"""Drivers and checks that get a word; the tables list them all."""

TOLD = 0.01
"""A cause that brings less of the variance is not worth a word [–]."""

NOTICEABLE_PCT = 1.0
"""A check that would narrow the range by less is not worth a word [% of its width]."""


def spread(story: Narrator) -> Chapter:
    """Tell the largest drivers of the range and the checks that would narrow it most."""
    sentences: list[Sentence] = []
    basis = story.tables.bases[story.valuation.basis]
    drivers: list[list[Piece]] = []
    for driver in story.valuation.drivers[:LARGEST]:
        node = story.figures.get(driver.address)
        if node is not None and driver.share >= TOLD:
            drivers.append(story.phrase("{cause} ({share})", cause=story.name(node.label), share=node))
    if drivers:
        sentences.append(
            story.tells(
                SPREAD,
                "The width of the range comes mainly from one cause: {causes}.",
                "The width of the range comes mainly from these causes: {causes}.",
                len(drivers),
                causes=story.series(drivers),
            )
        )
    more = story.figures.get("disagreement")
    if more is not None:
        sentences.append(
            story.tell(
                SPREAD,
                "The cost of a new one and the comparable sales differ by more than their uncertainties, which alone "
                "adds a deviation of {more}: find the reason before relying on either.",
                more=more,
            )
        )
    checks: list[list[Piece]] = []
    for check in story.valuation.next_checks[:LARGEST]:
        node = story.figures.get(f"narrows.{check.check}")
        if node is not None and check.narrows_pct >= NOTICEABLE_PCT:
            checks.append(story.phrase("“{check}” (by about {share})", check=story.name(check.label), share=node))
    if checks:
        sentences.append(
            story.tells(
                SPREAD,
                "This check would narrow the range most: {checks}.",
                "These checks would narrow the range most: {checks}.",
                len(checks),
                checks=story.series(checks),
            )
        )
    elif story.valuation.next_checks:
        sentences.append(story.tell(SPREAD, "None of the checks left to make would narrow the range noticeably."))
    elif basis.method != "replacement":
        sentences.append(
            story.tell(SPREAD, "Every check was made; what is still uncertain cannot be seen at the instrument.")
        )
    if story.valuation.market_factor_from == "table" and story.valuation.value is not None:
        if story.valuation.grid:
            sentences.append(story.tell(SPREAD, "More sales of similar instruments nearby would narrow the range too."))
        else:
            sentences.append(
                story.tell(
                    SPREAD, "Sales of similar instruments nearby would narrow the range too; none was usable here."
                )
            )
    return Chapter(SPREAD, story.say("Width of the range"), tuple(sentences))
