"""How cost grows with what a case holds, and with the number of cases."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path

from tests.benchmarks.table import SAMPLE, best, exponent

SIZES = (500, 1000, 2000, 4000)


def growth() -> None:
    """Cost of reading and valuing against readings, remarks and comparables; of listing a bench against its cases."""
    from appraise.engine.valuation import value_case
    from appraise.store.read import read_case
    from appraise.store.write import write_case
    from appraise.tables.load import load_tables

    tables = load_tables()
    case, _ = read_case(SAMPLE, tables)
    for name in ("readings", "remarks", "comparables"):
        reading, valuing = [], []
        for size in SIZES:
            grown = _grown(case, name, size)
            with tempfile.TemporaryDirectory() as folder:
                path = Path(folder) / "case.toml"
                write_case(path, grown, tables)
                reading.append(best(lambda path=path: read_case(path, tables), 3))
            # One more change each time, so that nothing kept from the run before answers for it.
            turns = iter(range(100))
            valuing.append(best(lambda grown=grown, turns=turns: value_case(_regraded(grown, turns), tables), 3))
        _tell(f"reading a file with {SIZES[0]} to {SIZES[-1]} more {name}", SIZES, reading)
        _tell(f"valuing with {SIZES[0]} to {SIZES[-1]} more {name}", SIZES, valuing)
    _bench(tables)


def _grown(case, name: str, size: int):
    from appraise.model.case import Reading, Remark

    if name == "readings":
        extra = tuple(Reading("pin_torque", 6.0 + n % 5, "N·m", 1 + n % 88) for n in range(size))
        return replace(case, readings=case.readings + extra)
    if name == "remarks":
        return replace(case, remarks=case.remarks + tuple(Remark("case", f"scratch {n}") for n in range(size)))
    like = case.market.comparables[0]
    extra = tuple(replace(like, label=f"sale {n}", grade=1.5 + n % 40 / 16.0) for n in range(size))
    return replace(case, market=replace(case.market, comparables=case.market.comparables + extra))


def _regraded(case, turns):
    first = replace(case.grades[0], grade=1.5 + 0.5 * (next(turns) % 6))
    return replace(case, grades=(first, *case.grades[1:]))


def _bench(tables) -> None:
    from appraise.services.case_folder import scan

    text = SAMPLE.read_bytes()
    sizes, listing = (50, 100, 200, 400), []
    for size in sizes:
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            for n in range(size):
                (folder / f"{n:04d}.toml").write_bytes(text)
            if len(scan(folder, tables)) != size:
                raise RuntimeError("the bench left cases out")
            listing.append(best(lambda folder=folder: scan(folder, tables), 1))
    _tell(f"listing a bench of {sizes[0]} to {sizes[-1]} cases", sizes, listing)


def _tell(what: str, sizes, seconds) -> None:
    spent = f"{seconds[-1] * 1e3:.1f} ms at the largest"
    print(f"{what}: cost grows with power {exponent(sizes, seconds):.2f} (1 is linear), {spent}")
