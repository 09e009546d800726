"""A visit as people read it at the terminal: the checks in order, what they promise, an asking price."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from rich.console import RenderableType

    from appraise.model.locale_format import Formatter
    from appraise.model.visit import Asking, Decisive, Visit
    from appraise.report.appraisal import Appraisal


def visit_page(item: Appraisal, visit: Visit) -> list[RenderableType]:
    """Return the checks of a visit, the narrowing that they promise together, and the answer to an asking price."""
    say = item.manner.say
    page: list[RenderableType] = []
    if visit.minutes > 0.0:
        page += [
            Text(""),
            *(
                (Text(say("Visit"), style="bold"), *map(Text, _checks(item, visit)))
                if visit.checks
                else (Text(say("None of the checks left fits this visit.")),)
            ),
        ]
        if visit.checks:
            page.append(Text(_summary(visit, item.manner)))
        if visit.comparable_pct is not None:
            narrows = item.manner.percent(visit.comparable_pct / 100.0)
            page.append(
                Text(
                    say(
                        "One more comparable sale would narrow the range by about {narrows}, more than any check.",
                        narrows=narrows,
                    )
                )
            )
    if visit.asking is not None:
        result = asking_sentences(visit.asking, item.valuation.currency, item.manner)
        page += [Text(""), *(Text(sentence) for sentence in result)]
    return page


def _summary(visit: Visit, manner: Formatter) -> str:
    return manner.several(
        "These checks take {minutes} minute together and narrow the range by about {narrows}.",
        "These checks take {minutes} minutes together and narrow the range by about {narrows}.",
        round(visit.takes),
        minutes=manner.whole(visit.takes),
        narrows=manner.percent(visit.narrows_pct / 100.0),
    )


def _checks(item: Appraisal, visit: Visit) -> Iterator[str]:
    say, manner = item.manner.say, item.manner
    labels = {station.station: say(station.label) for station in item.valuation.stations}
    for number, check in enumerate(visit.checks, 1):
        notes = [say("first round")] if check.knock_out else []
        notes += [say("may change the course")] if check.changes_course else []
        notes += [say("may change the answer")] if check.changes_purchase else []
        text = manner.several(
            "{number}. {check}, at {station}: {minutes} minute, narrows the range by {narrows}, in all by {all}",
            "{number}. {check}, at {station}: {minutes} minutes, narrows the range by {narrows}, in all by {all}",
            1 if round(check.minutes, 1) == 1 else 2,
            number=number,
            check=literal(check.label),
            station=manner.small(literal(labels.get(check.station, check.station))),
            minutes=manner.decimal(check.minutes, 1),
            narrows=manner.percent(check.narrows_pct / 100.0),
            all=manner.percent(check.cumulative_pct / 100.0),
        )
        yield f"{'; '.join((text, *notes))}."


def asking_sentences(asking: Asking, currency: str, manner: Formatter) -> list[str]:
    """Return what an asking price comes to, in sentences.

    Args:
        asking: The answer.
        currency: Of its figures.
        manner: How the reader gets figures and words.
    """
    say = manner.say

    def coins(amount: float) -> str:
        return manner.money(amount, currency)

    lines = [
        say(
            "The chance that the instrument is worth the asking price of {price} or more is {chance}.",
            price=coins(asking.price),
            chance=manner.percent(asking.chance),
        )
    ]
    if asking.most > 0.0:
        lines.append(
            say(
                "Pay {most} at most; to be {confidence} sure that it is worth the price, {sure} at most.",
                most=coins(asking.most),
                confidence=manner.percent(asking.confidence),
                sure=coins(max(0.0, asking.most_sure)),
            )
        )
    else:
        lines.append(say("Chances are even that it is worth nothing or less: at even odds no price can be paid."))
    if asking.decisive is None:
        lines.append(say("None of the checks left is likely to change this answer."))
    else:
        lines += _decisive(asking.decisive, coins, manner)
    return lines


def _decisive(decisive: Decisive, coins: Callable[[float], str], manner: Formatter) -> Iterator[str]:
    part, label = manner.small(literal(decisive.part)), manner.small(literal(decisive.label))
    if decisive.work is not None:
        first = manner.say(
            "Inspect the {part} first ({check}): a bad finding means work of about {work}.",
            part=part,
            check=label,
            work=coins(decisive.work),
        )
    else:
        first = manner.say("Inspect the {part} first ({check}): no job answers a bad finding.", part=part, check=label)
    second = manner.say(
        "Between a good and a bad finding the value differs by about {swing}; the chance moves by {moves} percentage "
        "points on average.",
        swing=coins(decisive.swing),
        moves=manner.decimal(decisive.chance_moves_pct, 0),
    )
    yield first
    yield second
