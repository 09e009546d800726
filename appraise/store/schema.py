"""The case file's layout: a strict model for every table of the file, field for field as in `model.case`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from appraise.model.case import Extent, Kind, Origin
from appraise.model.manner import Units
from appraise.store.fields import (
    Amount,
    Cents,
    Cost,
    Day,
    HalfStep,
    Humidity,
    Key,
    Measured,
    Name,
    NoteNumber,
    Percent,
    Price,
    Said,
    Temperature,
    Text,
    When,
    Years,
)
from appraise.store.findings import Findings, Path, Words, listed

if TYPE_CHECKING:
    from pydantic_core import ErrorDetails

_Notes = Annotated[tuple[int, ...], Field(strict=False, max_length=500)]
_Number = Annotated[int, Field(ge=1, le=10_000)]
_Numbers = Annotated[tuple[_Number, ...], Field(strict=False, max_length=500)]
_Keys = Annotated[tuple[Key, ...], Field(strict=False, max_length=500)]


class Section(BaseModel):
    """What every table of the file has in common."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)


class IdentitySection(Section):
    """`[identity]`."""

    kind: Annotated[Kind, Field(strict=False, description='"grand" or "upright"')]
    maker: Name = ""
    model: Name = ""
    size_cm: Annotated[float, Field(ge=50, le=500)] | None = None
    serial: Name = ""
    made: When | None = None
    made_evidence: Text = ""
    tier: Key = ""
    finish: Key = ""
    key_covering: Key = ""
    compass: Annotated[int, Field(ge=12, le=120)] = 88


class AssignmentSection(Section):
    """`[assignment]`."""

    inspected: Annotated[Day, Field(description="the day of the inspection, as 2026-11-20")]
    purpose: Text = ""
    basis: Key = "private_sale"
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = "EUR"
    reported: Day | None = None
    place: Name = ""
    assessor: Name = ""
    client: Name = ""
    intended_users: Text = ""
    limits: Text = ""
    equipment: Text = ""
    law: Key = "probable_life"
    locale: Key = ""
    units: Annotated[Units, Field(strict=False)] = Units.METRIC


class CircumstancesSection(Section):
    """`[circumstances]`."""

    climate: Key = "seasonal"
    use: Key = "domestic"
    records: Key = "none"


class RenewalSection(Section):
    """One of `[[renewals]]`."""

    components: Annotated[_Keys, Field(min_length=1, description="a list of components")]
    date: When | None = None
    clues: _Keys = ()
    extent: Annotated[Extent, Field(strict=False)] = Extent.RENEWED
    gives_back_pct: Percent | None = None
    by: Name = ""
    evidence: Text = ""
    note: Text = ""


class GradeSection(Section):
    """One of `[[grades]]`."""

    grade: Annotated[HalfStep, Field(description="a grade from 1 to 5, in half steps")]
    check: Key = ""
    component: Key = ""
    reason: Text = ""


class ReadingSection(Section):
    """One of `[[readings]]`, in the unit as written."""

    check: Annotated[Key, Field(description="a check of the table checks")]
    value: Annotated[Measured, Field(description="a number, true or false, or a text")]
    unit: Key = ""
    note: int | None = None
    place: Name = ""
    remark: Text = ""


class RemarkSection(Section):
    """One of `[[remarks]]`."""

    place: Annotated[Key, Field(description="a station or a component")]
    text: Annotated[Said, Field(description="what was seen")]
    cause: Text = ""
    origin: Annotated[Origin, Field(strict=False)] = Origin.UNKNOWN
    notes: _Notes = ()
    photo: Annotated[str, Field(max_length=500)] = ""
    sha256: Annotated[str, Field(pattern=r"^(?:[0-9a-f]{64})?$")] = ""
    earlier: _Number | None = None
    worse: bool = False


class EffectiveAgeSection(Section):
    """One of `[[effective_ages]]`."""

    component: Annotated[Key, Field(description="a component")]
    years: Annotated[Years, Field(description="an age in years")]
    reason: Annotated[Said, Field(description="why the assessor states it")]


class PitchReadingSection(Section):
    """One of `[[pitch_log]]`."""

    date: Annotated[Day, Field(description="the day of the reading, as 2026-11-20")]
    note: Annotated[NoteNumber, Field(description='the note, 1 to 88, or its name: "A4"')]
    cents: Annotated[Cents, Field(description="the deviation in cents, flat negative")]
    temperature: Temperature | None = None
    humidity: Humidity | None = None
    remark: Text = ""


