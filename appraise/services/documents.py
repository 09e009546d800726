"""The documents of a case as they are handed over: which kinds, in which forms, under which names."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import PLAIN
from appraise.model.unsafe import error_text, sanitize_line
from appraise.report.appraisal import Appraisal, Asked, assembled, in_manner
from appraise.report.document import Sheet, Unwritable, Written
from appraise.report.formats import ENDINGS, WRITERS, write
from appraise.report.json_text import dumps
from appraise.report.kinds import OF_A_LOSS, ReportKind, document_for
from appraise.report.outputs.sheets import OFFER, WORK_ORDER
from appraise.report.outputs.value import REPORT
from appraise.report.wording import manner_of
from appraise.services.letterhead import letterhead_of
from appraise.services.photos import photos_of
from appraise.services.report_audit import record_document, with_standing
from appraise.store.files import digest_of
from appraise.store.read import LARGEST
from appraise.store.write import write_file
from appraise.tables.content import content_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from pathlib import Path

    from appraise.model.locale_format import Formatter
    from appraise.report.document import Document
    from appraise.report.loss.compared import Compared
    from appraise.services.case_session import CaseSession

KINDS: tuple[tuple[ReportKind, str], ...] = (
    (ReportKind.FULL, "The whole appraisal, for the appraiser to sign"),
    (ReportKind.SUMMARY, "A page or two for the owner"),
    (ReportKind.WORKORDER, "The jobs for the workshop"),
    (ReportKind.OFFER, "The offer to a seller"),
    (ReportKind.BUYING, "The buying sheet, for internal use only"),
    (ReportKind.ANNEX, "The annex: how every figure came about"),
)
"""Kinds that are made from one case, and what each is."""

OF_MOVES: tuple[tuple[ReportKind, str], ...] = (
    (ReportKind.LOSS, "The claim dossier of a move"),
    (ReportKind.NOTICE, "The notice of damage to the carrier"),
    (ReportKind.REQUEST, "The request for a quotation, to a workshop"),
)
"""Kinds that are made from a case and the earlier state that it remembers."""

_CALLED = {".pdf": "PDF", ".html": "HTML", ".md": "Markdown", ".json": "JSON"}

FORMS: tuple[tuple[str, str], ...] = tuple((ending, _CALLED[ending]) for ending in ENDINGS)
"""Endings and what people call them."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """Outcome of writing one file."""

    path: Path
    problem: str = ""
    """Why it was not written; empty where it was."""
    notes: tuple[str, ...] = ()
    """Parts that could not be shown in it, a line each."""
    untold: str = ""
    """Why the trail of the case says nothing of it; empty where it does."""


def default_stem(worksheet: CaseSession, kind: ReportKind) -> str:
    """Return the name that a document gets when nobody chooses one, without its ending."""
    return f"{worksheet.path.stem}-{kind.value}"


def kinds_of(worksheet: CaseSession) -> tuple[tuple[ReportKind, str], ...]:
    """Return the kinds that a worksheet's case can be handed over as, and what each is."""
    return KINDS if worksheet.case.earlier_state is None else (*KINDS, *OF_MOVES)


def item_for(worksheet: CaseSession, kind: ReportKind) -> Appraisal | Compared:
    """Return what a document of one kind is made from.

    Args:
        worksheet: A saved one.
        kind: One of `kinds_of`.

    Raises:
        OSError: The case file cannot be read.
        InputError: The two states cannot be compared.
        Unreadable: The earlier state cannot be used.
    """
    item = _loss_of(worksheet) if kind in OF_A_LOSS else _item_of(worksheet)
    return _said(item, manner_of(worksheet.case.assignment, kind=kind))


def _loss_of(worksheet: CaseSession) -> Compared:
    from appraise.services.loss import of_worksheet

    return of_worksheet(worksheet.path, worksheet.case, worksheet.tables)


def _item_of(worksheet: CaseSession) -> Appraisal:
    content = content_of(worksheet.path, LARGEST)
    item = assembled(
        worksheet.case,
        worksheet.tables,
        worksheet.valuation,
        worksheet.reasons,
        file=sanitize_line(worksheet.path.name),
        sha256=digest_of(content),
    )
    photos = photos_of(worksheet.path, worksheet.case, worksheet.tables)
    head = letterhead_of(worksheet.path, worksheet.case)
    return replace(item, photos=photos, letterhead=head, asked=Asked(content.decode("utf-8", "replace")))


def export_documents(
    item: Appraisal | Compared,
    kind: str,
    targets: Iterable[Path],
    sheet: Sheet,
    case_file: Path,
    *,
    overwrite: bool = False,
) -> Iterator[Outcome]:
    """Write a document to files one after another; one that cannot be written does not keep the others back.

    Args:
        item: A valued case, or two states compared.
        kind: One of `ReportKind`.
        targets: Where to; the ending of each, one of `FORMS`, says what.
        sheet: The paper, where there is any.
        case_file: Where the case lies, whose trail takes note of what was written; of a loss, that of the state after.
        overwrite: Replace files of the same names.

    Yields:
        One outcome for each file, as soon as it is written.
    """
    item = with_standing(case_file, item)
    document: Document | None = None
    for path in targets:
        if path.exists() and not overwrite:
            yield Outcome(path, "there is a file of this name already")
            continue
        ending = path.suffix.lower()
        try:
            if ending in WRITERS:
                document = document_for(kind, item) if document is None else document
                written = write(document, ending, sheet)
            else:
                written = Written(_object_text(item, kind).encode("utf-8"))
            write_file(path, written.content)
        except Unwritable as refused:
            yield Outcome(path, str(refused))
        except OSError as error:
            found = f"that it cannot be written ({error_text(error)})"
            yield Outcome(path, f"found {found}, expected a folder that can be")
        else:
            # What went into a pipe or a device cannot be hashed any more.
            untold = record_document(case_file, item, path) if path.is_file() else ""
            yield Outcome(path, "", written.notes, untold)


def _object_text(item: Appraisal | Compared, kind: str) -> str:
    """Return a report of one kind as JSON, which is the same in every place."""
    plain = _said(item, PLAIN)
    if isinstance(plain, Appraisal):
        if kind == ReportKind.OFFER:
            return dumps(OFFER.dump(plain))
        if kind == ReportKind.WORKORDER:
            return dumps(WORK_ORDER.dump(plain))
        return dumps(REPORT.dump((plain, kind)))
    from appraise.report.outputs.loss import DOSSIER

    return dumps(DOSSIER.dump((plain, kind)))


def _said(item: Appraisal | Compared, manner: Formatter) -> Appraisal | Compared:
    """Return a valued case or a comparison said in another manner."""
    if isinstance(item, Appraisal):
        return in_manner(item, manner)
    return replace(item, manner=manner)
