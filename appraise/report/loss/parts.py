"""Rows of cells that the page and the dossier of a loss share; every cell is literal text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.loss.arithmetic import total_share
from appraise.engine.loss.periods import DELAY
from appraise.explain.terms import PERIOD_NOTES, PERIODS, answers_text
from appraise.model.claim import Finding
from appraise.model.currency import minor_digits
from appraise.model.loss import Doubt, RemarkClass
from appraise.model.message import message
from appraise.model.notes import note_name
from appraise.model.result import Range
from appraise.report.loss.carried import noticed
from appraise.report.loss.compared import COUNTED, MEASURES, NOT_KNOWN, SHORTLY
from appraise.report.words import ORIGINS, TOPICS, literal
from appraise.tables.rows import Standing

if TYPE_CHECKING:
    from appraise.model.loss import RemarkLine, Scenario
    from appraise.report.loss.compared import Compared
    from appraise.tables.rows_carriage import CarriageRule

REMARKS = (message("Place"), message("Notes"), message("Before"), message("After"), message("Cause"), message("Origin"))
LOOKED_FOR = (message("Place"), message("As it was noted"), message("Found"))
NO_DEFECT = {Finding.NO: message("no"), Finding.NOT_SEEN: message("could not be seen")}
"""Findings of a remark that tell of no defect."""
CHECKS = (message("Check"), message("Part"), message("Before"), message("After"), message("Grade"))
COMPONENTS = (message("Part"), message("Before"), message("After"), message("By these checks"), message("Origin"))
JOBS = (message("Job"), message("Repairs"), message("Hours"), message("Cost"), message("Betterment"))
RULES = (
    message("Regime"),
    message("Rule"),
    message("Source; check the current edition and the policy"),
)
CLAIM = (message("Counted"), message("Measure"), message("Loss"), message("Payable"))
DEADLINES = (
    message("Regime"),
    message("For"),
    message("Last day"),
    message("Status"),
    message("Notice given"),
)
NEAR = message(
    "Each amount is the median of its own draws, followed by the 10th and the 90th percentile, to three figures: a "
    "sum or a difference of these medians comes near the figure stated, not always exactly to it."
)
"""Note on rounding, for a reader with a calculator."""

FIGURES = frozenset((message("Hours"), message("Cost"), message("Betterment"), message("Loss"), message("Payable")))
"""Headings of columns of figures."""
SIGNS = (message("Part"), message("Damage by a move"), message("Fresh"), message("Old"))


def remark_rows(item: Compared, outcome: RemarkClass) -> tuple[tuple[str, ...], ...]:
    """Return the defects of one class; what was looked for and not found is none, and what is suspected says so."""
    rows = []
    compass = item.after.case.identity.compass
    for line in item.loss.remarks:
        latest = line.latest
        if line.outcome is outcome and line.defect:
            texts = (NOT_KNOWN if state is None else literal(state.text) for state in (line.before, line.after))
            notes = item.manner.listed(note_name(note, compass) for note in latest.notes) or NOT_KNOWN
            rows.append(
                (
                    item.place(latest.place),
                    notes,
                    *texts,
                    literal(latest.cause) or NOT_KNOWN,
                    origin_text(item, line),
                )
            )
    return tuple(rows)


def origin_text(item: Compared, line: RemarkLine) -> str:
    """Return where a defect came from; of one that is only suspected, that it is."""
    return item.manner.say("suspected" if line.latest.finding is Finding.SUSPECTED else ORIGINS[line.latest.origin])


def looked_for(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return the remarks that tell of no defect: what was looked for and is not there, or could not be seen."""
    say = item.manner.say
    return tuple(
        (item.place(line.latest.place), literal(line.latest.text), say(NO_DEFECT[line.latest.finding]))
        for line in item.loss.remarks
        if not line.defect
    )


def uncounted(item: Compared) -> tuple[str, ...]:
    """Return the places of damage put down to the move that no part shown to be worse stands for, each once."""
    left_out = [each.line for each in item.loss.doubtful if each.doubt is Doubt.UNMOVED and not each.costed]
    return tuple(dict.fromkeys(item.place(line.latest.place) for line in left_out))


def checks_text(item: Compared) -> str:
    """Return how many checks say something else, the same, or were made only once, in one sentence."""
    say, changes = item.manner.say, item.loss.checks
    twice = sum(bool(change.before and change.after) for change in changes)
    first = sum(not change.after for change in changes)
    same = len(item.loss.unchanged)
    words = [
        item.manner.several(
            "{number} check the same both times", "{number} checks the same both times", same, number=same
        ),
        say("{number} changed", number=twice),
    ]
    after = len(changes) - twice - first
    words += [say("{number} made only after", number=after)] if after else []
    words += [say("{number} not made again and taken as unchanged", number=first)] if first else []
    return f"{', '.join(words)}."


