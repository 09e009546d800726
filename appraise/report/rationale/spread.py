"""Why the range is as wide as it is, and what would narrow it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.rationale.story import Chapter, Narrator, Piece

if TYPE_CHECKING:
    from appraise.model.reason import Sentence

TOPIC = "range"

LARGEST = 3
"""Drivers and checks that get a word; the tables list them all."""

TOLD = 0.01
"""A cause that brings less of the variance is not worth a word [–]."""

NOTICEABLE_PCT = 1.0
"""A check that would narrow the range by less is not worth a word [% of its width]."""


def chapter(story: Narrator) -> Chapter:
    """Tell the largest drivers of the range and the checks that would narrow it most."""
    told: list[Sentence] = []
    basis = story.tables.bases[story.valuation.basis]
    drivers: list[list[Piece]] = []
    for driver in story.valuation.drivers[:LARGEST]:
        node = story.figures.get(driver.address)
        if node is not None and driver.share >= TOLD:
            drivers.append(story.phrase("{cause} ({share})", cause=story.name(node.label), share=node))
    if drivers:
        told.append(
            story.tells(
                TOPIC,
                "The width of the range comes mainly from one cause: {causes}.",
                "The width of the range comes mainly from these causes: {causes}.",
                len(drivers),
                causes=story.series(drivers),
            )
        )
    more = story.figures.get("disagreement")
    if more is not None:
        told.append(
            story.tell(
                TOPIC,
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
        told.append(
            story.tells(
                TOPIC,
                "This check would narrow the range most: {checks}.",
                "These checks would narrow the range most: {checks}.",
                len(checks),
                checks=story.series(checks),
            )
        )
    elif story.valuation.next_checks:
        told.append(story.tell(TOPIC, "None of the checks left to make would narrow the range noticeably."))
    elif basis.method != "replacement":
        told.append(
            story.tell(TOPIC, "Every check was made; what is still uncertain cannot be seen at the instrument.")
        )
    if story.valuation.market_factor_from == "table" and story.valuation.value is not None:
        if story.valuation.grid:
            told.append(story.tell(TOPIC, "More sales of similar instruments nearby would narrow the range too."))
        else:
            told.append(
                story.tell(
                    TOPIC, "Sales of similar instruments nearby would narrow the range too; none was usable here."
                )
            )
    return Chapter(TOPIC, story.say("Width of the range"), tuple(told))
