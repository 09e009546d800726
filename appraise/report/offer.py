"""Offer page for a seller and buying sheet for internal use."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from appraise.engine.ranking import trade_in
from appraise.explain.nodes import Context
from appraise.explain.terms import missing_cost
from appraise.model.lazy_dataclass import dataclass
from appraise.model.message import message
from appraise.model.ranking import COURSES, Candidate
from appraise.model.reason import Reason
from appraise.report import household
from appraise.report.appraisal import appraisal
from appraise.report.document import Bullets, Column, Facts, FillInLines, Paragraph, Section
from appraise.report.document_header import framed
from appraise.report.ranking import TAKEN, adds_up, apart, flat, from_tables, unstated
from appraise.report.ranking_explanation import converted
from appraise.report.sections.cells import invented, lean
from appraise.report.sections.identity import not_inspected
from appraise.report.words import literal, said

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.currency import Rates
    from appraise.model.reason import Reference
    from appraise.model.result import ComponentResult
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block, Document

    Row = dict[str, Any]


_STEPS = {
    "work": message("less the work counted on"),
    "carriage": message("less carriage, in and to the next owner"),
    "preparation": message("less preparation and tunings"),
    "guarantee": message("less the guarantee"),
    "holding": message("less holding until it is sold"),
}
"""Label of each of `TAKEN` as a deduction from the resale."""

_LOOK_AT = 6
"""So many parts are named to be looked at before signing."""


@dataclass(frozen=True, slots=True)
class OfferTerms:
    """On what terms an offer is reckoned, as a ranking has them, and the rates it is converted by."""

    resale: str = "retail"
    probability: float | None = None
    """That it keeps the margin [–]; none: the table's."""
    rates: Rates | None = None


def ranked(item: Appraisal, terms: OfferTerms | None = None) -> Row | None:
    """Return the row that a ranking with the same draws and seed has for a case, keys as in `outputs.rank.KEYS`.

    Args:
        item: The valued case.
        terms: Of the ranking; none: the usual ones.

    Returns:
        None where the case states no replacement cost new, so that there is nothing to reckon an offer from.
    """
    terms = terms or OfferTerms()
    case, drawn = item.case, item.valuation
    if case.market.cost_new is None:
        return None
    sold, sure = terms.resale, terms.probability
    trade = trade_in(case, item.tables, resale=sold, probability=sure, draws=drawn.draws, seed=drawn.seed)
    return flat(Candidate.of(case, item.file, item.sha256, trade), terms.rates)


def offer_sheet(item: Appraisal) -> Document:
    """Arrange the offer for a seller on one page: what it is, what is offered, what was taken into account.

    Args:
        item: The valued case; the amount is the case's own, and a line to write on where it states none.

    Returns:
        Nothing of the highest offer, the resale, the costs, the margin or the best estimate, in figures or in words
        that give them away.
    """
    sections = (_piano(item), _offered(item), _counted(item, ranked(item)), _signed(item))
    return framed(item, item.manner.say("Offer"), sections, close=True)


def _none(item: Appraisal) -> Section:
    say = item.manner.say
    text = say("There is no offer yet: {why}.", why=missing_cost(item.case, item.manner))
    return Section(say("The offer"), (Paragraph(text),), key="offer")


def _piano(item: Appraisal) -> Section:
    say, asked, it = item.manner.say, item.case.assignment, item.case.identity
    stated = (
        (say("Made"), "" if it.made is None else item.manner.dated(it.made)),
        (say("Serial number"), literal(it.serial)),
        (say("Inspected"), ", ".join(filter(None, (item.manner.day(asked.inspected), literal(asked.place))))),
    )
    blocks: tuple[Block, ...] = (*invented(item.case), Facts(tuple(pair for pair in stated if pair[1])))
    return Section(say("The piano"), blocks, key="piano")


def _offered(item: Appraisal) -> Section:
    say, result = item.manner.say, item.case.offer
    blank = [] if result.amount is not None else [say("We offer for it, as inspected")]
    blocks: list[Block] = []
    if result.amount is not None:
        amount = item.manner.exact_money(abs(float(result.amount)), item.case.assignment.currency)
        if result.amount > 0:
            text = say("We offer {amount} for it, as inspected.", amount=amount)
        elif result.amount == 0:
            text = say("We can offer no money for it, and would take it away at no charge.")
        else:
            text = say("We can offer no money for it, and would take it away for {amount}.", amount=amount)
        blocks.append(Paragraph(text))
    if result.until is None:
        blank.append(say("The offer stands until"))
    else:
        blocks.append(Paragraph(say("The offer stands until {day}.", day=item.manner.day(result.until))))
    if blank:
        blocks.append(FillInLines(tuple(blank)))
    return Section(say("The offer"), tuple(blocks), whole=True, key="offer")


