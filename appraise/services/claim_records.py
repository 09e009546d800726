"""What a claim needs beside the two states: who carried and insured, quotations, bids, notices and rates to fill in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.claim import LimitRate, Notice, Quotation, SalvageBid
from appraise.services import choices
from appraise.services.fields import NOTHING, Accepts, Field
from appraise.services.records import Records, unfinished

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.tables.rows import Tables

A = Accepts

CARRIAGE: tuple[Field, ...] = (
    Field(
        ("claim", "total_loss_pct"), "Total loss from", A.NUMBER, "%", "Of the value before; empty: the table's share"
    ),
    Field(
        ("claim", "tax_recovered"),
        "Tax recovered",
        A.CHOICE,
        help="yes: the claimant gets the tax on a quotation back, so that it is no loss",
        choices=choices.yes_no,
        required=True,
    ),
    Field(("claim", "regime"), "Regime of carriage", A.CHOICE, choices=choices.regimes, help="Empty: not known"),
    Field(("claim", "mover"), "Mover"),
    Field(("claim", "carrier"), "Carrier"),
    Field(("claim", "insurer"), "Insurer"),
    Field(("claim", "contract_number"), "Contract number"),
    Field(("claim", "consignment_number"), "Consignment number"),
    Field(("claim", "claim_number"), "Claim number"),
    Field(("claim", "policy_number"), "Policy number"),
    Field(("claim", "declared_value"), "Declared value", A.MONEY, help="Declared to the carrier", low=0.01),
    Field(("claim", "handed_over"), "Handed over on", A.DAY),
    Field(("claim", "lost"), "Date of loss", A.DAY),
)
"""Regime, parties, numbers and days, in the order of the form."""


def _blank_quotation(_case: Case, _tables: Tables) -> object:
    return unfinished(Quotation, firm="", amount=None, jobs=(), day=None)


def _quotation_title(record: object, _tables: Tables) -> str:
    if not isinstance(record, Quotation):
        return NOTHING
    return f"{record.firm}  {record.amount:,.2f}, {record.day.isoformat()}: {', '.join(record.jobs)}"


def _blank_bid(_case: Case, _tables: Tables) -> object:
    return unfinished(SalvageBid, bidder="", amount=None, day=None)


def _bid_title(record: object, _tables: Tables) -> str:
    if not isinstance(record, SalvageBid):
        return NOTHING
    return f"{record.bidder}  {record.amount:,.2f}, {record.day.isoformat()}"


def _blank_notice(_case: Case, _tables: Tables) -> object:
    return unfinished(Notice, day=None, how="")


def _notice_title(record: object, _tables: Tables) -> str:
    return f"{record.day.isoformat()}  {record.how}" if isinstance(record, Notice) else NOTHING


def _blank_rate(_case: Case, _tables: Tables) -> object:
    return unfinished(LimitRate, unit="SDR", rate=None, day=None)


def _rate_title(record: object, _tables: Tables) -> str:
    return f"{record.unit}  {record.rate:g}, {record.day.isoformat()}" if isinstance(record, LimitRate) else NOTHING


_FILE = Field(("file",), "File", help="The document beside the case file")
_DIGEST = Field(("sha256",), "SHA-256", help="Of that file: 64 hexadecimal digits")

QUOTATIONS = Records(
    ("claim", "quotations"),
    "Quotations",
    "quotation",
    _blank_quotation,
    _quotation_title,
    (
        Field(("firm",), "Firm", required=True),
        Field(("number",), "Number"),
        Field(("day",), "Day", A.DAY, required=True),
        Field(("jobs",), "Jobs", A.SEVERAL, choices=choices.jobs, required=True),
        Field(("amount",), "Sum", A.MONEY, help="Without tax", required=True, low=0),
        Field(("tax",), "Tax", A.MONEY, help="On that sum", required=True, low=0),
        Field(("scope",), "Scope", A.LONG, help="In its own words"),
        Field(("valid_until",), "Valid until", A.DAY),
        _FILE,
        _DIGEST,
    ),
)
"""What workshops ask; one that is taken stands in place of the table for its jobs."""

BIDS = Records(
    ("claim", "salvage_bids"),
    "Bids for the salvage",
    "bid",
    _blank_bid,
    _bid_title,
    (
        Field(("bidder",), "Bidder", required=True),
        Field(("amount",), "Bid", A.MONEY, help="Collected where it stands", required=True, low=0),
        Field(("day",), "Day", A.DAY, required=True),
        Field(("note",), "Note", A.LONG),
        _FILE,
        _DIGEST,
    ),
)
"""What is offered for the instrument as it stands; the highest counts."""

NOTICES = Records(
    ("claim", "notices"),
    "Notices given",
    "notice",
    _blank_notice,
    _notice_title,
    (
        Field(("day",), "Day", A.DAY, required=True),
        Field(("how",), "How", help="Letter, email, on the delivery note", required=True),
        Field(("to",), "To"),
        Field(("reservations",), "Reservations", A.LONG, help="As they were written"),
    ),
)
"""When and how damage was notified."""

RATES = Records(
    ("claim", "rates"),
    "Rates for limits",
    "rate",
    _blank_rate,
    _rate_title,
    (
        Field(("unit",), "Unit", help="SDR, or a currency", required=True),
        Field(("rate",), "Rate", A.NUMBER, help="Currency of the case for one unit", required=True, low=0),
        Field(("day",), "Day", A.DAY, required=True),
        Field(("source",), "Source"),
    ),
)
"""What a limit's unit comes to in the currency of the case, on a day."""

CLAIM_RECORDS: tuple[Records, ...] = (QUOTATIONS, BIDS, NOTICES, RATES)
"""The lists of a claim."""
