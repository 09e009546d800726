"""Rows of cells that the page and the dossier of a loss share; every cell is literal text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.manner import message
from appraise.report.loss.compared import COUNTED, DEFER, MEASURES, NOT_KNOWN
from appraise.report.words import ORIGINS, literal

if TYPE_CHECKING:
    from appraise.model.loss import RemarkClass, Scenario
    from appraise.report.loss.compared import Compared
    from appraise.tables.rows_carriage import CarriageRule

REMARKS = (message("Place"), message("Notes"), message("Before"), message("After"), message("Cause"), message("Origin"))
CHECKS = (message("Check"), message("Part"), message("Before"), message("After"), message("Grade"))
COMPONENTS = (message("Part"), message("Before"), message("After"), message("By these checks"), message("Origin"))
JOBS = (message("Job"), message("Mends"), message("Hours"), message("Cost"), message("Betterment"))
RULES = (message("Regime"), message("What it says"), message("Comes to"), message("Source"))


def remark_rows(item: Compared, outcome: RemarkClass) -> tuple[tuple[str, ...], ...]:
    """Return the remarks of one class."""
    say = item.manner.say
    rows = []
    for line in item.loss.remarks:
        if line.outcome is outcome:
            latest = line.latest
            texts = (NOT_KNOWN if state is None else literal(state.text) for state in (line.before, line.after))
            notes = item.manner.listed(str(note) for note in latest.notes) or NOT_KNOWN
            rows.append(
                (
                    item.place(latest.place),
                    notes,
                    *texts,
                    literal(latest.cause) or NOT_KNOWN,
                    say(ORIGINS[latest.origin]),
                )
            )
    return tuple(rows)


def check_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return the checks that say something else."""
    say = item.manner.say
    rows = []
    for change in item.loss.checks:
        grades = (
            NOT_KNOWN if each is None else item.manner.grade(each) for each in (change.grade_before, change.grade_after)
        )
        rows.append(
            (
                literal(change.label),
                item.place(change.component),
                literal(change.before) or say("not made"),
                literal(change.after) or say("not made"),
                " → ".join(grades),
            )
        )
    return tuple(rows)


def component_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return the components that got worse."""
    say = item.manner.say
    rows = []
    for part in item.loss.components:
        labels = [literal(item.tables.checks[key].label) for key in part.checks]
        labels += [
            say("{label} (not made before)", label=literal(item.tables.checks[key].label)) for key in part.only_after
        ]
        cells = (literal(part.label), item.manner.grade(part.grade_before), item.manner.grade(part.grade_after))
        rows.append((*cells, "; ".join(labels) or say("the assessor’s own grade"), say(ORIGINS[part.origin])))
    return tuple(rows)


def job_rows(item: Compared, scenario: Scenario) -> tuple[tuple[str, ...], ...]:
    """Return the jobs of a repair and their sum."""
    say = item.manner.say
    rows = [
        (
            literal(job.label),
            item.manner.listed(item.manner.small(item.place(key)) for key in job.components)
            or say("a step or an adjustment"),
            say(
                "{mid} ({low} to {high})",
                mid=item.manner.number(job.hours.mid),
                low=item.manner.number(job.hours.low),
                high=item.manner.number(job.hours.high),
            ),
            item.spread(job.cost),
            f"{item.amount(job.betterment.mid)} ({item.manner.percent(job.depreciation)})"
            if job.depreciation
            else NOT_KNOWN,
        )
        for job in scenario.items
    ]
    if rows:
        new = NOT_KNOWN if scenario.betterment is None else item.amount(scenario.betterment.mid)
        rows.append((say("Together"), "", "", item.spread(scenario.repair), new))
    return tuple(rows)


def alternative_columns(item: Compared) -> tuple[str, ...]:
    """Return the headings of the table of alternatives."""
    return ("", *(item.manner.say(COUNTED[scenario.counting]) for scenario in item.loss.scenarios))


def alternative_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return both measures, the one proposed and what is payable, a column for each way to count the unknown."""
    say = item.manner.say
    scenarios = item.loss.scenarios

    def row(label: str, *cells: str) -> tuple[str, ...]:
        return (label, *cells)

    rows = [
        row(say("Parts counted"), *(str(len(each.components)) for each in scenarios)),
        row(say("Value before"), *(item.spread(item.loss.value_before) for _ in scenarios)),
        row(say("Value after"), *(item.spread(each.value_after) for each in scenarios)),
        row(say("Diminution in value"), *(item.spread(each.diminution) for each in scenarios)),
        row(say("Repair"), *(item.spread(each.repair) for each in scenarios)),
        row(say("Betterment in it"), *(item.spread(each.betterment) for each in scenarios)),
        row(say("Repair less betterment"), *(item.spread(each.net_repair) for each in scenarios)),
        row(say("Repair, of value before"), *(_share(item, each.repair_share) for each in scenarios)),
        row(say("Salvage, removal taken off"), *(item.spread(each.salvage) for each in scenarios)),
        row(say("Total loss"), *(say("yes") if each.total_loss else say("no") for each in scenarios)),
        row(say("Measure"), *(say(MEASURES[each.measure]) for each in scenarios)),
        row(say("Loss"), *(item.spread(each.loss) for each in scenarios)),
        row(say("Payable"), *(item.spread(each.payable) for each in scenarios)),
    ]
    return tuple(rows)


def _share(item: Compared, share: float | None) -> str:
    return NOT_KNOWN if share is None else item.manner.percent(share)


def claim_rows(item: Compared) -> tuple[tuple[str, str], ...]:
    """Return how the loss becomes what is payable: average, limit, excess; none without a policy."""
    say = item.manner.say
    loss, terms, found = item.loss, item.loss.terms, item.proposed
    rows = [(say("Loss, established"), item.spread(found.loss))]
    if terms.sum_insured is not None:
        rows.append((say("Sum insured"), item.manner.exact_money(float(terms.sum_insured), loss.currency)))
        if terms.value_at_risk is not None:
            rows.append(
                (say("Value at risk, as stated"), item.manner.exact_money(float(terms.value_at_risk), loss.currency))
            )
        else:
            rows.append((say("Value at risk: value before"), item.amount(loss.value_at_risk)))
        if loss.average is not None:
            rows.append((say("Average: share of the loss that is covered"), item.manner.percent(loss.average)))
    if terms.excess is not None:
        rows.append((say("Excess"), item.manner.exact_money(float(terms.excess), loss.currency)))
    rows.append((say("Payable"), item.spread(found.payable)))
    if loss.marine_partial is not None:
        text = say("Under a valued marine policy instead: insured value × fall of value / sound value")
        rows.append((text, item.spread(loss.marine_partial)))
    return tuple(rows)


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
                comes_to = f"{limit.unit} {item.manner.decimal(limit.amount, 2, 2)}: {limit.how}"
        rows.append(
            (
                f"{literal(rule.regime)}, {literal(item.manner.say(rule.topic))}",
                literal(rule.text),
                comes_to,
                source(item, rule),
            )
        )
    return tuple(rows)


def source(item: Compared, rule: CarriageRule) -> str:
    """Return where a rule comes from and how far it can be relied on."""
    say = item.manner.say
    row = item.tables.sources.get(rule.source)
    standing = say(rule.standing.value)
    words = [standing] if row is None else [literal(row.title), literal(rule.where), standing]
    yours = [say("your own table")] if rule.yours else []
    return f"{', '.join(word for word in (*words, *yours) if word)}; {say(DEFER)}"
