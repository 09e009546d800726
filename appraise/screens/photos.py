"""The photos of a case: of the check one stands on, of the whole, of checks and remarks, and those used nowhere."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.commands import PHOTOS
from appraise.screens.choose_photos import choose_photos, put_photos
from appraise.screens.fields import FieldScreen
from appraise.services.particulars import REMARKS
from appraise.services.photos import WHOLE, Use, photo_lines, photos_at, standing_of, unused
from appraise.widgets.field_rows import FieldRow

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from appraise.services.case_session import CaseSession


class PhotosScreen(FieldScreen):
    """One list of photos by what they show."""

    PLACE = "Photos"
    SCOPE = PHOTOS

    def __init__(self, worksheet: CaseSession, check: str = "") -> None:
        """Open the photos.

        Args:
            worksheet: The case.
            check: The check that one stood on; empty: none.
        """
        super().__init__(worksheet)
        self._check = check
        self._rows: dict[str, tuple[Use | None, str]] = {}
        """By row what its photo shows, and the photo; nothing for one that adds."""

    def field_rows(self) -> Sequence[FieldRow]:
        """Return the photos by what they show, then those used nowhere."""
        self._rows = {}
        return list(self._made())

    def _made(self) -> Iterator[FieldRow]:
        case, tables = self.worksheet.case, self.worksheet.tables
        checks = list(dict.fromkeys(check for photo in case.photos for check in photo.checks))
        if self._check:
            checks = [self._check, *(check for check in checks if check != self._check)]
        for check in checks:
            row = tables.checks.get(check)
            yield from self._section(row.label if row else check, ("checks", check))
        yield from self._section("The instrument as a whole", WHOLE)
        for at, remark in enumerate(case.remarks):
            if remark.photos:
                yield from self._section(f"Defect · {REMARKS.title_of(remark, tables)}", ("remarks", at, "photos"))
        lying = unused(case, self.worksheet.path, self.worksheet.tables)
        if lying:
            yield FieldRow.heading(f"In the folder, not used: {len(lying)}")
            for photo in lying:
                yield self._row(None, photo.file, photo.file)

    def _section(self, title: str, use: Use) -> Iterator[FieldRow]:
        yield FieldRow.heading(title)
        case, path = self.worksheet.case, self.worksheet.path
        for file in photos_at(case, use):
            one = standing_of(case.photo(file), path)
            mark = "" if not one.fault and one.photo.sha256 else f"  ⚠ {one.words}"
            yield self._row(use, file, f"{file}{mark}")
        yield self._row(use, "", "+ add photos")

    def _row(self, use: Use | None, file: str, label: str) -> FieldRow:
        key = f"{'.'.join(map(str, use or ('unused',)))}|{file}"
        self._rows[key] = (use, file)
        return FieldRow.doing(key, f"▸ {label}" if file else label)

    @property
    def _under(self) -> tuple[Use | None, str]:
        row = self.current
        return (None, "") if row is None else self._rows.get(row.key, (None, ""))

    @property
    def about(self) -> str:
        """Return the details of the photo under the cursor."""
        _, file = self._under
        if not file:
            return "Photos are kept in the folder of the case or below; each is hashed when it is entered"
        return self.told_of(file)

    def told_of(self, file: str) -> str:
        """Return size, capture time, digest and standing of a photo in one line."""
        case, path = self.worksheet.case, self.worksheet.path
        if file not in case.photo_files:
            return f"{file}: not used in this case"
        one = standing_of(case.photo(file), path)
        return f"{file}: {one.words} · " + " · ".join(photo_lines(one.photo, one.size))

    def action_edit(self, typed: str = "") -> None:
        """A row was clicked: as if it had been opened."""
        self.action_view_photo()

    def action_view_photo(self) -> None:
        """Show the photo under the cursor, or add some."""
        use, file = self._under
        if not file:
            if use is not None:
                self.action_add_photos()
            return
        files = list(dict.fromkeys(each for _, each in self._rows.values() if each))
        self.open_screen("photo", self.worksheet, files, files.index(file))

    def action_add_photos(self) -> None:
        """Choose photos of what the row under the cursor is about; on one used nowhere: of the check, or the whole."""
        use = self._under[0] or (("checks", self._check) if self._check else WHOLE)
        choose_photos(self, use)

    def action_take_off(self) -> None:
        """Take the photo off what it shows; the file stays."""
        use, file = self._under
        if use is None or not file:
            self.say("Put the cursor on a photo that shows something to take it off")
            return
        left = tuple(each for each in photos_at(self.worksheet.case, use) if each != file)
        put_photos(self, use, left)
