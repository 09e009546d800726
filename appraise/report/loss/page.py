"""A loss for the terminal: what `loss` prints for people, all text literal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich import box
from rich.table import Table
from rich.text import Text

from appraise.model.loss import RemarkClass
from appraise.report.loss import parts
from appraise.report.loss.compared import DEFER, MEASURES, NO_LOSS
from appraise.report.loss.dossier import describe
from appraise.report.words import capital, counted, day, listed, literal

if TYPE_CHECKING:
    from rich.console import RenderableType

    from appraise.report.loss.compared import Compared


def loss_page(item: Compared) -> list[RenderableType]:
    """Return the summary of one loss: the measure, remarks, worse parts, repair, alternatives, carriage, cautions."""
    page: list[RenderableType] = [_heading(item), Text(""), _measure(item), Text("")]
    page += _remarks(item)
    page += _titled("Parts that got worse", parts.COMPONENTS, parts.component_rows(item))
    for scenario in item.loss.scenarios[-1:]:
        page += _titled(_repair_title(item), parts.JOBS, parts.job_rows(item, scenario))
    page += _titled("Measures", parts.alternative_columns(item), parts.alternative_rows(item))
    terms = item.loss.terms
    if terms.sum_insured is not None or terms.excess is not None:
        page += _titled("What is payable", ("", ""), parts.claim_rows(item))
    page += _carriage(item)
    if item.delivered is not None and item.asked_on is not None:
        title = f"From the delivery on {day(item.delivered)}, as of {day(item.asked_on)} ({DEFER})"
        page += _titled(title, parts.DEADLINES[:-1], tuple(row[:-1] for row in parts.deadline_rows(item)))
    page += _list("Mind", item.loss.cautions)
    page += _list("Assumed", item.loss.assumptions)
    return page


def _heading(item: Compared) -> Text:
    basis = item.tables.bases[item.loss.basis]
    days = (state.case.assignment.inspected for state in (item.before, item.after))
    line = f"{literal(basis.label)} · {' → '.join(day(each) for each in days)}, both valued on the later day"
    files = f"{literal(item.before.file)} → {literal(item.after.file)}"
    return Text.assemble((capital(describe(item)), "bold"), "\n", (line, "dim"), "\n", (files, "dim"))


def _measure(item: Compared) -> Text:
    found = item.proposed
    if not found.components:
        text = Text(NO_LOSS, style="bold")
    elif found.loss is None:
        return Text("No loss in money can be stated.", style="bold")
    else:
        text = Text.assemble("Proposed: ", (item.spread(found.loss), "bold"), f", {MEASURES[found.measure]}")
    if found.components and found.payable != found.loss:
        text.append(f"\nPayable: {item.spread(found.payable)}")
    for other in item.loss.scenarios[1:]:
        text.append(f"\nWith all of unknown origin counted: {item.spread(other.loss)}, {MEASURES[other.measure]}")
    return text


def _remarks(item: Compared) -> list[RenderableType]:
    counts = [
        f"{sum(line.outcome is outcome for line in item.loss.remarks)} {outcome.value}" for outcome in RemarkClass
    ]
    page: list[RenderableType] = [Text(f"Remarks: {listed(counts)}", style="bold")]
    told = [line for line in item.loss.remarks if line.outcome is not RemarkClass.KEPT]
    if told:
        table = _table(("", "Place", "What", "Origin"))
        for line in told:
            cells = (line.outcome.value, item.place(line.latest.place), literal(line.latest.text), line.origin.value)
            table.add_row(*(Text(cell) for cell in cells))
        page.append(table)
    return [*page, Text("")]


def _repair_title(item: Compared) -> str:
    wider = len(item.loss.scenarios) > 1
    return "Repair, all of unknown origin counted" if wider else "Repair"


def _carriage(item: Compared) -> list[RenderableType]:
    rows = []
    for limit in item.limits:
        rule = item.tables.carriage_rules[limit.rule]
        amount = limit.how if limit.amount is None else f"{limit.unit} {limit.amount:,.2f}"
        how = "" if limit.amount is None else limit.how
        rows.append((literal(rule.regime), amount, how, rule.standing.value))
    title = f"Most a carrier owes under these rules, where one applies ({DEFER})"
    scope = [rule.text for rule in item.tables.carriage_rules.values() if rule.topic in ("scope", "notice")]
    if item.weight_kg is None and item.volume_m3 is None:
        hint = "State --weight and --volume for the limits. " + counted(len(scope), "rule")
        line = f"{hint} on scope and notice: `appraise sources carriage_rules` ({DEFER})."
        return [Text(title.split(" (", maxsplit=1)[0], style="bold"), Text(line), Text("")]
    return [*_titled(title, ("Regime", "At most", "How", "Standing"), tuple(rows)), *_notices(item)]


def _notices(item: Compared) -> list[RenderableType]:
    rules = [rule for rule in item.tables.carriage_rules.values() if rule.topic != "limit"]
    lines = tuple(f"{rule.regime}, {rule.topic}: {rule.text} ({rule.standing.value})" for rule in rules)
    return _list(f"Scope, notice and action ({DEFER})", lines)


def _titled(title: str, columns: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> list[RenderableType]:
    if not rows:
        return []
    table = _table(columns)
    for row in rows:
        table.add_row(*(Text(cell) for cell in row))
    return [Text(title, style="bold"), table, Text("")]


def _list(title: str, lines: tuple[str, ...]) -> list[RenderableType]:
    if not lines:
        return []
    grid = Table.grid(padding=(0, 1))
    grid.add_column()
    grid.add_column()
    for line in lines:
        grid.add_row(Text("·"), Text(literal(line)))
    return [Text(title, style="bold"), grid, Text("")]


def _table(columns: tuple[str, ...]) -> Table:
    table = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1))
    table.show_header = any(columns)
    for heading in columns:
        table.add_column(Text(heading), overflow="fold")
    return table
