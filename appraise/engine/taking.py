"""What it takes to take an instrument: a buyer's carriage and first tunings, and what a dealer pays before a resale."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine import costs as costing
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.tables.rows import Tables
    from appraise.tables.rows_worth import Basis


@dataclass(frozen=True, slots=True)
class Taking:
    """What comes off a price, whatever the condition is [money], and the shares of a resale price [–]."""

    carriage: float = 0.0
    tunings: float = 0.0
    """A buyer's first tunings; in a resale the tunings that its price includes."""
    delivery: float = 0.0
    """Carriage to the next owner, which a retail price includes."""
    preparation: float = 0.0
    holding: float = 0.0
    """As stated in the case; else the share counts."""
    guarantee: float = 0.0
    """As stated in the case; else the share counts."""
    holding_share: float = 0.0
    guarantee_share: float = 0.0
    margin_share: float = 0.0

    @property
    def flat(self) -> float:
        """The sums together [money]."""
        return self.carriage + self.tunings + self.delivery + self.preparation + self.holding + self.guarantee

    @property
    def kept(self) -> float:
        """Share of a resale price that is left after holding, guarantee and margin [–]."""
        return 1.0 - self.holding_share - self.guarantee_share - self.margin_share


def hour(case: Case, tables: Tables) -> float:
    """Return what an hour of carriers or of a tuner costs here [money]: the case's labour rate, else a share of new.

    One's own labour may cost nothing; carriers do, so that a rate of 0 is passed over.
    """
    if case.costs.labour_rate:
        return float(case.costs.labour_rate)
    return (case.market.cost_new or 0.0) * tables.setting(f"hour_of_new_{case.identity.kind}")


def carriage(case: Case, tables: Tables) -> float:
    """Return what one carriage costs [money]: as stated, else the table's hours, more for every flight of stairs."""
    if case.costs.carriage is not None:
        return float(case.costs.carriage)
    flights = case.identity.stairs or 0
    hours = tables.setting(f"carriage_hours_{case.identity.kind}")
    return hours * hour(case, tables) * (1.0 + flights * tables.setting("carriage_per_flight"))


def taking(case: Case, tables: Tables, basis: Basis) -> Taking:
    """Return what comes off a price on a basis.

    Args:
        case: Its costs count before the tables' rows.
        tables: The rows, in hours by kind or as shares of the resale price.
        basis: The kind of value.

    Returns:
        Nothing where the price includes it all or no sale is assumed; carriage and first tunings where the buyer pays
        for them; in a resale carriage in and out, preparation, tunings, guarantee, holding and margin.
    """
    if basis.method == "market":
        if not basis.buyer_carries:
            return Taking()
        return Taking(carriage(case, tables), tables.setting("first_tunings_hours") * hour(case, tables))
    if basis.method != "residual":
        return Taking()
    costs, kind, rate = case.costs, case.identity.kind, hour(case, tables)
    stated = costs.holding is not None
    return Taking(
        carriage=carriage(case, tables),
        tunings=tables.setting("first_tunings_hours") * rate,
        delivery=tables.setting(f"carriage_hours_{kind}") * rate,
        preparation=tables.setting(f"preparation_hours_{kind}") * rate
        if costs.preparation is None
        else float(costs.preparation),
        holding=float(costs.holding or 0) if stated else 0.0,
        guarantee=float(costs.guarantee or 0),
        holding_share=0.0 if stated else tables.setting("holding_share"),
        guarantee_share=tables.setting("guarantee_share") if costs.guarantee is None else 0.0,
        margin_share=costing.margin(case, tables),
    )