def check_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return the checks that say something else; those that were not made again are only counted."""
    say = item.manner.say
    rows = []
    for change in item.loss.checks:
        if not change.after:
            continue
        grades = (
            NOT_KNOWN if each is None else item.manner.grade(each) for each in (change.grade_before, change.grade_after)
        )
        rows.append(
            (
                literal(change.label),
                item.place(change.component),
                literal(answers_text(change.before, change.unit, item.manner)) or say("not made"),
                literal(answers_text(change.after, change.unit, item.manner)) or say("not made"),
                NOT_KNOWN if change.grade_before is change.grade_after is None else " → ".join(grades),
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


def job_rows(item: Compared, scenario: Scenario, above: Scenario | None = None) -> tuple[tuple[str, ...], ...]:
    """Return the jobs of a repair and their sum; those that another scenario tells alike are only summed."""
    say = item.manner.say
    known = () if above is None else above.items
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
        if job not in known
    ]
    if rows:
        new = NOT_KNOWN if scenario.betterment is None else item.amount(scenario.betterment.mid)
        together = say("Together with the established jobs above") if known else say("Together")
        rows.append((together, "", "", item.spread(scenario.repair), new))
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
        row(
            say("Diminution in value: before less after, or repair less betterment if more"),
            *(item.spread(each.diminution) for each in scenarios),
        ),
        row(say("Repair"), *(item.spread(each.repair) for each in scenarios)),
        row(say("Betterment in it"), *(item.spread(each.betterment) for each in scenarios)),
        row(say("Repair less betterment"), *(item.spread(each.net_repair) for each in scenarios)),
        row(say("Residual diminution after repair"), *(item.spread(each.residual) for each in scenarios)),
        row(
            say("Loss by repair: less betterment, with residual diminution"),
            *(item.spread(each.repair_route) for each in scenarios),
        ),
        row(
            say(
                "Repair as a share of value before; total loss from {share}",
                share=item.manner.percent(total_share(item.loss.terms, item.tables)),
            ),
            *(_share(item, each.repair_share) for each in scenarios),
        ),
        row(
            say("Salvage: the highest bid")
            if item.after.case.claim.salvage_bids
            else say("Salvage by the tables, less removal"),
            *(item.spread(each.salvage) for each in scenarios),
        ),
        row(say("Total loss"), *(say("yes") if each.total_loss else say("no") for each in scenarios)),
        row(say("Repair and carriage exceed the value before"), *(_yes(item, each.constructive) for each in scenarios)),
        row(say("Measure"), *(say(MEASURES[each.measure]) if each.counts else NOT_KNOWN for each in scenarios)),
        row(say("Loss"), *(item.spread(each.loss) for each in scenarios)),
        row(say("Payable"), *(item.spread(each.payable) for each in scenarios)),
    ]
    return tuple(rows)


def _yes(item: Compared, answer: bool | None) -> str:
    return NOT_KNOWN if answer is None else item.manner.say("yes") if answer else item.manner.say("no")


def _share(item: Compared, share: float | None) -> str:
    return NOT_KNOWN if share is None else item.manner.percent(share)


def claim_rows(item: Compared) -> tuple[tuple[str, str], ...]:
    """Return how the loss becomes what is payable: average, limit, excess; none without a policy."""
    say = item.manner.say
    loss, terms, result = item.loss, item.loss.terms, item.proposed
    rows = [(say("Loss attributable to the move"), item.spread(result.loss))]
    if result.apportioned < 1.0:
        share = item.manner.percent(result.apportioned)
        rows.insert(0, (say("Share of the measure attributed to the move, as stated for each defect"), share))
    if terms.sum_insured is not None:
        rows.append((say("Sum insured"), item.manner.exact_money(float(terms.sum_insured), loss.currency)))
        if terms.value_at_risk is not None:
            rows.append(
                (say("Value at risk, as stated"), item.manner.exact_money(float(terms.value_at_risk), loss.currency))
            )
        else:
            rows.append((say("Value at risk: value before"), item.amount(loss.value_at_risk)))
        if loss.average is not None:
            share = item.manner.percentage(100.0 * loss.average, 1)
            rows.append((say("Average: share of the loss that is covered"), share))
            if result.loss is not None and loss.average < 1.0:
                after = Range(*(loss.average * each for each in (result.loss.low, result.loss.mid, result.loss.high)))
                rows.append((say("After average"), item.spread(after)))
    if terms.excess is not None:
        rows.append((say("Excess (deductible)"), item.manner.exact_money(float(terms.excess), loss.currency)))
    rows.append((say("Payable"), item.spread(result.payable)))
    worked = working(item)
    if worked:
        rows.append((say("The median in full, for checking"), worked))
    if loss.marine_partial is not None:
        text = say("Under a valued marine policy instead: insured value × fall of value / sound value")
        rows.append((text, item.spread(loss.marine_partial)))
    return tuple(rows)


def working(item: Compared) -> str:
    """Return how the middle of the loss becomes the middle of what is payable, unrounded, in one line.

    Sums worked with the rounded figures come near; a reader with a calculator wants to arrive. Empty without a policy.
    """
    loss, terms, result = item.loss, item.loss.terms, item.proposed
    if result.loss is None or result.payable is None or (terms.sum_insured is None and terms.excess is None):
        return ""
    digits = minor_digits(loss.currency)

    def full(amount: float) -> str:
        return item.manner.decimal(amount, digits, digits)

    owed, text = result.loss.mid, full(result.loss.mid)
    if loss.average is not None and loss.average < 1.0 and loss.value_at_risk and terms.sum_insured is not None:
        owed *= loss.average
        text += f" × {full(float(terms.sum_insured))} / {full(loss.value_at_risk)} = {full(owed)}"
    if terms.sum_insured is not None and owed > float(terms.sum_insured):
        owed = float(terms.sum_insured)
        text = item.manner.say("{sum}, at most the sum insured: {most}", sum=text, most=full(owed))
    if terms.excess:
        first = text if text == full(owed) else f"{text}; {full(owed)}"
        left = owed - float(terms.excess)
        text = f"{first} − {full(float(terms.excess))} = {full(left)}"
        if left < 0.0:
            text = item.manner.say("{sum}, below zero: {least} is payable", sum=text, least=full(result.payable.mid))
    return text


def measure_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return every measure that can be stated, with what is payable by it; the one proposed is marked."""
    say = item.manner.say
    rows = []
    for scenario in item.loss.scenarios:
        for each in scenario.alternatives:
            counted_ = say(SHORTLY[scenario.counting])
            measure = say(MEASURES[each.measure])
            if each.measure is scenario.measure:
                measure = say("{measure} (proposed)", measure=measure)
            rows.append((counted_, measure, item.spread(each.loss), item.spread(each.payable)))
    return tuple(rows)


