"""A case with everything that was concluded from it, as every writer needs it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.engine.valuation import value_case
from appraise.explain import reason_tree
from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import PLAIN, Formatter
from appraise.report.figures import Figures
from appraise.report.provenance import FIRST, Standing
from appraise.report.rationale import Chapter, chapters

if TYPE_CHECKING:
    from datetime import date

    from appraise.model.case import Case
    from appraise.model.reason import Reason
    from appraise.model.result import Valuation
    from appraise.report.document import Photo
    from appraise.tables.rows import Tables


@dataclass(frozen=True, slots=True)
class Asked:
    """Case file, its hash and date: the inputs beside tables, seed and number of draws."""

    text: str
    """Of the case file, as its bytes were read."""
    day: date | None = None
    """Effective date asked for instead of the case's."""
    basis: str = ""
    """Kind of value asked for instead of the case's."""


@dataclass(frozen=True, slots=True)
class Appraisal:
    """One valued case: the case, the figures, their reasons, and the words."""

    file: str
    """Name of the case file, without its folder."""
    sha256: str
    """Of the file's bytes, hexadecimal; empty for a case that has no file yet."""
    case: Case
    tables: Tables
    valuation: Valuation
    tree: Reason
    figures: Figures
    chapters: tuple[Chapter, ...]
    photos: tuple[Photo, ...] = ()
    """One for every remark that has one; empty where nobody looked for them."""
    letterhead: Photo | None = None
    """Picture of the letterhead, found and compared; none where the case names none, or nobody looked."""
    asked: Asked | None = None
    """Inputs to reproduce the figures; none for a case without a file."""
    manner: Formatter = PLAIN
    """In which all of it is said."""
    standing: Standing = FIRST
    """Among the reports before it, and in the trail of the case."""


def appraisal(
    case: Case,
    tables: Tables,
    *,
    file: str = "",
    sha256: str = "",
    draws: int | None = None,
    seed: int | None = None,
    manner: Formatter = PLAIN,
) -> Appraisal:
    """Value a case and tell why.

    Args:
        case: What was found.
        tables: The rows to value it with.
        file: Name of the case file, without its folder.
        sha256: Of the file's bytes, hexadecimal.
        draws: Number of draws behind the range; none: the tables' setting.
        seed: Of the draws; none: the tables' setting.
        manner: How the reader gets figures and words.
    """
    valuation = value_case(case, tables, draws=draws, seed=seed)
    tree = reason_tree(case, tables, valuation, manner)
    return assembled(case, tables, valuation, tree, file=file, sha256=sha256, manner=manner)


def in_manner(item: Appraisal, manner: Formatter) -> Appraisal:
    """Return the same valuation said in another manner."""
    if item.manner is manner:
        return item
    tree = reason_tree(item.case, item.tables, item.valuation, manner)
    result = chapters(item.case, item.tables, item.valuation, tree, manner)
    return replace(item, tree=tree, figures=Figures(tree, manner), chapters=result, manner=manner)


def assembled(
    case: Case,
    tables: Tables,
    valuation: Valuation,
    tree: Reason,
    *,
    file: str = "",
    sha256: str = "",
    manner: Formatter = PLAIN,
) -> Appraisal:
    """Put a valuation that is already there together with its words; arguments as for `appraisal`."""
    result = chapters(case, tables, valuation, tree, manner)
    return Appraisal(file, sha256, case, tables, valuation, tree, Figures(tree, manner), result, manner=manner)
