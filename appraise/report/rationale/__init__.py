"""The rationale: plain sentences for a buyer, every figure in them a node of the reason tree."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.locale_format import PLAIN, Formatter
from appraise.report.figures import Figures
from appraise.report.rationale import closing, history, instrument, measurements, stations, value, work
from appraise.report.rationale.story import Chapter, Narrator

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.model.reason import Reason, Sentence
    from appraise.model.result import Valuation
    from appraise.tables.rows import Tables

__all__ = ["Chapter", "chapters", "rationale"]


def chapters(
    case: Case, tables: Tables, valuation: Valuation, tree: Reason, manner: Formatter = PLAIN
) -> tuple[Chapter, ...]:
    """Tell why the value is what it is, one chapter a subject, empty chapters left out.

    Args:
        case: What was found.
        tables: The rows the figures rest on.
        valuation: What the engine made of the case.
        tree: The reason tree of that valuation, root figure `value`, made in the same manner.
        manner: How the reader gets figures and words.

    Returns:
        The chapters in reading order: the instrument, its value, what was seen at each station, its history,
        its pitch, whether it has dried out, the work, what was not inspected, why the range is as wide as it is, and
        the cautions.
    """
    story = Narrator(case, tables, valuation, Figures(tree, manner), manner)
    sentences = (
        instrument.chapter(story),
        value.chapter(story),
        *stations.chapters(story),
        history.chapter(story),
        measurements.pitch_chapter(story),
        measurements.drying_chapter(story),
        work.chapter(story),
        closing.not_inspected(story),
        closing.spread(story),
        closing.cautions(story),
    )
    return tuple(chapter for chapter in sentences if chapter.sentences)


def rationale(
    case: Case, tables: Tables, valuation: Valuation, tree: Reason, manner: Formatter = PLAIN
) -> tuple[Sentence, ...]:
    """Return the sentences of every chapter in reading order; the arguments are those of `chapters`."""
    return tuple(
        sentence for chapter in chapters(case, tables, valuation, tree, manner) for sentence in chapter.sentences
    )
