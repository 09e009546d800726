"""What a look is worth: how much of the variance of a value its checks settle."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.belief import representative
from appraise.engine.grade import gradable
from appraise.engine.observation import settled_share
from appraise.engine.regression import COMMON, GRADE, Response
from appraise.engine.suspected import SUSPECTED
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from numpy.typing import NDArray

    from appraise.engine.subject import Instrument, Part
    from appraise.model.case import Case
    from appraise.tables.rows import Check, Tables

    Array = NDArray[np.float64]

_LEAST = 1e-12


@dataclass(frozen=True, eq=False)
class Knowledge:
    """What checks settle of a figure's variance, for any set of them."""

    total: float
    """Variance of the figure, the market's included."""
    own: Array
    """Variance that each part's own grade brings, by power, shape (parts, 2)."""
    fixed: float
    """Variance that no grade tells of, suspected faults among it."""
    shared: Array
    """Variance that the general condition brings, by power, shape (3,)."""
    lean: Array
    """How much of the first power reaches the figure through each part [–], shape (parts,); sums to 1."""
    rest: float
    """Variance of the condition that powers of single inputs leave: that of pairs of inputs."""
    before: Array
    """Variance of each part's own grade [grade²], shape (parts,)."""
    reach: Array
    """By how much looking at the whole of each part, nothing of it known, makes that variance fall [grade²]."""
    seen: Array
    """Share of each part looked at [–], shape (parts,)."""
    power: Array
    """Of that share with which the variance falls [–], shape (parts,); see `observation.settled_share`."""
    precision: float
    """Of the general condition, over its prior precision [–]."""
    places: Mapping[str, int]
    """Component → its place in the arrays."""
    looks: Mapping[str, Look]
    """Check not yet made → what it shows."""

    def settled(self, checks: Iterable[str]) -> float:
        """Return the share of the figure's variance that a set of checks can be expected to settle [–], in [0, 1).

        Args:
            checks: Keys of `looks`.

        Notes:
            A look shows the part's own grade with the spread of a seen grade, and settles the share φ of its variance.
            Of the k-th power of a normal score it settles φ^k (Mehler's formula). What a part has in common with the
            others is settled with the part, and in the others as far as it speaks for them. Of the variance that pairs
            of inputs bring, as much is settled as of the first of them times that of the second.
        """
        checks = tuple(checks)
        return self.of(*self.after(checks), sum(self.looks[key].confirms for key in checks))

    def after(self, checks: Iterable[str]) -> tuple[Array, Array, float]:
        """Return coverage [–] and own variance [grade²] by part, and the general condition's precision after checks."""
        seen, precision = self.seen.copy(), self.precision
        for key in checks:
            look = self.looks[key]
            seen[look.place] += look.step
            precision += look.speaks
        variance = self.before - self.reach * (settled_share(seen, self.power) - settled_share(self.seen, self.power))
        return seen, variance, precision

    def of(self, seen: Array, variance: Array, precision: float, confirmed: float = 0.0) -> float:
        """Return the share settled [–] where so much is known; see `after`.

        Args:
            seen: Coverage by part [–].
            variance: Own variance by part [grade²].
            precision: Of the general condition.
            confirmed: Variance of the figure that suspected faults bring which are confirmed or ruled out.
        """
        if self.total <= 0.0:
            return 0.0
        known = np.clip(1.0 - variance / np.maximum(self.before, _LEAST), 0.0, 1.0)
        open_before = np.maximum(_LEAST, 1.0 - settled_share(self.seen, self.power))
        left = np.sqrt(np.clip((1.0 - settled_share(seen, self.power)) / open_before, 0.0, 1.0))
        common = 1.0 - min(1.0, float(self.lean @ left) * sqrt(self.precision / precision)) ** 2
        found = confirmed + float(self.own[:, 0] @ known + self.own[:, 1] @ known**2)
        found += sum(float(value) * common ** (power + 1) for power, value in enumerate(self.shared))
        every = float(self.own.sum() + self.shared.sum()) + self.fixed
        if every > 0.0:
            found += self.rest * (found / every) ** 2
        return min(1.0 - _LEAST, found / self.total)

    def each(self) -> dict[str, float]:
        """Return the share of the variance that each check settles by itself [–], as `settled` does, all at once."""
        looks = list(self.looks.values())
        if not looks or self.total <= 0.0:
            return dict.fromkeys(self.looks, 0.0)
        places = np.array([look.place for look in looks])
        steps = np.array([look.step for look in looks])
        speaks = np.array([look.speaks for look in looks])
        held = settled_share(self.seen[places], self.power[places])
        told = settled_share(self.seen[places] + steps, self.power[places])
        known = np.clip(self.reach[places] * (told - held) / np.maximum(self.before[places], _LEAST), 0.0, 1.0)
        left = np.sqrt(np.clip((1.0 - told) / np.maximum(_LEAST, 1.0 - held), 0.0, 1.0))
        # Of a part that was seen as a whole nothing in common is left.
        others = float(self.lean @ (self.seen < 1.0)) - self.lean[places]
        open_ = (others + self.lean[places] * left) * np.sqrt(self.precision / (self.precision + speaks))
        common = 1.0 - np.minimum(1.0, open_) ** 2
        found = np.array([look.confirms for look in looks])
        found = found + self.own[places, 0] * known + self.own[places, 1] * known**2
        for power, value in enumerate(self.shared):
            found = found + value * common ** (power + 1)
        every = float(self.own.sum() + self.shared.sum()) + self.fixed
        if every > 0.0:
            found = found + self.rest * (found / every) ** 2
        shares = np.minimum(1.0 - _LEAST, found / self.total)
        return dict(zip(self.looks, (float(share) for share in shares), strict=True))

    def alone(self, check: str) -> Mapping[str, float]:
        """Return by input the share of its variance that one check settles [–]."""
        look = self.looks[check]
        if look.doubt:
            return {look.doubt: 1.0}
        place = look.place
        held, told = settled_share(self.seen[place] + np.array([0.0, look.step]), self.power[place]).tolist()
        left = sqrt(max(0.0, (1.0 - told) / max(_LEAST, 1.0 - held)))
        lean = float(self.lean[look.place])
        open_ = (1.0 - lean + lean * left) * sqrt(self.precision / (self.precision + look.speaks))
        falls = float(self.reach[look.place]) * (told - held)
        own = min(1.0, falls / max(_LEAST, float(self.before[look.place])))
        return {f"{GRADE}{look.row.component}": own, COMMON: max(0.0, 1.0 - min(1.0, open_) ** 2)}


