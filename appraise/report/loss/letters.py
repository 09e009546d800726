"""Two letters of a claim, a page each: the notice to the carrier, the request to a workshop for a quotation."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.loss.periods import DELAY
from appraise.explain.terms import PERIODS
from appraise.model.claim import Finding, Origin
from appraise.model.message import message
from appraise.report.document import Bullets, Column, Document, Facts, FillInLines, Paragraph, Section, Table
from appraise.report.loss import carried
from appraise.report.loss.compared import DEFER, NOT_KNOWN
from appraise.report.loss.dossier import describe
from appraise.report.sections.cells import invented
from appraise.report.words import capital, cut, literal

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from appraise.model.loss import Deadline, RemarkLine
    from appraise.report.document import Block
    from appraise.report.loss.compared import Compared

LISTED = 12
"""Defects that a letter of one page lists; it says how many more the dossier has."""

WORDS = 90
"""A defect is cut past this in a letter [characters]."""

SIGNED = (message("Place and date"), message("Name and signature"))
WORK = (message("Job"), message("For"), message("Hours"), message("Sum without tax"))
NUMBERS = (
    message("Contract number"),
    message("Consignment number"),
    message("Claim number"),
    message("Handed over"),
    message("Delivered"),
)
"""Rows of the carriage that a notice gives."""

RESERVED = (
    message("Any further damage, whether or not it was apparent on delivery, and its amount are reserved."),
    message("All claims under the contract, the policy, a convention or the law are reserved, against every carrier."),
    message("Nothing in this letter admits a fact, a cause or a liability, or waives a right or a time limit."),
    message("Please confirm receipt, inform your insurer, and name a day if you wish to inspect the instrument."),
)
"""Reservations and requests of a notice."""

ASKED = (
    message("Give the sum without tax and the tax, job by job; name what is replaced and what is repaired."),
    message("Say what must be done first or together, how long it takes, and what carriage to and from you costs."),
    message("Name any damage that this list leaves out, and any job that you would do another way."),
    message("This asks for a price, orders no work, and says nothing about who bears the cost."),
)
"""Contents asked of a quotation."""


def notice(item: Compared) -> Document:
    """Arrange the notice of damage to the carrier: facts and reservations, with nothing admitted."""
    say, asked = item.manner.say, item.after.case.assignment
    sections = [
        Section(say("Consignment"), (*invented(item.after.case), Facts(_consignment(item))), key="consignment"),
        Section(
            say("Facts"),
            (
                Paragraph(
                    say(
                        "The instrument was inspected before the carriage, on {before}, and after it, on {after}. The "
                        "following was found after it and not before.",
                        before=item.manner.day(item.before.case.assignment.inspected),
                        after=item.manner.day(asked.inspected),
                    )
                ),
                Bullets(_defects(item)),
            ),
            key="facts",
        ),
        Section(say("Reservations"), (Bullets(tuple(map(say, RESERVED))),), key="reservations"),
        _given(item),
        Section(
            say("Signature"),
            (
                Paragraph(
                    say(
                        "Local law, the contract of carriage and the policy come first, in form, addressee and time: "
                        "{defer}.",
                        defer=say(DEFER),
                    )
                ),
                FillInLines((say("Sum claimed, where a rule asks for one"), *map(say, SIGNED))),
            ),
            key="signature",
        ),
    ]
    return _letter(item, say("Notice of damage to the carrier"), sections)


def request(item: Compared) -> Document:
    """Arrange the request to a workshop for a quotation: what was found, the jobs with room for sums, what to say."""
    say = item.manner.say
    sections = [
        Section(say("The instrument"), (*invented(item.after.case), Facts(_standing_at(item))), key="instrument"),
        Section(say("Damage found"), (Bullets(_defects(item)),), key="facts"),
        Section(say("Jobs to be priced"), tuple(_work(item)), key="jobs"),
        Section(say("Please state"), (Bullets(tuple(map(say, ASKED))),), key="asked"),
        Section(
            say("Your quotation"),
            (FillInLines((say("Firm"), say("Number, date, valid until"), say("Signature"))),),
            key="signature",
        ),
    ]
    return _letter(item, say("Request for a quotation"), sections)


def _letter(item: Compared, title: str, sections: list[Section]) -> Document:
    asked, say = item.after.case.assignment, item.manner.say
    tables = say("tables {version}", version=item.loss.tables_version)
    states = (f"{cut(literal(state.file), 40)} {state.sha256[:12]}" for state in (item.before, item.after))
    return Document(
        title,
        capital(describe(item)),
        tuple(sections),
        made_from=" · ".join((*states, tables)),
        author=literal(asked.assessor),
        dated=_dated(item),
        manner=item.manner,
        close=True,
    )


def _dated(item: Compared) -> date:
    return item.asked_on or item.loss.day


def _consignment(item: Compared) -> tuple[tuple[str, str], ...]:
    say, claim = item.manner.say, item.after.case.claim
    result = dict(carried.data_rows(item))
    to = literal(claim.carrier) or literal(claim.mover)
    before, after = (literal(state.case.assignment.place) for state in (item.before, item.after))
    rows = (
        (say("To"), to or say("not stated")),
        (say("From"), literal(item.after.case.assignment.client) or say("not stated")),
        (say("Date of this notice"), item.manner.day(_dated(item))),
        (say("Inspected before at"), before),
        (say("Inspected after at"), after),
        *((label, result[label]) for label in map(say, NUMBERS)),
    )
    return tuple((label, text) for label, text in rows if text)


def _standing_at(item: Compared) -> tuple[tuple[str, str], ...]:
    say, asked = item.manner.say, item.after.case.assignment
    size = item.after.case.identity.size_cm
    rows = (
        (say("Stands at"), literal(asked.place)),
        (say("Asked by"), literal(asked.assessor)),
        (say("For"), literal(asked.client)),
        (say("Inspected"), item.manner.day(asked.inspected)),
        (say("Size"), "" if size is None else f"{item.manner.amount(size, 'cm', 1)} {item.manner.unit('cm')}"),
        (say("Limits of the visit"), literal(asked.limits)),
    )
    return tuple((label, text) for label, text in rows if text)


def _found(item: Compared) -> list[RemarkLine]:
    """Return what was found after and not before, except what the assessor puts down to wear or to the time before."""
    lines = (Origin.TRANSIT, Origin.UNKNOWN)
    return [line for line in item.loss.remarks if line.fresh and line.origin in lines]


def _defects(item: Compared) -> tuple[str, ...]:
    say, lines = item.manner.say, _found(item)
    sentences = []
    for line in lines[:LISTED]:
        latest = line.latest
        words = {"place": item.place(latest.place), "text": cut(literal(latest.text), WORDS)}
        suspected = latest.finding is Finding.SUSPECTED
        sentences.append(say("{place}: suspected: {text}", **words) if suspected else say("{place}: {text}", **words))
    places = {line.latest.place for line in lines}
    parts = [
        item.manner.small(literal(part.label))
        for part in item.loss.components
        if part.origin in (Origin.TRANSIT, Origin.UNKNOWN) and not {part.component, part.station} & places
    ]
    if parts:
        sentences.append(say("Worse by checks made before and after: {parts}.", parts=item.manner.listed(parts)))
    more = len(lines) - LISTED
    if more > 0:
        one, many = "{more} more defect, listed in the dossier.", "{more} more defects, listed in the dossier."
        sentences.append(item.manner.several(one, many, more, more=more))
    return tuple(sentences) or (say("No damage is recorded in this file."),)


def _given(item: Compared) -> Section:
    """Return what notice was given, and the periods that a notice so far or this letter keeps; no other is named."""
    say = item.manner.say
    notices = carried.notice_rows(item)
    lines = tuple(" · ".join(cell for cell in row if cell != NOT_KNOWN) for row in notices)
    blocks: list[Block] = [Bullets(lines) if lines else Paragraph(say(carried.NO_NOTICE))]
    kept: dict[str, dict[str, str]] = {}
    for each in item.deadlines:
        if until := _kept(item, each):
            kept.setdefault(item.tables.carriage_rules[each.rule].regime, {})[PERIODS[each.concerns]] = until
    if kept:
        concerns = tuple(dict.fromkeys(concern for row in kept.values() for concern in row))
        columns = (Column(say("Regime")), *(Column(capital(say(concern))) for concern in concerns))
        rows = tuple(
            (literal(regime), *(row.get(concern, NOT_KNOWN) for concern in concerns)) for regime, row in kept.items()
        )
        blocks.append(Table(columns, rows))
    return Section(say("Notice given so far"), tuple(blocks), key="given")


def _kept(item: Compared, each: Deadline) -> str:
    """Return the last day of a period with what keeps it; empty where nothing in the file does, and nothing is said."""
    rule, claim = item.tables.carriage_rules[each.rule], item.after.case.claim
    if rule.topic == "suit" or each.concerns == DELAY or (claim.regime and rule.regime != claim.regime):
        return ""
    say, last = item.manner.say, item.manner.day(each.last)
    first = min((one.day for one in claim.notices), default=None)
    in_time = _dated(item) <= each.last
    if rule.months is not None:
        return say("{last}: open, name the sum", last=last) if in_time else ""
    if first is not None and first <= each.last:
        return say("{last}: given {day}", last=last, day=item.manner.day(first))
    return say("{last}: by this letter", last=last) if in_time else ""


def _work(item: Compared) -> Iterator[Block]:
    say, established = item.manner.say, {job.remedy for job in item.proposed.items}
    rows = []
    for job in item.loss.scenarios[-1].items:
        parts = item.manner.listed(item.manner.small(item.place(key)) for key in job.components)
        label = literal(job.label)
        apart = label if job.remedy in established else say("{job} (priced apart)", job=label)
        rows.append((apart, parts or say("a step or an adjustment"), "", ""))
    if not rows:
        yield Paragraph(say("No job of the table answers what was found; please propose the work."))
        return
    columns = tuple(Column(say(heading), numeric=heading in WORK[2:]) for heading in WORK)
    yield Table(columns, tuple(rows))
    if any(job.remedy not in established for job in item.loss.scenarios[-1].items):
        yield Paragraph(say("Priced apart: the origin of the damage that these jobs answer is not established."))