class DryingClueSection(Section):
    """One of `[[drying_clues]]`."""

    clue: Annotated[Key, Field(description="a row of the table drying_clues")]
    seen: Annotated[bool, Field(description="true, or false where it was looked for and is not there")]
    remark: Text = ""


class ComparableSection(Section):
    """One of `[[market.comparables]]`."""

    label: Annotated[Name, Field(description="a name for the comparable")]
    price: Annotated[Price, Field(description='an amount in quotes, such as "12500.00"')]
    date: Annotated[Day, Field(description="the day it was sold or offered, as 2026-05-20")]
    sale: Annotated[Key, Field(description="the kind of sale: a row of the table bases")]
    made: Annotated[When, Field(description="when it was built")]
    grade: Annotated[float, Field(ge=1, le=5, description="its general condition from 1 to 5")]
    size_cm: Annotated[float, Field(ge=50, le=500)] | None = None
    distance_km: Annotated[float, Field(ge=0, le=20_040)] = 0.0
    replacement_cost_new: Price | None = None
    source: Text = ""
    note: Text = ""


class AdjustmentSection(Section):
    """One of `[[market.adjustments]]`."""

    name: Annotated[Name, Field(min_length=1, description="a name for the adjustment")]
    reason: Annotated[Said, Field(description="why the assessor makes it")]
    pct: Annotated[float, Field(ge=-100, le=1000)] | None = None
    amount: Amount | None = None


class MarketSection(Section):
    """`[market]` without its lists."""

    replacement_cost_new: Price | None = None
    replacement_cost_low: Price | None = None
    replacement_cost_high: Price | None = None
    replacement_source: Text = ""
    yearly_price_change_pct: Annotated[float, Field(ge=-50, le=100)] = 0.0
    weight_cost_pct: Percent | None = None
    weight_reason: Text = ""


class CostsSection(Section):
    """`[costs]`."""

    labour_rate: Cost | None = None
    parts_rate: Price | None = None
    overhead_pct: Annotated[float, Field(ge=0, le=1000)] | None = None
    contingency_pct: Annotated[float, Field(ge=0, le=1000)] | None = None
    margin_pct: Percent | None = None
    carriage: Cost | None = None
    holding: Cost | None = None
    removal: Cost | None = None


class EarlierStateSection(Section):
    """`[earlier_state]`."""

    file: Annotated[Name, Field(min_length=1, description="the name of the frozen copy beside this file")]
    sha256: Annotated[
        str, Field(pattern=r"^[0-9a-f]{64}$", description="the SHA-256 of the frozen copy, as it was when it was set")
    ]
    day: Annotated[Day, Field(description="the day of its inspection, as 2026-11-20")]
    purpose: Text = ""
    mended: _Numbers = ()


class ClaimSection(Section):
    """`[claim]`."""

    delivered: Day | None = None
    weight_kg: Annotated[float, Field(ge=20, le=2000)] | None = None
    volume_m3: Annotated[float, Field(ge=0.1, le=150)] | None = None
    sum_insured: Price | None = None
    value_at_risk: Price | None = None
    excess: Cost | None = None
    special_condition: bool = False
    betterment: bool = True
    surrendered: bool = False
    residual: Cost | None = None


SECTIONS: dict[tuple[str, ...], type[Section]] = {
    ("identity",): IdentitySection,
    ("assignment",): AssignmentSection,
    ("circumstances",): CircumstancesSection,
    ("market",): MarketSection,
    ("costs",): CostsSection,
    ("earlier_state",): EarlierStateSection,
    ("claim",): ClaimSection,
}
"""Tables of the file."""

LISTS: dict[tuple[str, ...], type[Section]] = {
    ("renewals",): RenewalSection,
    ("grades",): GradeSection,
    ("readings",): ReadingSection,
    ("remarks",): RemarkSection,
    ("effective_ages",): EffectiveAgeSection,
    ("pitch_log",): PitchReadingSection,
    ("drying_clues",): DryingClueSection,
    ("market", "comparables"): ComparableSection,
    ("market", "adjustments"): AdjustmentSection,
}
"""Arrays of tables."""

