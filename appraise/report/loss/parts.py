"""Rows of cells that the page and the dossier of a loss share; every cell is literal text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.loss import RemarkClass
from appraise.model.shown import exact_money, grade, percent
from appraise.report.loss.compared import COUNTED, DEFER, MEASURES, NOT_KNOWN
from appraise.report.words import counted, day, listed, literal, number

if TYPE_CHECKING:
    from appraise.model.loss import Scenario
    from appraise.report.loss.compared import Compared
    from appraise.tables.rows_carriage import CarriageRule

REMARKS = ("Place", "Notes", "Before", "After", "Cause", "Origin")
CHECKS = ("Check", "Part", "Before", "After", "Grade")
COMPONENTS = ("Part", "Before", "After", "By these checks", "Origin")
JOBS = ("Job", "Mends", "Hours", "Cost", "Betterment")
CLAIM = ("Counted", "Measure", "Loss", "Payable")
DEADLINES = ("Regime", "For", "Last day", "State", "Source")
SIGNS = ("Part", "What a move does", "Fresh", "Old", "Standing")
RULES = ("Regime", "What it says", "Comes to", "Source")


def remark_rows(item: Compared, outcome: RemarkClass) -> tuple[tuple[str, ...], ...]:
    """Return the remarks of one class."""
    rows = []
    for line in item.loss.remarks:
        if line.outcome is outcome:
            latest = line.latest
            texts = (NOT_KNOWN if state is None else literal(state.text) for state in (line.before, line.after))
            notes = listed(str(note) for note in latest.notes) or NOT_KNOWN
            rows.append(
                (item.place(latest.place), notes, *texts, literal(latest.cause) or NOT_KNOWN, latest.origin.value)
            )
    return tuple(rows)


def checks_told(item: Compared) -> str:
    """Return how many checks say something else, the same, or were made only once, in one sentence."""
    changes = item.loss.checks
    twice = sum(bool(change.before and change.after) for change in changes)
    first = sum(not change.after for change in changes)
    words = [f"{counted(len(item.loss.unchanged), 'check')} the same both times", f"{twice} another answer"]
    words += [f"{len(changes) - twice - first} made only after"] if len(changes) > twice + first else []
    words += [f"{first} not made again and taken as unchanged"] if first else []
    return f"{', '.join(words)}."


def check_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return the checks that say something else; those that were not made again are only counted."""
    rows = []
    for change in item.loss.checks:
        if not change.after:
            continue
        grades = (NOT_KNOWN if each is None else grade(each) for each in (change.grade_before, change.grade_after))
        rows.append(
            (
                literal(change.label),
                item.place(change.component),
                literal(change.before) or "not made",
                literal(change.after) or "not made",
                " → ".join(grades),
            )
        )
    return tuple(rows)


def component_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return the components that got worse."""
    rows = []
    for part in item.loss.components:
        labels = [literal(item.tables.checks[key].label) for key in part.checks]
        labels += [f"{literal(item.tables.checks[key].label)} (not made before)" for key in part.only_after]
        cells = (literal(part.label), grade(part.grade_before), grade(part.grade_after))
        rows.append((*cells, "; ".join(labels) or "the assessor’s own grade", part.origin.value))
    return tuple(rows)


def job_rows(item: Compared, scenario: Scenario) -> tuple[tuple[str, ...], ...]:
    """Return the jobs of a repair and their sum."""
    rows = [
        (
            literal(job.label),
            listed(item.place(key).lower() for key in job.components) or "a step or an adjustment",
            f"{number(job.hours.mid)} ({number(job.hours.low)} to {number(job.hours.high)})",
            item.spread(job.cost),
            f"{item.amount(job.betterment.mid)} ({percent(job.depreciation)})" if job.depreciation else NOT_KNOWN,
        )
        for job in scenario.items
    ]
    if rows:
        new = NOT_KNOWN if scenario.betterment is None else item.amount(scenario.betterment.mid)
        rows.append(("Together", "", "", item.spread(scenario.repair), new))
    return tuple(rows)


def alternative_columns(item: Compared) -> tuple[str, ...]:
    """Return the headings of the table of alternatives."""
    return ("", *(COUNTED[scenario.counting] for scenario in item.loss.scenarios))


def alternative_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return both measures, the one proposed and what is payable, a column for each way to count the unknown."""
    scenarios = item.loss.scenarios

    def row(label: str, *cells: str) -> tuple[str, ...]:
        return (label, *cells)

    rows = [
        row("Parts counted", *(str(len(each.components)) for each in scenarios)),
        row("Value before", *(item.spread(item.loss.value_before) for _ in scenarios)),
        row("Value after", *(item.spread(each.value_after) for each in scenarios)),
        row("Diminution in value", *(item.spread(each.diminution) for each in scenarios)),
        row("Repair", *(item.spread(each.repair) for each in scenarios)),
        row("Betterment in it", *(item.spread(each.betterment) for each in scenarios)),
        row("Repair less betterment", *(item.spread(each.net_repair) for each in scenarios)),
        row("What repair leaves of the fall in value", *(item.spread(each.residual) for each in scenarios)),
        row("Loss by repair", *(item.spread(each.repair_route) for each in scenarios)),
        row("Repair, of value before", *(_share(each.repair_share) for each in scenarios)),
        row("Salvage, removal taken off", *(item.spread(each.salvage) for each in scenarios)),
        row("Total loss", *("yes" if each.total_loss else "no" for each in scenarios)),
        row("Repair and carriage pass the value before", *(_yes(each.constructive) for each in scenarios)),
        row("Measure", *(MEASURES[each.measure] for each in scenarios)),
        row("Loss", *(item.spread(each.loss) for each in scenarios)),
        row("Payable", *(item.spread(each.payable) for each in scenarios)),
    ]
    return tuple(rows)


