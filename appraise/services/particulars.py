"""Which fields the particulars of a case have, and the lists of records that belong to it."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from appraise.model.case import (
    STATION_LABELS,
    Adjustment,
    Comparable,
    Extent,
    Kind,
    Origin,
    Remark,
    Renewal,
)
from appraise.model.manner import Units
from appraise.model.span import Span
from appraise.services.fields import NOTHING, Accepts, Choices, Field
from appraise.services.pitch_records import DRYING_CLUES, PITCH_LOG
from appraise.services.records import Records

if TYPE_CHECKING:
    from collections.abc import Callable

    from appraise.model.case import Case
    from appraise.tables.rows import Tables


def _kinds(_case: Case, _tables: Tables) -> Choices:
    return tuple((kind.value, kind.value) for kind in Kind)


def _units(_case: Case, _tables: Tables) -> Choices:
    return ((Units.METRIC.value, "metric"), (Units.INCH.value, "inches, inch-pounds, pounds, °F; touch stays in grams"))


def _bases(_case: Case, tables: Tables) -> Choices:
    return tuple((key, row.label) for key, row in tables.bases.items())


def _laws(_case: Case, tables: Tables) -> Choices:
    return tuple((key, row.label) for key, row in tables.laws.items())


def _climates(_case: Case, tables: Tables) -> Choices:
    return tuple((key, row.label) for key, row in tables.climates.items())


def _uses(_case: Case, tables: Tables) -> Choices:
    return tuple((key, row.label) for key, row in tables.uses.items())


def _clues(_case: Case, tables: Tables) -> Choices:
    return tuple((key, row.label) for key, row in tables.dating_clues.items())


def _extents(_case: Case, _tables: Tables) -> Choices:
    return tuple((extent.value, extent.value) for extent in Extent)


def _origins(_case: Case, _tables: Tables) -> Choices:
    return tuple((origin.value, origin.value) for origin in Origin)


def _components(case: Case, tables: Tables) -> Choices:
    return tuple((key, row.label) for key, row in tables.components.items() if case.identity.kind in row.kinds)


def _places(case: Case, tables: Tables) -> Choices:
    parts = _components(case, tables)
    taken = {key for key, _ in parts}
    return (*((key, label) for key, label in STATION_LABELS.items() if key not in taken), *parts)


def _factor(factor: str) -> Callable[[Case, Tables], Choices]:
    def classes(case: Case, tables: Tables) -> Choices:
        found: dict[str, str] = {}
        for row in tables.market_factors.values():
            if row.factor == factor and case.identity.kind in row.kinds:
                found.setdefault(row.key, row.label)
        return tuple(found.items())

    return classes


def _variants(component: str) -> Callable[[Case, Tables], Choices]:
    def variants(_case: Case, tables: Tables) -> Choices:
        found = [row.variant for row in tables.lives.values() if row.component == component and row.variant]
        return tuple((variant, variant.replace("_", " ")) for variant in dict.fromkeys(found))

    return variants


def _finishes(case: Case, tables: Tables) -> Choices:
    """Finishes that change the life of the surface, the price of the whole, or both."""
    found = dict(_variants("finish")(case, tables))
    found.update(_factor("finish")(case, tables))
    return tuple(found.items())


A = Accepts

_ENDS = "With both ends the cost itself may be left open: their middle stands for it"

SECTIONS: tuple[tuple[str, tuple[Field, ...]], ...] = (
    (
        "Instrument",
        (
            Field(("identity", "kind"), "Kind", A.CHOICE, choices=_kinds, required=True),
            Field(("identity", "maker"), "Maker"),
            Field(("identity", "model"), "Model"),
            Field(
                ("identity", "size_cm"),
                "Size",
                A.NUMBER,
                "cm",
                "Length of a grand, height of an upright; 47 in",
                low=50,
                high=500,
            ),
            Field(("identity", "serial"), "Serial number"),
            Field(("identity", "made"), "Built", A.SPAN, help="1931, 1931-05 or 1925/1931"),
            Field(("identity", "made_evidence"), "How that is known", help="Serial list, invoice, date inside"),
            Field(("identity", "tier"), "Maker's standing", A.CHOICE, choices=_factor("tier")),
            Field(("identity", "finish"), "Finish", A.CHOICE, choices=_finishes),
            Field(("identity", "key_covering"), "Key coverings", A.CHOICE, choices=_variants("key_coverings")),
            Field(("identity", "compass"), "Compass", A.WHOLE, "notes", required=True, low=12, high=120),
        ),
    ),
    (
        "Assignment",
        (
            Field(("assignment", "inspected"), "Inspected on", A.DAY, required=True, help="Effective date: 2026-11-20"),
            Field(("assignment", "basis"), "Basis of value", A.CHOICE, choices=_bases, required=True),
            Field(("assignment", "currency"), "Currency", help="ISO 4217: EUR, CHF, GBP", required=True),
            Field(("assignment", "purpose"), "Purpose"),
            Field(("assignment", "reported"), "Reported on", A.DAY),
            Field(("assignment", "place"), "Place"),
            Field(("assignment", "assessor"), "Assessor"),
            Field(("assignment", "client"), "Client"),
            Field(("assignment", "intended_users"), "Intended users"),
            Field(("assignment", "limits"), "Limits", A.LONG, help="What could not be seen or opened"),
            Field(("assignment", "equipment"), "Measured with", help="Gauges and weights, and when last checked"),
            Field(
                ("assignment", "locale"),
                "Reports written as in",
                A.LOCALE,
                help="Figures and dates: de_CH, en_US, fr_FR; empty: as on the screen",
            ),
            Field(("assignment", "units"), "Measured in", A.CHOICE, choices=_units, required=True),
            Field(("assignment", "law"), "Depreciation law", A.CHOICE, choices=_laws, required=True),
        ),
    ),
    (
        "Circumstances",
        (
            Field(("circumstances", "climate"), "Climate", A.CHOICE, choices=_climates, required=True),
            Field(("circumstances", "use"), "Use", A.CHOICE, choices=_uses, required=True),
            Field(("circumstances", "records"), "Service records", A.CHOICE, choices=_factor("records"), required=True),
        ),
    ),
    (
        "Market",
        (
            Field(("market", "replacement_cost_new"), "Replacement cost new", A.MONEY, low=0),
            Field(("market", "replacement_cost_low"), "  at least", A.MONEY, help=_ENDS, low=0),
            Field(("market", "replacement_cost_high"), "  at most", A.MONEY, help=_ENDS, low=0),
            Field(("market", "replacement_source"), "  source"),
            Field(
                ("market", "yearly_price_change_pct"),
                "Price change",
                A.NUMBER,
                "% a year",
                required=True,
                low=-50,
                high=100,
            ),
            Field(("market", "weight_cost_pct"), "Weight of cost approach", A.NUMBER, "%", low=0, high=100),
            Field(("market", "weight_reason"), "  reason"),
        ),
    ),
    (
        "Costs",
        (
            Field(
                ("costs", "labour_rate"),
                "Labour rate an hour",
                A.MONEY,
                help="0 for work that costs nothing, as your own may; then state the rate for parts",
                low=0,
            ),
            Field(
                ("costs", "parts_rate"),
                "  parts priced at",
                A.MONEY,
                help="The trade's rate an hour: the tables give parts as a share of labour; empty: the labour rate",
                low=0.01,
            ),
            Field(("costs", "overhead_pct"), "Overhead", A.NUMBER, "%", "On labour and parts", low=0, high=1000),
            Field(
                ("costs", "contingency_pct"),
                "Contingency",
                A.NUMBER,
                "%",
                "For what opening it shows",
                low=0,
                high=1000,
            ),
            Field(("costs", "margin_pct"), "Margin", A.NUMBER, "%", "Of a dealer's resale", low=0, high=100),
            Field(("costs", "carriage"), "Carriage", A.MONEY, help="Of a dealer's purchase", low=0),
            Field(("costs", "holding"), "Holding", A.MONEY, help="Room, money and care until a dealer sells it", low=0),
            Field(
                ("costs", "removal"),
                "Removal",
                A.MONEY,
                help="Taking it away for good; empty: the table's hours",
                low=0,
            ),
        ),
    ),
)
"""The particulars, by section."""


def _blank_renewal(case: Case, tables: Tables) -> object:
    return Renewal((_components(case, tables)[0][0],))


def _renewal_title(record: object, tables: Tables) -> str:
    if not isinstance(record, Renewal):
        return NOTHING
    when = str(record.date) if record.date else "by clues" if record.clues else "undated"
    parts = [tables.components[key].label if key in tables.components else key for key in record.components]
    return f"{when} {record.extent.value}: {', '.join(parts)}"


def _blank_remark(_case: Case, _tables: Tables) -> object:
    return Remark("case", "")


def _remark_title(record: object, tables: Tables) -> str:
    if not isinstance(record, Remark):
        return NOTHING
    component = tables.components.get(record.place)
    place = component.label if component is not None else STATION_LABELS.get(record.place, record.place)
    return f"{place}: {' '.join(record.text.split()) or 'nothing written yet'}"


def _blank_comparable(case: Case, _tables: Tables) -> object:
    made = case.identity.made or Span.of_year(case.assignment.inspected.year)
    return Comparable("", Decimal(1000), case.assignment.inspected, "private_sale", made, 3.0)


def _comparable_title(record: object, _tables: Tables) -> str:
    if not isinstance(record, Comparable):
        return NOTHING
    return f"{record.label or 'unnamed'}  {record.price:,.0f}, {record.date.isoformat()}"


def _blank_adjustment(_case: Case, _tables: Tables) -> object:
    return Adjustment("provenance", "to be stated", pct=0.0)


def _adjustment_title(record: object, _tables: Tables) -> str:
    if not isinstance(record, Adjustment):
        return NOTHING
    size = f"{record.pct:+g} %" if record.pct is not None else f"{record.amount:+}" if record.amount else NOTHING
    return f"{record.name}  {size}"


RENEWALS = Records(
    ("renewals",),
    "Renewals",
    "renewal",
    _blank_renewal,
    _renewal_title,
    (
        Field(("components",), "Components", A.SEVERAL, choices=_components, required=True),
        Field(("date",), "When", A.SPAN, help="1998, 1998-05 or 1995/2001; leave empty to go by clues"),
        Field(("clues",), "Clues to its date", A.SEVERAL, choices=_clues),
        Field(("extent",), "Extent", A.CHOICE, choices=_extents, required=True),
        Field(
            ("gives_back_pct",), "Gives back", A.NUMBER, "%", "Share of the age a repair takes away", low=0, high=100
        ),
        Field(("by",), "Done by"),
        Field(("evidence",), "Evidence"),
        Field(("note",), "Note", A.LONG),
    ),
)
"""What was replaced, rebuilt or mended, and when."""

REMARKS = Records(
    ("remarks",),
    "Remarks",
    "remark",
    _blank_remark,
    _remark_title,
    (
        Field(("place",), "Place", A.CHOICE, choices=_places, required=True),
        Field(("text",), "What is seen", A.LONG),
        Field(("cause",), "Cause"),
        Field(("origin",), "Origin", A.CHOICE, choices=_origins, required=True),
        Field(("notes",), "Notes concerned", A.NOTES, help="12, 40-44"),
        Field(("photo",), "Photo", help="Path from the case file"),
    ),
)
"""Defects seen."""

COMPARABLES = Records(
    ("market", "comparables"),
    "Comparables",
    "comparable",
    _blank_comparable,
    _comparable_title,
    (
        Field(("label",), "What it is", required=True),
        Field(("price",), "Price", A.MONEY, required=True, low=0),
        Field(("date",), "Day", A.DAY, required=True),
        Field(("sale",), "Kind of sale", A.CHOICE, choices=_bases, required=True),
        Field(("made",), "Built", A.SPAN, required=True),
        Field(("grade",), "General condition", A.NUMBER, "", "1 as new to 5 spent", required=True, low=1, high=5),
        Field(("size_cm",), "Size", A.NUMBER, "cm", low=50, high=500),
        Field(("distance_km",), "Distance", A.NUMBER, "km", required=True, low=0),
        Field(("replacement_cost_new",), "Its replacement cost", A.MONEY, low=0),
        Field(("source",), "Source"),
        Field(("note",), "Note", A.LONG),
    ),
)
"""Like instruments that were sold or offered."""

ADJUSTMENTS = Records(
    ("market", "adjustments"),
    "Adjustments",
    "adjustment",
    _blank_adjustment,
    _adjustment_title,
    (
        Field(("name",), "Name", required=True),
        Field(("pct",), "Percent", A.NUMBER, "%", low=-100, high=1000),
        Field(("amount",), "Amount", A.MONEY),
        Field(("reason",), "Reason", required=True),
    ),
)
"""The assessor's own adjustments."""


