"""Which checks and components say something else after than before, and where that came from."""

from __future__ import annotations

from dataclasses import replace
from math import ceil
from typing import TYPE_CHECKING

from appraise.engine.grade import judged_checks
from appraise.engine.subject import assemble
from appraise.model.case import Grade
from appraise.model.claim import Finding, Origin
from appraise.model.loss import CheckAnswer, CheckChange, WorseComponent

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from appraise.engine.grade import Judged
    from appraise.model.case import Case, Reading
    from appraise.model.loss import RemarkLine
    from appraise.tables.rows import Tables

SLACK = 1e-9


def changed_checks(before: Case, after: Case, tables: Tables) -> tuple[CheckChange, ...]:
    """Return every check that says something else after, or was made only once, in table order."""
    one, two = judged_checks(before, tables), judged_checks(after, tables)
    first, second = _answers(before, one, tables), _answers(after, two, tables)
    found = []
    for key, check in tables.checks.items():
        was, now = first.get(key, ()), second.get(key, ())
        if _seen(was) == _seen(now):
            continue
        grades = [judged[key].result.own_grade if key in judged else None for judged in (one, two)]
        found.append(CheckChange(key, check.label, check.component, check.unit, was, now, *grades))
    return tuple(found)


def unchanged_checks(before: Case, after: Case, tables: Tables) -> tuple[str, ...]:
    """Return the checks that were made both times and said the same, in table order."""
    first, second = (_answers(case, judged_checks(case, tables), tables) for case in (before, after))
    return tuple(key for key in tables.checks if first.get(key) and _seen(first[key]) == _seen(second.get(key, ())))


def _answers(case: Case, judged: Mapping[str, Judged], tables: Tables) -> dict[str, tuple[CheckAnswer, ...]]:
    """Return the answers to each check."""
    readings: dict[str, list[Reading]] = {}
    for reading in case.readings:
        if reading.check in tables.checks:
            readings.setdefault(reading.check, []).append(reading)
    found = {}
    for key, several in readings.items():
        many = len(several) > 1
        found[key] = tuple(
            CheckAnswer(one.value, one.note if many else None, one.place if many and one.note is None else "")
            for one in several
        )
    for grade in case.grades:
        if grade.check and grade.check in judged:
            found[grade.check] = (CheckAnswer(grade.grade, graded=True),)
    return found


def _seen(answers: Sequence[CheckAnswer]) -> list[CheckAnswer]:
    """Return answers as finely as a reader gets them: what differs beyond that has not changed."""
    return [replace(one, value=round(one.value, 2)) if isinstance(one.value, float) else one for one in answers]


def worse_components(
    before: Case, after: Case, changes: Sequence[CheckChange], tables: Tables
) -> tuple[WorseComponent, ...]:
    """Return the components whose grade rose, with the checks that say so; origins are still unknown.

    A component counts where it was graded both times and its grade rose by the step that the settings ask for, or
    where a check made both times says so though another, older defect still governs.

    Args:
        before: The first state.
        after: The second.
        changes: From `changed_checks`.
        tables: The reference tables.
    """
    step = tables.setting("loss_grade_step") - SLACK
    grades = [observed(case, tables) for case in (before, after)]
    found = []
    for key, row in tables.components.items():
        first, second = (held.get(key) for held in grades)
        if first is None or second is None:
            continue
        own = [change for change in changes if change.component == key]
        both = tuple(change.check for change in own if change.worse_by >= step)
        rose = second - first >= step
        late = tuple(
            change.check
            for change in own
            if change.grade_before is None and change.grade_after is not None and change.grade_after - first >= step
        )
        if rose or both:
            found.append(
                WorseComponent(
                    key,
                    row.named(after.identity.kind),
                    row.station,
                    first,
                    second,
                    both,
                    late if rose else (),
                    Origin.UNKNOWN,
                )
            )
    return tuple(found)


def observed(case: Case, tables: Tables) -> dict[str, float | None]:
    """Return the grade that checks or the assessor gave each component; none where nobody looked."""
    return {
        part.key: part.seen.grade if part.overrule is None else part.overrule.grade
        for part in assemble(case, tables).parts
    }


def with_origins(components: Sequence[WorseComponent], remarks: Sequence[RemarkLine]) -> tuple[WorseComponent, ...]:
    """Say of each component where its change came from.

    Args:
        components: From `worse_components`.
        remarks: From `matching.match_remarks`.

    Returns:
        The components, each with the origin that the new and worse remarks of the component give, else those of its
        station: the move where any says so, else unknown where any does not know, else what the first says;
        unknown where there is no remark.
    """
    fresh = [line for line in remarks if line.fresh]

    def says(line: RemarkLine) -> Origin:
        # What is only suspected establishes nothing.
        return Origin.UNKNOWN if line.latest.finding is Finding.SUSPECTED else line.origin

    def origin(part: WorseComponent) -> Origin:
        said = [says(line) for line in fresh if line.latest.place == part.component]
        said = said or [says(line) for line in fresh if line.latest.place == part.station]
        for strongest in (Origin.TRANSIT, Origin.UNKNOWN):
            if strongest in said:
                return strongest
        return said[0] if said else Origin.UNKNOWN

    return tuple(replace(part, origin=origin(part)) for part in components)


def on_later_terms(before: Case, after: Case) -> Case:
    """Return the first state with the identity, the day, the basis and the money of the second."""
    return replace(before, identity=after.identity, assignment=after.assignment, market=after.market, costs=after.costs)


def with_damage(before: Case, after: Case, damaged: Collection[str], tables: Tables) -> Case:
    """Return the first state with the checks of the damaged components as they stood after, and nothing else.

    Args:
        before: The first state, with the money and the day that count.
        after: The second; a check that it did not repeat keeps what it said before.
        damaged: Components taken as damaged.
        tables: The checks.
    """
    chosen = set(damaged)

    def concerns(item: Reading | Grade) -> bool:
        row = tables.checks.get(item.check)
        own = isinstance(item, Grade) and item.component in chosen
        return own or (row is not None and row.component in chosen)

    readings = tuple(item for item in after.readings if concerns(item))
    grades = tuple(item for item in after.grades if concerns(item))
    repeated = {item.check for item in readings} | {item.check for item in grades}

    def stays(item: Reading | Grade) -> bool:
        # An overruling of the whole component would hide what has happened to it since.
        return not concerns(item) or bool(item.check and item.check not in repeated)

    return replace(
        before,
        readings=(*(item for item in before.readings if stays(item)), *readings),
        grades=(*(item for item in before.grades if stays(item)), *grades),
    )


def left_at(case: Case, grades: Mapping[str, float]) -> Case:
    """Return a case with components at the grades a repair leaves them at, to the next half step down.

    Args:
        case: The state before.
        grades: Component → grade after the repair, worse than it was before.
    """
    kept = tuple(grade for grade in case.grades if grade.component not in grades)
    put = tuple(
        Grade(min(5.0, ceil(2.0 * grade - SLACK) / 2.0), component=key, reason="after the repair")
        for key, grade in grades.items()
    )
    return replace(case, grades=(*kept, *put))