@dataclass(frozen=True, slots=True)
class Look:
    """One check not yet made, or made with a fault suspected by it, and what it would show."""

    row: Check
    place: int
    """Of its part."""
    step: float
    """Of the part's coverage [–]."""
    speaks: float
    """Added to the precision of the general condition [–]."""
    doubt: str = ""
    """Name of the input that its suspected fault is; empty where none is suspected."""
    confirms: float = 0.0
    """Variance of the figure that is settled with that fault, in the figure's unit squared."""


def narrowing(settled: float) -> float:
    """Return by how much a range narrows [%] where this share of the variance is settled [–]."""
    return 100.0 * (1.0 - sqrt(max(0.0, 1.0 - settled)))


def knowledge(
    case: Case,
    subject: Instrument,
    response: Response,
    variances: tuple[float, float],
    tables: Tables,
    doubts: Mapping[str, float],
) -> Knowledge:
    """Return what the checks not yet made would settle, and those made again by which a fault is suspected.

    Args:
        case: For the kind of instrument.
        subject: The instrument.
        response: Of the value to the inputs.
        variances: Of the value, and of its mean over the markets that one condition meets, freed of chance.
        tables: Checks and settings.
        doubts: Variance of the value that each suspected fault brings, by its check; see `suspected_draws.brought`.
    """
    total, of_condition = variances
    parts = subject.parts
    places = {part.key: at for at, part in enumerate(parts)}
    own = np.array([response.strength(f"{GRADE}{part.key}") for part in parts])
    shared = response.strength(COMMON)
    # A fault is there or not: what it brings no power of a score tells.
    graded = (name for name in response.terms if not name.startswith(SUSPECTED))
    explained = sum(float(response.strength(name).sum()) for name in graded) + sum(doubts.values())
    fixed = explained - float(own.sum() + shared.sum())
    before = np.array([part.belief.own_sd**2 for part in parts])
    powers = [1.0 if part.row.hazard else tables.setting("akin_checks_power") for part in parts]
    # Not drawn towards 0: many small parts carry the general condition together. None carries it the other way.
    reach = np.array(
        [
            response.slope(f"{GRADE}{part.key}") * part.belief.common_sd / max(_LEAST, part.belief.own_sd)
            for part in parts
        ]
    ) * np.sign(response.slope(COMMON))
    reach = np.maximum(0.0, reach)
    if reach.sum() <= 0.0:
        reach = np.array([part.share * part.belief.common_sd for part in parts])
    lean = reach / reach.sum() if reach.sum() > 0.0 else np.full(len(parts), 1.0 / len(parts))
    return Knowledge(
        total,
        own,
        fixed,
        shared,
        lean,
        max(0.0, of_condition - explained),
        before,
        np.array([_open_variance(part, power, tables) for part, power in zip(parts, powers, strict=True)]),
        np.array([part.inspected for part in parts]),
        np.array(powers),
        subject.common.precision,
        places,
        _looks(case, subject, places, tables) | _again(subject, places, tables, doubts),
    )


