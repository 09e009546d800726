"""The documents of a case as they are handed over: which kinds, in which forms, under which names."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from appraise.report.formats import WRITERS, Sheet, Unwritable, Written, write
from appraise.report.kinds import ReportKind, document_for
from appraise.services.reported import record_report, with_standing
from appraise.store.characters import one_line
from appraise.store.write import write_file

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from appraise.report.appraisal import Appraisal
    from appraise.report.loss.compared import Compared
    from appraise.services.worksheet import Worksheet

KINDS: tuple[tuple[ReportKind, str], ...] = (
    (ReportKind.FULL, "The whole appraisal, with everything it rests on"),
    (ReportKind.SUMMARY, "One page for the owner"),
    (ReportKind.WORKORDER, "The jobs for the workshop"),
)
"""Kinds that are made from one case, and what each is."""

DOSSIER = (ReportKind.LOSS, "The claim dossier of a move")
"""The kind that is made from a case and the earlier state that it remembers."""

FORMS: tuple[tuple[str, str], ...] = ((".pdf", "PDF"), (".html", "HTML"), (".md", "Markdown"), (".json", "JSON"))
"""Endings and what people call them."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one file."""

    path: Path
    problem: str = ""
    """Why it was not written; empty where it was."""
    notes: tuple[str, ...] = ()
    """What could not be shown in it, a line each."""


def default_stem(worksheet: Worksheet, kind: ReportKind) -> str:
    """Return the name that a document gets when nobody chooses one, without its ending."""
    return f"{worksheet.path.stem}-{kind.value}"


def kinds_of(worksheet: Worksheet) -> tuple[tuple[ReportKind, str], ...]:
    """Return the kinds that a worksheet's case can be handed over as, and what each is."""
    return KINDS if worksheet.case.earlier_state is None else (*KINDS, DOSSIER)


def item_for(worksheet: Worksheet, kind: ReportKind) -> Appraisal | Compared:
    """Return what a document of one kind is made from.

    Args:
        worksheet: A saved one.
        kind: One of `kinds_of`.

    Raises:
        OSError: The case file cannot be read.
        Refused: The two states cannot be compared.
        Unreadable: The earlier state cannot be used.
    """
    if kind is not ReportKind.LOSS:
        return item_of(worksheet)
    from appraise.services.loss import of_worksheet

    return of_worksheet(worksheet.path, worksheet.case, worksheet.tables)


def item_of(worksheet: Worksheet) -> Appraisal:
    """Return the worksheet's case with everything that was concluded from it.

    Args:
        worksheet: A saved one: a document names the case file by its hash.

    Raises:
        OSError: The case file cannot be read.
    """
    from appraise.report.appraisal import Asked, assembled
    from appraise.services.photos import photos_of
    from appraise.store.read import LARGEST
    from appraise.tables.content import content_of

    content = content_of(worksheet.path, LARGEST)
    item = assembled(
        worksheet.case,
        worksheet.tables,
        worksheet.valuation,
        worksheet.reasons,
        file=one_line(worksheet.path.name),
        sha256=hashlib.sha256(content).hexdigest(),
    )
    photos = photos_of(worksheet.path, worksheet.case, worksheet.tables)
    item = replace(item, photos=photos, asked=Asked(content.decode("utf-8", "replace")))
    return with_standing(worksheet.path, item)


def hand_over(
    item: Appraisal | Compared,
    kind: ReportKind,
    endings: Sequence[str],
    stem: Path,
    sheet: Sheet,
    *,
    over: bool = False,
    case_file: Path | None = None,
) -> list[Outcome]:
    """Write a document in several forms; one that cannot be written does not keep the others back.

    Args:
        item: A valued case, or two states compared.
        kind: What is handed over.
        endings: Endings of `FORMS`.
        stem: Folder and name, without an ending.
        sheet: The paper, where there is any.
        over: Replace files of the same names.
        case_file: Where the case lies, whose trail takes note of what was written; none: nowhere.

    Returns:
        One outcome for each ending, in their order.
    """
    from appraise.report.appraisal import Appraisal

    document = document_for(kind, item)
    outcomes = []
    for ending in endings:
        path = stem.with_name(stem.name + ending)
        if path.exists() and not over:
            outcomes.append(Outcome(path, "there is a file of this name already"))
            continue
        try:
            written = write(document, ending, sheet) if ending in WRITERS else _as_json(item, kind)
            write_file(path, written.content)
        except Unwritable as refused:
            outcomes.append(Outcome(path, str(refused)))
        except OSError as error:
            reason = one_line(error.strerror or str(error))
            outcomes.append(Outcome(path, f"it cannot be written ({reason})"))
        else:
            wrong = ""
            if case_file is not None and isinstance(item, Appraisal):
                # A loss is of two cases and belongs to neither's trail.
                wrong = record_report(case_file, item.sha256, path, item.tables)
            missed = (f"not in the trail of the case: {wrong}",) if wrong else ()
            outcomes.append(Outcome(path, "", (*written.notes, *missed)))
    return outcomes


def _as_json(item: Appraisal | Compared, kind: ReportKind) -> Written:
    from appraise.report.appraisal import Appraisal
    from appraise.report.json_out import dumps, report_object
    from appraise.report.loss.json_out import loss_report_object

    found = report_object(item, kind) if isinstance(item, Appraisal) else loss_report_object(item)
    return Written(dumps(found).encode("utf-8"))
