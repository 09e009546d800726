"""What age makes of a component in every draw, before its grade is looked at."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.belief import SOUND_ENOUGH
from appraise.engine.depreciation import AGE_ONLY, age_term, heidecke_at, ross, with_condition
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from appraise.engine.age import History
    from appraise.engine.depreciation import Spoken
    from appraise.engine.life import Weibull
    from appraise.engine.market_age import MarketCurve
    from appraise.tables.rows import Component, Tables
    from appraise.tables.rows_ageing import Law

    Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Ageing:
    """What age makes of a component in every draw, before its grade is looked at."""

    law: Law
    visibility: float
    term: Array | None
    """What the law makes of age [–]; none where the assessor states the effective age, or where nothing ages."""
    loss: Array | None
    """Depreciation where grades have no say [–]."""
    factor: Array | float
    """Of the market at the component's market age [–]."""
    renewed: Array | float
    """The same with the component new."""
    sound: Array
    """What is left of a sound one, times the factor [–]."""

    @classmethod
    def of_none(cls, row: Component, law: Law, n: int) -> Ageing:
        """Return what age makes of a fault of the whole, which does not age."""
        nothing = np.zeros(n)
        return cls(law, row.visibility, None, nothing, 1.0, 1.0, nothing + 1.0)

    @classmethod
    def of(
        cls,
        row: Component,
        history: History,
        life: Weibull,
        here: Array,
        stated: Array | float | None,
        law: Law,
        tables: Tables,
        market: MarketCurve | None,
        years: dict[str, Array],
    ) -> Ageing:
        """Return what age makes of a component; arrays of shape (n,).

        Args:
            row: The component.
            history: Its making and renewals.
            life: Distribution whose shape is used.
            here: Service life in this place [years].
            stated: Effective age as the assessor states it [years]; none: by the dates.
            law: The law of depreciation.
            tables: Condition classes.
            market: What its market makes of age; none where only cost counts.
            years: Since each event, by its name [years].
        """
        age = history.drawn(years)
        factor: Array | float = 1.0
        renewed: Array | float = 1.0
        if market is not None:
            made = years[history.made.name]
            factor = market.at(made, age) if history.steps else market.unrenewed(made)
            renewed = market.renewed(made)
        if stated is not None:
            loss = ross(stated / here)
            return cls(law, row.visibility, None, loss, factor, renewed, (1.0 - loss) * factor)
        term = age_term(law, age, life, here)
        spoken = np.array(heidecke_at(SOUND_ENOUGH, tables))
        sound = (1.0 - with_condition(law, term, spoken, row.visibility)) * factor
        return cls(law, row.visibility, term, None, factor, renewed, sound)

    def at(self, spoken: Spoken) -> tuple[Array, Array]:
        """Return depreciation, and what is left times the market's factor [–], from what the grades say."""
        if self.loss is not None or self.term is None:
            left = self.loss if self.loss is not None else np.zeros(1)
        else:
            left = with_condition(self.law, self.term, spoken.loss, self.visibility, spoken.share)
        return left, (1.0 - left) * self.factor

    def after(self, spoken: Spoken, *, resets: bool) -> Array:
        """Return what a job leaves times the market's factor [–], from what the grades say that it reaches."""
        if not resets:
            return self.at(spoken)[1]
        left = np.zeros_like(spoken.loss) if self.law.key in AGE_ONLY else spoken.loss
        return (1.0 - left) * self.renewed