def _looks(case: Case, subject: Instrument, places: Mapping[str, int], tables: Tables) -> dict[str, Look]:
    """Return the checks not yet made of the parts whose grade they would set, in table order of the parts."""
    rho = tables.setting("common_condition_share")
    spoken = representative({part.key: part.share * part.row.speaks for part in subject.parts})
    checks = gradable(tables, case.identity.kind)
    found = {}
    for part in subject.parts:
        if part.decided or part.stated is not None:
            continue
        done = {judged.result.check for judged in part.seen.judged}
        rows = checks.get(part.key, [])
        total = sum(row.weight for row in rows)
        speaks = spoken[part.key] * rho / (1.0 - rho)
        for row in rows:
            if row.key not in done and total > 0.0:
                step = row.weight / total
                found[row.key] = Look(row, places[part.key], step, step * speaks * row.wear)
    return found


def _again(
    subject: Instrument, places: Mapping[str, int], tables: Tables, doubts: Mapping[str, float]
) -> dict[str, Look]:
    """Return the checks by which a fault is suspected: made again by a surer way, they settle whether it is there."""
    return {
        doubt.check: Look(
            tables.checks[doubt.check], places[part.key], 0.0, 0.0, f"{SUSPECTED}{doubt.check}", doubts[doubt.check]
        )
        for part in subject.parts
        for doubt in part.suspected
    }


def _open_variance(part: Part, power: float, tables: Tables) -> float:
    """Return by how much looking at the whole of an unseen part makes its own variance fall [grade²].

    The belief's own variance is τ·s² + (1 − τ)·u² beside what sampling adds, τ from the coverage (see
    `observation.settled_share`), so that τ from 0 to 1 takes u² − s² off.
    """
    seen_var = tables.setting("grade_sd_seen") ** 2
    settled: float = part.inspected**power
    if 1.0 - settled <= _LEAST:
        return 0.0
    unseen_var = (part.belief.own_sd**2 - settled * seen_var - part.seen.sampling_sd**2) / (1.0 - settled)
    return max(0.0, unseen_var - seen_var)
