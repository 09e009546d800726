"""Why the highest offer is what it is: its steps as a tree, each with the rows and findings below it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.explain.nodes import Context
from appraise.model.message import message
from appraise.model.reason import Reason
from appraise.report.appraisal import appraisal
from appraise.report.offer import ranked
from appraise.report.ranking import adds_up
from appraise.report.ranking_notes import converted

if TYPE_CHECKING:
    from appraise.model.reason import Reference
    from appraise.report.appraisal import Appraisal
    from appraise.report.offer import OfferTerms

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
        parts = tuple(found for name in below if (found := get(name)) is not None)
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
        "{sum}; the highest that keeps the least margin in {share} of the draws",
        sum=adds_up(row, manner),
        share=manner.percentage(row["probability_pct"], 1),
    )
    if rate := converted(row, manner):
        how = say("{how}; {conversion}", how=how, conversion=rate)
    shown = manner.coin(row["offer"], row["currency"], 0)
    refs = context.setting("offer_probability")
    return Reason(OFFER, say("Highest offer"), row["offer"], "money", shown, how, refs, tuple(steps))
