"""Cautions and assumptions of a loss: limits of the comparison, rules applied."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.grade import judged_checks
from appraise.engine.loss.arithmetic import total_share
from appraise.explain.terms import missing_cost, missing_rate
from appraise.model.case import STATION_LABELS
from appraise.model.claim import Origin
from appraise.model.locale_format import PLAIN, Formatter
from appraise.model.loss import Doubt, RemarkClass
from appraise.model.message import message

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from appraise.model.case import Case, Kind
    from appraise.model.loss import Loss, RemarkLine, RemarkScenario, Scenario, Terms, WorseComponent
    from appraise.tables.rows import Tables


_NOT_WORSE = message(
    "Attributed to the move, but no grade or reading of {place} is worse: “{text}”; no repair is costed for it."
)
_NOT_SEEN = message(
    "Attributed to the move, but {place} was not inspected before it, so there is nothing to compare: “{text}”; no "
    "repair is costed for it."
)


def cautions(loss: Loss, before: Case, after: Case, tables: Tables, manner: Formatter = PLAIN) -> tuple[str, ...]:
    """Return a sentence for everything that limits the comparison, user text in it as it was typed."""
    first, second = (_looked_at(case, tables) for case in (before, after))
    return (
        *_of_identity(before, after, manner),
        *_of_remarks(first, loss.remarks, loss.doubtful, tables, after.identity.kind, manner),
        *_of_components(first, second, loss.components, loss.scenarios, tables, after.identity.kind, manner),
        *_of_money(before, after, tables, manner),
    )


def _of_identity(before: Case, after: Case, manner: Formatter) -> Iterator[str]:
    serials = [bool(case.identity.serial.strip()) for case in (before, after)]
    if not any(serials):
        yield manner.say(
            "Neither file states the serial number: that both are of one instrument rests on kind, maker and model."
        )
    elif not serials[0]:
        yield manner.say(
            "The earlier file does not state the serial number: that both are of one instrument rests on kind, maker "
            "and model."
        )
    elif not serials[1]:
        yield manner.say(
            "The later file does not state the serial number: that both are of one instrument rests on kind, maker "
            "and model."
        )


def _of_remarks(
    seen: set[str],
    remarks: Sequence[RemarkLine],
    doubtful: Sequence[RemarkScenario],
    tables: Tables,
    kind: Kind,
    manner: Formatter,
) -> Iterator[str]:
    say = manner.say
    known = seen | {tables.components[key].station for key in seen}
    left_out = frozenset(each.line for each in doubtful if each.doubt is Doubt.UNMOVED and not each.costed)
    for line in remarks:
        if line in left_out:
            words = _NOT_WORSE if line.latest.place in known else _NOT_SEEN
            yield say(words, place=_label(line.latest.place, tables, kind, manner), text=line.latest.text)
        if line.outcome is RemarkClass.NEW and line.origin is Origin.BEFORE:
            yield say(
                "Said to be pre-existing, but not noted in the earlier inspection: “{text}”.", text=line.latest.text
            )
    if any(line.outcome is RemarkClass.MENDED and not line.ticked for line in remarks):
        yield say("A defect noted before and not after was repaired, or was not noted again.")


def _looked_at(case: Case, tables: Tables) -> set[str]:
    """Return the components that a check or the assessor gave a grade."""
    checked = {tables.checks[key].component for key in judged_checks(case, tables)}
    return checked | {grade.component for grade in case.grades if grade.component}


def _of_components(
    first: set[str],
    second: set[str],
    worse: Sequence[WorseComponent],
    scenarios: Sequence[Scenario],
    tables: Tables,
    kind: Kind,
    manner: Formatter,
) -> Iterator[str]:
    say = manner.say
    unknown = [part.label for part in worse if part.origin is Origin.UNKNOWN]
    if unknown:
        yield say(
            "Worse, with no established origin: {parts}. The alternative counts them as caused by the move.",
            parts=_list(unknown),
        )
    other = [
        f"{part.label} ({manner.say(part.origin.value)})"
        for part in worse
        if part.origin not in (Origin.UNKNOWN, Origin.TRANSIT)
    ]
    if other:
        yield say("Worse for a reason other than the move, and left out: {parts}.", parts=_list(other))
    late = [part.label for part in worse if part.only_after]
    if late:
        yield say(
            "Worse by a check that was not made before, so the damage may be older than the move: {parts}.",
            parts=_list(late),
        )
    unseen = [row.named(kind) for key, row in tables.components.items() if key in second - first]
    if unseen:
        yield say("Inspected only after, so there is nothing to compare: {parts}.", parts=_list(unseen))
    dropped = [row.named(kind) for key, row in tables.components.items() if key in first - second]
    if dropped:
        yield say("Inspected only before, so taken as unchanged: {parts}.", parts=_list(dropped))
    hard = dict.fromkeys(key for scenario in scenarios for key in scenario.unrestored)
    if hard:
        labels = [tables.components[key].named(kind) for key in hard]
        yield say(
            "No job in the tables restores these to their former grade, so the repair does not make the loss good in "
            "full: {parts}.",
            parts=_list(labels),
        )


def _of_money(before: Case, after: Case, tables: Tables, manner: Formatter) -> Iterator[str]:
    say = manner.say
    if before.assignment.basis != after.assignment.basis:
        one, two = (tables.bases[case.assignment.basis].label for case in (before, after))
        yield say(
            "The earlier file asks for another kind of value ({one}); both conditions are valued as {two}.",
            one=one,
            two=two,
        )
    if before.market != after.market or before.costs != after.costs:
        yield say("Prices and rates of the two files differ; those of the later one are used for both.")
    if before.renewals != after.renewals:
        yield say("The renewals of the two files differ; those of the earlier one are used for both.")
    if before.circumstances != after.circumstances:
        yield say("Climate, use or records of the two files differ; those of the earlier one are used for both.")
    if after.market.cost_new is None:
        why = missing_cost(after, manner)
        yield say("No value and no diminution can be stated: {why}.", why=why)
    elif tables.bases[after.assignment.basis].method == "replacement":
        yield say(
            "Replacement new for old does not depend on condition, so it shows no diminution; ask for another kind "
            "of value."
        )
    if not after.costs.reckoned:
        yield say("No repair can be costed: {why}.", why=missing_rate(after, manner))


def assumptions(terms: Terms, tables: Tables, manner: Formatter = PLAIN) -> tuple[str, ...]:
    """Return what was assumed, in sentences."""
    say = manner.say
    share = manner.percentage(100.0 * total_share(terms, tables), 1)
    within = manner.number(tables.setting("loss_restored_within"))
    nodes = [
        say(
            "Both conditions are valued on the day of the later inspection, on one basis and with the same draws: "
            "time alone is no loss, and uncertainty that both share cancels out."
        ),
        say(
            "Value after is value before with the checks of the damaged components as found after; everything else "
            "is as before."
        ),
        say(
            "The repair is the cheapest set of jobs in the tables that brings each damaged component within {within} "
            "of a grade of its former one, or makes it sound again; a step that several jobs need is paid for once. "
            "A workshop’s estimate takes precedence. The ranges of the jobs do not add up: they are drawn together.",
            within=within,
        ),
        say(
            "The measure proposed is the lesser, by the medians, of repair (less betterment, plus residual "
            "diminution) and diminution; both are shown."
        ),
        say(
            "Diminution is value before less value after; damage that can be repaired is deducted at no less than "
            "its repair less betterment. No loss exceeds the value before less salvage; if removal costs more than "
            "the salvage brings, the difference is disposal, shown as negative salvage and in no loss."
        ),
        say("Residual diminution after repair is stated by the assessor.")
        if terms.residual is not None
        else say(
            "Residual diminution follows from the grades that the jobs reach; the market’s discount for damage that "
            "was well repaired is not in it."
        ),
        say(
            "A repair that reaches {share} of the value before is a total loss ({standing}); the policy may say "
            "otherwise.",
            share=share,
            standing=say("as stated")
            if terms.total_loss_pct is not None
            else manner.say(tables.settings["loss_total_share_pct"].standing.value),
        )
        + " "
        + (
            say("No salvage is deducted: it passes to the insurer.")
            if terms.surrendered
            else say("Salvage is then deducted, for an instrument that its owner keeps.")
        ),
        say(
            "Betterment is the depreciation of the replaced part as it was before, times the cost of its "
            "replacement; work that only repairs has none."
        )
        if terms.betterment
        else say("No betterment is deducted, as some jurisdictions require for a partial loss."),
    ]
    if terms.sum_insured is not None:
        nodes.append(
            say(
                "Average is applied first, then the sum insured as the limit, then the excess; policies differ "
                "in the order."
            )
        )
        condition = manner.percentage(tables.setting("loss_average_condition_pct"), 1)
        if terms.special_condition:
            nodes.append(
                say(
                    "Special condition of average: no average is applied from a sum insured of {condition} of the "
                    "value at risk.",
                    condition=condition,
                )
            )
        if terms.value_at_risk is None:
            nodes.append(
                say(
                    "The value at risk is the median of the value before; the policy may ask for another kind of value."
                )
            )
    return tuple(nodes)


def _label(place: str, tables: Tables, kind: Kind, manner: Formatter) -> str:
    row = tables.components.get(place)
    if row is not None:
        return manner.small(row.named(kind))
    return manner.small(manner.render(STATION_LABELS.get(place, place.replace("_", " "))))


def _list(labels: Iterable[str]) -> str:
    return "; ".join(labels)
