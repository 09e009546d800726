"""The value range, how it comes about, and what sets it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.market import tables_factor
from appraise.model.message import message
from appraise.report.rationale import conclusion
from appraise.report.rationale.story import Chapter, Piece, Story, quote, verb

if TYPE_CHECKING:
    from appraise.model.reason import Reason, Sentence
    from appraise.model.result import ComponentResult

TOPIC = "value"

UNNOTICED = 0.995
"""Usability above which nothing shows in two decimals [–]."""

LITTLE = 0.9
"""Usability above which a critical component only begins to tell on the whole [–]."""


def chapter(story: Story) -> Chapter:
    """Tell the range, the best estimate, and the steps from a new instrument down to this one."""
    told: list[Sentence] = []
    if story.valuation.value is None:
        told.extend(_no_money(story))
    else:
        told.extend(_range(story))
        told.extend(_steps(story))
    told.extend(_gate(story))
    if story.valuation.value is not None:
        told.extend(conclusion.sentences(story))
    return Chapter(TOPIC, story.say("What it is worth"), tuple(told))


def _no_money(story: Story) -> list[Sentence]:
    share = story.figures.get("share_of_new")
    told = [
        story.tell(TOPIC, "No cost of a like instrument bought new was given, so no sum of money can be named here.")
    ]
    if share is not None:
        told.append(
            story.tell(
                TOPIC,
                "What can be said is how much of a new instrument its age and condition leave: {share} of the cost of "
                "a new one, before the market has its say.",
                share=share,
            )
        )
    return told


def _range(story: Story) -> list[Sentence]:
    best, low, high = (story.figures.get(key) for key in ("value", "value.low", "value.high"))
    if best is None:
        return []
    if low is None or high is None:
        return [story.tell(TOPIC, "The best estimate of its value is {best}.", best=best)]
    if low.shown == high.shown:
        return [story.tell(TOPIC, "Its value is put at {best}.", best=low)]
    return [
        story.tell(
            TOPIC,
            "Its value most likely lies between {low} and {high}; the best estimate is {best}.",
            low=low,
            high=high,
            best=best,
        ),
        story.tell(
            TOPIC,
            "About one time in ten it would turn out to be less than the lower figure, and as often to be more than "
            "the higher.",
        ),
    ]


def _steps(story: Story) -> list[Sentence]:
    basis = story.tables.bases[story.valuation.basis]
    told = _from_new(story)
    if basis.method == "replacement" and told:
        return told
    if basis.method == "depreciated":
        return [*told, story.tell(TOPIC, "This kind of value looks at cost alone and not at what buyers pay.")]
    market, channel = story.figures.get("market_factor"), story.figures.get("basis_factor")
    if market is not None and story.valuation.market_factor.mid > 1.0:
        told.append(_sought(story, market))
    elif market is not None and story.valuation.market_factor_from == "comparables":
        told.append(
            story.tell(
                TOPIC,
                "Buyers do not pay for every piano what cost and wear leave of it: for one like this the comparable "
                "sales in this case show a share of {factor} of that (the market factor).",
                factor=market,
            )
        )
    elif market is not None:
        told.append(
            story.tell(
                TOPIC,
                "Buyers do not pay for every piano what cost and wear leave of it: for one like this the reference "
                "tables allow a share of {factor} of that (the market factor).",
                factor=market,
            )
        )
    told.extend(_against_tables(story))
    if channel is not None and story.valuation.basis_factor.mid != 1.0:
        told.append(
            story.tell(
                TOPIC,
                "Sales of this kind bring about {share} of a showroom price.",
                share=channel,
            )
        )
    return told


def _sought(story: Story, factor: Reason) -> Sentence:
    """Say that the market pays more than what is left of the cost."""
    if story.valuation.market_factor_from == "comparables":
        text = message(
            "Buyers pay more for one like this than what cost and wear leave of it: the comparable sales in this case "
            "show {factor} times that (the market factor)."
        )
    else:
        text = message(
            "Buyers pay more for one like this than what cost and wear leave of it: the reference tables allow "
            "{factor} times that (the market factor)."
        )
    return story.tell(TOPIC, text, factor=factor)


def _against_tables(story: Story) -> list[Sentence]:
    """Say where the comparables show what the tables would hardly have allowed: one of the figures may be wrong."""
    low, high = (story.figures.get(f"market_factor.tables.{end}") for end in ("low", "high"))
    if low is None or high is None:
        return []
    found, expected = story.valuation.market_factor, tables_factor(story.case, story.tables, story.valuation.market_age)
    if found.high >= expected.low and found.low <= expected.high:
        return []
    return [
        story.tell(
            TOPIC,
            "The reference tables would have had {low} to {high}: the comparables and the cost of a new one ask for a "
            "second look before anybody relies on this.",
            low=low,
            high=high,
        )
    ]


def _from_new(story: Story) -> list[Sentence]:
    """Say what a new one costs, and what age and condition leave of it."""
    new, share = story.figures.get("replacement_cost_new"), story.figures.get("share_of_new")
    if new is None or share is None:
        return []
    named = story.case.market.replacement_source.strip()
    source: list[Piece] = [" (", quote(named), ")"] if named else []
    if story.tables.bases[story.valuation.basis].method == "replacement":
        return [
            story.tell(TOPIC, "A like instrument costs {cost} new today{source}.", cost=new, source=source),
            story.tell(
                TOPIC,
                "This kind of value asks only that: the age and condition of this one, which leave {share} of it, take "
                "nothing off.",
                share=share,
            ),
        ]
    return [
        story.tell(
            TOPIC,
            "A like instrument costs {cost} new today{source}; the age and condition of this one leave {share} of "
            "that.",
            cost=new,
            source=source,
            share=share,
        )
    ]


def _gate(story: Story) -> list[Sentence]:
    """Say which critical part holds the whole instrument back."""
    gated = [part for station in story.valuation.stations for part in station.components if part.usability < 1.0]
    usability = story.figures.get("usability")
    if not gated or usability is None or story.valuation.usability > UNNOTICED:
        return []
    worst = min(gated, key=lambda part: part.usability)
    grade = story.figures.get(f"{worst.component}.grade")
    part, at = story.name(worst.label), [] if grade is None else story.phrase(", at grade {grade},", grade=grade)
    if story.valuation.usability > LITTLE:
        told = [
            story.tells(
                TOPIC,
                "The {part}{grade} already takes a little off the use of the whole: its parts count at {usability} of "
                "what they would come to.",
                "The {part}{grade} already take a little off the use of the whole: its parts count at {usability} of "
                "what they would come to.",
                verb(1, worst.label),
                part=part,
                grade=at,
                usability=usability,
            )
        ]
    else:
        told = [
            story.tells(
                TOPIC,
                "The {part}{grade} holds the whole piano back: however good the rest is, the instrument is worth only "
                "{usability} of what its parts would come to.",
                "The {part}{grade} hold the whole piano back: however good the rest is, the instrument is worth only "
                "{usability} of what its parts would come to.",
                verb(1, worst.label),
                part=part,
                grade=at,
                usability=usability,
            )
        ]
    others = [part for part in gated if part is not worst]
    if others:
        told.append(_gate_others(story, others))
    return told


def _gate_others(story: Story, others: list[ComponentResult]) -> Sentence:
    parts = story.series([[story.name(part.label)] for part in others])
    if len(others) > 1:
        text = message("The {parts} would hold it back as well, were they the only fault.")
        return story.tell(TOPIC, text, parts=parts)
    return story.tells(
        TOPIC,
        "The {parts} would do the same, were it the only fault.",
        "The {parts} would do the same, were they the only fault.",
        verb(1, others[0].label),
        parts=parts,
    )
