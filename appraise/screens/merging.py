"""Two versions of one case side by side, merged by choice: what was done here, and what the file holds now."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual import on
from textual.content import Content
from textual.widgets import Static

from appraise.commands import MERGE, told
from appraise.model.case import Case
from appraise.screens.ask import ask_what_becomes
from appraise.screens.list_detail import ListDetailScreen
from appraise.services.field_names import field_name, value_at
from appraise.services.merging import Difference, Merging, Side
from appraise.widgets.plain import wrapped
from appraise.widgets.title_bar import TitleBar
from appraise.widgets.version_rows import VersionRow, VersionRows

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from appraise.tables.rows import Tables

_SIDES = {"left": Side.MINE, "right": Side.THEIRS}
_PLACES = {side: place for place, side in _SIDES.items()}


class MergeScreen(ListDetailScreen[Case | None]):
    """Dismisses with the merged case, or None when left: nothing has been changed then."""

    SCOPE = MERGE
    AUTO_FOCUS = "#versions"

    def __init__(self, name: str, merging: Merging, tables: Tables) -> None:
        """Lay two versions side by side.

        Args:
            name: Of the file.
            merging: The two versions.
            tables: For labels.
        """
        super().__init__()
        self._file, self._merging, self._tables = name, merging, tables
        self._choice: dict[str, Side] = {}

    def compose(self) -> ComposeResult:
        """Compose the differences, and the one under the cursor in full."""
        yield TitleBar("Two versions", self._file)
        yield Static(id="found")
        yield Static(id="heads")
        yield VersionRows(id="versions")
        yield from self.compose_below()

    def on_mount(self) -> None:
        """Show the differences, the cursor on the first that has to be decided."""
        first = next(iter(self._merging.conflicts), None)
        self._show(keep=None if first is None else first.key)

    @on(VersionRows.Taken)
    def _taken(self, message: VersionRows.Taken) -> None:
        self._take(message.key, _SIDES[message.side])

    def _side(self, one: Difference) -> Side | None:
        return self._choice.get(one.key, None if one.conflict else one.usual)

    @property
    def _undecided(self) -> list[Difference]:
        return [one for one in self._merging.conflicts if one.key not in self._choice]

    def _show(self, *, keep: str | None = None) -> None:
        rows = []
        for one in self._merging.differences:
            side = self._side(one)
            note = "decide" if one.conflict else "only here" if one.usual is Side.MINE else "only in the file"
            if one.conflict and self._merging.base is not None:
                note = "changed on both sides"
            name = field_name(one.path, one.of, self._tables)
            taken = "" if side is None else _PLACES[side]
            mine, theirs = self._words(one, one.mine), self._words(one, one.theirs)
            rows.append(VersionRow(one.key, name, mine, theirs, taken, note))
        self.query_one(VersionRows).show(rows, keep=keep)
        self.write()

    def _words(self, one: Difference, value: Any) -> str:  # noqa: ANN401 - a value of the model
        return value_at(one.path, one.of, value, self._merging.mine, self._tables)

    def write(self) -> None:
        """Write how far it is, and the whole of the values of the difference under the cursor."""
        width = self.line_width
        left = len(self._undecided)
        count = len(self._merging.differences)
        state = f"{left} still to decide" if left else told("all decided: {merge} merges them into your worksheet")
        text = (
            f"{self._file} was changed by another program. Nothing is overwritten: {count} "
            f"difference{'' if count == 1 else 's'}, {state}."
        )
        self.query_one("#found", Static).update(Content("\n").join(wrapped(text, width)))
        half = (width - 1) // 2
        heads = Content.styled(f"{'your worksheet (←)'.ljust(half + 1)}the file as it is now (→)", "$quiet")
        self.query_one("#heads", Static).update(heads)
        key = self.query_one(VersionRows).key
        one = next((one for one in self._merging.differences if one.key == key), None)
        lines: list[Content] = []
        if one is not None:
            known = self._merging.base is not None
            lines += wrapped(f"Before: {self._words(one, one.base)}", width, "$quiet") if known else []
            lines += wrapped(f"Yours: {self._words(one, one.mine)}", width)
            lines += wrapped(f"File: {self._words(one, one.theirs)}", width)
        self.show_whole(lines)

    def _take(self, key: str | None, side: Side) -> None:
        if key is not None:
            self._choice[key] = side
            self._show()

    def action_take_mine(self) -> None:
        """Take your own value of the difference under the cursor."""
        self._take(self.query_one(VersionRows).key, Side.MINE)

    def action_take_theirs(self) -> None:
        """Take the file's value."""
        self._take(self.query_one(VersionRows).key, Side.THEIRS)

    def _take_all(self, side: Side) -> None:
        self._choice |= {one.key: side for one in self._undecided}
        self._show()

    def action_keep_all_mine(self) -> None:
        """Take your own value wherever nothing is decided yet."""
        self._take_all(Side.MINE)

    def action_keep_all_theirs(self) -> None:
        """Take the file's value wherever nothing is decided yet."""
        self._take_all(Side.THEIRS)

    def action_next_open(self) -> None:
        """Go to the next difference that has to be decided."""
        rows, open_keys = self.query_one(VersionRows), [one.key for one in self._undecided]
        keys = [one.key for one in self._merging.differences]
        at = keys.index(rows.key) + 1 if rows.key in keys else 0
        following = next((key for key in (*keys[at:], *keys[:at]) if key in open_keys), None)
        if following is not None:
            rows.go(following)

    def action_merge(self) -> None:
        """Make one version of the two, unless something is still to decide."""
        left = self._undecided
        if left:
            self.action_next_open()
            self.notify(f"Still to decide: {len(left)}. ← yours, → the file's", severity="warning", markup=False)
            return
        self.dismiss(self._merging.merged(self._choice))

    @property
    def unfinished(self) -> bool:
        """True once something was decided."""
        return bool(self._choice)

    def ask_unfinished(self) -> None:
        """Ask what becomes of what was decided."""
        words = "What you decided is not merged yet."
        ask_what_becomes(self, words, "Merge", self.action_merge, stay="Decide on")

    def action_back(self) -> None:
        """Leave everything as it is, asking first when something was decided."""
        if self.unfinished:
            self.ask_unfinished()
        else:
            self.dismiss(None)