TOP_LEVEL = ("schema", "invented", *dict.fromkeys(path[0] for path in (*SECTIONS, *LISTS)))
"""Every key that may stand at the head of a file."""

_EXPECTED = {
    "float_type": "a number",
    "int_type": "a whole number",
    "string_type": "a text in quotes",
    "bool_type": "true or false",
    "tuple_type": "a list in square brackets",
    "finite_number": "a finite number",
}
_BOUNDS = {
    "greater_than_equal": ("a number of at least {}", "ge"),
    "greater_than": ("a number above {}", "gt"),
    "less_than_equal": ("a number of at most {}", "le"),
    "string_too_long": ("a text of at most {} characters", "max_length"),
    "string_too_short": ("a text that says something", "min_length"),
    "too_long": ("a list of at most {}", "max_length"),
    "too_short": ("a list of at least {}", "min_length"),
}
_PATTERNS = {
    "currency": "three capital letters of ISO 4217, such as EUR",
    "sha256": "64 hexadecimal digits in lower case",
}


def explain(findings: Findings, path: Path, section: type[Section], error: ErrorDetails) -> None:
    """Turn one error of pydantic into a problem.

    Args:
        findings: Where it goes.
        path: The table that was validated.
        section: Its model.
        error: As `ValidationError.errors()` gives it.
    """
    where = path + error["loc"]
    name = str(error["loc"][0]) if error["loc"] else ""
    kind, context = error["type"], error.get("ctx", {})
    found: object = error["input"]
    expected, mend = _EXPECTED.get(kind, ""), ""
    if kind == "extra_forbidden":
        found, expected, mend = _unknown(findings, path, section, name)
    elif kind == "missing":
        found = None
        expected = section.model_fields[name].description or "a value"
    elif kind == "refused":
        expected, mend = context["expected"], context["mend"]
    elif kind == "enum":
        expected = context["expected"].replace("'", '"')
    elif kind == "string_pattern_mismatch":
        expected = _PATTERNS.get(name, "a text that says something")
    elif kind in _BOUNDS:
        words, bound = _BOUNDS[kind]
        limit = context[bound]
        expected = words.format(f"{limit:g}" if isinstance(limit, float) else limit)
    elif kind == "float_type" and isinstance(found, str):
        mend = _unquoted(found)
    elif kind == "int_type" and isinstance(found, float) and found.is_integer():
        mend = f"write {found:.0f}"
    findings.add(where, found, expected or error["msg"], mend)


def refusal(path: Path, value: object) -> str:
    """Say what a file would expect in place of a value, so that nothing is taken that could not be written.

    Args:
        path: Its place in a case, list items as numbers.
        value: As a file has it.

    Returns:
        What was expected; empty where the file takes the value.
    """
    names = tuple(part for part in path if isinstance(part, str))
    model = SECTIONS.get(names[:-1]) or LISTS.get(names[:-1])
    if model is None or names[-1] not in model.model_fields:
        return ""
    try:
        model.model_validate({names[-1]: value})
    except ValidationError as error:
        details = [detail for detail in error.errors(include_url=False) if detail["loc"][0] == names[-1]]
    else:
        return ""
    findings = Findings("")
    for detail in details[:1]:
        explain(findings, (), model, detail)
    return findings.problems[0].expected if findings.problems else ""


def home(name: str) -> str:
    """Say which table a key belongs to, or nothing where none has such a key."""
    place = next((path for path, model in SECTIONS.items() if name in model.model_fields), None)
    return f"it belongs to [{place[0]}]" if place is not None else ""


def _unquoted(text: str) -> str:
    try:
        number = float(text.replace(",", "."))
    except ValueError:
        return ""
    return f"write {number:g} without quotes"


def _unknown(findings: Findings, path: Path, section: type[Section], name: str) -> tuple[Words, str, str]:
    """Say where an unknown key may belong."""
    names = list(section.model_fields)
    if path == ("market",):
        names += [place[1] for place in LISTS if place[0] == "market" and len(place) > 1]
    mend = home(name) or findings.nearest(name, names)
    expected = f"a key of [{'.'.join(str(part) for part in path if isinstance(part, str))}]"
    return Words("an unknown key"), expected if mend else f"{expected}: {listed(names)}", mend
