"""Where the numbers of a run come from: seeded draws of every uncertain input, or its central figure."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import draws
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from appraise.engine.age import Event
    from appraise.model.result import Range

    Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Sampler:
    """Where the numbers of one run come from: seeded draws, or the central figures."""

    seed: int
    n: int
    central: bool = False
    """True for one world in which every uncertain figure is at its middle."""

    @classmethod
    def centre(cls) -> Sampler:
        """Return the central figures, as one draw."""
        return cls(0, 1, central=True)

    def of_market(self, pairs: int) -> Sampler:
        """Return the source of the market: several draws for each of the condition, the same central figures."""
        return self if self.central else Sampler(self.seed, self.n * pairs)

    def scores(self, name: str) -> Array:
        """Return standard normal scores for one input, shape (n,)."""
        return np.zeros(1) if self.central else draws.normal(self.seed, name, self.n)

    def spread(self, name: str, relative_sd: float) -> Array:
        """Return factors around 1 with a relative standard deviation [–], shape (n,)."""
        return np.ones(1) if self.central else draws.spread(self.seed, name, self.n, relative_sd)

    def between(self, name: str, spread: Range) -> Array:
        """Return a positive quantity known by its 10 %, 50 % and 90 % quantiles, shape (n,)."""
        if self.central:
            return np.array([spread.mid])
        return draws.quantity(self.seed, name, self.n, spread.low, spread.mid, spread.high)

    def swing(self, name: str, below: float, above: float) -> Array:
        """Return the factors about the median of a positive quantity [–], see `draws.swing`, shape (n,)."""
        return np.ones(1) if self.central else draws.swing(self.seed, name, self.n, below, above)

    def since(self, event: Event) -> Array:
        """Return the years since an event, shape (n,)."""
        return np.array([event.middle()]) if self.central else event.drawn(self.seed, self.n)
