"""The value range, how it comes about, and what sets it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.rationale import conclusion
from appraise.report.rationale.story import Chapter, Piece, Story, name, quote, sentence, series
from appraise.report.words import many

if TYPE_CHECKING:
    from appraise.model.reason import Sentence
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
    return Chapter(TOPIC, "What it is worth", tuple(told))


def _no_money(story: Story) -> list[Sentence]:
    share = story.figures.get("share_of_new")
    told = [
        sentence(
            TOPIC,
            "No cost of a like instrument bought new was given, so no sum of money can be named here.",
        )
    ]
    if share is not None:
        told.append(
            sentence(
                TOPIC,
                "What can be said is how much of a new instrument its age and condition leave: ",
                share,
                " of the cost of a new one, before the market has its say.",
            )
        )
    return told


def _range(story: Story) -> list[Sentence]:
    best, low, high = (story.figures.get(key) for key in ("value", "value.low", "value.high"))
    if best is None:
        return []
    if low is None or high is None:
        return [sentence(TOPIC, "The best estimate of its value is ", best, ".")]
    if low.shown == high.shown:
        return [sentence(TOPIC, "Its value is put at ", low, ".")]
    return [
        sentence(
            TOPIC,
            "Its value most likely lies between ",
            low,
            " and ",
            high,
            "; the best estimate is ",
            best,
            ".",
        ),
        sentence(TOPIC, "It should seldom turn out to be less than the lower figure or more than the higher."),
    ]


def _steps(story: Story) -> list[Sentence]:
    figures = story.figures
    new, share = figures.get("replacement_cost_new"), figures.get("share_of_new")
    told: list[Sentence] = []
    basis = story.tables.bases[story.valuation.basis]
    if new is not None and share is not None:
        pieces: list[Piece] = ["A like instrument costs ", new, " new today"]
        source = story.case.market.replacement_source.strip()
        if source:
            pieces += [" (", quote(source), ")"]
        if basis.method == "replacement":
            return [
                sentence(TOPIC, pieces, "."),
                sentence(
                    TOPIC,
                    "This kind of value asks only that: the age and condition of this one, which leave ",
                    share,
                    " of it, take nothing off.",
                ),
            ]
        told.append(sentence(TOPIC, pieces, "; the age and condition of this one leave ", share, " of that."))
    if basis.method == "depreciated":
        return [*told, sentence(TOPIC, "This kind of value looks at cost alone and not at what buyers pay.")]
    market, channel = figures.get("market_factor"), figures.get("basis_factor")
    if market is not None:
        origin = (
            "the comparable sales in this case show"
            if story.valuation.market_factor_from == "comparables"
            else "the reference tables allow"
        )
        told.append(
            sentence(
                TOPIC,
                "Buyers do not pay the depreciated cost of every piano: for one like this ",
                origin,
                " a market factor of ",
                market,
                " on it.",
            )
        )
    if channel is not None and story.valuation.basis_factor.mid != 1.0:
        told.append(
            sentence(
                TOPIC, "Of a dealer's retail price, this kind of sale is reckoned to bring a share of ", channel, "."
            )
        )
    return told


def _gate(story: Story) -> list[Sentence]:
    """Say which critical part holds the whole instrument back."""
    gated = [part for station in story.valuation.stations for part in station.components if part.usability < 1.0]
    usability = story.figures.get("usability")
    if not gated or usability is None or story.valuation.usability > UNNOTICED:
        return []
    worst = min(gated, key=lambda part: part.usability)
    holds = "hold" if many(worst.label) else "holds"
    pieces: list[Piece] = ["The ", name(worst.label)]
    grade = story.figures.get(f"{worst.component}.grade")
    if grade is not None:
        pieces += [", at grade ", grade, ","]
    if story.valuation.usability > LITTLE:
        takes = "take" if many(worst.label) else "takes"
        rest = f" already {takes} a little off the use of the whole: its parts count at "
        told = [sentence(TOPIC, pieces, rest, usability, " of what they would come to.")]
    else:
        rest = f" {holds} the whole piano back: however good the rest is, the instrument is worth only "
        told = [sentence(TOPIC, pieces, rest, usability, " of what its parts would come to.")]
    others = [part for part in gated if part is not worst]
    if others:
        told.append(_gate_others(others))
    return told


def _gate_others(others: list[ComponentResult]) -> Sentence:
    one = len(others) == 1 and not many(others[0].label)
    return sentence(
        TOPIC,
        "The ",
        series([[name(part.label)] for part in others]),
        " would hold it back as well, were " if len(others) > 1 else " would do the same, were ",
        "it" if one else "they",
        " the only fault.",
    )