def _yes(answer: bool | None) -> str:
    return NOT_KNOWN if answer is None else "yes" if answer else "no"


def _share(share: float | None) -> str:
    return NOT_KNOWN if share is None else percent(share)


def claim_rows(item: Compared) -> tuple[tuple[str, str], ...]:
    """Return how the loss becomes what is payable: average, limit, excess; none without a policy."""
    loss, terms, found = item.loss, item.loss.terms, item.proposed
    rows = [("Loss, established", item.spread(found.loss))]
    if terms.sum_insured is not None:
        rows.append(("Sum insured", exact_money(float(terms.sum_insured), loss.currency)))
        if terms.value_at_risk is not None:
            rows.append(("Value at risk, as stated", exact_money(float(terms.value_at_risk), loss.currency)))
        else:
            rows.append(("Value at risk: value before", item.amount(loss.value_at_risk)))
        if loss.average is not None:
            rows.append(("Average: share of the loss that is covered", percent(loss.average)))
    if terms.excess is not None:
        rows.append(("Excess", exact_money(float(terms.excess), loss.currency)))
    rows.append(("Payable", item.spread(found.payable)))
    if loss.marine_partial is not None:
        text = "Under a valued marine policy instead: insured value × fall of value / sound value"
        rows.append((text, item.spread(loss.marine_partial)))
    return tuple(rows)


def measure_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return every measure that can be stated, with what is payable by it; the one proposed is marked."""
    rows = []
    for scenario in item.loss.scenarios:
        for each in scenario.alternatives:
            mark = " (proposed)" if each.measure is scenario.measure else ""
            counted_ = COUNTED[scenario.counting].partition(":")[0]
            measure = MEASURES[each.measure] + mark
            rows.append((counted_, measure, item.spread(each.loss), item.spread(each.payable)))
    return tuple(rows)


def deadline_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return the periods that run from the delivery: what for, the last day, open or passed, and the source."""
    rows = []
    for each in item.deadlines:
        rule = item.tables.carriage_rules[each.rule]
        roughly = f" ({each.roughly})" if each.roughly else ""
        state = "passed" if each.passed else "open"
        cells = (literal(rule.regime), each.concerns, f"{day(each.last)}{roughly}", state)
        rows.append((*cells, source(item, rule, defer=False)))
    return tuple(rows)


def sign_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return how fresh damage tells itself from old at the places that got worse; everywhere where none did."""
    touched = {part.component for part in item.loss.components}
    touched |= {line.latest.place for line in item.loss.remarks if line.outcome in (RemarkClass.NEW, RemarkClass.WORSE)}
    kind = item.after.case.identity.kind
    rows = [row for row in item.tables.damage_signs.values() if kind in row.kinds]
    concerned = [row for row in rows if any({key, item.tables.components[key].station} & touched for key in row.places)]
    return tuple(
        (literal(row.label), literal(row.typical), literal(row.fresh), literal(row.old), row.standing.value)
        for row in concerned or rows
    )


def rule_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return the rules of carriage with what each comes to, its source and standing."""
    limits = {limit.rule: limit for limit in item.limits}
    rows = []
    for key, rule in item.tables.carriage_rules.items():
        limit = limits.get(key)
        comes_to = NOT_KNOWN
        if limit is not None:
            comes_to = limit.how
            if limit.amount is not None:
                comes_to = f"{limit.unit} {limit.amount:,.2f}: {limit.how}"
        rows.append(
            (f"{literal(rule.regime)}, {literal(rule.topic)}", literal(rule.text), comes_to, source(item, rule))
        )
    return tuple(rows)


def source(item: Compared, rule: CarriageRule, *, defer: bool = True) -> str:
    """Return where a rule comes from and how far it can be relied on; the warning may stand above instead."""
    row = item.tables.sources.get(rule.source)
    words = [rule.standing.value] if row is None else [literal(row.title), literal(rule.where), rule.standing.value]
    yours = ["your own table"] if rule.yours else []
    text = ", ".join(word for word in (*words, *yours) if word)
    return f"{text}; {DEFER}" if defer else text
