"""The claim dossier: everything an insurer, a carrier and an owner need to talk about one loss, as a document."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.explain.terms import OUTCOMES, outcome_text
from appraise.model.loss import RemarkClass
from appraise.model.message import message
from appraise.report.charts.worth import before_after
from appraise.report.document import (
    Bullets,
    Column,
    Document,
    Facts,
    FillInLines,
    Paragraph,
    PhotoGrid,
    Section,
    Table,
    Ticks,
)
from appraise.report.loss import carried, costing, custody, derived, doubt, parts, wreck
from appraise.report.loss.compared import COUNTED, DEFER, MEASURES, NO_LOSS, NOT_KNOWN
from appraise.report.sections.cells import invented, lean
from appraise.report.words import KINDS, capital, literal, make_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from appraise.report.document import Block, Photo
    from appraise.report.loss.compared import Compared, PhotoPair

CLASSES = {
    RemarkClass.NEW: message("New: after only"),
    RemarkClass.WORSE: message("Worse: in both, and more after"),
    RemarkClass.KEPT: message("Unchanged: in both, and the same"),
    RemarkClass.MENDED: message("Repaired, or not noted again: before only"),
}
"""Headings of the remarks, in the order told."""

MOST_PAGES = 10
"""A dossier is to have no more; only one with many photos and defects does."""

SIGNED = (
    message("Place and date"),
    message("Assessor, name and signature"),
    message("Owner, seen"),
    message("Carrier, received; nothing is admitted by it"),
)
"""Signatories of the statement."""


def dossier(item: Compared) -> Document:
    """Arrange a loss as a document: no text in it is markup."""
    say = item.manner.say
    sections = (
        _summary(item),
        _instrument(item),
        Section(say("Timeline"), (_table((say("When"), say("What"), say("In the file")), _timeline(item)),)),
        *_remarks(item),
        _changes(item),
        Section(say("Parts that got worse"), (_rows(item, parts.COMPONENTS, parts.component_rows(item)),)),
        *_repairs(item),
        *_offers(item),
        *_values(item),
        _alternatives(item),
        Section(
            say("From the loss to the amount payable"),
            (Facts(parts.claim_rows(item)), _rows(item, parts.CLAIM, parts.measure_rows(item))),
        ),
        _doubtful(item),
        *_causes(item),
        _carried(item),
        _carriage(item),
        _periods(item),
        _photos(item),
        _bullets(item, say("Cautions"), (*(row.text for row in item.cautions), *item.limitations)),
        _bullets(item, say("Assumptions"), item.assumptions),
        Section(
            say("Statement"),
            (Paragraph(_statement(item)), FillInLines(tuple(map(say, SIGNED)))),
            whole=True,
            key="statement",
        ),
        custody.section(item),
        *_practice(item),
    )
    return Document(
        say("Loss: {instrument}", instrument=describe(item)),
        say("Effective {day}", day=item.manner.day(item.loss.day)),
        sections,
        author=literal(item.after.case.assignment.assessor),
        dated=_issued(item),
        most=MOST_PAGES,
        manner=item.manner,
    )


def _issued(item: Compared) -> date:
    """Return the day on which the dossier is issued: of the later report, else of the later inspection."""
    return item.after.case.assignment.reported or item.loss.day


def describe(item: Compared) -> str:
    """Return the instrument in one line."""
    say = item.manner.say
    identity = item.after.case.identity
    words = [say(KINDS[identity.kind]), make_of(identity.maker, identity.model) or say("maker unknown")]
    if identity.serial.strip():
        words.append(say("serial {serial}", serial=literal(identity.serial)))
    return ", ".join(words)


def _summary(item: Compared) -> Section:
    say = item.manner.say
    result, basis = item.proposed, item.tables.bases[item.loss.basis]
    kept = item.remembered
    frozen = "" if kept is None else say("; frozen copy {file}", file=literal(kept.file))
    frozen += (
        say(", set for: {purpose}", purpose=literal(kept.purpose)) if kept is not None and kept.purpose.strip() else ""
    )
    rows = (
        (say("Instrument"), capital(describe(item))),
        (
            say("Condition before"),
            say("inspected {day}", day=item.manner.day(item.before.case.assignment.inspected)) + frozen,
        ),
        (say("Delivered"), say("not stated") if item.delivered is None else item.manner.day(item.delivered)),
        (say("Condition after"), say("inspected {day}", day=item.manner.day(item.after.case.assignment.inspected))),
        (say("Both valued on"), item.manner.day(item.loss.day)),
        (say("Date of issue"), item.manner.day(_issued(item))),
        (say("Kind of value"), f"{literal(basis.label)}: {literal(basis.definition)}"),
        (say("Value before"), item.spread(item.loss.value_before)),
        (say("Repair less betterment"), item.spread(result.net_repair)),
        (say("Residual diminution after repair"), item.spread(result.residual)),
        (say("Diminution in value"), item.spread(result.diminution)),
        (say("Measure proposed"), say(MEASURES[result.measure] if result.counts else NO_LOSS)),
        (say("Loss attributable to the move"), item.spread(result.loss)),
        *((say("Loss, all of unknown origin counted"), item.spread(other.loss)) for other in item.loss.scenarios[1:]),
        (say("Payable, established"), item.spread(result.payable)),
        *_uncounted(item),
    )
    either = wreck.repair_or_total(item)
    which = (Paragraph(either),) if either else ()
    return Section(say("Summary"), (*invented(item.after.case), Facts(rows), *which, Paragraph(say(parts.NEAR))))


def _uncounted(item: Compared) -> tuple[tuple[str, str], ...]:
    """Return what is put down to the move and counts for nothing, so that nobody takes the loss for the whole of it."""
    say, places = item.manner.say, parts.uncounted(item)
    why = say("no check made before and after shows them worse, so no repair is costed; see the cautions")
    return ((say("Attributed to the move, not counted"), f"{'; '.join(places)}: {why}"),) if places else ()


def _instrument(item: Compared) -> Section:
    say = item.manner.say
    it, asked = item.after.case.identity, item.after.case.assignment
    rows = [
        (say("Kind"), say(KINDS[it.kind])),
        (say("Maker"), literal(it.maker)),
        (say("Model"), literal(it.model)),
        (say("Serial"), literal(it.serial)),
        (say("Size"), "" if it.size_cm is None else _size(item, it.size_cm)),
        (say("Made"), "" if it.made is None else item.manner.dated(it.made)),
        (say("Evidence for the year"), literal(it.made_evidence)),
        (say("Purpose"), literal(asked.purpose)),
        (say("Client"), literal(asked.client)),
        (say("Intended users"), literal(asked.intended_users)),
        (say("Assessor"), literal(asked.assessor)),
        (say("Limits of the visit before"), literal(item.before.case.assignment.limits)),
        (say("Limits of the visit after"), literal(asked.limits)),
    ]
    return Section(
        say("The instrument and the assignment"), (Facts(tuple((k, v or say("not stated")) for k, v in rows)),)
    )


_FILES = {"before": message("before"), "after": message("after"), "both": message("both")}


def _size(item: Compared, size_cm: float) -> str:
    return f"{item.manner.amount(size_cm, 'cm', 1)} {item.manner.unit('cm')}"


def _timeline(item: Compared) -> tuple[tuple[str, ...], ...]:
    say = item.manner.say
    lines = [(line.sort, line.told, literal(line.what), say(_FILES[line.file])) for line in item.timeline]
    if item.delivered is not None:
        stated = item.after.case.claim.delivered == item.delivered
        whose = say(_FILES["after"]) if stated else NOT_KNOWN
        lines.append((item.delivered, item.manner.day(item.delivered), say("delivered"), whose))
    return tuple(line[1:] for line in sorted(lines, key=lambda line: line[0]))


def _remarks(item: Compared) -> Iterator[Section]:
    say = item.manner.say
    none = [say(OUTCOMES[outcome]) for outcome in CLASSES if not parts.remark_rows(item, outcome)]
    blocks = [Paragraph(say("Defects noted before and after, paired by place, notes and words."))]
    blocks += (
        [Paragraph(say("No defects of these classes: {classes}.", classes=item.manner.listed(none)))] if none else []
    )
    yield Section(say("Defects"), tuple(blocks))
    for outcome, title in CLASSES.items():
        if rows := parts.remark_rows(item, outcome):
            yield Section(say(title), (lean(tuple(Column(say(one)) for one in parts.REMARKS), rows),), level=2)
    if rows := parts.looked_for(item):
        yield Section(say("Looked for, not found or not visible"), (_rows(item, parts.LOOKED_FOR, rows),), level=2)


def _repairs(item: Compared) -> Iterator[Section]:
    say = item.manner.say
    bills = [costing.billed(item, scenario) for scenario in item.loss.scenarios]
    intro = [Paragraph(say("Jobs at the rates of the later file, contingency included."))]
    intro += [Paragraph(costing.bill_note(item, result)) for result in bills if result is not None][:1]
    yield Section(say("Repair"), tuple(intro))
    for scenario, result in zip(item.loss.scenarios, bills, strict=True):
        blocks: list[Block] = []
        if result is None:
            blocks.append(Paragraph(say("None.")))
        else:
            above = None if scenario is item.proposed else bills[0]
            blocks.append(costing.bill_table(item, result, above))
        if scenario.unrestored:
            labels = "; ".join(item.place(key) for key in scenario.unrestored)
            blocks.append(Paragraph(say("Not restored by any job in the tables: {labels}.", labels=labels)))
        yield Section(say(COUNTED[scenario.counting]), tuple(blocks), level=2)


def _offers(item: Compared) -> Iterator[Section]:
    say = item.manner.say
    for title, columns, rows in (
        (say("Quotations"), doubt.QUOTATIONS, doubt.quotation_rows(item)),
        (say("Bids for the salvage"), doubt.BIDS, doubt.bid_rows(item)),
    ):
        if rows:
            yield Section(title, (_rows(item, columns, rows),), level=2)


def _doubtful(item: Compared) -> Section:
    note = item.manner.say(
        "Each defect or part of unknown origin, each suspected fault, and each transit defect whose part did not get "
        "worse: the amount payable without it and with it, all else as established."
    )
    table = _rows(item, doubt.IN_DOUBT, doubt.doubt_rows(item))
    return Section(item.manner.say("Items in doubt, one by one"), (Paragraph(note), table))


def _causes(item: Compared) -> Iterator[Section]:
    say = item.manner.say
    note = say("Whether an exclusion applies is not decided here. The signs seen for and against each:")
    rows = doubt.cause_rows(item)
    if rows:
        yield Section(
            say("Causes, exclusions and shares"),
            (Paragraph(note), lean(tuple(Column(say(heading)) for heading in doubt.CAUSES), rows)),
        )


def _carried(item: Compared) -> Section:
    say = item.manner.say
    notices = carried.notice_rows(item)
    given: Block = _rows(item, carried.NOTICES, notices) if notices else Paragraph(say(carried.NO_NOTICE))
    defer = say("For the limits of liability, the rules and the time limits here and below: {defer}.", defer=say(DEFER))
    blocks: list[Block] = [Facts(carried.data_rows(item)), given, Paragraph(defer)]
    limits = carried.limit_rows(item, worked=True)
    if limits:
        blocks += [
            Paragraph(
                say(
                    "The limits compared with the established loss, {loss}, at the rates stated in the file:",
                    loss=item.spread(item.proposed.loss),
                )
            ),
            _rows(item, carried.LIMITS, limits),
        ]
    return Section(say("Carriage, policy and notice given"), tuple(blocks))


def _values(item: Compared) -> Iterator[Section]:
    rows = derived.value_rows(item)
    if rows:
        columns = tuple(Column(item.manner.say(heading), numeric=n > 0) for n, heading in enumerate(derived.VALUES))
        blocks = (Table(columns, rows), Paragraph(item.manner.say(derived.HOW)))
        yield Section(item.manner.say("How both values came about"), blocks, key="values")


def _alternatives(item: Compared) -> Section:
    say = item.manner.say
    chart = before_after(item)
    drawn = () if chart is None else (chart,)
    headings = parts.alternative_columns(item)
    columns = tuple(Column(heading, numeric=place > 0) for place, heading in enumerate(headings))
    table = Table(columns, parts.alternative_rows(item))
    return Section(say("Measures and alternatives"), (*drawn, table))


def _changes(item: Compared) -> Section:
    result = Paragraph(parts.checks_text(item))
    table = _rows(item, parts.CHECKS, parts.check_rows(item))
    return Section(item.manner.say("Grades and readings that changed"), (table, result))


def _photos(item: Compared) -> Section:
    say = item.manner.say
    if not item.photos:
        return Section(say("Photos"), (Paragraph(say("None.")),))
    rows: list[tuple[Photo, ...]] = []
    alone: list[Photo] = []
    for pair in item.photos:
        before, after = _plate(item, pair.before, say("Before"), pair), _plate(item, pair.after, say("After"), pair)
        if before.file and after.file:
            rows.append((before, after))
        else:
            alone.append(after if after.file else before)
    rows += [tuple(alone[at : at + 2]) for at in range(0, len(alone), 2)]
    blocks: list[Block] = [PhotoGrid(tuple(rows))]
    if alone:
        blocks.append(Paragraph(say("Where only one photo is shown, the file has none of the other condition.")))
    return Section(say("Photos"), tuple(blocks))


def _plate(item: Compared, photo: Photo, when: str, pair: PhotoPair) -> Photo:
    words = (
        (when, item.manner.say(outcome_text(pair.outcome, ticked=pair.ticked)), photo.caption)
        if photo.file
        else (when,)
    )
    return replace(photo, caption=": ".join(words), problem=item.manner.render(photo.problem))


def _periods(item: Compared) -> Section:
    say = item.manner.say
    title = say("Notice dates and time limits, from the delivery")
    if item.delivered is None or item.asked_on is None:
        none = say("The day of delivery is not stated, so no time limit is counted.")
        return Section(title, (Paragraph(none),))
    note = say(
        "Counted from the delivery on {delivered}; open or passed as of {asked}. Whether and which of these rules "
        "apply is a matter for the contract and the law.",
        delivered=item.manner.day(item.delivered),
        asked=item.manner.day(item.asked_on),
    )
    return Section(title, (Paragraph(note), _rows(item, parts.DEADLINES, parts.deadline_rows(item))))


def _practice(item: Compared) -> Iterator[Section]:
    say = item.manner.say
    note = say(
        "Common practice, no source, unless stated otherwise. One sign alone can mislead; an indicator proves nothing."
    )
    yield Section(say("Fresh damage and old"), (Paragraph(note), _rows(item, parts.SIGNS, parts.sign_rows(item))))
    # What is done before a move and on arrival is over; the worksheet lists it while it can be done.
    lines = tuple(
        literal(row.text) + ("" if row.standing.value == "common practice" else f" ({say(row.standing.value)})")
        for row in item.tables.move_steps.values()
        if row.when == "later"
    )
    if lines:
        yield Section(say("Later"), (Ticks(lines),))


def _carriage(item: Compared) -> Section:
    say = item.manner.say
    note = say(
        "Information from the sources named, to be compared with the contract of carriage. {reckoned}",
        reckoned=carried.load(item),
    )
    return Section(
        say("Rules of carriage"), (Paragraph(note), _table(tuple(map(say, parts.RULES)), parts.rule_rows(item)))
    )


def _statement(item: Compared) -> str:
    return item.manner.say(
        "The figures follow from the two inspections and the tables named below. They inform an appraiser and certify "
        "nothing until one has checked and signed them; the policy, the contract of carriage and the law come first."
    )


def _bullets(item: Compared, title: str, items: tuple[str, ...]) -> Section:
    return Section(title, (Bullets(items) if items else Paragraph(item.manner.say("None.")),))


def _rows(item: Compared, columns: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> Block:
    """Return a table, or a word where it has no rows; headings still to be said."""
    say = item.manner.say
    if not rows:
        return Paragraph(say("None."))
    return Table(tuple(Column(say(heading), numeric=heading in parts.FIGURES) for heading in columns), rows)


def _table(columns: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> Table:
    return Table(tuple(Column(heading) for heading in columns), rows)
