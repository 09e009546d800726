"""The photo plates: file, digest and caption of each, and the picture where it was found."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import STATION_LABELS
from appraise.report.document import Paragraph, Photo, Plates, Section
from appraise.report.words import listed, literal

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.case import Remark
    from appraise.report.appraisal import Appraisal
    from appraise.tables.rows import Tables

NOT_LOOKED_FOR = "not looked for"
"""Said of a photo where nobody said in which folder the case lies."""

A_ROW = 2
"""Photos side by side."""


def plates(item: Appraisal) -> Section:
    """The photos in rows, or that there are none."""
    photos = item.photos or tuple(
        captioned(remark, item.tables, problem=NOT_LOOKED_FOR) for remark in item.case.remarks if remark.photo
    )
    if not photos:
        return Section("Photos", (Paragraph("No photo belongs to this case."),), key="photos")
    rows = tuple(photos[start : start + A_ROW] for start in range(0, len(photos), A_ROW))
    note = (
        "Each photo is named in the case file; where a digest was recorded, the picture was compared with it before it "
        "was shown. A photo can be checked against its SHA-256 at any time."
    )
    return Section("Photos", (Plates(rows), Paragraph(note)), key="photos")


def captioned(remark: Remark, tables: Tables, *, path: Path | None = None, problem: str = "") -> Photo:
    """Return the photo of a remark with a caption that says what it shows and where.

    Args:
        remark: With a photo.
        tables: The rows that name its place.
        path: Where the picture lies.
        problem: Why it is not shown.
    """
    row = tables.components.get(remark.place)
    place = row.label if row else STATION_LABELS.get(remark.place, remark.place)
    notes = f", {'note' if len(remark.notes) == 1 else 'notes'} {listed(str(n) for n in remark.notes)}"
    where = literal(place) + (notes if remark.notes else "")
    caption = f"{where}: {literal(remark.text)}"
    return Photo(literal(remark.photo), literal(remark.sha256), caption, path, problem)