def _counted(item: Appraisal, row: Row | None) -> Section:
    say = item.manner.say
    rows = tuple(
        (household.station(item, each.station), household.condition(item, each), household.inspected(item, each))
        for each in item.valuation.stations
    )
    heads = (say("Part of the piano"), say("Condition"), say("Inspected"))
    table = lean(tuple(map(Column, heads)), rows)
    facts = [(say("Not inspected"), not_inspected(item))]
    if counts_on := literal(item.case.offer.counts_on):
        facts.insert(0, (say("The offer counts on"), counts_on))
    if limits := literal(item.case.assignment.limits):
        facts.append((say("Limits of the visit"), limits))
    if row is not None and row["plan"]:
        facts.append((say("Work that we would have to do"), row["plan"]))
    if row is not None and row["course"] == "part_out":
        text = say(
            "We do not expect it to be played again: the offer allows for its parts, its removal and its disposal."
        )
    else:
        text = say(
            "Also taken into account: carriage both ways, tuning and preparation, the guarantee to the next owner, "
            "and the time until it sells."
        )
    more = say(
        "Anything that comes to light later about a part not inspected, or about its history, may change the offer."
    )
    blocks: tuple[Block, ...] = (table, Facts(tuple(facts)), Paragraph(text), Paragraph(more))
    return Section(say("Taken into account"), blocks, key="counted")


def _signed(item: Appraisal) -> Section:
    say = item.manner.say
    word = say("This is an offer to buy, not an appraisal of the piano. The sale is agreed when both have signed.")
    labels = (say("Seller, date and signature"), say("For the buyer, date and signature"))
    facts = Facts(((say("Inspected by"), literal(item.case.assignment.assessor) or say("not stated")),))
    return Section(say("Signatures"), (facts, Paragraph(word), FillInLines(labels)), whole=True, key="signed")


def buying_sheet(item: Appraisal) -> Document:
    """Arrange what a dealer has to know before buying: the highest offer line by line, its risk, what to look at.

    Args:
        item: The valued case.

    Returns:
        The figures of the ranking's row: its lines add up to the unit.
    """
    row = ranked(item)
    head = (_none(item),) if row is None else (_highest(item, row), _lines(item, row))
    sections = (*head, _looked(item), _decided(item))
    return framed(item, item.manner.say("Buying sheet, for internal use only"), sections, close=True)


def _highest(item: Appraisal, row: Row) -> Section:
    say, manner = item.manner.say, item.manner
    rows = [
        *_made(item, row),
        (say("Offer up to"), manner.coin(row["offer"], row["currency"], 0)),
        (say("Course"), say(COURSES[row["course"]])),
        (
            say("Keeps the minimum margin of {share}", share=manner.percentage(row["least_margin_pct"], 1)),
            say("in {share} of the draws", share=manner.percentage(row["margin_kept_pct"], 1)),
        ),
        (say("Loses money"), say("in {share} of the draws", share=manner.percentage(row["loss_risk_pct"], 1))),
        (say("Inspected, by share of replacement cost"), manner.percentage(row["inspected_pct"], 0)),
    ]
    if row["next_intervention_months"] is not None and row["course"] != "part_out":
        months = manner.number(row["next_intervention_months"], 0)
        part = manner.small(literal(str(row["next_intervention_part"])))
        rows.append((say("Next large job"), say("{part}, in about {months} months", part=part, months=months)))
    blocks: list[Block] = [*invented(item.case), Facts(tuple(rows))]
    if row["offer"] < 0:
        blocks.append(Paragraph(say("A negative offer: the owner would have to pay to have it taken away.")))
    if text := apart(row, manner):
        blocks.append(Paragraph(text))
    return Section(say("The highest offer"), tuple(blocks), key="highest")


def _made(item: Appraisal, row: Row) -> Iterator[tuple[str, str]]:
    """Yield what was offered, and by how much it lies below or above the highest that the house can offer."""
    say, manner, result = item.manner.say, item.manner, item.case.offer
    if result.amount is not None:
        amount, off = float(result.amount), float(result.amount) - row["offer"]
        shown, by = manner.exact_money(amount, row["currency"]), manner.coin(abs(off), row["currency"], 0)
        text = say("{amount}, {by} above the highest", amount=shown, by=by)
        yield say("Offered"), text if off > 0 else say("{amount}, {by} below the highest", amount=shown, by=by)
    if result.until is not None:
        yield say("The offer stands until"), manner.day(result.until)


def _lines(item: Appraisal, row: Row) -> Section:
    say, whole = item.manner.say, item.manner.whole
    open_costs = set(from_tables(row))
    first = message("Parts less disposal") if row["course"] == "part_out" else message("Resale")
    spread = say("{low} to {high}", low=whole(row["resale_low"]), high=whole(row["resale_high"]))
    rows = [(say(first), whole(row["resale"]), spread)]
    for key in TAKEN:
        note = say("from the tables") if key in open_costs else say("from the case")
        if key == "work":
            note = say("{low} to {high}", low=whole(row["work_low"]), high=whole(row["work_high"]))
        if unstated(row, key):
            note = say("none counted: the case states no rate to cost it by")
        if row[key] or unstated(row, key):
            rows.append((say(_STEPS[key]), whole(-row[key]), note))
    rows.append((say("less the margin, the profit to be expected"), whole(-row["margin"]), ""))
    rows.append((say("The highest offer"), whole(row["offer"]), ""))
    columns = (Column(say("Step")), Column(row["currency"], numeric=True), Column(say("Range or source")))
    blocks: list[Block] = [lean(columns, rows)]
    if row["plan"]:
        blocks.append(Facts(((say("Work counted on"), row["plan"]),)))
    return Section(say("How the offer is made up"), tuple(blocks), whole=True, key="lines")


