"""A practice's dealings with an instrument: its offer, the outcome, and the practice itself."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Annotated

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from appraise.model.declaration import Amount, Chars, Digest, Form, Key, Name, Price, Row, Text


@dataclass(frozen=True, slots=True)
class Offer:
    """An offer to the seller; the figures of a valuation never look at it."""

    amount: Annotated[
        Amount | None,
        Form("Offered", "What the seller is offered; below 0: what taking it away would cost them. Empty: a line"),
    ] = None
    until: Annotated[date | None, Form("  stands until", "The offer sheet prints it: 2026-12-18. Empty: a line")] = None
    counts_on: Annotated[
        Text,
        Form("  counts on", "What has to be so: papers, free access, the stool. The seller reads it", long=True),
    ] = ""


@dataclass(frozen=True, slots=True)
class Outcome:
    """The outcome of a trade; the figures of a valuation never look at it."""

    asked: Annotated[Price | None, Form("Asked", "What was asked for it")] = None
    bought: Annotated[Price | None, Form("Bought for", "What the practice paid for it")] = None
    sold: Annotated[
        Price | None, Form("Sold for", "With the day and the kind of sale it can go into your sales book")
    ] = None
    day: Annotated[date | None, Form("Sold on", "Day of the sale: 2026-12-18")] = None
    sale: Annotated[Key, Row("sales", "a market or residual row of the table bases"), Form("Kind of sale")] = ""
    verified: Annotated[Text, Form("Evidence of the price", "Receipt, bank entry, word of the buyer")] = ""

    @property
    def finished(self) -> bool:
        """True where price, day and kind of the sale are known."""
        return self.sold is not None and self.day is not None and bool(self.sale)

    @property
    def lacking(self) -> tuple[str, ...]:
        """Return what a sale begun still lacks, as the file calls it; empty where none was begun."""
        known = {"sold": self.sold, "day": self.day, "sale": self.sale}
        return tuple(key for key, value in known.items() if not value) if any(known.values()) else ()


@dataclass(frozen=True, slots=True)
class Practice:
    """Under whose name documents go out, as the settings said when the case was begun."""

    name: Annotated[Name, Form("Practice", "Printed at the head of every document")] = ""
    address: Annotated[Text, Form("  address", "Street, place, telephone; a line each", long=True)] = ""
    letterhead: Annotated[
        str,
        Chars(500),
        Form("  letterhead", "A picture beside the case, PNG or JPEG, printed at the head of documents"),
    ] = ""
    """Path of a picture, relative to the case file."""
    sha256: Digest = ""
    """Of that picture."""
    qualifications: Annotated[Text, Form("  qualifications", "Training, memberships; printed with the signature")] = ""
    statement: Annotated[
        Text, Form("  statement", "What you state over your signature: interest, fee, standards kept", long=True)
    ] = ""
    signature: Annotated[
        Text, Form("  signature block", "Under the line to sign on: name, title; a line each", long=True)
    ] = ""
