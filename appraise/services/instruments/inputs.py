"""The inputs of a measuring tool, declared once: options, form fields and columns of files are made from them."""

from __future__ import annotations

from dataclasses import field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from appraise.model.lazy_dataclass import dataclass
from appraise.model.notes import LAST
from appraise.model.problem import InputError, Unreadable
from appraise.model.quantities import Units, unit_shown, with_unit
from appraise.model.unsafe import error_text
from appraise.services.note_readings import note_columns, typed
from appraise.services.quantity_limits import quantity_in_range

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from appraise.model.case import Case
    from appraise.model.measurement import Measurement
    from appraise.services.quantity_limits import Quantity
    from appraise.tables.rows import Tables

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class Field:
    """One input: an option of the command line, a field of the form, or both."""

    name: str
    """As the command line has it: "--to-rh", or "note" where it stands without an option."""
    help: str = ""
    """Empty: not on the command line."""
    metavar: str | tuple[str, ...] | None = None
    kind: str = "text"
    """text | words | groups | again | any | flag | file | share | day: how many words, and what they are."""
    row: str = ""
    """Row of `reading_ranges` that says its unit and what can be."""
    whole: tuple[int, int] | None = None
    """A whole number between these two."""
    choices: tuple[str, ...] = ()
    default: object = None
    alternative: bool = False
    """One of several that exclude each other."""
    label: str = ""
    """In the form; empty: not there."""
    hint: str = ""
    """Examples of an entry in the form, with units."""
    start: str = ""
    """Entry that the form begins with."""
    last: bool = False
    """Behind the others in the form."""
    unit: str = ""
    """Of the tables; a number alone in the form is in it, or in the one that stands for it in inches."""

    @property
    def key(self) -> str:
        """Its name among the values given."""
        return self.name.lstrip("-").replace("-", "_")

    def form(self, label: str, hint: str, start: str = "", *, unit: str = "", last: bool = False) -> Field:
        """Return the field with its place in the form."""
        return replace(self, label=label, hint=hint, start=start, unit=unit, last=last)

    def hint_in(self, units: Units) -> str:
        """Return what may be written, and what a number alone means."""
        unit = unit_shown(self.unit, units)
        return f"{self.hint}; a number alone is in {unit}" if unit else self.hint

    def start_in(self, units: Units) -> str:
        """Return what stands there at first, in these units."""
        if unit_shown(self.unit, units) == self.unit or not self.start:
            return self.start
        return with_unit(float(self.start.partition(" ")[0]), self.unit, units)

    def meant(self, text: str, units: Units) -> str:
        """Return what was typed with the unit that it means where it says none."""
        shown = unit_shown(self.unit, units)
        return f"{text.strip()} {shown}" if shown != self.unit and text.strip() and text.strip()[-1].isdigit() else text


COMPASS = Field("--compass", "notes of the compass (88)", "N", whole=(12, 88), default=LAST)
LEVEL = Field("--level", "confidence of the intervals (90)", "PERCENT", kind="share")
KIND = Field("--kind", "grand unless you say upright", choices=("grand", "upright"), default="grand")


def csv_field(columns: str) -> Field:
    """Return `--csv`, with the columns that may stand in the file."""
    return Field("--csv", f"readings from a file of separated values: {columns}", "FILE", kind="file")


def unit_field(units: str) -> Field:
    """Return `--unit`, with the units that fit."""
    return Field("--unit", f"unit of readings that name none: {units}", "UNIT", default="")


