"""Two case files compared: refused where they are not one instrument, with limits of carriage and warnings."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from itertools import zip_longest
from typing import TYPE_CHECKING

from appraise.engine.loss.arithmetic import carriage_limit
from appraise.engine.loss.compare import compare_states
from appraise.engine.loss.matching import mismatches
from appraise.engine.loss.periods import deadlines
from appraise.engine.valuation import value_case
from appraise.model.lazy_dataclass import dataclass
from appraise.model.loss import Terms
from appraise.model.plausible import MONEY_DIGITS
from appraise.model.problem import InputError, quoted
from appraise.model.quantities import amount, money
from appraise.model.unsafe import sanitize_line
from appraise.report.cautions import applicable
from appraise.report.loss.compared import Compared, PhotoPair, StateFile
from appraise.services.letterhead import letterhead_of
from appraise.services.photos import no_photo, photos_beside
from appraise.store.baseline import earlier_case
from appraise.store.document import case_text
from appraise.store.files import digest_of
from appraise.store.read import LARGEST
from appraise.tables.content import content_of

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.model.claim import Claim
    from appraise.model.loss import Loss
    from appraise.tables.rows import Tables

WEIGHT_KG = (20.0, 2000.0)
"""Gross weights of an instrument with its packing that are believed [kg]."""

VOLUME_M3 = (0.1, 150.0)
"""Load spaces that are believed [m³], up to a whole trailer."""


TOTAL_LOSS_PCT = (10.0, 200.0)
"""Shares of the value before at which a policy may call a repair a total loss [%]."""

MOST = 10**MONEY_DIGITS - 1
"""No amount of a claim is greater [money]."""


@dataclass(frozen=True, slots=True)
class Consignment:
    """The policy's insurer or carrier."""

    weight_kg: float | None = None
    volume_m3: float | None = None
    delivered: date | None = None
    """The day on which it was delivered."""


def terms_of(claim: Claim) -> Terms:
    """Return what a case says of the policy, as the engine takes it."""
    return Terms(
        betterment=claim.betterment,
        sum_insured=claim.sum_insured,
        value_at_risk=claim.value_at_risk,
        excess=claim.excess,
        special_condition=claim.special_condition,
        surrendered=claim.surrendered,
        residual=claim.residual,
        total_loss_pct=None if claim.total_loss_pct is None else Decimal(str(claim.total_loss_pct)),
    )


def consignment_of(claim: Claim) -> Consignment:
    """Return what a case says of the carriage."""
    return Consignment(claim.weight_kg, claim.volume_m3, claim.delivered)


def state_of(path: Path, case: Case, content: bytes) -> StateFile:
    """Return a case file, as it was read, as one of two states."""
    digest, text = digest_of(content), content.decode("utf-8", "replace")
    return StateFile(sanitize_line(path.name), digest, case, text, path.resolve().parent)


def remembered_state(path: Path, case: Case, tables: Tables) -> StateFile:
    """Return the earlier state that a case remembers, held to its hash.

    Args:
        path: The case file.
        case: What it holds.
        tables: What names are checked against.

    Raises:
        InputError: It remembers none.
        Unreadable: The frozen copy is gone, has been changed, or cannot be used.
    """
    earlier = case.earlier_state
    if earlier is None:
        mend = "name the file of the state before, or set it before a move"
        raise InputError("no earlier state in it", "one", mend, subject=sanitize_line(path.name))
    before, text = earlier_case(path, earlier, tables)
    return StateFile(sanitize_line(earlier.file), earlier.sha256, before, text, path.resolve().parent)


def without_ticks(case: Case) -> Case:
    """Return a case without what it says of the remarks of an earlier state."""
    earlier = case.earlier_state
    remarks = tuple(replace(remark, earlier=None, worse=False) for remark in case.remarks)
    return replace(case, remarks=remarks, earlier_state=None if earlier is None else replace(earlier, mended=()))