def _yes_no(_case: Case, _tables: Tables) -> Choices:
    return (("yes", "yes"), ("no", "no"))


CLAIM: tuple[Field, ...] = (
    Field(("claim", "delivered"), "Delivered on", A.DAY, help="Periods of notice are counted from it: 2026-10-23"),
    Field(
        ("claim", "weight_kg"),
        "Gross weight",
        A.NUMBER,
        "kg",
        "With packing; pounds are understood: 1058 lb",
        low=20,
        high=2000,
    ),
    Field(("claim", "volume_m3"), "Load space", A.NUMBER, "m³", "For the whole removal", low=0.1, high=150),
    Field(("claim", "sum_insured"), "Sum insured", A.MONEY, low=0.01),
    Field(
        ("claim", "value_at_risk"),
        "Value at risk",
        A.MONEY,
        help="Full value to be insured; empty: the value before",
        low=0.01,
    ),
    Field(("claim", "excess"), "Excess", A.MONEY, help="First part of a loss, borne by the insured", low=0),
    Field(("claim", "special_condition"), "Special average condition", A.CHOICE, choices=_yes_no, required=True),
    Field(("claim", "betterment"), "Deduct new for old", A.CHOICE, choices=_yes_no, required=True),
    Field(("claim", "surrendered"), "Insurer takes the wreck", A.CHOICE, choices=_yes_no, required=True),
    Field(
        ("claim", "residual"),
        "Left after a good repair",
        A.MONEY,
        help="Of the fall in value; empty: what the grades say",
        low=0,
    ),
)
"""What a claim after a move needs beside the two states."""

RECORDS: tuple[Records, ...] = (RENEWALS, REMARKS, PITCH_LOG, DRYING_CLUES, COMPARABLES, ADJUSTMENTS)
