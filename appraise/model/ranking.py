"""A dealer's buying price for one instrument taken in trade, as rows to be set side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise import __version__
from appraise.model.lazy_dataclass import dataclass
from appraise.model.message import message
from appraise.model.result import Range  # noqa: TC001 - read at run time where results are kept

if TYPE_CHECKING:
    from appraise.model.case import Case

COURSES: dict[str, str] = {
    "after_work": message("after work"),
    "as_is": message("as is"),
    "part_out": message("part out"),
}
"""The dealer's course with it, and its name for a person."""

COSTS: dict[str, str] = {
    "labour_rate": message("labour rate"),
    "parts_rate": message("rate for parts"),
    "carriage": message("carriage"),
    "preparation": message("preparation"),
    "guarantee": message("guarantee"),
    "holding": message("holding"),
}
"""Costs that a case can state, and what a person reads."""

RATES = frozenset({"labour_rate", "parts_rate"})
"""Those of them without which no work is reckoned with."""


@dataclass(frozen=True, slots=True)
class TradeIn:
    """The residual method for one case; money in the case's currency."""

    currency: str
    resale_basis: str
    """Kind of sale at which it is resold: a row of the table `bases`."""
    course: str
    """One of `COURSES`: what is worth most in the median of the draws."""
    plan: tuple[str, ...]
    """Labels of the jobs worth doing before the resale."""
    resale: Range
    """Price after that work; of one that is broken up, what its parts bring, removal taken off [money]."""
    work: Range
    """Cost of that work, contingency included [money]."""
    carriage: float
    """In, and to the next owner; none for one that is broken up, whose removal is in the resale [money]."""
    preparation: float
    """For the showroom, with the tunings that a resale price includes [money]."""
    guarantee: float
    """Expected cost of the guarantee [money]."""
    holding: float
    """Until it is resold [money]."""
    margin_share: float
    """Least margin, of the resale price or of what the parts bring [–]."""
    margin: float
    """What the offer leaves of the resale of the course named once everything is paid [money]: offer = resale − work −
    carriage − preparation − guarantee − holding − margin."""
    probability: float
    """Share of the draws that the offer has to keep the margin in [–]."""
    offer: float
    """Highest offer that does, rounded down [money]; negative where the owner would have to pay."""
    share_of_retail: float | None
    """What the usual share of the retail price would have a dealer pay, for comparison [money]; none where it is
    parted out."""
    margin_kept: float
    """Share of the draws in which that offer leaves the whole margin [–]."""
    risk: float
    """Share of the draws in which that offer loses money [–]."""
    profit: float
    """Margin that that offer can be expected to leave of the course named [money]."""
    next_months: float | None
    """Until the first critical component needs major work, as it stands, the middle [months]."""
    next_part: str
    """Label of the component most likely to bring it; empty where none is critical."""
    looked_at: float
    """Share of what can be known of its condition that has been looked at, by replacement cost [–]."""
    preliminary: bool
    """A part was graded at a quick look, and the figures rest on that."""
    not_stated: tuple[str, ...]
    """Of `COSTS`, what the case does not state: without a rate no work is reckoned with, the rest is the tables'."""
    tables_version: str
    seed: int
    draws: int


@dataclass(frozen=True, slots=True)
class Candidate:
    """One case file in a ranking."""

    file: str
    """As found; never part of what is kept between runs."""
    kind: str
    maker: str
    model: str
    size_cm: float | None
    """[cm]."""
    made: str
    """ISO 8601 date, year or interval; empty where unknown."""
    sha256: str
    """Of the file's content."""
    program: str
    """Version of the program that valued it."""
    trade: TradeIn
    serial: str = ""
    basis: str = ""
    """The kind of value that the case asks for: a row of the table `bases`; the offer does not hang on it."""
    after_loss: bool = False
    """The case holds the state after a move or another loss, beside a frozen one before it."""

    @classmethod
    def of(cls, case: Case, file: str, sha256: str, trade: TradeIn) -> Candidate:
        """Return the candidate that a case is, valued by this program.

        Args:
            case: As the file holds it.
            file: As found.
            sha256: Of the file's content.
            trade: What a dealer can pay for it.
        """
        identity = case.identity
        made = "" if identity.made is None else str(identity.made)
        kind, size = str(identity.kind), identity.size_cm
        later, basis = case.earlier_state is not None, case.assignment.basis
        named = (file, kind, identity.maker, identity.model, size, made, sha256, __version__)
        return cls(*named, trade, identity.serial, basis, later)
