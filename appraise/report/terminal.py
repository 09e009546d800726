"""A valued case for the terminal: what `value` and `why` print for people, all text literal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich import box
from rich.padding import Padding
from rich.table import Table
from rich.text import Text
from rich.tree import Tree

from appraise.engine.missing import missing_cost
from appraise.model.manner import PLAIN, Manner
from appraise.report.figures import below, spread
from appraise.report.sections.identity import instrument
from appraise.report.words import literal

if TYPE_CHECKING:
    from rich.console import RenderableType

    from appraise.model.reason import Reason
    from appraise.report.appraisal import Appraisal

WIDTH = 64
"""Of the bar [columns]."""

CHECKS = 3
"""Next checks shown."""

NOTICEABLE_PCT = 0.5
"""A check that narrows the range by less is not worth sending anybody to [%]."""

IN_SHORT = {"value": 12, "work": 1, "not inspected": 1, "range": 1}
"""How many sentences of each chapter are told; the report tells them all."""


def value_page(item: Appraisal) -> list[RenderableType]:
    """Return the summary of one case: range, bar, stations, work, next checks, and the reasons in short."""
    page: list[RenderableType] = [_heading(item), Text("")]
    page.append(Padding(_range(item), (0, 0, 0, 2), expand=False))
    page += [Text(""), _stations(item)]
    page += _work(item)
    page += _next_checks(item)
    page += _in_short(item)
    return page


def why_tree(node: Reason, depth: int | None = None, manner: Manner = PLAIN) -> Tree:
    """Return a figure and what is below it as a tree.

    Args:
        node: The figure asked about.
        depth: Levels below it to show; none: all.
        manner: In which the tree was made.
    """
    tree = Tree(_node(node, manner), guide_style="dim")
    _grow(tree, node, depth, manner)
    return tree


def _grow(tree: Tree, node: Reason, depth: int | None, manner: Manner) -> None:
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


def _node(node: Reason, manner: Manner) -> Text:
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


def _range(item: Appraisal) -> RenderableType:
    v, shown, say = item.valuation, item.figures.shown, item.manner.say
    if v.value is None:
        return Text.assemble(
            (say("No value in money: {why}.", why=missing_cost(item.case, item.manner)), "bold"),
            "\n",
            say("Age and condition leave {share} of a new one.", share=shown("share_of_new")),
        )
    if v.value.low == v.value.high:
        return Text(shown("value"), style="bold")
    grid = Table.grid(expand=False)
    for justify in ("left", "center", "right"):
        grid.add_column(justify=justify, width=WIDTH // 3)
    grid.add_row(Text(shown("value.low")), Text(shown("value"), style="bold"), Text(shown("value.high")))
    block = Table.grid()
    block.add_row(grid)
    block.add_row(range_bar(item))
    return block


def range_bar(item: Appraisal, width: int = WIDTH) -> Text:
    """Draw the range: thin to the outermost percentiles, thick from low to high, a dot at the best."""
    v = item.valuation
    if v.value is None:
        return Text("")
    ends = [v.value.low, v.value.high, *(amount for _, amount in v.percentiles)]
    start, span = min(ends), max(max(ends) - min(ends), 1e-9)

    def column(amount: float) -> int:
        return round((amount - start) / span * (width - 1))

    cells = ["─"] * width
    low, high = column(v.value.low), column(v.value.high)
    for index in range(low, high + 1):
        cells[index] = "━"
    cells[low], cells[high] = "┣", "┫"
    cells[column(v.value.mid)] = "●"
    return Text("".join(cells))


def _stations(item: Appraisal) -> Table:
    say = item.manner.say
    table = _table(say("Station"), say("Grade"), say("Looked at"), say("Depreciation"), say("Until renewal"))
    shown, ranged = item.figures.shown, item.figures.spread
    for station in item.valuation.stations:
        key = f"station.{station.station}"
        table.add_row(
            Text(literal(say(station.label))),
            Text(ranged(f"{key}.grade")),
            Text(shown(f"{key}.inspected")),
            Text(shown(f"{key}.depreciation")),
            Text(ranged(f"{key}.remaining")),
            style="dim" if station.inspected <= 0 else "",
        )
    return table


def _work(item: Appraisal) -> list[RenderableType]:
    chosen = [job for job in item.valuation.work if job.chosen]
    if not chosen:
        return []
    say = item.manner.say
    table = _table(say("Work worth doing"), say("Costs"), say("Adds"))
    for job in chosen:
        table.add_row(
            Text(literal(job.label)),
            Text(item.figures.shown(f"work.{job.remedy}.cost")),
            Text(say("a step") if job.step else item.figures.shown(f"work.{job.remedy}.value_added")),
        )
    return [Text(""), table]


def _next_checks(item: Appraisal) -> list[RenderableType]:
    say = item.manner.say
    checks = [check for check in item.valuation.next_checks if check.narrows_pct >= NOTICEABLE_PCT][:CHECKS]
    if not checks:
        left = say("No check that is left would narrow the range noticeably.")
        return [Text(""), Text(left)] if item.valuation.next_checks else []
    labels = {station.station: say(station.label) for station in item.valuation.stations}
    table = _table(say("Check next"), say("At"), say("Takes"), say("Narrows the range by"))
    for check in checks:
        table.add_row(
            Text(literal(check.label)),
            Text(item.manner.small(literal(labels.get(check.station, check.station)))),
            Text(item.figures.shown(f"narrows.{check.check}.minutes")),
            Text(item.figures.shown(f"narrows.{check.check}")),
        )
    return [Text(""), table]


def _in_short(item: Appraisal) -> list[RenderableType]:
    grid = Table.grid(padding=(0, 1))
    grid.add_column()
    grid.add_column()
    for chapter in item.chapters:
        told = chapter.sentences
        if chapter.topic == "value" and item.valuation.value is not None:
            told = told[2:]  # the range itself stands above
        for sentence in told[: IN_SHORT.get(chapter.topic, 0)]:
            grid.add_row(Text("·"), Text(sentence.text))
    return [Text(""), Text(item.manner.say("In short"), style="bold"), grid]


def _table(first: str, *others: str) -> Table:
    """Return an empty table: the first column of words, the others of figures."""
    table = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1))
    table.add_column(first)
    for heading in others:
        table.add_column(heading, justify="right")
    return table
