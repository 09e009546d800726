"""Invented cases for the tests of the report: from a thorough inspection down to a bare identity."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from appraise.model.case import (
    Adjustment,
    Assignment,
    Case,
    Circumstances,
    Comparable,
    Costs,
    DryingClueSeen,
    EffectiveAge,
    Extent,
    Grade,
    Identity,
    Kind,
    Market,
    Origin,
    PhotoFile,
    PitchReading,
    Reading,
    Remark,
    Renewal,
)
from appraise.model.span import Span
from tests.helpers.pitch_logs import log

DAY = date(2026, 11, 20)
RATES = Costs(
    labour_rate=Decimal("62.00"),
    overhead_pct=10.0,
    contingency_pct=10.0,
    margin_pct=25.0,
    carriage=Decimal("350.00"),
    holding=Decimal("200.00"),
)


def grand() -> Case:
    """A grand renewed in stages, well inspected, with comparables and adjustments."""
    return Case(
        identity=Identity(
            kind=Kind.GRAND,
            maker="Amberlin & Sohn",
            model="Halle",
            size_cm=185,
            serial="48 217",
            made=Span.parse("1931"),
            made_evidence="date written on the first key",
            finish="shellac",
            key_covering="ivory",
        ),
        assignment=Assignment(
            inspected=DAY,
            purpose="sale between neighbours",
            place="Tolvrem",
            assessor="R. Invented",
            client="F. Imagined",
            intended_users="the client alone",
            limits="the bottom was not unscrewed",
            reported=date(2026, 11, 23),
        ),
        circumstances=Circumstances(climate="seasonal", use="domestic"),
        renewals=(
            Renewal(("hammers", "knuckles"), Span.parse("1998"), by="first workshop", evidence="invoice of that year"),
            Renewal(("plain_strings", "bass_strings", "tuning_pins"), clues=("copper_dull", "wire_grey")),
            Renewal(("finish",), Span.parse("2005/2008"), extent=Extent.REPAIRED, note="touched up, not stripped"),
        ),
        grades=(
            Grade(2.0, check="plate_finish"),
            Grade(3.5, component="key_bushings", reason="cloth hard throughout, keys rattle"),
            Grade(3.0, check="repetition"),
        ),
        readings=(
            Reading("pin_torque", 5.1, "N·m", place="bass"),
            Reading("pin_torque", 6.2, "N·m", place="tenor"),
            Reading("pin_torque", 5.6, "N·m", place="treble"),
            Reading("plate_crack", False),
            Reading("rib_separation", 2.0),
            Reading("sustain_treble", 2.6, "s"),
            Reading("hammer_felt_tenor", 4.4, "mm"),
            Reading("damper_lift_height", 5.0, "mm"),
            Reading("key_covering_material", "ivory"),
        ),
        remarks=(
            Remark("soundboard", "one crack, filled, tight", cause="old dryness", origin=Origin.BEFORE),
            Remark("hammers", "deep grooves", notes=(1, 2, 88)),
        ),
        effective_ages=(EffectiveAge("casework", 30.0, "kept under a cover for decades"),),
        market=Market(
            replacement_cost_new=Decimal("48000.00"),
            replacement_source="price list of the invented dealer",
            comparables=tuple(
                Comparable(
                    label,
                    Decimal(price),
                    date(2026, month, 3),
                    "private_sale",
                    Span.of_year(made),
                    grade,
                    size_cm=size,
                    distance_km=40.0,
                    source="invented classified",
                )
                for label, price, month, made, grade, size in (
                    ("Amberlin 180", "7400.00", 5, 1928, 3.0, 180.0),
                    ("Tolvremer 190", "9200.00", 8, 1951, 2.5, 190.0),
                    ("Korb 170", "4100.00", 2, 1925, 3.5, 170.0),
                )
            ),
            adjustments=(
                Adjustment("provenance", "letter of the first owner", pct=5.0),
                Adjustment("missing bench", "sold apart", amount=Decimal("-200.00")),
            ),
        ),
        costs=RATES,
    )


def bare() -> Case:
    """Known by its identity alone, and no price of a new one."""
    return Case(Identity(kind=Kind.UPRIGHT), Assignment(inspected=DAY))


def priced() -> Case:
    """Known by its identity and the price of a new one, uninspected."""
    return Case(
        Identity(kind=Kind.UPRIGHT, maker="Korb", made=Span.parse("1975/1985"), size_cm=118),
        Assignment(inspected=DAY),
        market=Market(replacement_cost_new=Decimal("9800.00")),
    )


def unwanted() -> Case:
    """An old upright that costs more to take away than its parts bring."""
    return Case(
        Identity(kind=Kind.UPRIGHT, maker="Korb", made=Span.parse("1902"), size_cm=125, serial="1177"),
        Assignment(inspected=DAY),
        Circumstances(climate="seasonal", use="domestic"),
        grades=(Grade(5.0, check="coils_beckets"), Grade(5.0, check="beams_posts")),
        readings=(
            Reading("plate_crack", True),
            Reading("pin_torque", 1.0, "N·m"),
            Reading("strings_missing", 7.0),
            Reading("bridge_root_open", True),
        ),
        market=Market(replacement_cost_new=Decimal("7000.00")),
        costs=RATES,
    )


def young() -> Case:
    """A young grand with a plan of work on the trade-in basis."""
    return Case(
        Identity(kind=Kind.GRAND, maker="Tolvremer", made=Span.parse("2012-05"), size_cm=210, compass=92),
        Assignment(inspected=DAY, basis="trade_in", currency="CHF"),
        grades=(
            Grade(4.0, check="repetition"),
            Grade(4.0, component="regulation", reason="never regulated since it left the works"),
        ),
        readings=(Reading("aftertouch", 0.2, "mm"), Reading("pin_torque", 9.0, "N·m")),
        market=Market(replacement_cost_new=Decimal("92000.00")),
        costs=RATES,
    )


def watched() -> Case:
    """An upright whose pitch was logged and whose clues to drying were looked for."""
    readings = [reading for reading in log(36, drift=-7.0, season=0.6, notes=(25, 49)) if reading.date <= DAY]
    strange = PitchReading(date(2025, 3, 2), 49, -55.0, 21.0, 37.0, "one string slipped")
    return Case(
        Identity(kind=Kind.UPRIGHT, maker="Korb", made=Span.parse("1968"), size_cm=120),
        Assignment(inspected=DAY),
        readings=(Reading("pin_torque", 4.2, "N·m"), Reading("coverings_lifting", 0.0)),
        pitch_log=(*readings, strange),
        drying_clues=(
            DryingClueSeen("board_cracks_fresh", True, "two, pale inside"),
            DryingClueSeen("air_dry_for_weeks", True),
            DryingClueSeen("rust", False),
        ),
    )


HOSTILE_TEXT = "[/x] | `b` *c* <i> # \\ [bold]d[/bold] &amp; \x1b[2J \u202eback 12"
"""Markup of three languages, a control sequence, a reversal, digits."""


def hostile() -> Case:
    """Everything a person can write is hostile."""
    text = HOSTILE_TEXT
    return Case(
        Identity(
            kind=Kind.GRAND,
            maker=text,
            model=text,
            serial=text,
            made=Span.parse("1990"),
            made_evidence=text,
            finish=text,
            key_covering=text,
        ),
        Assignment(
            inspected=DAY, purpose=text, place=text, assessor=text, client=text, intended_users=text, limits=text
        ),
        renewals=(Renewal(("hammers",), Span.parse("2001"), by=text, evidence=text, note=text),),
        grades=(
            Grade(4.0, check="repetition", reason=text),
            Grade(3.0, component="hammers", reason=text),
        ),
        readings=(Reading("key_covering_material", text), Reading("aftertouch", 0.2, "mm", place=text, remark=text)),
        remarks=(Remark("hammers", text, cause=text, photos=(text,)),),
        photos=(PhotoFile(text, "0" * 64, caption=text),),
        effective_ages=(EffectiveAge("casework", 30.0, text),),
        pitch_log=(PitchReading(date(2026, 5, 1), 49, -12.0, remark=text),),
        drying_clues=(DryingClueSeen("pins_loose", True, text),),
        market=Market(
            replacement_cost_new=Decimal("48000.00"),
            replacement_source=text,
            comparables=(
                Comparable(
                    text,
                    Decimal("9000.00"),
                    date(2026, 5, 1),
                    "retail",
                    Span.of_year(1988),
                    2.5,
                    source=text,
                    note=text,
                ),
            ),
            adjustments=(Adjustment(text, text, pct=3.0),),
            weight_cost_pct=60.0,
            weight_reason=text,
        ),
        costs=RATES,
        invented=text,
    )


CASES = {
    "grand": grand,
    "bare": bare,
    "priced": priced,
    "unwanted": unwanted,
    "young": young,
    "watched": watched,
    "hostile": hostile,
}
"""Every case by name."""
