"""Money is rounded once, at the end, and outward."""

from __future__ import annotations

from math import floor, log10

from appraise.model.currency import minor_digits
from appraise.model.result import Range


def rounding_step(replacement: float, share: float, currency: str = "") -> float:
    """Return the step to which money is rounded: 1, 2 or 5 times a power of ten, from the replacement cost new.

    It hangs on the price of a new instrument and not on the width of the range: rounding outward by a step that moves
    with the condition could lift a value when a grade gets worse. It is never finer than the currency's minor unit.

    Args:
        replacement: Replacement cost new [money].
        share: Of it that a step may come to [–].
        currency: ISO 4217 code; one that is not known has two decimals.
    """
    wanted = max(replacement * share, 10.0 ** -minor_digits(currency))
    power = 10.0 ** floor(log10(wanted))
    return float(max(power * factor for factor in (1.0, 2.0, 5.0) if power * factor <= wanted * (1.0 + 1e-9)))


def outward(exact: Range, step: float) -> Range:
    """Round the low figure down, the high figure up and the middle to the nearest step."""
    return Range(
        floor(exact.low / step) * step, floor(exact.mid / step + 0.5) * step, -floor(-exact.high / step) * step
    )
