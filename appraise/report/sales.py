"""Own sales as a person reads them: three figures of a row, how far it moved, and the calibration as a chart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.evidence.score import calibration
from appraise.model.locale_format import PLAIN
from appraise.report.document import Drawing

if TYPE_CHECKING:
    from appraise.evidence.learn import LearnedRow
    from appraise.evidence.score import Group
    from appraise.model.result import Range


def three(span: Range) -> str:
    """Return low, middle and high of a factor."""
    return f"{span.low:.2f} {span.mid:.2f} {span.high:.2f}"


def moved(row: LearnedRow) -> str:
    """Return by how much own sales move the middle of a row."""
    return f"{100 * (row.after.mid / row.before.mid - 1):+.0f} %"


def calibrated(group: Group) -> Drawing:
    """Return the calibration of a score as a drawing."""
    says = f"{group.within} of {group.n} prices lay within their range."
    return Drawing(calibration(group), "On the line, ranges are calibrated.", says, PLAIN)
