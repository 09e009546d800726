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
from appraise.model.result import WorkList
from appraise.report.cautions import applicable
from appraise.report.figures import below, spread
from appraise.report.lives import lives_told, look_first_told, until_first
from appraise.report.sections.identity import instrument
from appraise.report.sections.work import DISPOSAL_FIRST
from appraise.report.words import literal
from appraise.report.worth_told import (
    COURSES,
    LOCAL_CODES,
    disposed,
    job_told,
    list_title,
    lists_told,
    market_told,
    no_work_told,
    none_needed,
    total,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from rich.console import RenderableType

    from appraise.model.reason import Reason
    from appraise.model.result import WorkItem
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
    """Return the summary of one case: range, courses, market, stations, the three lists of work, cautions, reasons."""
    page: list[RenderableType] = [_heading(item), Text("")]
    page.append(Padding(_range(item), (0, 0, 0, 2), expand=False))
    page += _courses(item)
    page += [Text(""), _stations(item)]
    if means := look_first_told(item):
        page.append(Text(means, style="dim"))
    page += _lives(item)
    page += _work(item)
    page += _next_checks(item)
    page += _cautions(item)
    page += _in_short(item)
    return [*page, Text(""), Text(item.manner.say(LOCAL_CODES))]


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


def range_told(item: Appraisal) -> list[str]:
    """Return the value in sentences, each figure with what it is."""
    v, shown, say = item.valuation, item.figures.shown, item.manner.say
    if v.value is None:
        return [
            say("No value in money: {why}.", why=missing_cost(item.case, item.manner)),
            say("Age and condition leave {share} of a new one.", share=shown("share_of_new")),
        ]
    if v.value.low == v.value.high:
        return [say("Value: {value}.", value=shown("value"))]
    low, high = shown("value.low"), shown("value.high")
    return [say("Value: {low} to {high}, best estimate {value}.", low=low, high=high, value=shown("value"))]


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
    table = _table(say("Station"), say("Grade"), say("Inspected"), say("Depreciation"), say("First part due"))
    shown, ranged = item.figures.shown, item.figures.spread
    for station in item.valuation.stations:
        key = f"station.{station.station}"
        table.add_row(
            Text(literal(say(station.label))),
            Text(ranged(f"{key}.grade")),
            Text(shown(f"{key}.inspected")),
            Text(shown(f"{key}.depreciation")),
            Text(until_first(item, station, spread=True)),
            style="dim" if station.inspected <= 0 else "",
        )
    return table


def _courses(item: Appraisal) -> list[RenderableType]:
    """Return what each course comes to, the best one marked, and what the value has to be read with."""
    v, say = item.valuation, item.manner.say
    if v.value is None:
        return []
    grid = Table.grid(padding=(0, 1))
    for justify in ("left", "left", "right"):
        grid.add_column(justify=justify)
    for address, label in COURSES.items():
        if item.figures.get(address) is not None:
            here = v.best == address
            mark, style = ("◆", "bold") if here else ("", "")
            grid.add_row(Text(mark), Text(say(label)), Text(item.figures.spread(address)), style=style)
    told = [Text(text) for text in market_told(item.case, item.tables, v, item.manner)]
    return [Text(""), *([grid] if grid.row_count else []), *told]


def _lives(item: Appraisal) -> list[RenderableType]:
    grid = Table.grid(padding=(0, 2))
    for label, text in lives_told(item):
        grid.add_row(Text(label), Text(text))
    return [Text(""), grid] if grid.row_count else []


def _work(item: Appraisal) -> list[RenderableType]:
    """Return the three lists of work that hold any, each with what it costs together."""
    none = no_work_told(item.case, item.valuation, item.manner)
    if none:
        return [Text(""), Text(none)]
    page: list[RenderableType] = []
    for group, jobs in lists_told(item.valuation).items():
        if jobs:
            page += [Text(""), _list(item, group, jobs)]
        elif group is WorkList.NEEDED and not disposed(item.valuation):
            page += [Text(""), Text(none_needed(item.valuation, item.manner))]
    if disposed(item.valuation):
        page[:0] = [Text(""), Text(item.manner.say(DISPOSAL_FIRST))]
    return page


def _list(item: Appraisal, group: WorkList, jobs: Sequence[WorkItem]) -> Table:
    say, shown = item.manner.say, item.figures.shown
    last = {WorkList.NEEDED: say("If it is left"), WorkList.PAYS: say("Adds")}.get(group)
    table = _table(say(list_title(item.valuation, group)), say("Costs"))
    if last is not None:
        table.add_column(last, justify="left" if group is WorkList.NEEDED else "right")
    for job in jobs:
        cells = [job_told(job, item.manner), shown(f"work.{job.remedy}.cost")]
        if group is WorkList.NEEDED:
            cells.append(literal(say(job.if_left)))
        elif group is WorkList.PAYS:
            cells.append(say("a step") if job.step else shown(f"work.{job.remedy}.value_added"))
        table.add_row(*map(Text, cells))
    if len(jobs) > 1:
        together = item.manner.money(total(jobs), item.valuation.currency)
        table.add_row(Text(say("Together")), Text(together), style="bold")
    return table


def _cautions(item: Appraisal) -> list[RenderableType]:
    rows = applicable(item.case, item.tables, item.valuation)
    if not rows:
        return []
    grid = _bullets(literal(row.text) for row in rows)
    return [Text(""), Text(item.manner.say("Cautions"), style="bold"), grid]


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
    sentences = []
    for chapter in item.chapters:
        told = chapter.sentences
        if chapter.topic == "value" and item.valuation.value is not None:
            told = told[2:]  # the range itself stands above
        sentences += [sentence.text for sentence in told[: IN_SHORT.get(chapter.topic, 0)]]
    return [Text(""), Text(item.manner.say("In short"), style="bold"), _bullets(sentences)]


def _bullets(texts: Iterable[str]) -> Table:
    grid = Table.grid(padding=(0, 1))
    grid.add_column()
    grid.add_column()
    for text in texts:
        grid.add_row(Text("·"), Text(text))
    return grid


def _table(first: str, *others: str) -> Table:
    """Return an empty table: the first column of words, the others of figures."""
    table = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1))
    table.add_column(first)
    for heading in others:
        table.add_column(heading, justify="right")
    return table
