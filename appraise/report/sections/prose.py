"""The chapters of the rationale as paragraphs, each where its subject is told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.document import Paragraph, Section

if TYPE_CHECKING:
    from appraise.report.appraisal import Appraisal

LEADING = ("instrument", "value", "work", "range")
"""Topics told in the reasons at the head of a report; every other is told beside its tables."""


def told(item: Appraisal, topic: str) -> tuple[Paragraph, ...]:
    """Return a paragraph for every chapter of one topic."""
    return tuple(Paragraph(chapter.text) for chapter in item.chapters if chapter.topic == topic)


def told_of(item: Appraisal, topic: str, heading: str) -> tuple[Paragraph, ...]:
    """Return the paragraph of one chapter of a topic that has several, by the chapter's heading."""
    return tuple(
        Paragraph(chapter.text) for chapter in item.chapters if chapter.topic == topic and chapter.heading == heading
    )


def reasons(item: Appraisal) -> tuple[Section, ...]:
    """The reasons that the whole hangs on, a paragraph a chapter."""
    say = item.manner.say
    head = Section(say("The reasons in words"), (), key="reasons")
    told = (
        Section(chapter.heading, (Paragraph(chapter.text),), level=2, key=f"reasons_{chapter.topic}")
        for chapter in item.chapters
        if chapter.topic in LEADING
    )
    return (head, *told)
