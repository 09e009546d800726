"""One string: mass, tension, stress, strength of its wire, inharmonicity, and what a change of pitch does to it."""

from __future__ import annotations

from itertools import pairwise
from math import log2, pi, sqrt
from typing import TYPE_CHECKING

from appraise.model.quantities import to_base

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from appraise.tables.rows_measurements import WireGridPoint, WireStrength

PACKING = pi / 4.0
"""Share of an annulus that one layer of round wire fills, its turns touching [–]; derived in `linear_mass`."""
MPA_PER_KSI = 6.894757293168361
"""1000 lbf/in² [MPa]: 4448.2216152605 N / (25.4 mm)², exact."""
NEWTON_PER_KGF = 9.80665
"""Standard gravity [m/s²], exact."""
KEYS = 88


def linear_mass(core: float, density: float, layers: Iterable[tuple[float, float]] = ()) -> float:
    """Mass of a string per length.

    Args:
        core: Diameter of the bare wire [mm].
        density: Its density [kg/m³].
        layers: Windings from the inside out: (diameter of the winding wire [mm], its density [kg/m³]).

    Returns:
        [kg/m].

    Notes:
        Core: ρ·π·d²/4. A layer of round wire of diameter w, its turns touching, wound on a diameter D: one turn is
        π·(D + w) long and takes w of the string, so that it lays down (π·w²/4)·π·(D + w)/w = π²·w·(D + w)/4 of metal
        per length. The annulus from D to D + 2w has the area π·w·(D + w): the metal is π/4 of it, whatever D and w.
        Then D + 2w is the diameter that the next layer is wound on. Turns that flatten or spread change this by some
        percent; bare ends of the core are left out.
    """
    mass, inner = density * pi * core**2 / 4.0, core
    for wire, of in layers:
        outer = inner + 2.0 * wire
        mass += of * PACKING * (pi / 4.0) * (outer**2 - inner**2)
        inner = outer
    return mass * 1e-6


def tension(mass: float, length: float, hz: float) -> float:
    """Tension [N] of a string of a mass [kg/m] and a speaking length [mm] at a fundamental [Hz].

    μ·(2·L·f)², the law of Mersenne and Taylor for a flexible string.
    """
    return mass * (2.0 * length * 1e-3 * hz) ** 2


def stress(pull: float, core: float) -> float:
    """Return the stress [MPa] of a wire of diameter `core` [mm] under a tension [N]: a winding bears nothing."""
    return pull / (pi * core**2 / 4.0)


def at_cents(pull: float, cents: float) -> float:
    """Return a tension after a change of pitch [cents]: it goes with the square of the frequency, 2^(cents/600)."""
    return float(pull * 2.0 ** (cents / 600.0))


def inharmonicity(core: float, length: float, pull: float, modulus: float) -> float:
    """Inharmonicity of a plain string, or of a wound one by its core alone: [mm], [mm], tension [N], modulus [GPa].

    Returns:
        B [–] = π³·E·d⁴ / (64·T·L²); a winding adds some stiffness, so that B of a wound string is a lower bound.

    References:
        H. Fletcher, J. Acoust. Soc. Am., vol. 36, pp. 203–209, 1964; R. W. Young, J. Acoust. Soc. Am., vol. 24,
        pp. 267–273, 1952 (from memory).
    """
    metres = (core * 1e-3) ** 4 / (length * 1e-3) ** 2
    return pi**3 * modulus * 1e9 * metres / (64.0 * pull)


def partial_cents(b: float, n: int) -> float:
    """Return how far partial `n` lies above n times the first [cents]: √(1 + B·n²)/√(1 + B) (Fletcher 1964)."""
    return 1200.0 * log2(sqrt((1.0 + b * n * n) / (1.0 + b)))


def strength(row: WireStrength, grid: Sequence[WireGridPoint], diameter: float) -> float | None:
    """Tensile strength [MPa] of music wire of a diameter [mm] as one row has it; none where it does not reach that."""
    if row.method == "fit":
        if row.a_mpa is None or row.exponent is None or row.from_mm is None or row.to_mm is None:
            return None
        return row.a_mpa / diameter**row.exponent if row.from_mm <= diameter <= row.to_mm else None
    points = sorted(
        (to_base(p.diameter_in, "in")[0], p.low_ksi if row.method == "grid_low" else p.high_ksi) for p in grid
    )
    for (d0, s0), (d1, s1) in pairwise(points):
        # The standard's sizes are whole thousandths of an inch; a size in mm is rounded to the micron.
        if d0 - 5e-4 <= diameter <= d1 + 5e-4:
            along = min(max((diameter - d0) / (d1 - d0), 0.0), 1.0)
            return (s0 + (s1 - s0) * along) * MPA_PER_KSI
    return None
