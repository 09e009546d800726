"""Every chart of a report, each made from an appraisal or a loss; none where there is nothing to draw."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.charts.condition import component_contribution, survival
from appraise.report.charts.readings import pitch_log, touch
from appraise.report.charts.worth import value_range, what_drives

if TYPE_CHECKING:
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Drawing


def drawings(item: Appraisal) -> list[Drawing]:
    """Return every chart that an appraisal gives, in the order in which a person asks."""
    made = (value_range, what_drives, component_contribution, survival, pitch_log, touch)
    return [drawing for make in made if (drawing := make(item)) is not None]
