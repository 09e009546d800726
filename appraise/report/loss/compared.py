"""Two states of one instrument with everything that was concluded from them, as every writer needs it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.explain.loss_notes import assumptions, cautions
from appraise.explain.timeline import timeline
from appraise.model.case import STATION_LABELS
from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import PLAIN, Formatter
from appraise.model.loss import Counting, Measure
from appraise.model.message import message
from appraise.report.provenance import FIRST, Standing
from appraise.report.words import literal

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from appraise.model.case import Case, EarlierState
    from appraise.model.loss import CarriageLimit, Dated, Deadline, Loss, RemarkClass, Scenario
    from appraise.model.result import Range
    from appraise.report.document import Photo
    from appraise.tables.rows import Caution, Tables

DEFER = message("check the current edition and the policy, ask a lawyer; this is no legal advice")
"""Printed beside every rule of carriage."""

MEASURES = {
    Measure.REPAIR: message("repair less betterment"),
    Measure.DIMINUTION: message("diminution in value"),
    Measure.TOTAL_LOSS: message("total loss: value before less salvage"),
    Measure.NONE: message("none can be stated in money"),
}
"""Label of each measure."""

COUNTED = {
    Counting.ESTABLISHED: message("Established: none of unknown origin counted"),
    Counting.ALL_UNKNOWN: message("Alternative: all of unknown origin counted"),
}
"""Label of each scenario for parts of unknown origin."""

SHORTLY = {
    Counting.ESTABLISHED: message("Established"),
    Counting.ALL_UNKNOWN: message("With unknown"),
}
"""The same in a cell."""

NOT_KNOWN = "–"

NO_LOSS = message("No part that got worse is attributed to the move, so no loss is established.")


@dataclass(frozen=True, slots=True)
class StateFile:
    """One of the two files."""

    file: str
    """Its name, without the folder."""
    sha256: str
    """Of its bytes, hexadecimal."""
    case: Case
    text: str = ""
    """Its content, as its bytes were read; empty for a state without a file."""
    folder: Path | None = None
    """Folder of the case, for its photos; none: they are not looked up."""


@dataclass(frozen=True, slots=True)
class PhotoPair:
    """The photos of one remark, before and after."""

    place: str
    """A station or a component."""
    outcome: RemarkClass
    ticked: bool
    """The assessor said what became of it."""
    before: Photo
    after: Photo


@dataclass(frozen=True, slots=True)
class Compared:
    """A loss with its files, its rules of carriage and its warnings."""

    before: StateFile
    after: StateFile
    loss: Loss
    tables: Tables
    limits: tuple[CarriageLimit, ...]
    """One for every rule that has an amount, in table order."""
    weight_kg: float | None
    volume_m3: float | None
    cautions: tuple[Caution, ...]
    """Rows of the table that apply to the instrument as it stands after."""
    letterhead: Photo | None = None
    """Picture of the letterhead of the state after; none where it names none, or nobody looked."""
    photos: tuple[PhotoPair, ...] = ()
    delivered: date | None = None
    deadlines: tuple[Deadline, ...] = ()
    """Periods that run from the delivery; none where its day is not stated."""
    asked_on: date | None = None
    """The day on which the periods were looked at: of the later report, or else of the later inspection."""
    remembered: EarlierState | None = None
    """The earlier state that the case of the later one keeps, where that is what it was compared with."""
    manner: Formatter = PLAIN
    """In which all of it is said."""
    standing: Standing = FIRST
    """Among the dossiers before it, and in the trail of the later case."""

    @property
    def timeline(self) -> tuple[Dated, ...]:
        """Every dated event of the two files, earliest first."""
        return timeline(self.before.case, self.after.case, self.manner)

    @property
    def limitations(self) -> tuple[str, ...]:
        """A sentence for everything that limits the comparison."""
        return cautions(self.loss, self.before.case, self.after.case, self.tables, self.manner)

    @property
    def assumptions(self) -> tuple[str, ...]:
        """Return the assumptions, a sentence each."""
        return assumptions(self.loss.terms, self.tables, self.manner)

    def place(self, key: str) -> str:
        """Return what a person reads for a component or a station."""
        row = self.tables.components.get(key)
        if row is not None:
            return literal(row.named(self.after.case.identity.kind))
        return self.manner.render(STATION_LABELS.get(key, literal(key.replace("_", " ").capitalize())))

    def amount(self, figure: float | None) -> str:
        """Return an amount with its currency, about; a dash where there is none."""
        return NOT_KNOWN if figure is None else self.manner.money(figure, self.loss.currency)

    def spread(self, figure: Range | None) -> str:
        """Return a middle figure with its range: "EUR 1,170 (559 to 2,020)"; a dash where there is none."""
        if figure is None:
            return NOT_KNOWN
        middle = self.amount(figure.mid)
        if figure.low == figure.high:
            return middle
        low, high = (self.manner.about(end) for end in (figure.low, figure.high))
        return self.manner.say("{middle} ({low} to {high})", middle=middle, low=low, high=high)

    @property
    def proposed(self) -> Scenario:
        """The established reading, which is the one proposed."""
        return self.loss.scenarios[0]
