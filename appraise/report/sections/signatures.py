"""The page to sign on: the assessor, the client, and the carrier of a move."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message
from appraise.report.document import Facts, FillInLines, Paragraph, Section
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.case import Assignment
    from appraise.model.locale_format import Formatter
    from appraise.report.document import Block

ASSESSOR = message("The assessor, who makes the statement above and answers for this report:")
CLIENT = message("The client or owner, who has received it:")
CARRIER = message("The carrier, where the instrument is moved: seen or received; nothing is admitted by it:")

ROLES = (ASSESSOR, CLIENT, CARRIER)
"""Who signs, in this order."""

NAME = message("Name")
WHERE = message("Place")
WHEN = message("Date")
SIGNATURE = message("Signature")


def signatures(asked: Assignment, manner: Formatter) -> Section:
    """Return the lines on which assessor, client and carrier sign, with the days of inspection and of issue.

    Args:
        asked: Whose report it is; of a loss, that of the state after.
        manner: In which it is said.
    """
    blocks = (*_days(asked, manner), *_parties(asked, manner))
    return Section(manner.say("Signatures"), blocks, whole=True, key="signatures")


def _days(asked: Assignment, manner: Formatter) -> Iterator[Block]:
    """Yield the two days: that of the issue is written by hand where the case does not state it."""
    say, seen = manner.say, manner.day(asked.inspected)
    if asked.reported is None:
        yield Facts(((say("Inspected on"), seen),))
        yield FillInLines((say("Issued on"),))
    else:
        yield Facts(((say("Inspected on"), seen), (say("Issued on"), manner.day(asked.reported))))


def _parties(asked: Assignment, manner: Formatter) -> Iterator[Block]:
    say = manner.say
    for role, name in zip(ROLES, (asked.assessor, asked.client, ""), strict=True):
        yield Paragraph(say(role))
        known = literal(name)
        if known:
            yield Facts(((say(NAME), known),))
        lines = (say(WHERE), say(WHEN), *(() if known else (say(NAME),)), say(SIGNATURE))
        yield FillInLines(lines, signs=role == ASSESSOR, abreast=2)
