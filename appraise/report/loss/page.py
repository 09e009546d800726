"""A loss for the terminal: what `loss` prints for people, all text literal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich import box
from rich.table import Table
from rich.text import Text

from appraise.explain.terms import NOT_NOTED, OUTCOMES, limit_text, outcome_text
from appraise.model.claim import Finding
from appraise.model.loss import RemarkClass
from appraise.report.loss import carried, doubt, parts
from appraise.report.loss.compared import DEFER, MEASURES, NO_LOSS
from appraise.report.loss.dossier import describe
from appraise.report.loss.wreck import repair_or_total
from appraise.report.preliminary import compared_notes
from appraise.report.value_texts import LOCAL_CODES
from appraise.report.words import ORIGINS, TOPICS, capital, literal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rich.console import RenderableType

    from appraise.report.loss.compared import Compared


def loss_page(item: Compared) -> Iterator[RenderableType]:
    """Return the summary of one loss: the measure, remarks, worse parts, repair, alternatives, carriage, cautions."""
    say = item.manner.say
    page: list[RenderableType] = [_heading(item), Text("")]
    page += [line for result in compared_notes(item) for line in (Text(result, "bold"), Text(""))]
    page += [_measure(item), Text("")]
    if either := repair_or_total(item):
        page += [Text(either), Text("")]
    page += _remarks(item)
    page += _titled(say("Parts that got worse"), tuple(map(say, parts.COMPONENTS)), parts.component_rows(item))
    for scenario in item.loss.scenarios[-1:]:
        page += _titled(_repair_title(item), tuple(map(say, parts.JOBS)), parts.job_rows(item, scenario))
    page += _titled(say("Measures"), parts.alternative_columns(item), parts.alternative_rows(item))
    page += [Text(say(parts.NEAR)), Text("")]
    page += _titled(say("Items in doubt, one by one"), tuple(map(say, doubt.IN_DOUBT)), doubt.doubt_rows(item))
    page += _titled(say("Quotations"), tuple(map(say, doubt.QUOTATIONS)), doubt.quotation_rows(item))
    page += _titled(say("Bids for the salvage"), tuple(map(say, doubt.BIDS)), doubt.bid_rows(item))
    terms = item.loss.terms
    if terms.sum_insured is not None or terms.excess is not None:
        page += _titled(say("Payable"), ("", ""), parts.claim_rows(item))
    page += _carriage(item)
    page += _titled(
        say("Limits compared with the loss, {loss}", loss=item.spread(item.proposed.loss)),
        tuple(map(say, carried.LIMITS)),
        carried.limit_rows(item),
    )
    if item.delivered is not None and item.asked_on is not None:
        title = say(
            "Time limits from the delivery on {delivered}, as of {asked}",
            delivered=item.manner.day(item.delivered),
            asked=item.manner.day(item.asked_on),
        )
        page += _titled(title, tuple(map(say, parts.DEADLINES)), parts.deadline_rows(item))
    page += [Text(say("Limits, rules and time limits: {defer}.", defer=say(DEFER))), Text("")]
    page += _list(say("Cautions"), tuple(row.text for row in item.cautions))
    page += _list(say("Points to note"), item.limitations)
    page += _list(say("Assumed"), item.assumptions)
    yield from page
    yield Text(say(LOCAL_CODES))


def _heading(item: Compared) -> Text:
    say = item.manner.say
    basis = item.tables.bases[item.loss.basis]
    first, second = (item.manner.day(state.case.assignment.inspected) for state in (item.before, item.after))
    line = say(
        "{basis} · {first} → {second}, both valued on the later day",
        basis=literal(basis.label),
        first=first,
        second=second,
    )
    files = f"{literal(item.before.file)} → {literal(item.after.file)}"
    return Text.assemble((capital(describe(item)), "bold"), "\n", (line, "dim"), "\n", (files, "dim"))


def _measure(item: Compared) -> Text:
    say = item.manner.say
    result = item.proposed
    if not result.counts:
        text = Text(say(NO_LOSS), style="bold")
    elif result.loss is None:
        return Text(say("No loss in money can be stated."), style="bold")
    else:
        words = say("Proposed: {amount}, {measure}", amount="\0", measure=say(MEASURES[result.measure]))
        before, _, behind = words.partition("\0")
        text = Text.assemble(before, (item.spread(result.loss), "bold"), behind)
    if result.counts and result.payable != result.loss:
        text.append("\n" + say("Payable: {amount}", amount=item.spread(result.payable)))
    for other in item.loss.scenarios[1:]:
        text.append(
            "\n"
            + say(
                "With all of unknown origin counted: {amount}, {measure}",
                amount=item.spread(other.loss),
                measure=say(MEASURES[other.measure]),
            )
        )
    for place in parts.uncounted(item):
        text.append(
            "\n" + say("Attributed to the move, not counted: {place}: {why}", place=place, why=say(doubt.NO_JOB))
        )
    return text


def _remarks(item: Compared) -> Iterator[RenderableType]:
    say = item.manner.say
    sentences = [outcome_text(line.outcome, ticked=line.ticked) for line in item.loss.remarks if line.defect]
    counts = [
        f"{sentences.count(text)} {say(text)}"
        for text in (*OUTCOMES.values(), NOT_NOTED)
        if text != NOT_NOTED or text in sentences
    ]
    page: list[RenderableType] = [Text(say("Defects: {counts}", counts=item.manner.listed(counts)), style="bold")]
    lines = [line for line in item.loss.remarks if line.outcome is not RemarkClass.KEPT and line.defect]
    if lines:
        table = _table(("", say("Place"), say("What"), say("Origin")))
        for line in lines:
            cells = (
                say(outcome_text(line.outcome, ticked=line.ticked)),
                item.place(line.latest.place),
                literal(line.latest.text),
                parts.origin_text(item, line)
                if line.latest.finding is Finding.SUSPECTED
                else say(ORIGINS[line.origin]),
            )
            table.add_row(*(Text(cell) for cell in cells))
        page.append(table)
    yield from page
    yield Text("")


def _repair_title(item: Compared) -> str:
    say = item.manner.say
    wider = len(item.loss.scenarios) > 1
    return say("Repair, all of unknown origin counted") if wider else say("Repair")


def _carriage(item: Compared) -> Iterator[RenderableType]:
    say = item.manner.say
    rows = []
    for limit in item.limits:
        rule = item.tables.carriage_rules[limit.rule]
        amount, how = limit_text(limit, item.manner), ""
        if limit.amount is not None:
            amount, how = f"{limit.unit} {item.manner.decimal(limit.amount, 2, 2)}", amount
        rows.append((literal(rule.regime), amount, how, say(rule.standing.value)))
    plain = say("Maximum liability of a carrier under these rules, if one applies")
    scope = [rule.text for rule in item.tables.carriage_rules.values() if rule.topic in ("scope", "notice")]
    if item.weight_kg is None and item.volume_m3 is None:
        line = item.manner.several(
            "State --weight and --volume for the limits. {count} rule on scope and notice: {command}.",
            "State --weight and --volume for the limits. {count} rules on scope and notice: {command}.",
            len(scope),
            count=len(scope),
            command="`appraise sources carriage_rules`",
        )
        yield Text(plain, style="bold")
        yield Text(line)
        yield Text("")
        return
    yield from _titled(plain, (say("Regime"), say("At most"), say("How"), say("Standing")), tuple(rows))
    yield from _notices(item)


def _notices(item: Compared) -> Iterator[RenderableType]:
    say = item.manner.say
    rules = [rule for rule in item.tables.carriage_rules.values() if rule.topic != "limit"]
    lines = tuple(
        f"{rule.regime}, {say(TOPICS[rule.topic])}: {rule.text} ({say(rule.standing.value)})" for rule in rules
    )
    yield from _list(say("Scope, notice and time limits to sue"), lines)


def _titled(title: str, columns: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> Iterator[RenderableType]:
    if not rows:
        return
    table = _table(columns)
    for row in rows:
        table.add_row(*(Text(cell) for cell in row))
    yield Text(title, style="bold")
    yield table
    yield Text("")


def _list(title: str, lines: tuple[str, ...]) -> Iterator[RenderableType]:
    if not lines:
        return
    grid = Table.grid(padding=(0, 1))
    grid.add_column()
    grid.add_column()
    for line in lines:
        grid.add_row(Text("·"), Text(literal(line)))
    yield Text(title, style="bold")
    yield grid
    yield Text("")


def _table(columns: tuple[str, ...]) -> Table:
    table = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1))
    table.show_header = any(columns)
    for heading in columns:
        table.add_column(Text(heading), overflow="fold")
    return table