def deadline_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return the periods that run from the delivery: what for, the last day, open or passed, and notice given."""
    say = item.manner.say
    rows = []
    for each in item.deadlines:
        rule = item.tables.carriage_rules[each.rule]
        roughly = f" ({say(PERIOD_NOTES[each.roughly])})" if each.roughly else ""
        state = say("passed") if each.passed else say("open")
        # A notice of damage is none of delay.
        given = NOT_KNOWN if rule.topic == "suit" or each.concerns == DELAY else noticed(item, each.last)
        rows.append(
            (literal(rule.regime), say(PERIODS[each.concerns]), f"{item.manner.day(each.last)}{roughly}", state, given)
        )
    return tuple(rows)


def sign_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return how fresh damage tells itself from old at the places that got worse; everywhere where none did."""
    touched = {part.component for part in item.loss.components}
    touched |= {line.latest.place for line in item.loss.remarks if line.outcome in (RemarkClass.NEW, RemarkClass.WORSE)}
    kind = item.after.case.identity.kind
    rows = [row for row in item.tables.damage_signs.values() if kind in row.kinds]
    concerned = [row for row in rows if any({key, item.tables.components[key].station} & touched for key in row.places)]
    return tuple(
        (
            literal(row.label),
            literal(row.typical),
            literal(row.fresh),
            literal(row.old)
            if row.standing is Standing.COMMON_PRACTICE
            else item.manner.say(
                "{text} ({standing})", text=literal(row.old), standing=item.manner.say(row.standing.value)
            ),
        )
        for row in concerned or rows
    )


def rule_rows(item: Compared) -> tuple[tuple[str, ...], ...]:
    """Return the rules of carriage with the source of each and its standing; what limits come to stands apart."""
    rows, last = [], ""
    for rule in item.tables.carriage_rules.values():
        rows.append(
            (
                f"{literal(rule.regime)}, {item.manner.say(TOPICS[rule.topic])}",
                literal(rule.text),
                source(item, rule, again=bool(rule.source) and rule.source == last),
            )
        )
        last = rule.source
    return tuple(rows)


def source(item: Compared, rule: CarriageRule, *, again: bool = False) -> str:
    """Return where a rule comes from and how far it can be relied on; the warning stands at the head of the column."""
    say = item.manner.say
    row = item.tables.sources.get(rule.source)
    standing = say(rule.standing.value)
    title = "" if row is None else say("the same") if again else literal(row.title)
    words = [standing] if row is None else [title, literal(rule.where), standing]
    yours = [say("the appraiser’s own table")] if rule.yours else []
    return ", ".join(word for word in (*words, *yours) if word)
