"""What a reader of a loss must know: where the comparison does not reach, and what was assumed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.grade import judged_checks
from appraise.model.case import Origin
from appraise.model.loss import RemarkClass

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from appraise.model.case import Case
    from appraise.model.loss import RemarkLine, Scenario, Terms, WorseComponent
    from appraise.tables.rows import Tables


def cautions(
    before: Case,
    after: Case,
    remarks: Sequence[RemarkLine],
    worse: Sequence[WorseComponent],
    scenarios: Sequence[Scenario],
    tables: Tables,
) -> tuple[str, ...]:
    """Return a sentence for everything that limits the comparison, user text in it as it was typed."""
    return (
        *_of_identity(before, after),
        *_of_remarks(remarks, worse, tables),
        *_of_components(before, after, worse, scenarios, tables),
        *_of_money(before, after, tables),
    )


def _of_identity(before: Case, after: Case) -> Iterator[str]:
    serials = [bool(case.identity.serial.strip()) for case in (before, after)]
    if not any(serials):
        yield (
            "Neither file states the serial number, so that both are of one instrument rests on kind, maker and model."
        )
    elif not all(serials):
        missing = "earlier" if serials[1] else "later"
        yield (
            f"The {missing} file does not state the serial number, so that both are of one instrument rests on kind, "
            "maker and model."
        )


def _of_remarks(remarks: Sequence[RemarkLine], worse: Sequence[WorseComponent], tables: Tables) -> Iterator[str]:
    graded = {part.component for part in worse} | {part.station for part in worse}
    for line in remarks:
        if line.outcome in (RemarkClass.NEW, RemarkClass.WORSE):
            if line.origin is Origin.TRANSIT and line.latest.place not in graded:
                place = _label(line.latest.place, tables)
                yield (
                    f"Put down to the move, but no grade or reading of {place} got worse: “{line.latest.text}”; no "
                    "repair is costed for it."
                )
            if line.outcome is RemarkClass.NEW and line.origin is Origin.BEFORE:
                yield f"Said to have been there before, but not in the earlier state: “{line.latest.text}”."
    if any(line.outcome is RemarkClass.MENDED and not line.ticked for line in remarks):
        yield "A remark of the earlier state that is missing in the later one was mended, or was not noted again."


def _of_components(
    before: Case,
    after: Case,
    worse: Sequence[WorseComponent],
    scenarios: Sequence[Scenario],
    tables: Tables,
) -> Iterator[str]:
    unknown = [part.label for part in worse if part.origin is Origin.UNKNOWN]
    if unknown:
        yield (
            f"Got worse, with no established origin: {_list(unknown)}. The alternative counts them as coming "
            "from the move."
        )
    other = [
        f"{part.label} ({part.origin.value})" for part in worse if part.origin not in (Origin.UNKNOWN, Origin.TRANSIT)
    ]
    if other:
        yield f"Got worse for another reason than the move, and left out: {_list(other)}."
    late = [part.label for part in worse if part.only_after]
    if late:
        yield (
            f"Worse by a check that the earlier state did not make, so it may be older than the move: {_list(late)}."
        )
    first, second = (
        {tables.checks[key].component for key in judged_checks(case, tables)}
        | {grade.component for grade in case.grades if grade.component}
        for case in (before, after)
    )
    unseen = [row.label for key, row in tables.components.items() if key in second - first]
    if unseen:
        yield f"Looked at only after, so nothing can be compared: {_list(unseen)}."
    dropped = [row.label for key, row in tables.components.items() if key in first - second]
    if dropped:
        yield f"Looked at only before, so taken as unchanged: {_list(dropped)}."
    hard = dict.fromkeys(key for scenario in scenarios for key in scenario.unrestored)
    if hard:
        labels = [tables.components[key].label for key in hard]
        yield (
            "No remedy of the table brings these back to the grade they had, so the repair does not make "
            f"good the whole: {_list(labels)}."
        )


def _of_money(before: Case, after: Case, tables: Tables) -> Iterator[str]:
    if before.assignment.basis != after.assignment.basis:
        one, two = (tables.bases[case.assignment.basis].label for case in (before, after))
        yield f"The earlier file asks for another kind of value ({one}); both states are valued as {two}."
    if before.market != after.market or before.costs != after.costs:
        yield "Prices and rates of the two files differ; those of the later one count for both states."
    if before.renewals != after.renewals:
        yield "The renewals of the two files differ; those of the earlier one count for both states."
    if before.circumstances != after.circumstances:
        yield "Climate, use or records of the two files differ; those of the earlier one count for both states."
    if after.market.replacement_cost_new is None:
        yield "No replacement cost new is given, so no value and no diminution can be stated."
    elif tables.bases[after.assignment.basis].method == "replacement":
        yield (
            "Replacement new for old does not hang on condition, so it shows no diminution; ask for another "
            "kind of value."
        )
    if not after.costs.labour_rate:
        yield "No labour rate is given, so no repair can be costed."


def assumptions(terms: Terms, tables: Tables) -> tuple[str, ...]:
    """Return what was assumed, in sentences."""
    share = tables.setting("loss_total_share_pct")
    found = [
        "Both states are valued on the day of the later inspection, on one basis and with the same "
        "draws: time alone is no loss, and what is uncertain of both cancels.",
        "Value after is value before with the checks of the damaged components as found after; "
        "everything else stands as before.",
        "The repair is the cheapest set of jobs of the table that brings each damaged component within "
        f"{tables.setting('loss_restored_within'):g} of a grade of what it had, or makes it "
        "sound again; a step that several jobs need is paid once. A workshop’s estimate goes before it. "
        "Ranges of jobs do not add up: they are drawn together.",
        "The measure proposed is the lesser, by the middle figures, of repair (less betterment, with what "
        "a repair leaves of the fall in value) and diminution; both are shown.",
        "What a repair leaves of the fall in value is stated by the assessor."
        if terms.residual is not None
        else "What a repair leaves of the fall in value follows from the grades that the jobs reach; what a "
        "market takes off for damage that was mended well is not in it.",
        f"A repair that reaches {share:g}% of the value before is a total loss "
        f"({tables.settings['loss_total_share_pct'].standing.value}); the policy may say otherwise. "
        + (
            "No salvage is taken off: what is left goes to the insurer."
            if terms.surrendered
            else "Salvage is then taken off, for an instrument that stays with its owner."
        ),
        "Betterment is the depreciation of what is replaced, as it stood before, times what its "
        "replacement costs; work that only mends has none."
        if terms.betterment
        else "No betterment is deducted, as some jurisdictions ask for a partial loss.",
    ]
    if terms.sum_insured is not None:
        found.append(
            "Average is applied first, then the sum insured as the limit, then the excess; policies differ "
            "in the order."
        )
        condition = tables.setting("loss_average_condition_pct")
        if terms.special_condition:
            found.append(
                f"Special condition of average: none is applied from a sum insured of {condition:g}% of the "
                "value at risk."
            )
        if terms.value_at_risk is None:
            found.append(
                "The value at risk is the middle of the value before; the policy may ask for another kind of value."
            )
    return tuple(found)


def _label(place: str, tables: Tables) -> str:
    row = tables.components.get(place)
    return (row.label if row is not None else place.replace("_", " ")).lower()


def _list(labels: Iterable[str]) -> str:
    return "; ".join(labels)
