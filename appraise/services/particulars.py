"""Which fields the particulars of a case have, and those of a claim."""

from __future__ import annotations

from appraise.services import choices
from appraise.services.fields import Accepts, Field

A = Accepts

_ENDS = "With both ends the cost itself may be left open: their middle stands for it"

SECTIONS: tuple[tuple[str, tuple[Field, ...]], ...] = (
    (
        "Instrument",
        (
            Field(("identity", "kind"), "Kind", A.CHOICE, choices=choices.kinds, required=True),
            Field(("identity", "maker"), "Maker", help="Name on the fallboard"),
            Field(("identity", "model"), "Model", help="As the maker calls it"),
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
            Field(
                ("identity", "tier"),
                "Maker's standing",
                A.CHOICE,
                help="What buyers take the name for; it moves the market factor",
                choices=choices.factor("tier"),
            ),
            Field(("identity", "finish"), "Finish", A.CHOICE, help="Surface of the case", choices=choices.finishes),
            Field(
                ("identity", "key_covering"),
                "Key coverings",
                A.CHOICE,
                help="▲ Ivory: trade and transport are regulated, check current rules. Celluloid burns fast: no flame",
                choices=choices.variants("key_coverings"),
            ),
            Field(
                ("identity", "compass"),
                "Compass",
                A.WHOLE,
                "notes",
                "How many keys it has, as a rule 88",
                required=True,
                low=12,
                high=120,
            ),
        ),
    ),
    (
        "Assignment",
        (
            Field(("assignment", "inspected"), "Inspected on", A.DAY, required=True, help="Effective date: 2026-11-20"),
            Field(
                ("assignment", "basis"),
                "Basis of value",
                A.CHOICE,
                help="Which kind of price is asked for; the report prints its definition",
                choices=choices.bases,
                required=True,
            ),
            Field(("assignment", "currency"), "Currency", help="ISO 4217: EUR, CHF, GBP", required=True),
            Field(("assignment", "purpose"), "Purpose", help="What the value is wanted for"),
            Field(("assignment", "reported"), "Reported on", A.DAY, help="Day of the report: 2026-11-20"),
            Field(("assignment", "place"), "Place", help="Where it was inspected"),
            Field(("assignment", "assessor"), "Assessor", help="Who inspects and answers for the report"),
            Field(("assignment", "client"), "Client", help="Who asks for the value"),
            Field(("assignment", "intended_users"), "Intended users", help="Who else may rely on the report"),
            Field(("assignment", "limits"), "Limits", A.LONG, help="What could not be seen or opened"),
            Field(("assignment", "equipment"), "Measured with", help="Gauges and weights, and when last checked"),
            Field(
                ("assignment", "locale"),
                "Reports written as in",
                A.LOCALE,
                help="Figures and dates: de_CH, en_US, fr_FR; empty: as on the screen",
            ),
            Field(("assignment", "units"), "Measured in", A.CHOICE, choices=choices.units, required=True),
            Field(
                ("assignment", "law"),
                "Depreciation law",
                A.CHOICE,
                help="How age becomes loss of worth; the others are for whoever is told to use one",
                choices=choices.laws,
                required=True,
            ),
        ),
    ),
    (
        "Circumstances",
        (
            Field(
                ("circumstances", "climate"),
                "Climate",
                A.CHOICE,
                help="Where it stood for most of its life; one reading of the day goes into the pitch log below",
                choices=choices.climates,
                required=True,
            ),
            Field(
                ("circumstances", "use"),
                "Use",
                A.CHOICE,
                help="How hard it was played for most of its life",
                choices=choices.uses,
                required=True,
            ),
            Field(
                ("circumstances", "records"),
                "Service records",
                A.CHOICE,
                help="Papers of tunings and repairs that you saw",
                choices=choices.factor("records"),
                required=True,
            ),
        ),
    ),
    (
        "Market",
        (
            Field(
                ("market", "replacement_cost_new"),
                "Replacement cost new",
                A.MONEY,
                help="Price of a like instrument, new, today: 14000; no value without it",
                low=0,
            ),
            Field(("market", "replacement_cost_low"), "  at least", A.MONEY, help=_ENDS, low=0),
            Field(("market", "replacement_cost_high"), "  at most", A.MONEY, help=_ENDS, low=0),
            Field(("market", "replacement_source"), "  source", help="Where that price is from; the report prints it"),
            Field(
                ("market", "yearly_price_change_pct"),
                "Price change",
                A.NUMBER,
                "% a year",
                "Of the market: brings the prices of comparables to the effective date",
                required=True,
                low=-50,
                high=100,
            ),
            Field(
                ("market", "weight_cost_pct"),
                "Weight of cost approach",
                A.NUMBER,
                "%",
                "Against the comparables; empty: by how exactly each is known",
                low=0,
                high=100,
            ),
            Field(("market", "weight_reason"), "  reason", help="Why it was weighed so; the report prints it"),
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
            Field(
                ("costs", "overhead_pct"),
                "Overhead",
                A.NUMBER,
                "%",
                "On labour and parts; empty: the table's",
                low=0,
                high=1000,
            ),
            Field(
                ("costs", "contingency_pct"),
                "Contingency",
                A.NUMBER,
                "%",
                "For what opening it shows; empty: the table's",
                low=0,
                high=1000,
            ),
            Field(
                ("costs", "margin_pct"),
                "Margin",
                A.NUMBER,
                "%",
                "Of a dealer's resale; empty: the table's",
                low=0,
                high=100,
            ),
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
    Field(("claim", "sum_insured"), "Sum insured", A.MONEY, help="As the policy states it", low=0.01),
    Field(
        ("claim", "value_at_risk"),
        "Value at risk",
        A.MONEY,
        help="Full value to be insured; empty: the value before",
        low=0.01,
    ),
    Field(("claim", "excess"), "Excess", A.MONEY, help="First part of a loss, borne by the insured", low=0),
    Field(
        ("claim", "special_condition"),
        "Special average condition",
        A.CHOICE,
        help="yes: no average where the sum insured reaches most of the value at risk, as the policy says",
        choices=choices.yes_no,
        required=True,
    ),
    Field(
        ("claim", "betterment"),
        "Deduct new for old",
        A.CHOICE,
        help="yes: what new parts make better than before is taken off; policies and courts differ",
        choices=choices.yes_no,
        required=True,
    ),
    Field(
        ("claim", "surrendered"),
        "Insurer takes the wreck",
        A.CHOICE,
        help="After a total loss; yes: no salvage is taken off",
        choices=choices.yes_no,
        required=True,
    ),
    Field(
        ("claim", "residual"),
        "Left after a good repair",
        A.MONEY,
        help="Of the fall in value; empty: what the grades say",
        low=0,
    ),
)
"""What a claim after a move needs beside the two states."""