def _looked(item: Appraisal) -> Section:
    say = item.manner.say
    result = tuple(_unseen(item))[:_LOOK_AT]
    if result:
        block: Block = Bullets(result)
    else:
        block = Paragraph(say("Every part was inspected in full."))
    return Section(say("To inspect before signing"), (block,), key="look")


def _unseen(item: Appraisal) -> Iterator[str]:
    """Yield the parts that were not inspected in full, the one with most replacement cost unseen first."""
    parts = [part for station in item.valuation.stations for part in station.components if part.inspected < 1.0]
    for part in sorted(parts, key=_at_stake):
        name, share = said(item.manner, part.label), item.manner.percentage(100.0 * part.inspected, 0)
        yield item.manner.say("{part}: {share} of its checks made", part=name, share=share)


def _at_stake(part: ComponentResult) -> float:
    return -part.share * (1.0 - part.inspected)


def _decided(item: Appraisal) -> Section:
    say = item.manner.say
    labels = (say("Offered, on"), say("Agreed at"), say("Decided by, date and signature"))
    return Section(say("Decision"), (FillInLines(labels),), whole=True, key="decided")


OFFER = "offer"
"""Address of the highest offer."""

_BELOW = {
    "carriage": (message("Carriage, in and to the next owner"), ("carriage", "delivery")),
    "preparation": (message("Preparation and tunings"), ("preparation", "tunings")),
    "guarantee": (message("Guarantee"), ("guarantee", "guarantee_share")),
    "holding": (message("Holding"), ("holding", "holding_share")),
}
"""Steps of the residual, what each is called, and the figures that it is made from."""


def offer_reason(item: Appraisal, terms: OfferTerms | None = None) -> Reason | None:
    """Return why the highest offer for a case is what it is, as the ranking has it; none without a cost new.

    Args:
        item: The valued case, on any basis.
        terms: Of the ranking; none: the usual ones.
    """
    row = ranked(item, terms)
    if row is None:
        return None
    tables, manner = item.tables, item.manner
    case = item.case
    if tables.bases[case.assignment.basis].method != "residual":
        key = next(each.key for each in tables.bases.values() if each.method == "residual")
        case = replace(case, assignment=replace(case.assignment, basis=key))
    drawn = item.valuation
    taken = appraisal(case, tables, draws=drawn.draws, seed=drawn.seed, manner=manner)
    context, say, get = Context(case, tables, taken.valuation, manner), manner.say, taken.figures.get

    def step(key: str, label: str, how: str, below: tuple[str, ...] = (), refs: tuple[Reference, ...] = ()) -> Reason:
        parts = tuple(result for name in below if (result := get(name)) is not None)
        amount = row[key]
        return Reason(
            f"{OFFER}.{key}", label, amount, "money", manner.coin(amount, row["currency"], 0), how, refs, parts
        )

    spread = say("{low} to {high}", low=manner.whole(row["resale_low"]), high=manner.whole(row["resale_high"]))
    fetched = say("price on the market named, in the draws {range}", range=spread)
    jobs = tuple(f"work.{job.remedy}.cost" for job in taken.valuation.work if job.label in row["plan"].split("; "))
    work = say("the jobs that a resale pays back, shared steps once, with contingency")
    basis = context.refer(tables.bases[row["resale_basis"]])
    summed = say("as stated in the case, else hours or a share of the tables; a share is of the resale")
    sold = message("Resale") if row["course"] != "part_out" else message("Parts less disposal")
    below = ("salvage",) if row["course"] == "part_out" else ("replacement_cost_new", "market_factor")
    steps = [step("resale", say(sold), fetched, below, basis), step("work", say("Work"), work, jobs)]
    steps += [step(key, say(label), summed, below) for key, (label, below) in _BELOW.items()]
    least = manner.percentage(row["least_margin_pct"], 1)
    margin = say("what the offer leaves, the profit to be expected; at least {share} of the resale", share=least)
    steps.append(step("margin", say("Margin"), margin, ("margin",)))
    loss = manner.percentage(row["loss_risk_pct"], 1)
    drawn_so = say("share of the draws in which this offer does not bring back what was paid")
    steps.append(Reason(f"{OFFER}.risk", say("Risk of a loss"), row["loss_risk_pct"] / 100.0, "%", loss, drawn_so))
    how = say(
        "{sum}; the highest that keeps the minimum margin in {share} of the draws",
        sum=adds_up(row, manner),
        share=manner.percentage(row["probability_pct"], 1),
    )
    if rate := converted(row, manner):
        how = say("{how}; {conversion}", how=how, conversion=rate)
    shown = manner.coin(row["offer"], row["currency"], 0)
    refs = context.setting("offer_probability")
    return Reason(OFFER, say("Highest offer"), row["offer"], "money", shown, how, refs, tuple(steps))
