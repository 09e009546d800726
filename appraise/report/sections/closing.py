"""Assumptions, cautions, and the statement to sign."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.message import message
from appraise.model.result import WorkList
from appraise.report.cautions import applicable
from appraise.report.document import Bullets, Facts, FillInLines, Paragraph, Section, Ticks
from appraise.report.sections.cells import counts_on_work, source_of
from appraise.report.value_texts import LISTS, counts_on_choice, market_level_text
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.report.appraisal import Appraisal

WHOLE = 0.999
"""Share of what can be known of a part from which it counts as inspected in full [–]."""


def assumptions(item: Appraisal) -> Section:
    """Assumptions and limiting conditions: those of every report, and those that the case and its value call for."""
    say = item.manner.say
    statements = [
        say("The identity, the dates and the statements of others are taken as given where no evidence is named."),
        *_condition(item),
        *_extraordinary(item),
        *_hypothetical(item),
        say(_known(item)),
        *_market(item),
        *_assessor(item),
        say(
            "The figures rest on the reference tables named at the end; rows that rest on common practice, on memory "
            "or on an assumption are marked so."
        ),
        say(_readers(item)),
        say("Nothing here is legal or tax advice, and no statement is made on title or on authorship."),
    ]
    return Section(say("Assumptions and limiting conditions"), (Bullets(tuple(statements)),), key="assumptions")


def _readers(item: Appraisal) -> str:
    """Say for whom and for what the report is, as far as the case names them."""
    asked = item.case.assignment
    named = bool(literal(asked.client) or literal(asked.intended_users))
    if named and literal(asked.purpose):
        return message(
            "The report is for the client and the intended users named, for the use named, and is to be read as a "
            "whole."
        )
    if named:
        return message("The report is for the client and the intended users named, and is to be read as a whole.")
    return message(
        "The report names no client and no intended users; nobody who is not named may rely on it, and it is to be "
        "read as a whole."
    )


def _condition(item: Appraisal) -> Iterator[str]:
    """Yield what is assumed of the condition, and for what day and kind of value the figures hold."""
    say, valuation = item.manner.say, item.valuation
    new_for_old = item.tables.bases[valuation.basis].method == "replacement"
    parts = [part for station in valuation.stations for part in station.components]
    if any(part.inspected < WHOLE for part in parts) and not new_for_old:
        yield say(
            "Parts and faults that were not inspected are assumed to be in the condition expected for their age, with "
            "a wide margin; a hidden fault would change the value."
        )
    if valuation.value is None:
        yield say(
            "The condition is stated as of the effective date; after a move, damage or work the instrument has to be "
            "inspected again."
        )
    elif new_for_old:
        yield say("The value is valid for the effective date and the kind of value named, and for no other.")
    else:
        yield say(
            "The value is valid for the effective date and the kind of value named, and for no other; after a move, "
            "damage or work the instrument has to be inspected again."
        )


def _known(item: Appraisal) -> str:
    """Say which of both kinds of assumption are not known to be made, and that either affects the result."""
    extraordinary, hypothetical = bool([*_extraordinary(item)]), _supposed(item)
    if extraordinary and hypothetical:
        return message(
            "The extraordinary assumption and the hypothetical condition named affect the result: without them the "
            "value would be different."
        )
    if extraordinary:
        return message(
            "The extraordinary assumption named affects the result: if it proves false, the value stated would "
            "change. No hypothetical condition is known."
        )
    if hypothetical:
        return message(
            "The hypothetical condition named affects the result: without it the value would be different. No "
            "extraordinary assumption is known beyond those named here."
        )
    return message(
        "No extraordinary assumption beyond those named here and no hypothetical condition is known; any other would "
        "change the value."
    )


def _supposed(item: Appraisal) -> bool:
    """Tell whether the kind of value supposes something against the facts."""
    basis = item.tables.bases[item.valuation.basis]
    return item.valuation.value is not None and (basis.method == "replacement" or not basis.work_weighed)


def _extraordinary(item: Appraisal) -> Iterator[str]:
    """Yield what the value takes for true without knowing it: that the work can be done, that another day is alike."""
    say, shown = item.manner.say, item.figures.shown
    if counts_on_work(item):
        yield say(
            "Extraordinary assumption: the work listed under “{needed}” and “{pays}” that the value counts on can be "
            "done for about {cost}; if not, the value as is would be {left}.",
            needed=say(LISTS[WorkList.NEEDED]),
            pays=say(LISTS[WorkList.PAYS]),
            cost=shown("plan_cost"),
            left=shown("left_alone"),
        )
    if counts_on_choice(item.tables, item.valuation):
        yield say(
            "Extraordinary assumption: the instrument can be opened, and the course that pays best chosen then. That "
            "choice makes {option} of the best estimate; without it the best estimate is lower by that.",
            option=shown("option"),
        )
    if item.asked is not None and item.asked.day is not None:
        yield say(
            "Extraordinary assumption: on the effective date, which is not the day of the inspection, the condition is "
            "as it was inspected."
        )


def _hypothetical(item: Appraisal) -> Iterator[str]:
    """Yield what the kind of value supposes against the facts."""
    say, valuation = item.manner.say, item.valuation
    basis = item.tables.bases[valuation.basis]
    if valuation.value is None:
        return
    if basis.method == "replacement":
        yield say(
            "Hypothetical condition: the kind of value named supposes a new instrument in place of this one, so that "
            "its age and condition deduct nothing."
        )
    elif not basis.work_weighed:
        yield say(
            "Hypothetical condition: the kind of value named supposes a similar instrument that is sound in every "
            "part that plays, whatever faults this one has."
        )
    elif valuation.best == "salvage":
        yield say("The value supposes disposal: the instrument is parted out and taken away.")
    elif basis.method in ("market", "residual"):
        yield say("The value supposes the sale that its definition describes; no such sale took place.")


def _market(item: Appraisal) -> Iterator[str]:
    """Yield what is assumed of prices, sales and the cost of work."""
    say, valuation = item.manner.say, item.valuation
    if valuation.market_factor_from == "table" and valuation.value is not None:
        yield say(
            "No comparable sales were used for the market factor; it comes from a table, and the value is uncertain to "
            "that extent. {standing}",
            standing=market_level_text(item.case, item.tables, valuation, item.manner),
        )
    if valuation.grid:
        yield say("Prices, days and conditions of the comparables are taken as stated in the case.")
    if valuation.work:
        yield say("Work is costed from the tables at the rates of the case; the program obtained no quotation.")


def _assessor(item: Appraisal) -> Iterator[str]:
    """Yield where further assumptions of the assessor stand, or that none is on record."""
    say, case = item.manner.say, item.case
    graded = any(part.overruled for station in item.valuation.stations for part in station.components)
    if case.effective_ages and graded:
        yield say("Effective ages and grades that the assessor set are taken as stated.")
    elif case.effective_ages:
        yield say("Effective ages that the assessor set are taken as stated.")
    elif graded:
        yield say("Grades that the assessor set over the checks are taken as stated.")
    limits, adjusted = bool(literal(case.assignment.limits)), bool(case.market.adjustments)
    if limits and adjusted:
        yield say(
            "Other assumptions of the assessor are stated in the limits of the visit and in the adjustments, which "
            "are part of these assumptions."
        )
    elif limits:
        yield say("The limits of the visit are part of these assumptions; the assessor adjusted no value.")
    elif adjusted:
        yield say("The adjustments of the assessor are part of these assumptions; no limits of the visit are stated.")
    else:
        yield say("The case states no limits of the visit and no adjustment of the assessor.")


def cautions(item: Appraisal) -> Section:
    """The warnings that apply to this instrument."""
    say = item.manner.say
    rows = applicable(item.case, item.tables, item.valuation)
    title, key = say("Cautions"), "cautions"
    local = Paragraph(
        say(
            "Local codes and licensed practice come first wherever work can hurt someone or break a law. Statements "
            "about law are information as of their source, to be checked against the current rules; they are no "
            "legal advice."
        )
    )
    if not rows:
        return Section(title, (Paragraph(say("None of the cautions in the tables applies.")), local), key=key)
    result = Bullets(tuple(f"{literal(row.text)} ({source_of(item, row)})" for row in rows))
    return Section(title, (result, local), key=key)


def statement(item: Appraisal) -> Section:
    """A statement for the appraiser to complete and sign; the program never signs it."""
    say, qualified = item.manner.say, literal(item.case.practice.qualifications)
    return Section(
        say("Statement of the appraiser"),
        (
            Paragraph(
                say(
                    "To be read, completed, changed where it is not true, and signed by the person who is responsible "
                    "for this report. The program that wrote the report informs; it certifies nobody and signs nothing."
                )
            ),
            *(Paragraph(literal(line)) for line in item.case.practice.statement.splitlines() if line.strip()),
            Bullets(
                (
                    say("To the best of my knowledge what is stated here as fact is true."),
                    say(
                        "The analyses, opinions and conclusions are my own, without bias towards the instrument or the "
                        "parties, and limited only by the assumptions and conditions stated."
                    ),
                    say(
                        "Neither my engagement nor my fee depends on the value found, on its direction, or on what "
                        "follows from it."
                    ),
                )
            ),
            Paragraph(say("Tick what is true:")),
            Ticks(
                (
                    say(
                        "I have no present or prospective interest in the instrument, and none with respect to the "
                        "parties."
                    ),
                    say("I have the interest written below."),
                    say("I rendered no service on this instrument in the three years before I was engaged."),
                    say("I rendered the services written below."),
                    say("I inspected the instrument myself, as far as stated under scope and limits."),
                    say("I did not inspect the instrument myself."),
                    say("Nobody gave me significant help."),
                    say("The persons named below gave significant help, as written."),
                    say("I kept to the standards of practice named below."),
                )
            ),
            Paragraph(say("To be filled in by hand:")),
            *((Facts(((say("Qualifications"), qualified),)),) if qualified else ()),
            FillInLines(
                (
                    say("Interest, and services in the three years before"),
                    say("Others who gave significant help, and which"),
                    say("Standards of practice, with their edition"),
                    *(() if qualified else (say("Qualifications"),)),
                    say("Name"),
                    say("Place and date"),
                    say("Signature"),
                )
            ),
        ),
        key="statement",
    )
