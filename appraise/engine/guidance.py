"""What brings the width of the range, and which check not yet made would narrow it most."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from appraise.engine import draws
from appraise.engine.age import event_names
from appraise.engine.identity_cache import Kept
from appraise.engine.information import narrowing
from appraise.model.locale_format import PLAIN
from appraise.model.message import message
from appraise.model.result import Driver, NextCheck

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    import numpy as np
    from numpy.typing import NDArray

    from appraise.engine.information import Knowledge
    from appraise.model.case import Case
    from appraise.model.locale_format import Formatter
    from appraise.tables.rows import Tables

_LABELS = {
    "general condition": message("General condition of what was not inspected"),
    "replacement cost": message("Replacement cost new"),
    "market factor": message("Market factor"),
    "channel": message("What this kind of sale brings"),
    "comparables": message("Spread of the comparables"),
    "disagreement": message("Disagreement of the approaches"),
    "hours": message("Hours of work"),
    "parts": message("Cost of parts"),
    "salvage": message("Salvage"),
    "incentive": message("What a buyer wants for the trouble of having work done"),
    "made": message("Date of making"),
}


def drivers(
    means: Mapping[tuple[str, ...], NDArray[np.float64]],
    outcome: NDArray[np.float64],
    seed: int,
    case: Case,
    tables: Tables,
) -> tuple[Driver, ...]:
    """Return every input with its first-order share of the variance of the value, largest first.

    Args:
        means: Names of inputs varied together, and the mean of the value in each of their draws [money], shape (n,).
        outcome: Value in every draw [money].
        seed: Seed of the draws.
        case: For the labels of renewals.
        tables: For the labels of components.
    """
    total = float(outcome.var())
    found = []
    for inputs, mean in means.items():
        how = (case.identity.kind, inputs)
        labels = _NAMED.of((case.renewals, tables), how, partial(_labels_of, inputs, case, tables))
        shares = draws.variance_shares(mean, draws.orders_of(seed, inputs, mean.size), total)
        found += [Driver(name, label, float(share)) for name, label, share in zip(inputs, labels, shares, strict=True)]
    return tuple(sorted(found, key=lambda driver: (-driver.share, driver.input)))


def _labels_of(inputs: Iterable[str], case: Case, tables: Tables) -> tuple[str, ...]:
    return tuple(driver_label(name, case, tables) for name in inputs)


_NAMED: Kept[tuple[str, ...]] = Kept(16)


def driver_label(name: str, case: Case, tables: Tables, manner: Formatter = PLAIN) -> str:
    """Return what a person reads for an uncertain input.

    Args:
        name: Of the input.
        case: For the components of renewals.
        tables: For the labels of components.
        manner: How the reader gets words.
    """
    head, _, tail = name.partition(".")
    if head == "grade":
        return manner.say("Grade of {part}", part=manner.small(tables.components[tail].named(case.identity.kind)))
    if head == "life":
        return manner.say(
            "Service life of {part}", part=manner.small(tables.components[tail].named(case.identity.kind))
        )
    if head == "renewal":
        named = dict(zip(event_names(case.renewals), case.renewals, strict=True))
        renewed = named[name].components if name in named else ()
        if not renewed:
            return manner.say("Renewal")
        return manner.say("Date of the renewal of {part}", part=manner.small(tables.components[renewed[0]].label))
    return manner.say(_LABELS[name])


def next_checks(known: Knowledge) -> tuple[NextCheck, ...]:
    """Return every check not yet made, most informative first.

    Args:
        known: What the checks settle of the value.

    Returns:
        For each check by how much the range narrows through it alone [%]. Checks that take days are left out.
    """
    found = []
    for key, share in known.each().items():
        row = known.looks[key].row
        if not row.days:
            narrows = narrowing(share)
            found.append(NextCheck(key, row.label, row.station, row.component, narrows, row.minutes))
    return tuple(sorted(found, key=lambda check: (-check.narrows_pct, check.minutes, check.check)))
