"""Which damage is counted: what is established, and what each remark in doubt would add."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

from appraise.engine.loss.changes import changed_checks, worse_components
from appraise.model import case as cases
from appraise.model.claim import Finding, Origin
from appraise.model.lazy_dataclass import dataclass
from appraise.model.loss import Doubt, RemarkClass, RemarkLine, unshown

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from appraise.model.case import Case
    from appraise.model.loss import RepairItem, WorseComponent
    from appraise.tables.rows import Tables


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of what is in doubt."""

    components: tuple[WorseComponent, ...]
    """Counted as damaged by the move."""
    jobs: tuple[tuple[str, float], ...] = ()
    """Jobs that remarks name, where no part got worse, with the share put down to the move [–]."""
    suspected: tuple[str, ...] = ()
    """Checks whose suspected fault is counted as there."""
    shares: tuple[tuple[str, float], ...] = ()
    """Component → share put down to the move [–], where it is not all."""

    def apportioned(self, items: Sequence[RepairItem]) -> float:
        """Return the share of a repair that is put down to the move [–], by the middle costs of its jobs.

        A job that mends several parts counts with the mean of their shares; steps count with the rest. Without jobs it
        is the mean over the parts.
        """
        own, named = dict(self.shares), dict(self.jobs)
        weighed = []
        for item in items:
            parts = [own.get(part, 1.0) for part in item.components]
            if parts or item.remedy in named:
                share = sum(parts) / len(parts) if parts else named[item.remedy]
                weighed.append((item.cost.mid, share))
        weighed = weighed or [(1.0, own.get(part.component, 1.0)) for part in self.components]
        whole = sum(cost for cost, _ in weighed)
        return sum(cost * share for cost, share in weighed) / whole if whole > 0.0 else 1.0


class Readings:
    """The readings of two states: the established one, one for each remark in doubt, and all of them together."""

    def __init__(
        self,
        before: Case,
        after: Case,
        tables: Tables,
        worse: Sequence[WorseComponent],
        remarks: Sequence[RemarkLine],
    ) -> None:
        self._before, self._after, self._tables = before, after, tables
        self._worse, self._remarks = tuple(worse), tuple(remarks)
        self._unmoved = tuple(unshown(remarks, worse))

    @cached_property
    def doubts(self) -> tuple[tuple[RemarkLine, Doubt], ...]:
        """Every remark in doubt, in the order of the remarks, then every part in doubt that has none."""
        found = ((line, self._doubt(line)) for line in self._remarks)
        told = tuple((line, doubt) for line, doubt in found if doubt is not None)
        return (*told, *((line, Doubt.UNTOLD) for line in self._untold))

    @cached_property
    def _untold(self) -> tuple[RemarkLine, ...]:
        """Parts of unknown origin that got worse and that no remark in doubt tells of, each as the remark it lacks."""
        told = {line.latest.place for line in self._remarks if self._doubt(line) is Doubt.UNKNOWN}
        return tuple(
            RemarkLine(RemarkClass.NEW, None, cases.Remark(part.component, self._checks(part)), 0.0)
            for part in self._worse
            if part.origin is Origin.UNKNOWN and not {part.component, part.station} & told
        )

    def _checks(self, part: WorseComponent) -> str:
        labels = (self._tables.checks[key].label for key in (*part.checks, *part.only_after))
        return "; ".join(labels) or part.label

    def _doubt(self, line: RemarkLine) -> Doubt | None:
        seen = line.latest.finding
        if line.outcome not in (RemarkClass.NEW, RemarkClass.WORSE) or seen is Finding.NO:
            return None
        if seen is not Finding.YES:
            return Doubt.SUSPECTED if seen is Finding.SUSPECTED else Doubt.NOT_SEEN
        if line.origin is Origin.UNKNOWN:
            return Doubt.UNKNOWN
        return Doubt.UNMOVED if line in self._unmoved else None

    @cached_property
    def established(self) -> Reading:
        """What is known to come from the move, the jobs of remarks among it whose part did not get worse."""
        moved = tuple(part for part in self._worse if part.origin is Origin.TRANSIT)
        return self._reading(moved, self._unmoved)

    @cached_property
    def widest(self) -> Reading:
        """All of unknown origin and all that is suspected counted."""
        lines = [line for line, doubt in self.doubts if doubt in (Doubt.UNKNOWN, Doubt.SUSPECTED)]
        return self._with(lines, everything=True)

    def sides(self, line: RemarkLine, doubt: Doubt) -> tuple[Reading, Reading]:
        """Return the reading without a remark in doubt, and the one with it."""
        if doubt is Doubt.UNMOVED:
            rest = [each for each in self._unmoved if each is not line]
            return self._reading(self.established.components, rest), self.established
        if doubt is Doubt.NOT_SEEN:
            return self.established, self.established
        return self.established, self._with([line])

    def _with(self, lines: Sequence[RemarkLine], *, everything: bool = False) -> Reading:
        suspected = [line for line in lines if line.latest.finding is Finding.SUSPECTED and line.latest.check]
        checks = tuple(dict.fromkeys(line.latest.check for line in suspected))
        places = {line.latest.place for line in lines}
        struck = {self._tables.checks[check].component for check in checks if check in self._tables.checks}
        later = {part.component: part for part in self._later(checks)} if checks else {}
        parts = []
        for part in self._worse:
            unknown = part.origin is Origin.UNKNOWN and (everything or {part.component, part.station} & places)
            if part.origin is Origin.TRANSIT or unknown:
                parts.append(later.get(part.component, part))
        known = {part.component for part in parts}
        parts += [part for key, part in later.items() if key in struck and key not in known]
        order = list(self._tables.components)
        parts.sort(key=lambda part: order.index(part.component))
        own = {place for part in self._worse for place in (part.component, part.station)}
        named = [line for line in lines if line.latest.place not in own]
        return self._reading(tuple(parts), (*self._unmoved, *named), checks)

    def _later(self, checks: Collection[str]) -> tuple[WorseComponent, ...]:
        after = answered(self._after, checks)
        changes = changed_checks(self._before, after, self._tables)
        return worse_components(self._before, after, changes, self._tables)

    def _reading(
        self, parts: tuple[WorseComponent, ...], named: Sequence[RemarkLine], suspected: tuple[str, ...] = ()
    ) -> Reading:
        jobs: dict[str, float] = {}
        for line in named:
            for job in line.latest.jobs:
                jobs[job] = max(jobs.get(job, 0.0), _share(line))
        shares = []
        for part in parts:
            said = self._shares(part.component) or self._shares(part.station)
            if said and min(said) < 1.0:
                shares.append((part.component, sum(said) / len(said)))
        return Reading(parts, tuple(jobs.items()), suspected, tuple(shares))

    def _shares(self, place: str) -> list[float]:
        return [
            _share(line)
            for line in self._remarks
            if line.fresh and line.latest.place == place and line.origin in (Origin.TRANSIT, Origin.UNKNOWN)
        ]


def _share(line: RemarkLine) -> float:
    stated = line.latest.share_pct
    return 1.0 if stated is None else stated / 100.0


def answered(case: Case, checks: Collection[str]) -> Case:
    """Return a case with yes-or-no checks answered with yes, whatever they said."""
    kept = tuple(reading for reading in case.readings if reading.check not in checks)
    grades = tuple(grade for grade in case.grades if grade.check not in checks)
    yes = tuple(cases.Reading(check, value=True) for check in checks)
    return replace(case, readings=(*kept, *yes), grades=grades)
