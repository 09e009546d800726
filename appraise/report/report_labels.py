"""Words that writers add around a document: none of them comes from a case."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import PLAIN, Formatter
from appraise.model.message import message, places
from appraise.model.unsafe import REPLACEMENT

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.report.document import Photo

_PAGE = message("page {page} of {pages}")


@dataclass(frozen=True, slots=True)
class Furniture:
    """The words in the manner of one document."""

    manner: Formatter = PLAIN

    @property
    def contents(self) -> str:
        """Heading of the list of sections."""
        return self.manner.say("Contents")

    @property
    def about(self) -> str:
        """Heading of what a writer could not show."""
        return self.manner.say("About this file")

    @property
    def scaled(self) -> str:
        """Note on pictures shown smaller than taken."""
        return self.manner.say("Pictures are scaled down; the digests are those of the photos as they were taken.")

    @property
    def page_of(self) -> tuple[str, str, str]:
        """Text before the page number, between it and the number of pages, and after."""
        pieces = places(self.manner.translated(_PAGE))
        if [name for _, name in pieces] != ["page", "pages", ""]:
            return "", " / ", ""  # the numbers come in this order in every language
        return pieces[0][0], pieces[1][0], pieces[2][0]

    def table(self, title: str, number: int) -> str:
        """Return the caption of a table that shares its section with others."""
        return self.manner.say("{title}, table {number}", title=title, number=number)

    def beside(self, photo: Photo) -> str:
        """Return what stands below a photo: its file, when the camera says that it was taken, its digest."""
        if not photo.file:
            return ""
        taken = self.manner.say("taken {when}", when=photo.taken.replace("T", " ")) if photo.taken else ""
        if photo.sha256 and not taken:
            taken = self.manner.say("capture time not recorded")
        digest = f"SHA-256 {photo.sha256}" if photo.sha256 else self.manner.say("no SHA-256 recorded")
        return " · ".join(filter(None, (photo.file, taken, digest)))

    def not_shown(self, problem: str) -> str:
        """Return what stands in the place of a picture."""
        return self.manner.say("Not shown: {problem}", problem=problem)

    def left_out(self, codes: Sequence[str], more: int) -> str:
        """Tell which characters stand as a replacement.

        Args:
            codes: Some of them, as U+XXXX.
            more: How many others there are.
        """
        named = ", ".join(codes)
        if more:
            named = self.manner.say("{names} and {count} more", names=named, count=more)
        return self.manner.say(
            "The fonts of this PDF lack {characters}; {replacement} stands in their place. The report as HTML or "
            "Markdown holds the text as it was written.",
            characters=named,
            replacement=REPLACEMENT,
        )
