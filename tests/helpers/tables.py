"""A handful of table rows, enough for a case file: tests of the store need not the real tables."""

from __future__ import annotations

from types import MappingProxyType

from appraise.model.case import STATIONS, Kind
from appraise.tables.rows import Check, CheckKind, Component, Standing, Tables
from appraise.tables.rows_ageing import Climate, DatingClue, Law, Life, Use
from appraise.tables.rows_measurements import ClueRole, DryingClue, DryingStory
from appraise.tables.rows_worth import Basis, MarketFactor

BOTH = (Kind.GRAND, Kind.UPRIGHT)
OURS = Standing.OUR_ASSUMPTION


def _by_key(*rows):
    return MappingProxyType({row.key: row for row in rows})


def _component(key, station, kinds=BOTH):
    return Component(
        table="components", key=key, standing=OURS, label=key, station=station, kinds=kinds, visibility=0.3
    )


def _life(component, variant=""):
    key = f"{component}_{variant}" if variant else component
    return Life(
        table="lives",
        key=key,
        standing=OURS,
        component=component,
        variant=variant,
        low=10,
        typical=20,
        high=30,
        heavy_low=5,
        heavy_typical=10,
        heavy_high=15,
    )


def _check(key, component, kind, kinds=BOTH, **more):
    return Check(
        table="checks",
        key=key,
        standing=OURS,
        station=STATIONS[0],
        component=component,
        kinds=kinds,
        label=key,
        kind=kind,
        **more,
    )


def _class(key, factor):
    row = {"table": "market_factors", "standing": OURS, "kinds": BOTH, "low": 1.0, "typical": 1.0, "high": 1.0}
    return MarketFactor(key=key, factor=factor, label=key, **row)


def tiny_tables() -> Tables:
    """Return tables with one or two rows of everything that a case file can name."""
    row = {"standing": OURS}
    return Tables(
        components=_by_key(
            _component("plate", "structure"),
            _component("soundboard", "soundboard"),
            _component("hammers", "action"),
            _component("tuning_pins", "pin_block"),
            _component("knuckles", "action", (Kind.GRAND,)),
            _component("finish", "case"),
            _component("key_coverings", "keys"),
        ),
        lives=_by_key(
            _life("finish", "polyester"),
            _life("finish", "shellac"),
            _life("key_coverings", "celluloid"),
            _life("hammers"),
        ),
        checks=_by_key(
            _check("plate_finish", "plate", CheckKind.GRADED),
            _check("plate_crack", "plate", CheckKind.YES_NO, grade_yes=5),
            _check("hammer_cuts", "hammers", CheckKind.MEASURED, unit="mm", plausible=(0, 8), per_note=True),
            _check("pin_torque", "tuning_pins", CheckKind.MEASURED, unit="N·m", plausible=(0, 40), per_note=True),
            _check("room_temperature", "soundboard", CheckKind.MEASURED, unit="°C", plausible=(-20, 50)),
            _check("loose_ribs", "soundboard", CheckKind.COUNT, plausible=(0, 30)),
            _check("covering_material", "key_coverings", CheckKind.RECORD),
            _check("knuckle_wear", "knuckles", CheckKind.GRADED, (Kind.GRAND,)),
        ),
        remedies=MappingProxyType({}),
        bases=_by_key(
            *(
                Basis(table="bases", key=key, label=key, definition=key, method="market", **row)
                for key in ("private_sale", "retail", "auction")
            )
        ),
        market_factors=_by_key(
            _class("premium", "tier"),
            _class("everyday", "tier"),
            _class("none", "records"),
            _class("full", "records"),
        ),
        prices_new={},
        laws=_by_key(
            *(
                Law(table="laws", key=key, label=key, how=key, **row)
                for key in ("probable_life", "fixed_life", "straight_line")
            )
        ),
        climates=_by_key(
            *(Climate(table="climates", key=key, label=key, default=1.0, **row) for key in ("seasonal", "controlled"))
        ),
        uses=_by_key(*(Use(table="uses", key=key, label=key, weight=0.0, **row) for key in ("domestic", "school"))),
        dating_clues=_by_key(
            *(
                DatingClue(
                    table="dating_clues",
                    key=key,
                    label=key,
                    components=("hammers",),
                    low=1,
                    high=20,
                    reliability=0.5,
                    **row,
                )
                for key in ("copper_dull", "felt_soft")
            )
        ),
        drying_stories=_by_key(
            *(
                DryingStory(table="drying_stories", key=key, label=key, odds=1.0, means=key, advice=key, **row)
                for key in ("dried_out", "cycling", "untuned", "poor_work", "age")
            )
        ),
        drying_clues=_by_key(
            *(
                DryingClue(
                    table="drying_clues",
                    key=key,
                    label=key,
                    section=section,
                    role=ClueRole.DAMAGE,
                    strength=4,
                    seen_if_dried=0.6,
                    ratios={"cycling": 1.2, "untuned": 4.0, "poor_work": 2.0, "age": 2.0},
                    **row,
                )
                for key, section in (("pins_loose", "pins"), ("board_cracks_fresh", "board"))
            )
        ),
        condition_classes=MappingProxyType({}),
        priors=MappingProxyType({}),
        cautions=MappingProxyType({}),
        settings=MappingProxyType({}),
        note_norms=MappingProxyType({}),
        regulation_targets=MappingProxyType({}),
        damper_reach=MappingProxyType({}),
        woods=MappingProxyType({}),
        sorption=MappingProxyType({}),
        wire_grid=MappingProxyType({}),
        wire_strengths=MappingProxyType({}),
        wire_materials=MappingProxyType({}),
        tension_ceilings=MappingProxyType({}),
        pitch_raises=MappingProxyType({}),
        overpulls=MappingProxyType({}),
        climate_limits=MappingProxyType({}),
        settling_times=MappingProxyType({}),
        reading_ranges=MappingProxyType({}),
        carriage_rules=MappingProxyType({}),
        damage_signs=MappingProxyType({}),
        move_steps=MappingProxyType({}),
        sources=MappingProxyType({}),
        version="0" * 12,
    )
