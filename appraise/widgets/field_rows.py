"""Fields and records as rows: a label, and what stands there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.message import Message

from appraise.model.lazy_dataclass import dataclass
from appraise.services.fields import NOTHING, Accepts, shown
from appraise.widgets.plain import fit, wrapped
from appraise.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual import events

    from appraise.model.case import Case
    from appraise.services.fields import Field
    from appraise.services.particulars import Records
    from appraise.tables.rows import Tables


WIDEST = 92
"""Cells beyond which a line of words is tiring to read."""


@dataclass(frozen=True, slots=True)
class FieldRow:
    """A heading, a field, a record of a list, or the row that adds one."""

    key: str
    label: str
    field: Field | None = None
    records: Records | None = None
    index: int | None = None
    does: bool = False
    """Something to be done with Enter."""
    says: str = ""
    """A colour for words that the cursor passes over; empty for every other row."""

    @property
    def stops(self) -> bool:
        """True where the cursor can rest."""
        return self.field is not None or self.records is not None or self.does

    @classmethod
    def doing(cls, key: str, label: str) -> FieldRow:
        """Something to be done."""
        return cls(key, label, does=True)

    @classmethod
    def saying(cls, key: str, words: str, style: str = "$quiet") -> FieldRow:
        """Words, broken into lines."""
        return cls(key, words, says=style)

    @classmethod
    def heading(cls, title: str) -> FieldRow:
        """A heading; the cursor passes over it."""
        return cls(f"heading.{title}", title)

    @classmethod
    def of(cls, field: Field) -> FieldRow:
        """A field."""
        return cls(".".join(str(step) for step in field.path), field.label, field)

    @classmethod
    def record(cls, records: Records, index: int, title: str) -> FieldRow:
        """One record."""
        return cls(f"{'.'.join(records.path)}.{index}", f"▸ {title}", None, records, index)

    @classmethod
    def adder(cls, records: Records) -> FieldRow:
        """The row that adds a record."""
        return cls(f"{'.'.join(records.path)}.add", f"+ add {_article(records.one)} {records.one}", None, records)


class FieldRows(RowList):
    """Rows of fields; a letter begins to fill in the one under the cursor, or goes to a choice."""

    @dataclass
    class EntryWanted(Message):
        """A person began to type on a field."""

        typed: str

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._fields: Sequence[FieldRow] = ()
        self._about: tuple[Case, Tables] | None = None

    def show(self, rows: Sequence[FieldRow], case: Case, tables: Tables) -> None:
        """Show these rows of a case."""
        self._fields, self._about = rows, (case, tables)
        self.rebuild()

    @property
    def current(self) -> FieldRow | None:
        """The row under the cursor."""
        return next((row for row in self._fields if row.key == self.key), None)

    def field_after(self, key: str) -> str | None:
        """Return the key of the field that a person comes to behind this one; none where something else follows."""
        keys = [row.key for row in self._fields]
        behind = self._fields[keys.index(key) + 1 :] if key in keys else ()
        row = next((row for row in behind if row.stops), None)
        return row.key if row is not None and row.field is not None else None

    def opens(self, key: str, x: int) -> bool:
        """One click on the mark before something to be done, a record or its adder does it."""
        row = self.current
        return row is not None and row.key == key and row.field is None and x <= 1

    def rows(self, width: int) -> Sequence[Row]:
        """Return the rows at this width."""
        if self._about is None:
            return ()
        return [self._row(row, width - 1, *self._about) for row in self._fields]

    def _row(self, row: FieldRow, width: int, case: Case, tables: Tables) -> Row:
        if row.field is not None:
            text = shown(row.field, case, tables)
            label_width = min(26, width * 9 // 20)  # the longest label whole, from 58 cells up
            style = "$faint" if text == NOTHING else "$foreground"
            label = (fit(row.label, label_width), "$quiet")
            return Row(row.key, (Content.assemble(label, " ", (fit(text, width - label_width - 1), style)),))
        if row.says:
            return Row(row.key, tuple(wrapped(row.label, min(width, WIDEST), row.says, indent=2)), stop=False)
        if row.does:
            return Row(row.key, tuple(wrapped(row.label, min(width, WIDEST), "$foreground", indent=2)))
        if row.records is None:
            lines = wrapped(row.label, width, "bold $secondary", indent=2)
            lines[-1] = lines[-1] + Content.styled(f" {'─' * max(0, width - lines[-1].cell_length - 1)}", "$faint")
            return Row(row.key, tuple(lines), stop=False)
        style = "$quiet" if row.index is None else "$foreground"
        return Row(row.key, (Content.styled(fit(row.label, width), style),))

    def on_key(self, event: events.Key) -> None:
        """Begin to fill in the field under the cursor."""
        row = self.current
        typed = event.character or ""
        if row is None or row.field is None or not typed.isprintable() or not typed.strip():
            return
        if row.field.accepts is not Accepts.SEVERAL and (row.field.accepts is not Accepts.CHOICE or typed.isalnum()):
            event.stop()
            event.prevent_default()
            self.post_message(self.EntryWanted(typed))


def _article(word: str) -> str:
    return "an" if word[:1] in "aeiou" else "a"
