"""The value range, how it comes about, and what sets it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.market import tables_factor
from appraise.model.message import message
from appraise.model.reason import Sentence
from appraise.report.rationale import conclusion, gate
from appraise.report.rationale.story import UNNOTICED, Chapter, Narrator, Piece, quote
from appraise.report.value_texts import disposed, market_level_text

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.reason import Reason

TOPIC = "value"


def chapter(story: Narrator) -> Chapter:
    """Tell the range, the best estimate, and the steps from a new instrument down to this one."""
    sentences: list[Sentence] = []
    if story.valuation.value is None:
        sentences.extend(_no_money(story))
    else:
        sentences.extend(_range(story))
        if disposed(story.valuation):
            sentences.extend(conclusion.course(story))
        sentences.extend(_steps(story))
    sentences.extend(gate.sentences(story))
    if story.valuation.value is not None:
        if not disposed(story.valuation):
            sentences.extend(conclusion.course(story))
        sentences.extend(conclusion.sentences(story))
    return Chapter(TOPIC, story.say("Value"), tuple(sentences))


def _no_money(story: Narrator) -> Iterator[Sentence]:
    share = story.figures.get("share_of_new")
    yield story.tell(TOPIC, "No replacement cost new was given, so no value in money can be stated.")
    if share is not None:
        yield story.tell(
            TOPIC,
            "Its age and condition leave {share} of the cost of a new one, before the market is considered.",
            share=share,
        )


def _range(story: Narrator) -> Iterator[Sentence]:
    best, low, high = (story.figures.get(key) for key in ("value", "value.low", "value.high"))
    if best is None:
        return
    if low is None or high is None:
        yield story.tell(TOPIC, "The best estimate of its value is {best}.", best=best)
        return
    if low.shown == high.shown:
        yield story.tell(TOPIC, "Its value is put at {best}.", best=low)
        return
    yield story.tell(
        TOPIC,
        "Its value most likely lies between {low} and {high}; the best estimate is {best}.",
        low=low,
        high=high,
        best=best,
    )
    yield story.tell(
        TOPIC,
        "The chance that it is worth less than the lower figure is about one in ten, and so is the chance that it "
        "is worth more than the higher.",
    )


def _steps(story: Narrator) -> list[Sentence]:
    basis = story.tables.bases[story.valuation.basis]
    sentences = _from_new(story)
    if basis.method == "replacement" and sentences:
        return sentences
    if basis.method == "depreciated":
        sentences += _looks(story)
        return [*sentences, story.tell(TOPIC, "This kind of value rests on cost alone, not on market prices.")]
    sentences += _market(story)
    sentences += _renewals(story)
    sentences += _looks(story)
    channel = story.figures.get("basis_factor")
    if channel is not None and story.valuation.basis_factor.mid != 1.0:
        sentences.append(
            story.tell(TOPIC, "Sales of this kind bring about {share} of a showroom price.", share=channel)
        )
    return [*sentences, *_taking(story)]


def _market(story: Narrator) -> Iterator[Sentence]:
    """Say what buyers pay against what cost and wear leave, and what that rests on."""
    market = story.figures.get("market_factor")
    if market is None:
        return
    by_sales = story.valuation.market_factor_from == "comparables"
    if story.valuation.market_factor.mid > 1.0:
        sentences = [_sought(story, market)]
    elif by_sales:
        text = message(
            "Buyers pay less than the depreciated cost: for a piano like this the comparable sales in this case show "
            "{factor} of that (the market factor)."
        )
        sentences = [story.tell(TOPIC, text, factor=market)]
    else:
        text = message(
            "Buyers pay less than the depreciated cost: for a piano like this the reference tables allow {factor} of "
            "that (the market factor)."
        )
        sentences = [story.tell(TOPIC, text, factor=market)]
    standing = market_level_text(story.case, story.tables, story.valuation, story.manner)
    if standing and not by_sales:
        sentences.append(Sentence(TOPIC, (standing,)))
    yield from sentences
    yield from _against_tables(story)


def _sought(story: Narrator, factor: Reason) -> Sentence:
    """Say that the market pays more than what is left of the cost."""
    if story.valuation.market_factor_from == "comparables":
        text = message(
            "Buyers pay more than the depreciated cost: for a piano like this the comparable sales in this case show "
            "{factor} of that (the market factor)."
        )
    else:
        text = message(
            "Buyers pay more than the depreciated cost: for a piano like this the reference tables allow {factor} of "
            "that (the market factor)."
        )
    return story.tell(TOPIC, text, factor=factor)


def _renewals(story: Narrator) -> Iterator[Sentence]:
    factor = story.figures.get("renewal")
    if factor is None or abs(story.valuation.renewal - 1.0) < 1.0 - UNNOTICED:
        return
    text = message(
        "Renewed parts make it younger on the market than its year says: that multiplies the market factor by {factor}."
    )
    if story.valuation.renewal < 1.0:
        text = message("Renewed parts change its age on the market: that multiplies the market factor by {factor}.")
    yield story.tell(TOPIC, text, factor=factor)


def _looks(story: Narrator) -> Iterator[Sentence]:
    left = story.figures.get("appearance")
    if left is None or story.valuation.appearance > UNNOTICED:
        return
    yield story.tell(
        TOPIC, "The cosmetic condition (case, finish, key coverings, hardware) leaves {share} of that.", share=left
    )


def _taking(story: Narrator) -> Iterator[Sentence]:
    """Say what comes off whatever the condition is."""
    amount = story.figures.get("taking")
    if amount is None:
        return
    margin = story.figures.get("margin")
    if margin is None:
        text = message(
            "A buyer pays about {amount} for carriage and the first tunings, and deducts that from the price."
        )
        yield story.tell(TOPIC, text, amount=amount)
        return
    text = message(
        "A dealer keeps {margin} of the resale price as margin and pays about {amount} before the resale for "
        "carriage, tunings, preparation and any other cost that the case states."
    )
    yield story.tell(TOPIC, text, margin=margin, amount=amount)


def _against_tables(story: Narrator) -> Iterator[Sentence]:
    """Say where the comparables show what the tables would hardly have allowed: one of the figures may be wrong."""
    low, high = (story.figures.get(f"market_factor.tables.{end}") for end in ("low", "high"))
    if low is None or high is None:
        return
    result, expected = (
        story.valuation.market_factor,
        tables_factor(story.case, story.tables, story.valuation.market_age),
    )
    if result.high >= expected.low and result.low <= expected.high:
        return
    yield story.tell(
        TOPIC,
        "The reference tables would allow {low} to {high}: check the comparables and the cost of a new one before "
        "anybody relies on this figure.",
        low=low,
        high=high,
    )


def _from_new(story: Narrator) -> list[Sentence]:
    """Say what a new one costs, and what age and condition leave of it."""
    new, share = story.figures.get("replacement_cost_new"), story.figures.get("share_of_new")
    if new is None or share is None:
        return []
    named = story.case.market.replacement_source.strip()
    source: list[Piece] = [" (", quote(named), ")"] if named else []
    if story.tables.bases[story.valuation.basis].method == "replacement":
        return [
            story.tell(TOPIC, "A comparable new instrument costs {cost} today{source}.", cost=new, source=source),
            story.tell(
                TOPIC,
                "This kind of value deducts nothing: the age and condition of this one, which leave {share} of that, "
                "are not counted.",
                share=share,
            ),
        ]
    return [
        story.tell(
            TOPIC,
            "A comparable new instrument costs {cost} today{source}; the age and condition of this one leave {share} "
            "of that, the depreciated cost.",
            cost=new,
            source=source,
            share=share,
        )
    ]
