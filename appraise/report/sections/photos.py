"""The photo plates: file, digest and caption of each, and the picture where it was found."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import STATION_LABELS
from appraise.model.manner import PLAIN, Manner
from appraise.model.message import message
from appraise.report.document import Paragraph, Photo, Plates, Section
from appraise.report.words import literal, note_name, said

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.case import Remark
    from appraise.report.appraisal import Appraisal
    from appraise.tables.rows import Tables

NOT_LOOKED_FOR = message("not looked for")
"""Said of a photo where nobody said in which folder the case lies."""

A_ROW = 2
"""Photos side by side."""


def plates(item: Appraisal) -> Section:
    """The photos in rows, or that there are none."""
    say = item.manner.say
    remarks = [remark for remark in item.case.remarks if remark.photo]
    found = item.photos or tuple(captioned(remark, item.tables, problem=NOT_LOOKED_FOR) for remark in remarks)
    photos = tuple(
        captioned(remark, item.tables, item.manner, path=photo.path, problem=item.manner.render(photo.problem))
        for remark, photo in zip(remarks, found, strict=False)
    )
    if not photos:
        return Section(say("Photos"), (Paragraph(say("No photo belongs to this case.")),), key="photos")
    rows = tuple(photos[start : start + A_ROW] for start in range(0, len(photos), A_ROW))
    note = say(
        "Each photo is named in the case file; where a digest was recorded, the picture was compared with it before it "
        "was shown. A photo can be checked against its SHA-256 at any time."
    )
    return Section(say("Photos"), (Plates(rows), Paragraph(note)), key="photos")


def captioned(
    remark: Remark, tables: Tables, manner: Manner = PLAIN, *, path: Path | None = None, problem: str = ""
) -> Photo:
    """Return the photo of a remark with a caption that says what it shows and where.

    Args:
        remark: With a photo.
        tables: The rows that name its place.
        manner: How the reader gets words.
        path: Where the picture lies.
        problem: Why it is not shown.
    """
    row = tables.components.get(remark.place)
    where = said(manner, row.label) if row else literal(manner.render(STATION_LABELS.get(remark.place, remark.place)))
    if remark.notes:
        notes = manner.listed(note_name(note) for note in remark.notes)
        where = manner.several(
            "{place}, note {notes}", "{place}, notes {notes}", len(remark.notes), place=where, notes=notes
        )
    caption = f"{where}: {literal(remark.text)}"
    return Photo(literal(remark.photo), literal(remark.sha256), caption, path, problem)
