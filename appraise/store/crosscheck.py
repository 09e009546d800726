"""What no single key can show: names against the tables, dates against dates, amounts against amounts."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import PurePosixPath, PureWindowsPath
from typing import TYPE_CHECKING

from appraise.model.case import STATIONS, Extent, Kind
from appraise.model.currency import DIGITS
from appraise.model.plausible import MOST_TAKEN_PCT, WIDEST
from appraise.store.convert import convert_reading
from appraise.store.findings import Diagnostics, Path, Words, describe
from appraise.store.locales import EXPECTED, known_locale, nearest_locale
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from appraise.model.case import (
        Adjustment,
        Assignment,
        Circumstances,
        Comparable,
        Costs,
        DryingClueSeen,
        EarlierState,
        EffectiveAge,
        Grade,
        Identity,
        LeftOut,
        Market,
        PhotoFile,
        PitchReading,
        Reading,
        Remark,
        Renewal,
    )
    from appraise.model.span import Span
    from appraise.store.schema import ReadingSection
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

    def identity(self, path: Path, identity: Identity) -> None:
        """Check maker's tier, materials, design and dates."""
        self._class((*path, "tier"), identity.tier, "tier")
        self._class((*path, "player"), identity.player, "fitted")
        for name in ("overdamper", "drop_action"):
            if getattr(identity, name) and self.kind is Kind.GRAND:
                self.findings.add((*path, name), True, "true only of an upright", grave=False)
        self._variant((*path, "finish"), identity.finish, "finish", "a finish of the table lives")
        covering = "a covering of the table lives"
        self._variant((*path, "key_covering"), identity.key_covering, "key_coverings", covering)
        if identity.made is not None:
            self._not_after((*path, "made"), identity.made)
        if identity.last_tuned is not None:
            self._not_after((*path, "last_tuned"), identity.last_tuned)
            if identity.made is not None and identity.made.earliest > identity.last_tuned.latest:
                expected = f"a date after the instrument was made, {identity.made}"
                self.findings.add((*path, "last_tuned"), Words(str(identity.last_tuned)), expected)

    def assignment(self, path: Path, assignment: Assignment, today: date | None) -> None:
        """Check basis, law, currency, locale and the two dates."""
        self.findings.known((*path, "basis"), assignment.basis, self.tables.bases, "a row of the table bases")
        self.findings.known((*path, "law"), assignment.law, self.tables.laws, "a row of the table laws")
        self.findings.known((*path, "currency"), assignment.currency, DIGITS, "a currency of ISO 4217 in use")
        if assignment.locale and known_locale(assignment.locale) != assignment.locale:
            self.findings.add((*path, "locale"), assignment.locale, EXPECTED, nearest_locale(assignment.locale))
        inspected, reported = assignment.inspected, assignment.reported
        if reported is not None and reported < inspected:
            expected = f"a day from the inspection on, {inspected.isoformat()}"
            self.findings.add((*path, "reported"), reported, expected)
        if today is not None and inspected > today:
            expected = f"a day up to today, {today.isoformat()}"
            self.findings.add((*path, "inspected"), inspected, expected, grave=False)

    def circumstances(self, path: Path, circumstances: Circumstances) -> None:
        """Check the rows it names."""
        known = self.findings.known
        known((*path, "climate"), circumstances.climate, self.tables.climates, "a row of the table climates")
        known((*path, "use"), circumstances.use, self.tables.uses, "a row of the table uses")
        self._class((*path, "records"), circumstances.records, "records")

    def renewal(self, path: Path, renewal: Renewal) -> None:
        """Check components, clues and the date against making and inspection."""
        self._components((*path, "components"), renewal.components)
        for place, clue in enumerate(renewal.clues):
            what = "a row of the table dating_clues"
            self.findings.known((*path, "clues", place), clue, self.tables.dating_clues, what)
        if renewal.gives_back_pct is not None and renewal.extent is not Extent.REPAIRED:
            expected = f'no such key unless extent = "{Extent.REPAIRED.value}"'
            self.findings.add((*path, "gives_back_pct"), Words(f"{renewal.gives_back_pct:g}"), expected)
        if renewal.date is None:
            return
        where = (*path, "date")
        self._not_after(where, renewal.date)
        if self.made is not None and self.made.earliest > renewal.date.latest:
            expected = f"a date after the instrument was made, {self.made}"
            self.findings.add(where, Words(str(renewal.date)), expected)

    def grades(self, grades: list[tuple[Path, Grade]]) -> None:
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

    def reading(self, path: Path, written: ReadingSection) -> Reading | None:
        """Check one reading and bring it to the unit of its check."""
        check = self._check((*path, "check"), written.check)
        if written.note is not None:
            self._note((*path, "note"), written.note)
        return convert_reading(self.findings, path, written, check) if check is not None else None

    def readings(self, readings: list[tuple[Path, Reading]]) -> None:
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

    def photo(self, path: Path, photo: PhotoFile, others: Mapping[str, PhotoFile]) -> None:
        """Check its path, that no other entry is of it, and the checks it shows."""
        self._photo_path((*path, "file"), photo.file)
        if photo.file in others:
            self.findings.add((*path, "file"), photo.file, "each photo once", "make one entry of the two")
        for place, check in enumerate(photo.checks):
            self.findings.known((*path, "checks", place), check, self.tables.checks, "a check of the table checks")

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

    def remark(self, path: Path, remark: Remark) -> None:
        """Check place, notes and photos."""
        if remark.worse and remark.earlier is None:
            expected = "earlier = the number of the defect that it is worse than"
            self.findings.add((*path, "earlier"), None, expected)
        places = [*STATIONS, *(key for key in self._component_keys() if key not in STATIONS)]
        self.findings.known((*path, "place"), remark.place, places, "a station or a component")
        for place, note in enumerate(remark.notes):
            self._note((*path, "notes", place), note)
        for place, file in enumerate(remark.photos):
            self._photo_path((*path, "photos", place), file)

    def _photo_path(self, path: Path, file: str) -> None:
        wrong = photo_problem(file)
        if wrong:
            self.findings.add(path, file, wrong)

    def effective_ages(self, ages: list[tuple[Path, EffectiveAge]]) -> None:
        """Check the components, each named once."""
        seen: set[str] = set()
        for path, age in ages:
            where = (*path, "component")
            if self._component(where, age.component) and age.component in seen:
                found = Words(f'a second effective age for "{age.component}"')
                self.findings.add(where, found, "one effective age", "remove one of the two")
            seen.add(age.component)

    def pitch_reading(self, path: Path, reading: PitchReading) -> None:
        """Check the note, and the day against making and inspection."""
        self._note((*path, "note"), reading.note)
        self._by_inspection((*path, "date"), reading.date)
        if self.made is not None and self.made.earliest > reading.date:
            expected = f"a day after the instrument was made, {self.made}"
            self.findings.add((*path, "date"), reading.date, expected)

    def drying_clues(self, clues: list[tuple[Path, DryingClueSeen]]) -> None:
        """Check the clues, each named once."""
        seen: set[str] = set()
        for path, clue in clues:
            where = (*path, "clue")
            known = self.findings.known(where, clue.clue, self.tables.drying_clues, "a row of the table drying_clues")
            if known and clue.clue in seen:
                found = Words(f'a second word on "{clue.clue}"')
                self.findings.add(where, found, "every clue once", "remove one of the two")
            seen.add(clue.clue)

    def left_out(self, checks: list[tuple[Path, LeftOut]]) -> None:
        """Check that each is a check of this instrument, named once."""
        seen: set[str] = set()
        for path, left in checks:
            where = (*path, "check")
            if self._check(where, left.check) is not None and left.check in seen:
                self.findings.add(where, Words(f'"{left.check}" a second time'), "every check once", "remove one")
            seen.add(left.check)

    def earlier_state(self, path: Path, earlier: EarlierState) -> None:
        """Check that the frozen copy lies beside the file, and that its day is not after the inspection."""
        name = earlier.file
        if PurePosixPath(name).name != name or PureWindowsPath(name).name != name or name in (".", ".."):
            self.findings.add((*path, "file"), name, "the name of a file beside this one")
        self._by_inspection((*path, "day"), earlier.day)

    def market(self, path: Path, market: Market) -> None:
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

    def costs(self, path: Path, costs: Costs) -> None:
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

    def comparable(self, path: Path, comparable: Comparable) -> None:
        """Check kind of sale and dates."""
        what = "a row of the table bases"
        self.findings.known((*path, "sale"), comparable.sale, self.tables.bases, what)
        self._by_inspection((*path, "date"), comparable.date)
        if comparable.made.earliest > comparable.date:
            expected = f"a date before it was sold, {comparable.date.isoformat()}"
            self.findings.add((*path, "made"), Words(str(comparable.made)), expected)

    def adjustment(self, path: Path, adjustment: Adjustment) -> None:
        """Check that it has a size, and one only."""
        if (adjustment.pct is None) == (adjustment.amount is None):
            found = Words("neither pct nor amount" if adjustment.pct is None else "both pct and amount")
            self.findings.add(path, found, "one of pct and amount")

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
        row = self.tables.components.get(key)
        if row is None:
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

    def _class(self, path: Path, key: str, factor: str) -> None:
        if not key:
            return
        rows = self.tables.market_factors.values()
        options = [row.key for row in rows if row.factor == factor and self._fits(row.kinds)]
        self.findings.known(path, key, options, f"a row of the table market_factors, factor {factor}")

    def _variant(self, path: Path, key: str, component: str, what: str) -> None:
        if not key:
            return
        lives = self.tables.lives.values()
        options = [row.variant for row in lives if row.component == component and row.variant]
        self.findings.known(path, key, options, what)

    def _note(self, path: Path, note: int) -> None:
        if not 1 <= note <= self.compass:
            self.findings.add(path, note, f"a note from 1 to {self.compass}")

    def _by_inspection(self, path: Path, day: date) -> None:
        if self.inspected is not None and day > self.inspected:
            self.findings.add(path, day, f"a day up to the inspection, {self.inspected.isoformat()}")

    def _not_after(self, path: Path, span: Span) -> None:
        if self.inspected is not None and span.earliest > self.inspected:
            expected = f"a date up to the inspection, {self.inspected.isoformat()}"
            self.findings.add(path, Words(str(span)), expected)

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
