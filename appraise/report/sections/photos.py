"""The photo plates: file, digest, capture time and caption of each, and the picture where it was found."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.model.case import STATION_LABELS, STATIONS, PhotoFile
from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import PLAIN, Formatter
from appraise.model.message import message
from appraise.model.notes import note_name
from appraise.model.photo_mark import mark_of
from appraise.report.document import Paragraph, Photo, PhotoGrid, Section
from appraise.report.words import literal, said

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.case import Case, Kind, Remark
    from appraise.report.appraisal import Appraisal
    from appraise.tables.rows import Tables

NOT_LOOKED_FOR = message("not looked for")
"""Said of a photo where nobody said in which folder the case lies."""

WHOLE = message("The instrument as a whole")

A_ROW = 2
"""Photos side by side."""


@dataclass(frozen=True, slots=True)
class Shot:
    """One photo as it is used once: at a remark, at a check, or of the whole."""

    photo: PhotoFile
    kind: Kind
    """Of the instrument, for the names of its parts."""
    remark: Remark | None = None
    check: str = ""

    def caption(self, tables: Tables, manner: Formatter = PLAIN) -> str:
        """Return what it shows and where, with the assessor's own caption where there is one."""
        own = literal(self.photo.caption)
        if self.remark is not None:
            words = f"{self._place(self.remark, tables, self.kind, manner)}: {literal(self.remark.text)}"
        elif self.check:
            row = tables.checks.get(self.check)
            words = literal(row.label if row else self.check)
        else:
            words = manner.render(WHOLE)
        words = f"{words} – {own}" if own else words
        mark = mark_of(self.photo.mark)
        if mark is None:
            return words
        x, y = manner.decimal(mark.x, 1), manner.decimal(mark.y, 1)
        if mark.shape == "arrow":
            return manner.say(
                "{words} (arrow added, at {x} % from the left, {y} % from the top)", words=words, x=x, y=y
            )
        return manner.say("{words} (circle added, at {x} % from the left, {y} % from the top)", words=words, x=x, y=y)

    @staticmethod
    def _place(remark: Remark, tables: Tables, kind: Kind, manner: Formatter) -> str:
        row = tables.components.get(remark.place)
        place = STATION_LABELS.get(remark.place, remark.place)
        where = said(manner, row.named(kind)) if row else literal(manner.render(place))
        if not remark.notes:
            return where
        notes = manner.listed(note_name(note) for note in remark.notes)
        return manner.several(
            "{place}, note {notes}", "{place}, notes {notes}", len(remark.notes), place=where, notes=notes
        )

    def plate(self, tables: Tables) -> Photo:
        """Return it as a document has it, before anybody has looked for the file."""
        photo = self.photo
        words = self.caption(tables)
        return Photo(
            literal(photo.file),
            literal(photo.sha256),
            words,
            taken=literal(photo.taken),
            problem=NOT_LOOKED_FOR,
            mark=photo.mark,
        )


def shots(case: Case, tables: Tables) -> tuple[Shot, ...]:
    """Return every photo at every place that it is used: of the whole, of checks by station, of remarks."""
    return tuple(_shots(case, tables))


def _shots(case: Case, tables: Tables) -> Iterator[Shot]:
    kind = case.identity.kind
    yield from (Shot(photo, kind) for photo in case.photos if photo.whole)
    order = {key: at for at, key in enumerate(sorted(tables.checks, key=lambda key: _station(key, tables)))}
    checks = {check for photo in case.photos for check in photo.checks}
    for check in sorted(checks, key=lambda key: (order.get(key, len(order)), key)):
        yield from (Shot(photo, kind, check=check) for photo in case.photos if check in photo.checks)
    for remark in case.remarks:
        yield from (Shot(case.photo(file), kind, remark) for file in remark.photos)


def _station(check: str, tables: Tables) -> int:
    return STATIONS.index(tables.components[tables.checks[check].component].station)


def plates(item: Appraisal) -> Section:
    """The photos in rows, or that there are none."""
    say = item.manner.say
    used = shots(item.case, item.tables)
    result = item.photos or tuple(shot.plate(item.tables) for shot in used)
    photos = tuple(
        replace(photo, caption=shot.caption(item.tables, item.manner), problem=item.manner.render(photo.problem))
        for shot, photo in zip(used, result, strict=False)
    )
    if not photos:
        return Section(say("Photos"), (Paragraph(say("No photo belongs to this case.")),), key="photos")
    rows = tuple(photos[start : start + A_ROW] for start in range(0, len(photos), A_ROW))
    note = say(
        "Each photo is named in the case file; where a digest was recorded, the picture was compared with it before it "
        "was shown. A photo can be checked against its SHA-256 at any time."
    )
    return Section(say("Photos"), (PhotoGrid(rows), Paragraph(note)), key="photos")