@dataclass(frozen=True, slots=True)
class Given:
    """The values given to a tool, read as its fields declare them."""

    tables: Tables
    values: Mapping[str, Any]
    """By key of the field."""
    rows: Mapping[str, str] = field(default_factory=dict)
    """Row of `reading_ranges` by key of the field."""
    units: Units = Units.METRIC
    """Units of a number alone."""
    case: Case | None = None
    """The case beside the form; none on the command line."""
    read_case: Callable[[Path, Tables], Case] | None = None
    """Reads the case that an option names."""

    def __getitem__(self, key: str) -> Any:  # noqa: ANN401 - as its field declares it
        value = self.values.get(key)
        return value if self.case is None or (value or "").strip() else None

    def quantity(self, key: str) -> float | None:
        """Return a quantity in the unit of its row; none where it is not given.

        Raises:
            InputError: It cannot be; the text names the option.
        """
        text = self[key]
        try:
            return None if text is None else quantity_in_range(self.rows[key], self.tables).read(text, self.units)
        except InputError as refused:
            if self.case:
                raise
            raise refused.about(_option(key)) from None

    def meant(self, unit: str) -> str:
        """Return what a number alone is in: `--unit` where it is given, else the unit shown for that of the table."""
        return self["unit"] or unit_shown(unit, self.units)

    def case_at(self, path: Path) -> Case:
        """Read the case that an option names.

        Raises:
            InputError: Cases are not named in a form.
            Unreadable: It cannot be used.
        """
        if self.read_case is None:
            raise InputError(f"the case {path}", "none beside a form")
        return self.read_case(path, self.tables)

    def from_file(self, given: object, what: str) -> bool:
        """Tell whether readings come from a file; `what` names those that were given beside it.

        Raises:
            InputError: There are both.
        """
        if self["csv"] is not None and given:
            raise InputError(f"{what} beside --csv", "one or the other")
        return self["csv"] is not None

    def by_note(
        self, quantities: Mapping[str, Quantity], beside: str, unit: str = "", most: int = LAST
    ) -> dict[str, dict[int, float]]:
        """Return readings by note for each field, from its words or from the columns of a file.

        Raises:
            InputError: A reading cannot be, or there are words and a file.
            Unreadable: The file cannot be used.
        """
        result = {key: typed(self[key] or (), what, unit) for key, what in quantities.items()}
        if self.from_file(any(result.values()), beside):
            wanted = tuple(quantities.values())
            read = note_columns(self["csv"], wanted, {what.key: unit for what in wanted}, most=most)
            result = {key: read.get(what.key, {}) for key, what in quantities.items()}
        return result

    def refuse_beside(self, other: str, *keys: str) -> None:
        """Refuse fields that ask for another answer than the one given.

        Raises:
            InputError: One of them is given.
        """
        for key in keys:
            if self.case is None and self[key] is not None:
                raise InputError(f"{_option(key)} and {other} ask for two answers: give one of them")

    def file(self, key: str, read: Callable[[Path], _T]) -> _T:
        """Read the file of a field; in the form its first problem is one line.

        Raises:
            InputError: It cannot be read, named in the form.
            Unreadable: It cannot be read, named on the command line.
        """
        named = self[key]
        if self.case is None:
            return read(named)
        try:
            return read(Path(named.strip()).expanduser())
        except Unreadable as unreadable:
            more = len(unreadable.problems) - 1
            raise InputError(f"{unreadable.problems[0]}{f' (and {more} more)' if more else ''}") from None
        except OSError as error:
            raise InputError(f"{named.strip()}: {error_text(error)}") from None


def _option(key: str) -> str:
    return f"--{key.replace('_', '-')}"


@dataclass(frozen=True, slots=True)
class Tool:
    """A measuring tool: its names, its inputs, and how it answers."""

    key: str
    label: str
    more: str
    """The rest of its help page."""
    fields: tuple[Field, ...]
    answer: Callable[[Given], Measurement]
    """From what was given; raises `InputError` where there is nothing to go by, `Unreadable` for a file."""
    of_case: Callable[[Case, Given], Measurement] | None = None
    """From a case and its form; none: as from what was given alone."""
    feeds: tuple[str, ...] = ()
    """Checks whose readings it takes; the first of this kind of piano is where to go for more."""

    @property
    def form(self) -> tuple[Field, ...]:
        """The fields of the form."""
        return tuple(sorted((item for item in self.fields if item.label), key=lambda item: item.last))

    @property
    def rows(self) -> dict[str, str]:
        """The rows of `reading_ranges` that its fields are read by."""
        return {item.key: item.row for item in self.fields if item.row}

    def answered(self, case: Case, tables: Tables, entered: Mapping[str, str]) -> Measurement:
        """Return the answer to the form beside a case, a number without a unit read as the case is measured.

        Raises:
            InputError: There is nothing to go by, or a figure cannot be.
        """
        units = case.assignment.units
        whole = {**entered, **{item.key: item.meant(entered[item.key], units) for item in self.form}}
        given = Given(tables, whole, self.rows, case=case)
        return self.answer(given) if self.of_case is None else self.of_case(case, given)


def by_note(case: Case, check: str) -> dict[int, float]:
    """Return the readings of one check by note."""
    return {
        reading.note: reading.value
        for reading in case.readings
        if reading.check == check and reading.note is not None and isinstance(reading.value, float)
    }


def compass_of(case: Case) -> int:
    """Return the notes of a case that its tools know."""
    return min(LAST, case.identity.compass)
