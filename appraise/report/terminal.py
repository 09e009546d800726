"""A valued case for the terminal: what `value` and `why` print for people, all text literal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.table import Table
from rich.text import Text
from rich.tree import Tree

from appraise.explain.terms import missing_cost
from appraise.model.locale_format import PLAIN, Formatter
from appraise.model.result import WorkList
from appraise.report.cautions import applicable
from appraise.report.figures import below, edges, spread
from appraise.report.lives import due_word, inspect_first_note, life_rows, until_first
from appraise.report.preliminary import inspected_text, quick_look_notes
from appraise.report.sections.identity import instrument
from appraise.report.sections.work import DISPOSAL_FIRST
from appraise.report.value_texts import (
    COURSES,
    LOCAL_CODES,
    disposed,
    job_text,
    list_title,
    market_sentences,
    no_work_text,
    none_needed,
    total,
    work_lists,
)
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from rich.console import RenderableType

    from appraise.model.reason import Reason
    from appraise.model.result import StationResult, WorkItem
    from appraise.report.appraisal import Appraisal


CHECKS = 3
"""Next checks shown."""

NOTICEABLE_PCT = 0.5
"""A check that narrows the range by less is not worth sending anybody to [%]."""

IN_SHORT = {"value": 12, "work": 1, "not inspected": 1, "range": 1}
"""Sentences shown of each chapter; the report shows them all."""


def value_page(item: Appraisal) -> Iterator[RenderableType]:
    """Return the summary of one case: range, courses, market, stations, the three lists of work, cautions, reasons.

    Every figure stands in a line with what it is, so that the page reads as well aloud as it looks.
    """
    page: list[RenderableType] = [_heading(item), Text("")]
    page += [Text(f"{text}\n", style="bold") for text in quick_look_notes(item.case, item.tables, item.manner)]
    page += [Text(line, style="" if at else "bold") for at, line in enumerate(range_lines(item))]
    page += _courses(item)
    page += _section(item.manner.say("Stations"), _stations(item))
    if means := inspect_first_note(item):
        page.append(Text(means, style="dim"))
    page += _lives(item)
    page += _work(item)
    page += _next_checks(item)
    page += _cautions(item)
    page += _in_short(item)
    yield from page
    yield Text("")
    yield Text(item.manner.say(LOCAL_CODES))


def why_tree(node: Reason, depth: int | None = None, manner: Formatter = PLAIN) -> Tree:
    """Return a figure and what is below it as a tree.

    Args:
        node: The figure asked about.
        depth: Levels below it to show; none: all.
        manner: In which the tree was made.
    """
    tree = Tree(_node(node, manner), guide_style="dim")
    _grow(tree, node, depth, manner)
    return tree


def _grow(tree: Tree, node: Reason, depth: int | None, manner: Formatter) -> None:
    parts = below(node)
    if depth == 0:
        if parts:
            text = manner.several(
                "… {count} figure below: {figures}",
                "… {count} figures below: {figures}",
                len(parts),
                count=len(parts),
                figures=manner.listed(part.figure for part in parts),
            )
            tree.add(Text(text, style="dim"))
        return
    for part in parts:
        _grow(tree.add(_node(part, manner)), part, None if depth is None else depth - 1, manner)


def _node(node: Reason, manner: Formatter) -> Text:
    text = Text.assemble((literal(node.label), ""), "  ", (literal(spread(node, manner)), "bold"), f"  {node.figure}")
    if node.how:
        text.append(f"\n{literal(node.how)}", style="dim")
    for ref in node.references:
        where = f", {literal(ref.where)}" if ref.where else ""
        mark = f" · {manner.say('your own table')}" if ref.yours else ""
        text.append(f"\n{ref.ref} · {manner.say(ref.standing)}{mark} · {literal(ref.source)}{where}", style="dim")
    return text


def _heading(item: Appraisal) -> Text:
    basis = item.tables.bases[item.valuation.basis]
    when = item.manner.say("on {day}", day=item.manner.day(item.case.assignment.inspected))
    line = f"{literal(basis.label)} · {when} · {literal(item.file)}"
    return Text.assemble((instrument(item), "bold"), "\n", (line, "dim"))


def _section(title: str, lines: Iterable[str]) -> list[RenderableType]:
    """Return lines under a heading; nothing where there are none."""
    sentences = [Text(line) for line in lines]
    return [Text(""), Text(title, style="bold"), *sentences] if sentences else []


def _from_to(item: Appraisal, address: str) -> str:
    """Return a figure with its low and high in words: "12 years (from 5 years to 22 years)"."""
    node = item.figures.get(address)
    ends = () if node is None else edges(node)
    if node is None or not ends or ends[0].shown == ends[1].shown:
        return item.figures.shown(address)
    return item.manner.say("{value} (from {low} to {high})", value=node.shown, low=ends[0].shown, high=ends[1].shown)


def range_lines(item: Appraisal) -> list[str]:
    """Return the value in sentences, each figure with what it is."""
    v, shown, say = item.valuation, item.figures.shown, item.manner.say
    if v.value is None:
        return [
            say("No value in money: {why}.", why=missing_cost(item.case, item.manner)),
            say("Age and condition leave {share} of the cost of a new one.", share=shown("share_of_new")),
        ]
    if v.value.low == v.value.high:
        return [say("Value: {value}.", value=shown("value"))]
    low, high = shown("value.low"), shown("value.high")
    return [say("Value: {low} to {high}, best estimate {value}.", low=low, high=high, value=shown("value"))]


def _stations(item: Appraisal) -> Iterator[str]:
    say, shown = item.manner.say, item.figures.shown
    for station in item.valuation.stations:
        key = f"station.{station.station}"
        yield say(
            "{station}: grade {grade}, inspected {inspected}, depreciation {depreciation}, first part due: {due}.",
            station=literal(say(station.label)),
            grade=_from_to(item, f"{key}.grade"),
            inspected=inspected_text(item, station),
            depreciation=shown(f"{key}.depreciation"),
            due=_first_due(item, station),
        )


def _first_due(item: Appraisal, station: StationResult) -> str:
    if due_word(item.valuation, station.station):
        return until_first(item, station)
    return _from_to(item, f"station.{station.station}.remaining")


def _courses(item: Appraisal) -> Iterator[RenderableType]:
    """Return what each course comes to, the best one said, and what the value has to be read with."""
    v, say = item.valuation, item.manner.say
    if v.value is None:
        return
    page: list[RenderableType] = []
    for address, label in COURSES.items():
        if item.figures.get(address) is not None:
            words = say("{course}: {value}.", course=say(label), value=_from_to(item, address))
            best = v.best == address
            page.append(
                Text(f"{words} {say('This course is the best.')}" if best else words, style="bold" if best else "")
            )
    told_of_market = [Text(text) for text in market_sentences(item.case, item.tables, v, item.manner)]
    yield Text("")
    yield from page
    yield from told_of_market


def _lives(item: Appraisal) -> list[RenderableType]:
    lines = [item.manner.say("{label}: {text}.", label=label, text=text) for label, text in life_rows(item)]
    return [Text(""), *map(Text, lines)] if lines else []


def _work(item: Appraisal) -> list[RenderableType]:
    """Return the three lists of work that hold any, each with what it costs together."""
    none = no_work_text(item.case, item.valuation, item.manner)
    if none:
        return [Text(""), Text(none)]
    page: list[RenderableType] = []
    for group, jobs in work_lists(item.valuation).items():
        if jobs:
            page += _section(item.manner.say(list_title(item.valuation, group)), _list(item, group, jobs))
        elif group is WorkList.NEEDED and not disposed(item.valuation):
            page += [Text(""), Text(none_needed(item.valuation, item.manner))]
    if disposed(item.valuation):
        page[:0] = [Text(""), Text(item.manner.say(DISPOSAL_FIRST))]
    return page


def _list(item: Appraisal, group: WorkList, jobs: Sequence[WorkItem]) -> Iterator[str]:
    say, shown = item.manner.say, item.figures.shown
    for job in jobs:
        result = job_text(job, item.manner)
        costs = say("{job}: costs {cost}", job=result, cost=shown(f"work.{job.remedy}.cost"))
        if group is WorkList.NEEDED and job.if_left:
            yield say("{costs}. If not done: {left}", costs=costs, left=literal(say(job.if_left)))
        elif group is WorkList.PAYS and job.step:
            yield say("{costs}, a step of another job.", costs=costs)
        elif group is WorkList.PAYS:
            yield say("{costs}, adds {adds}.", costs=costs, adds=shown(f"work.{job.remedy}.value_added"))
        else:
            yield f"{costs}."
    if len(jobs) > 1:
        yield say("Together: {cost}.", cost=item.manner.money(total(jobs), item.valuation.currency))


def _cautions(item: Appraisal) -> Iterator[RenderableType]:
    rows = applicable(item.case, item.tables, item.valuation)
    if not rows:
        return
    grid = _bullets(literal(row.text) for row in rows)
    yield Text("")
    yield Text(item.manner.say("Cautions"), style="bold")
    yield grid


def _next_checks(item: Appraisal) -> list[RenderableType]:
    say = item.manner.say
    checks = [check for check in item.valuation.next_checks if check.narrows_pct >= NOTICEABLE_PCT][:CHECKS]
    if not checks:
        left = say("None of the checks left to make would narrow the range noticeably.")
        return [Text(""), Text(left)] if item.valuation.next_checks else []
    labels = {station.station: say(station.label) for station in item.valuation.stations}
    lines = [
        say(
            "{check}, at {station}: takes {minutes}, narrows the range by {narrows}.",
            check=literal(check.label),
            station=item.manner.small(literal(labels.get(check.station, check.station))),
            minutes=item.figures.shown(f"narrows.{check.check}.minutes"),
            narrows=item.figures.shown(f"narrows.{check.check}"),
        )
        for check in checks
    ]
    return _section(say("Check next"), lines)


def _in_short(item: Appraisal) -> Iterator[RenderableType]:
    sentences = []
    for chapter in item.chapters:
        result = chapter.sentences
        if chapter.topic == "value" and item.valuation.value is not None:
            result = result[2:]  # the range itself stands above
        sentences += [sentence.text for sentence in result[: IN_SHORT.get(chapter.topic, 0)]]
    yield Text("")
    yield Text(item.manner.say("In short"), style="bold")
    yield _bullets(sentences)


def _bullets(texts: Iterable[str]) -> Table:
    grid = Table.grid(padding=(0, 1))
    grid.add_column()
    grid.add_column()
    for text in texts:
        grid.add_row(Text("·"), Text(text))
    return grid