def compared(
    before: StateFile,
    after: StateFile,
    tables: Tables,
    *,
    terms: Terms,
    consignment: Consignment,
    draws: int | None = None,
    seed: int | None = None,
) -> Compared:
    """Compare two states and gather what every writer needs.

    Args:
        before: The file of the state before.
        after: Of the state after.
        tables: The reference tables.
        terms: What the policy asks for.
        consignment: Weight and volume for the limits of carriage.
        draws: Number of draws behind the ranges; none: the tables' setting.
        seed: Of the draws; none: the tables' setting.

    Raises:
        InputError: The two are not one instrument, or cannot be subtracted; the text is one line.
    """
    for found in mismatches(before.case, after.case):
        raise InputError(_not_one(before.file, after.file, found.what, found.before, found.after))
    earlier = after.case.earlier_state
    remembered = earlier if earlier is not None and earlier.sha256 == before.sha256 else None
    # Ticks name remarks by their number, and hold for the very state that was in view.
    later = after.case if remembered is not None else without_ticks(after.case)
    loss = compare_states(before.case, later, tables, terms=terms, draws=draws, seed=seed)
    asked_on = after.case.assignment.reported or after.case.assignment.inspected
    delivered = consignment.delivered
    if delivered is not None and not before.case.assignment.inspected <= delivered <= asked_on:
        first, last = before.case.assignment.inspected.isoformat(), asked_on.isoformat()
        raise InputError(f"the delivery on {delivered.isoformat()}", f"a day from {first} to {last}")
    limits = tuple(
        carriage_limit(rule, consignment.weight_kg, consignment.volume_m3)
        for rule in tables.carriage_rules.values()
        if rule.topic == "limit"
    )
    standing = value_case(after.case, tables, draws=draws, seed=seed)
    jobs = {job.remedy for scenario in loss.scenarios for job in scenario.items}
    cautions = applicable(after.case, tables, standing, jobs)
    return Compared(
        before,
        after,
        loss,
        tables,
        limits,
        consignment.weight_kg,
        consignment.volume_m3,
        cautions,
        letterhead=None if after.folder is None else letterhead_of(after.folder / after.file, after.case),
        photos=_photos(before, after, loss, tables),
        delivered=delivered,
        deadlines=() if delivered is None else deadlines(tables.carriage_rules.values(), delivered, asked_on),
        asked_on=asked_on,
        remembered=remembered,
    )


def _photos(before: StateFile, after: StateFile, loss: Loss, tables: Tables) -> tuple[PhotoPair, ...]:
    return tuple(
        PhotoPair(line.latest.place, line.outcome, line.ticked, was or no_photo(), now or no_photo())
        for line in loss.remarks
        for was, now in zip_longest(
            photos_beside(before.folder, before.case, line.before, tables),
            photos_beside(after.folder, after.case, line.after, tables),
        )
    )


def _not_one(before: str, after: str, what: str, first: str, second: str) -> str:
    if what == "currency":
        mend = "bring both files to one currency"
    elif what == "day of inspection":
        return f"{after}: inspected on {second}, expected a day from {first} on; is {before} the state before?"
    else:
        mend = "these are not one instrument, or one of the files has it wrong"
    return f"{after}: found the {what} {quoted(second)}, expected {quoted(first)} as in {before}; {mend}"


def weight(text: str) -> float:
    """Read a gross weight [kg]: "480 kg", "1058 lb".

    Raises:
        InputError: It is none, or cannot be that of an instrument.
    """
    return amount(text, "kg", "the weight", *WEIGHT_KG)


def volume(text: str) -> float:
    """Read a load space [m³]: "4 m³", "4 m3", "141 cu ft".

    Raises:
        InputError: It is none, or cannot be that of a removal.
    """
    return amount(text, "m³", "the volume", *VOLUME_M3)


def total_loss(text: str) -> float:
    """Read the share of the value before from which a repair is a total loss [%]: "80", "80 %".

    Raises:
        InputError: It is none, or no policy would state it.
    """
    return amount(text, "%", "the share", *TOTAL_LOSS_PCT)


def above_zero(text: str) -> Decimal:
    """Read an amount of money above zero.

    Raises:
        InputError: It is no such amount.
    """
    result = not_negative(text)
    if result == 0:
        raise InputError(quoted(text), "an amount above 0")
    return result


def not_negative(text: str) -> Decimal:
    """Read an amount of money, zero or more.

    Raises:
        InputError: It is no such amount, or none of ordinary size.
    """
    result = money(text)
    if not 0 <= result <= MOST:
        raise InputError(quoted(text), f"an amount from 0 to {MOST:,}")
    return result


def of_worksheet(path: Path, case: Case, tables: Tables) -> Compared:
    """Compare a case with the earlier state that it remembers, by what it says of the claim itself.

    Args:
        path: The case file.
        case: The case as it stands, saved or not.
        tables: The reference tables.

    Raises:
        InputError: It remembers none, the two are not one instrument, or a figure of the claim cannot be.
        Unreadable: The frozen copy is gone, has been changed, or cannot be used.
    """
    before = remembered_state(path, case, tables)
    try:
        content = content_of(path, LARGEST)
    except OSError:  # not saved yet: what would be written
        content = case_text(case).encode()
    return compared(
        before,
        state_of(path, case, content),
        tables,
        terms=terms_of(case.claim),
        consignment=consignment_of(case.claim),
    )
