"""Text that changes often on a screen that does not."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static


class LiveText(Static):
    """A text whose change lays the screen out again only where it needs more or fewer lines than before."""

    def tell(self, content: Content) -> None:
        """Show this; nothing is drawn where it is shown already."""
        shown = self.content
        if isinstance(shown, Content) and shown.is_same(content):
            return
        width = self.content_size.width
        fits = width > 0 and content.get_height({}, width) == self.content_size.height
        self.update(content, layout=not fits)
