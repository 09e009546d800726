"""Rules across keys: names against the tables, amounts against amounts; days by `model/chronology`."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import PurePosixPath, PureWindowsPath
from typing import TYPE_CHECKING, Any

from appraise.model.case import (
    Adjustment,
    Assignment,
    Costs,
    EarlierState,
    Extent,
    Grade,
    Identity,
    Kind,
    LeftOut,
    Market,
    Outcome,
    PhotoFile,
    PitchReading,
    Practice,
    Reading,
    Remark,
    Renewal,
)
from appraise.model.chronology import RULES, Known, misplaced
from appraise.model.claim import Claim
from appraise.model.currency import DIGITS
from appraise.model.declaration import naming_rows
from appraise.model.plausible import MOST_TAKEN_PCT, WIDEST
from appraise.model.span import Span
from appraise.store import claim_check
from appraise.store.convert import convert_reading
from appraise.store.findings import Diagnostics, Path, Words, describe, listed
from appraise.store.locales import EXPECTED, known_locale, nearest_locale
from appraise.tables.choices import choices
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from appraise.model.case import EffectiveAge
    from appraise.model.declaration import Row
    from appraise.tables.rows import Check, Tables


@dataclass(slots=True)
class CrossCheck:
    """Checks one case against the tables and against itself; every problem goes to `findings`."""

    findings: Diagnostics
    tables: Tables
    kind: Kind | None
    """Grand or upright; none where the file does not say, and then names are checked for both."""
    compass: int
    inspected: date | None
    made: Span | None
    today: date | None
    _known: Known = field(init=False)

    def __post_init__(self) -> None:
        self._known = Known(self.inspected, self.made)

    def record(self, path: Path, record: Any) -> Any:  # noqa: ANN401 - returns what it was given
        """Check one section or record: its names against the tables, and what it says against the rest.

        Returns:
            The record, a reading in the unit of its check; none where it had to be refused.
        """
        kind = record.__class__
        for name, always, many, row, keys in _names(kind, self.tables, self.kind):
            value = getattr(record, name)
            if value or always:
                for at, key in enumerate(value) if many else ((None, value),):
                    if key not in keys:
                        self.findings.known((*path, name) if at is None else (*path, name, at), key, keys, row.what)
        for name, day, expected in misplaced(record, self._known) if kind in RULES else ():
            self.findings.add((*path, name), Words(str(day)) if isinstance(day, Span) else day, expected)
        match record:
            case Reading():
                return self._reading(path, record)
            case Grade():  # the most of a case are of these two; grades are checked together
                return record
            case Identity():
                self._identity(path, record)
            case Assignment():
                self._assignment(path, record)
            case Renewal():
                self._renewal(path, record)
            case Remark():
                self._remark(path, record)
                claim_check.remark(self.findings, path, record)
            case PhotoFile():
                self._photo_path((*path, "file"), record.file)
            case PitchReading():
                self._note((*path, "note"), record.note)
            case LeftOut():
                self._check((*path, "check"), record.check)
            case EarlierState():
                self._earlier_state(path, record)
            case Market():
                self._market(path, record)
            case Costs():
                self._costs(path, record)
            case Outcome():
                self._outcome(path, record)
            case Practice():
                self._photo_path((*path, "letterhead"), record.letterhead)
            case Adjustment() if (record.pct is None) == (record.amount is None):
                found = Words("neither pct nor amount" if record.pct is None else "both pct and amount")
                self.findings.add(path, found, "one of pct and amount")
            case Claim():
                claim_check.claim(self.findings, path, record)
        return record

    def together(self, path: Path, records: list[tuple[Path, Any]]) -> None:
        """Check the records of a list against each other."""
        match path:
            case ("grades",):
                self._grades(records)
            case ("readings",):
                self._readings(records)
            case ("effective_ages",):
                self._effective_ages(records)
            case ("photos",):
                self._each_once(records, "file", "each photo once", "make one entry of the two")
            case ("drying_clues",):
                words = 'a second word on "{}"'
                known = [(where, clue) for where, clue in records if clue.clue in self.tables.drying_clues]
                self._each_once(known, "clue", "every clue once", "remove one of the two", words)
            case ("left_out",) if records:
                here = choices("checks", self.tables, self.kind)
                known = [(where, left) for where, left in records if left.check in here]
                self._each_once(known, "check", "every check once", "remove one", '"{}" a second time')

    def _each_once(self, records: list[tuple[Path, Any]], key: str, expected: str, mend: str, words: str = "") -> None:
        seen: set[str] = set()
        for path, record in records:
            value = getattr(record, key)
            if value in seen:
                self.findings.add((*path, key), Words(words.format(value)) if words else value, expected, mend)
            seen.add(value)

    def _identity(self, path: Path, identity: Identity) -> None:
        """Check the design."""
        for name in ("overdamper", "drop_action"):
            if getattr(identity, name) and self.kind is Kind.GRAND:
                self.findings.add((*path, name), True, "true only of an upright", grave=False)

    def _assignment(self, path: Path, assignment: Assignment) -> None:
        """Check currency, locale and that the inspection has been."""
        self.findings.known((*path, "currency"), assignment.currency, DIGITS, "a currency of ISO 4217 in use")
        if assignment.locale and known_locale(assignment.locale) != assignment.locale:
            self.findings.add((*path, "locale"), assignment.locale, EXPECTED, nearest_locale(assignment.locale))
        self._by_today((*path, "inspected"), assignment.inspected)

    def _renewal(self, path: Path, renewal: Renewal) -> None:
        """Check components and extent."""
        self._components((*path, "components"), renewal.components)
        if renewal.gives_back_pct is not None and renewal.extent is not Extent.REPAIRED:
            expected = f'no such key unless extent = "{Extent.REPAIRED.value}"'
            self.findings.add((*path, "gives_back_pct"), Words(f"{renewal.gives_back_pct:g}"), expected)

    def _costs(self, path: Path, costs: Costs) -> None:
        """Check that work which costs nothing has a rate for its parts, and that a resale leaves something."""
        if costs.margin_pct is not None:
            shares = ["guarantee_share"] if costs.holding is not None else ["guarantee_share", "holding_share"]
            rows = [self.tables.settings[key] for key in shares if key in self.tables.settings]
            most = MOST_TAKEN_PCT - 100.0 * sum(row.value for row in rows)
            if costs.margin_pct > most:
                expected = f"at most {most:g}: holding and guarantee are paid from the resale price as well"
                self.findings.add((*path, "margin_pct"), Words(f"{costs.margin_pct:g}"), expected)
        if costs.labour_rate is not None and not costs.reckoned:
            expected = "the trade's rate an hour, where labour is 0: parts are priced by it"
            self.findings.add((*path, "parts_rate"), None, expected, "without it no work is costed", grave=False)

    def _outcome(self, path: Path, outcome: Outcome) -> None:
        """Check that a sale has been; what it still lacks is told."""
        if outcome.day is not None:
            self._by_today((*path, "day"), outcome.day)
        if lacking := outcome.lacking:
            expected = f"{listed(lacking)} as well: a sale counts with price, day and kind"
            self.findings.add(path, Words(f"no {listed(lacking)}"), expected, grave=False)

    def _grades(self, grades: list[tuple[Path, Grade]]) -> None:
        """Check what each grade is of, and that nothing is graded twice."""
        seen: set[tuple[str, str]] = set()
        for path, grade in grades:
            if bool(grade.check) == bool(grade.component):
                found = Words("both check and component" if grade.check else "neither check nor component")
                self.findings.add(path, found, "one of check and component")
                continue
            name = "check" if grade.check else "component"
            if (name, grade.check or grade.component) in seen:
                found = Words(f'a second grade for "{grade.check or grade.component}"')
                self.findings.add((*path, name), found, "one grade", "remove one of the two")
            seen.add((name, grade.check or grade.component))
            if grade.check and grade.preliminary:
                self.findings.add((*path, "preliminary"), True, "component instead of check: a quick look grades parts")
            if grade.check:
                self._graded((*path, "check"), grade.check)
            elif self._component((*path, "component"), grade.component) and not grade.reason.strip():
                expected = f'a reason for overruling the grade of "{grade.component}"'
                self.findings.add((*path, "reason"), None, expected)

    def _reading(self, path: Path, written: Reading) -> Reading | None:
        """Check one reading and bring it to the unit of its check."""
        check = self._check((*path, "check"), written.check)
        if written.note is not None:
            self._note((*path, "note"), written.note)
        return convert_reading(self.findings, path, written, check) if check is not None else None

    def _readings(self, readings: list[tuple[Path, Reading]]) -> None:
        """Check that no question was answered yes and no at one place."""
        seen: dict[tuple[str, int | None, str], Reading] = {}
        for path, reading in readings:
            where = (reading.check, reading.note, reading.place)
            before = seen.setdefault(where, reading)
            check = self.tables.checks.get(reading.check)
            if before is reading or before.value == reading.value or check is None:
                continue
            if check.kind is CheckKind.YES_NO:
                found = Words(f"{describe(reading.value)} after {describe(before.value)} for the same check and place")
                self.findings.add((*path, "value"), found, "one answer", "remove one of the two, or name their places")

    def one_photo(self, path: Path, photo: PhotoFile, known: Mapping[str, PhotoFile]) -> None:
        """Check a remark's only photo with its digest, as earlier layouts have it.

        Args:
            path: Of the remark.
            photo: The photo; without a path where the remark names none so.
            known: What the case says of each of its photos, by path.
        """
        if photo.sha256 and not photo.file:
            self.findings.add((*path, "sha256"), photo.sha256, "a photo beside it, or no sha256")
        elif photo.sha256 and photo.sha256 != known[photo.file].sha256:
            expected = f"the digest that the file gives {describe(photo.file)} elsewhere"
            self.findings.add((*path, "sha256"), photo.sha256, expected)
        self._photo_path((*path, "photo"), photo.file)

    def _remark(self, path: Path, remark: Remark) -> None:
        """Check notes and photos."""
        if remark.worse and remark.earlier is None:
            expected = "earlier = the number of the defect that it is worse than"
            self.findings.add((*path, "earlier"), None, expected)
        for place, note in enumerate(remark.notes):
            self._note((*path, "notes", place), note)
        for place, file in enumerate(remark.photos):
            self._photo_path((*path, "photos", place), file)

    def _photo_path(self, path: Path, file: str) -> None:
        if wrong := photo_problem(file):
            self.findings.add(path, file, wrong)

    def _effective_ages(self, ages: list[tuple[Path, EffectiveAge]]) -> None:
        """Check the components, each named once."""
        seen: set[str] = set()
        for path, age in ages:
            where = (*path, "component")
            if self._component(where, age.component) and age.component in seen:
                found = Words(f'a second effective age for "{age.component}"')
                self.findings.add(where, found, "one effective age", "remove one of the two")
            seen.add(age.component)

    def _earlier_state(self, path: Path, earlier: EarlierState) -> None:
        """Check that the frozen copy lies beside the file."""
        name = earlier.file
        if PurePosixPath(name).name != name or PureWindowsPath(name).name != name or name in (".", ".."):
            self.findings.add((*path, "file"), name, "the name of a file beside this one")

    def _market(self, path: Path, market: Market) -> None:
        """Check the replacement costs and the weight."""
        cost = market.replacement_cost_new
        low, high = market.replacement_cost_low, market.replacement_cost_high
        if cost is None:
            if (low is None) != (high is None):
                expected = "the cost itself, or both replacement_cost_low and replacement_cost_high"
                mend = "one end alone says no value"
                self.findings.add((*path, "replacement_cost_new"), None, expected, mend, grave=False)
            if low is not None and high is not None and low > high:
                self._amount((*path, "replacement_cost_low"), low, f'at most the high figure, "{high}"')
            elif low is not None and high is not None and low * WIDEST**2 < high:
                expected = f'at least a hundredth of the high figure, "{high}"'
                self._amount((*path, "replacement_cost_low"), low, expected)
        else:
            if low is not None and low > cost:
                self._amount((*path, "replacement_cost_low"), low, f'at most replacement_cost_new, "{cost}"')
            if high is not None and high < cost:
                self._amount((*path, "replacement_cost_high"), high, f'at least replacement_cost_new, "{cost}"')
            if low is not None and low * WIDEST < cost:
                expected = f'at least a tenth of replacement_cost_new, "{cost}"'
                self._amount((*path, "replacement_cost_low"), low, expected)
            if high is not None and high > cost * WIDEST:
                expected = f'at most ten times replacement_cost_new, "{cost}"'
                self._amount((*path, "replacement_cost_high"), high, expected)
        if market.weight_cost_pct is not None and not market.weight_reason.strip():
            self.findings.add((*path, "weight_reason"), None, "why the assessor sets the weight")

    def _graded(self, path: Path, key: str) -> None:
        check = self._check(path, key)
        if check is None or check.kind is CheckKind.GRADED:
            return
        if check.kind is CheckKind.RECORD:
            self.findings.add(path, Words(f'a grade for the record "{key}"'), "a reading with a text")
            return
        answer = {
            CheckKind.MEASURED: f'value and unit = "{check.unit}"',
            CheckKind.COUNT: "value, a whole number",
            CheckKind.YES_NO: "value = true or false",
        }[check.kind]
        found = Words(f'a grade for "{key}", which is not a graded check')
        self.findings.add(path, found, "a reading", f"write it under [[readings]]: {answer}")

    def _check(self, path: Path, key: str) -> Check | None:
        check = self.tables.checks.get(key)
        expected = "a check of the table checks"
        if check is not None:
            if self.kind is None or self.kind in check.kinds:
                return check
            expected = f"a check of {self.kind.named}"
        self.findings.add(path, key, expected, self._nearest_check(key))
        return None

    def _nearest_check(self, key: str) -> str:
        rows = self.tables.checks.values()
        return self.findings.nearest(key, (row.key for row in rows if self._fits(row.kinds)))

    def _component(self, path: Path, key: str) -> bool:
        if (row := self.tables.components.get(key)) is None:
            near = self.findings.nearest(key, self._component_keys())
            self.findings.add(path, key or None, "a component of the table components", near)
            return False
        if self.kind is None or self.kind in row.kinds:
            return True
        self.findings.add(path, key, f"a component of {self.kind.named}")
        return False

    def _components(self, path: Path, keys: tuple[str, ...]) -> None:
        for place, key in enumerate(keys):
            if self._component((*path, place), key) and key in keys[:place]:
                self.findings.add((*path, place), key, "each component once", "remove one of the two")

    def _component_keys(self) -> list[str]:
        return [row.key for row in self.tables.components.values() if self._fits(row.kinds)]

    def _fits(self, kinds: tuple[Kind, ...]) -> bool:
        return self.kind is None or self.kind in kinds

    def _note(self, path: Path, note: int) -> None:
        if not 1 <= note <= self.compass:
            self.findings.add(path, note, f"a note from 1 to {self.compass}")

    def _by_today(self, path: Path, day: date) -> None:
        if self.today is not None and day > self.today:
            self.findings.add(path, day, f"a day up to today, {self.today.isoformat()}", grave=False)

    def _amount(self, path: Path, amount: object, expected: str) -> None:
        self.findings.add(path, Words(describe(str(amount))), expected)


def photo_problem(photo: str) -> str:
    """Say what a photo's path should be, where it is not a path inside the case file's folder.

    Args:
        photo: As the file has it.

    Returns:
        What was expected; empty where the path is good.
    """
    if "\\" in photo or PureWindowsPath(photo).drive:
        return "a path with / between folders, relative to the case file"
    path = PurePosixPath(photo)
    if path.is_absolute():
        return "a path relative to the case file"
    if ".." in path.parts:
        return "a path inside the case file's folder"
    return ""


@lru_cache(maxsize=256)
def _names(
    record: type, tables: Tables, kind: Kind | None
) -> tuple[tuple[str, bool, bool, Row, Mapping[str, object]], ...]:
    """Return the fields that name rows: name, whether it may not be empty, whether there are several, and the rows."""
    return tuple(
        (name, one.missing or one.needed, one.many, row, choices(row.of, tables, kind if row.fits else None))
        for name, one, row in naming_rows(record)
    )
