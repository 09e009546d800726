"""Assumptions, cautions, and the statement to sign."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.cautions import applicable
from appraise.report.document import Blanks, Bullets, Paragraph, Section, Ticks
from appraise.report.sections.cells import source_of
from appraise.report.words import literal

if TYPE_CHECKING:
    from appraise.report.appraisal import Appraisal


def assumptions(item: Appraisal) -> Section:
    """Assumptions and limiting conditions that hold for every report of this program."""
    say = item.manner.say
    statements = [
        say("The identity, the dates and the statements of others are taken as given where no evidence is named."),
        say(
            "Parts that could not be seen are assumed to be in the condition usual at their age, with a wide margin; a "
            "hidden fault would change the value."
        ),
        say(
            "The value holds for the effective date and the kind of value named, and for no other; after a move, "
            "damage or work the instrument has to be looked at again."
        ),
        say(
            "The figures rest on the reference tables named at the end; rows that rest on common practice, on memory "
            "or on an assumption are marked so."
        ),
        say("The report is for the client and the intended users named, for the use named, and is to be read whole."),
        say("Nothing here is legal or tax advice, and no statement is made on title or on authorship."),
        say(
            "No extraordinary assumption and no hypothetical condition was made beyond these; one that was stands in "
            "the limits of the visit or in an adjustment of the assessor."
        ),
    ]
    if item.valuation.market_factor_from == "table":
        statements.append(
            say(
                "No comparable sales were used for the market factor; it comes from a table, with a wide range: the "
                "value is uncertain to that extent."
            )
        )
    return Section(say("Assumptions and limiting conditions"), (Bullets(tuple(statements)),), key="assumptions")


def cautions(item: Appraisal) -> Section:
    """The warnings that apply to this instrument."""
    say = item.manner.say
    rows = applicable(item.case, item.tables, item.valuation)
    title, key = say("Cautions"), "cautions"
    local = Paragraph(
        say(
            "Local codes and licensed practice come first wherever work can hurt someone or break a law. What is said "
            "of a law is information as of its source, to be checked against the current rules; it is no legal advice."
        )
    )
    if not rows:
        return Section(title, (Paragraph(say("None of the cautions in the tables applies.")), local), key=key)
    told = Bullets(tuple(f"{literal(row.text)} ({source_of(item, row)})" for row in rows))
    return Section(title, (told, local), key=key)


def statement(item: Appraisal) -> Section:
    """A statement for the appraiser to complete and sign; the program never signs it."""
    say = item.manner.say
    return Section(
        say("Statement of the appraiser"),
        (
            Paragraph(
                say(
                    "To be read, completed, changed where it is not true, and signed by the person who is responsible "
                    "for this report. The program that wrote the report informs; it certifies nobody and signs nothing."
                )
            ),
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
                    say("I have no present or expected interest in the instrument or with the parties."),
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
            Blanks(
                (
                    say("Interest, and services in the three years before"),
                    say("Others who gave significant help, and which"),
                    say("Standards of practice, with their edition"),
                    say("Qualifications"),
                    say("Name"),
                    say("Place and date"),
                    say("Signature"),
                )
            ),
        ),
        key="statement",
    )
