"""From a parsed document to a case: section by section, so that one problem does not hide the next."""

from __future__ import annotations

import contextlib
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from pydantic import ValidationError

from appraise.model.case import (
    Adjustment,
    Assignment,
    Case,
    Circumstances,
    Comparable,
    Costs,
    DryingClueSeen,
    EarlierState,
    EffectiveAge,
    Grade,
    Identity,
    Kind,
    LeftOut,
    Market,
    PhotoFile,
    PitchReading,
    Reading,
    Remark,
    Renewal,
)
from appraise.model.claim import Claim, LimitRate, Notice, Quotation, SalvageBid
from appraise.store import claim_check, refusals, schema
from appraise.store.crosscheck import CrossCheck
from appraise.store.fields import LONGEST_TEXT
from appraise.store.findings import Diagnostics, Path, Words, listed

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from appraise.model.span import Span
    from appraise.tables.rows import Tables


class Sections:
    """Goes through one document, section by section, so that one problem does not hide the next."""

    def __init__(self, document: dict[str, Any], tables: Tables, findings: Diagnostics, today: date | None) -> None:
        self._document = document
        self._findings = findings
        self._today = today
        self._tables = tables
        self._check = CrossCheck(findings, tables, self._kind(), self._compass(), *self._dates())

    def case(self) -> Case | None:
        """Return the case, or none where a grave problem was found."""
        self._unknown_keys()
        identity, assignment = self._identity(), self._assignment()
        circumstances, market = self._circumstances(), self._market()
        costs = self._costs()
        earlier, claim = self._earlier_state(), self._claim()
        renewals = self._renewals()
        grades = [(path, Grade(**dict(item))) for path, item in self._items(("grades",))]
        self._check.grades(grades)
        readings = self._readings()
        remarks, photos = self._remarks()
        ages = [(path, EffectiveAge(**dict(item))) for path, item in self._items(("effective_ages",))]
        self._check.effective_ages(ages)
        pitch_log = self._pitch_log()
        clues = [(path, DryingClueSeen(**dict(item))) for path, item in self._items(("drying_clues",))]
        self._check.drying_clues(clues)
        left_out = [(path, LeftOut(**dict(item))) for path, item in self._items(("left_out",))]
        self._check.left_out(left_out)
        invented = self._invented()
        if self._findings.grave or identity is None or assignment is None:
            return None
        return Case(
            identity=identity,
            assignment=assignment,
            circumstances=circumstances or Circumstances(),
            renewals=renewals,
            grades=tuple(grade for _, grade in grades),
            readings=readings,
            remarks=remarks,
            photos=photos,
            effective_ages=tuple(age for _, age in ages),
            pitch_log=pitch_log,
            drying_clues=tuple(clue for _, clue in clues),
            left_out=tuple(check for _, check in left_out),
            market=market or Market(),
            costs=costs,
            earlier_state=earlier,
            claim=claim,
            invented=invented,
        )

    def _costs(self) -> Costs:
        section = self._section(("costs",))
        if section is None:
            return Costs()
        costs = Costs(**dict(section))
        self._check.costs(("costs",), costs)
        return costs

    def _identity(self) -> Identity | None:
        section = self._section(("identity",))
        if section is None:
            return None
        identity = Identity(**dict(section))
        self._check.identity(("identity",), identity)
        return identity

    def _assignment(self) -> Assignment | None:
        section = self._section(("assignment",))
        if section is None:
            return None
        assignment = Assignment(**dict(section))
        self._check.assignment(("assignment",), assignment, self._today)
        return assignment

    def _circumstances(self) -> Circumstances | None:
        section = self._section(("circumstances",))
        if section is None:
            return None
        circumstances = Circumstances(**dict(section))
        self._check.circumstances(("circumstances",), circumstances)
        return circumstances

    def _market(self) -> Market | None:
        comparables, adjustments = [], []
        for path, item in self._items(("market", "comparables")):
            comparables.append(Comparable(**dict(item)))
            self._check.comparable(path, comparables[-1])
        for path, item in self._items(("market", "adjustments")):
            adjustments.append(Adjustment(**dict(item)))
            self._check.adjustment(path, adjustments[-1])
        section = self._section(("market",), apart=("comparables", "adjustments"))
        if section is None:
            return None
        market = Market(**dict(section), comparables=tuple(comparables), adjustments=tuple(adjustments))
        self._check.market(("market",), market)
        return market

    def _earlier_state(self) -> EarlierState | None:
        if "earlier_state" not in self._document:
            return None
        section = self._section(("earlier_state",))
        if section is None:
            return None
        earlier = EarlierState(**dict(section))
        self._check.earlier_state(("earlier_state",), earlier)
        return earlier

    def _claim(self) -> Claim:
        section = self._section(("claim",), apart=("quotations", "salvage_bids", "notices", "rates"))
        claim = replace(
            Claim() if section is None else Claim(**dict(section)),
            quotations=tuple(Quotation(**dict(item)) for _, item in self._items(("claim", "quotations"))),
            salvage_bids=tuple(SalvageBid(**dict(item)) for _, item in self._items(("claim", "salvage_bids"))),
            notices=tuple(Notice(**dict(item)) for _, item in self._items(("claim", "notices"))),
            rates=tuple(LimitRate(**dict(item)) for _, item in self._items(("claim", "rates"))),
        )
        claim_check.claim(self._findings, self._tables, ("claim",), claim)
        return claim

    def _renewals(self) -> tuple[Renewal, ...]:
        renewals = []
        for path, item in self._items(("renewals",)):
            renewals.append(Renewal(**dict(item)))
            self._check.renewal(path, renewals[-1])
        return tuple(renewals)

    def _readings(self) -> tuple[Reading, ...]:
        readings, placed = [], []
        for path, item in self._items(("readings",)):
            assert isinstance(item, schema.ReadingSection)  # noqa: S101 - the layout says so
            reading = self._check.reading(path, item)
            if reading is not None:
                readings.append(reading)
                placed.append((path, reading))
        self._check.readings(placed)
        return tuple(readings)

    def _remarks(self) -> tuple[tuple[Remark, ...], tuple[PhotoFile, ...]]:
        """Return the remarks and the photos, the one that a remark of an earlier layout names among them."""
        remarks: list[Remark] = []
        photos: dict[str, PhotoFile] = {}
        for path, item in self._items(("photos",)):
            photo = PhotoFile(**dict(item))
            self._check.photo(path, photo, photos)
            photos.setdefault(photo.file, photo)
        for path, item in self._items(("remarks",)):
            plain = dict(item)
            one = PhotoFile(plain.pop("photo"), plain.pop("sha256"))
            remark = Remark(**plain)
            self._check.remark(path, remark)
            claim_check.remark(self._findings, self._tables, path, remark)
            if one.file:
                remark = replace(remark, photos=tuple(dict.fromkeys((one.file, *remark.photos))))
                known = photos.setdefault(one.file, one)
                photos[one.file] = known if known.sha256 else replace(known, sha256=one.sha256)
            self._check.one_photo(path, one, photos)
            remarks.append(remark)
        return tuple(remarks), tuple(photos.values())

    def _pitch_log(self) -> tuple[PitchReading, ...]:
        log = []
        for path, item in self._items(("pitch_log",)):
            log.append(PitchReading(**dict(item)))
            self._check.pitch_reading(path, log[-1])
        return tuple(log)

    def _invented(self) -> str:
        invented = self._document.get("invented", "")
        if isinstance(invented, str) and len(invented) <= LONGEST_TEXT:
            return invented
        self._findings.add(("invented",), invented, f"a sentence in quotes, of at most {LONGEST_TEXT} characters")
        return ""

    def _unknown_keys(self) -> None:
        for key in self._document:
            if key in schema.TOP_LEVEL:
                continue
            mend = refusals.home(key) or self._findings.nearest(key, schema.TOP_LEVEL)
            expected = "a section of a case file" if mend else f"one of {listed(schema.TOP_LEVEL)}"
            self._findings.add((key,), Words("an unknown key"), expected, mend)

    def _section(self, path: tuple[str, ...], apart: tuple[str, ...] = ()) -> schema.Section | None:
        """Validate one table; an absent one is validated empty, so that required keys are named."""
        raw = self._document.get(path[0], {})
        if not isinstance(raw, dict):
            self._findings.add(path, raw, f"a table: [{path[0]}]")
            return None
        raw = {key: value for key, value in raw.items() if key not in apart}
        return self._validated(path, schema.SECTIONS[path], raw)

    def _items(self, path: tuple[str, ...]) -> Iterator[tuple[Path, schema.Section]]:
        """Validate an array of tables, item by item, and yield the good ones with their paths."""
        holder: Any = self._document
        for name in path[:-1]:
            holder = holder.get(name, {})
            if not isinstance(holder, dict):
                return  # told where the holder itself is validated
        items: Any = holder.get(path[-1], [])
        expected = f"tables, each under [[{'.'.join(path)}]]"
        if not isinstance(items, list):
            self._findings.add(path, items, expected)
            return
        for place, raw in enumerate(items):
            where: Path = (*path, place)
            if not isinstance(raw, dict):
                self._findings.add(where, raw, expected)
                continue
            item = self._validated(where, schema.LISTS[path], raw)
            if item is not None:
                yield where, item

    def _validated(self, path: Path, model: type[schema.Section], raw: dict[str, Any]) -> schema.Section | None:
        try:
            return model.model_validate(raw)
        except ValidationError as error:
            details = error.errors(include_url=False)
        for detail in details:
            refusals.explain(self._findings, path, model, detail)
        wrong = {detail["loc"][0] for detail in details if detail["loc"]}
        for detail in details:
            self._findings.blame(path + detail["loc"], path)
        # What is left is still worth checking against the tables: one slip must not hide the next.
        with contextlib.suppress(ValidationError):
            return model.model_validate({key: value for key, value in raw.items() if key not in wrong})
        return None

    def _raw(self, section: str, key: str) -> dict[str, object]:
        """Return a key with its value as written, for checks that go on although its section has a problem."""
        table = self._document.get(section)
        return {key: table[key]} if isinstance(table, dict) and key in table else {}

    def _kind(self) -> Kind | None:
        with contextlib.suppress(ValidationError):
            return schema.IdentitySection.model_validate(self._raw("identity", "kind")).kind
        return None

    def _compass(self) -> int:
        with contextlib.suppress(ValidationError):
            raw = self._raw("identity", "compass")
            return schema.IdentitySection.model_validate({"kind": Kind.GRAND, **raw}).compass
        return Identity(Kind.GRAND).compass

    def _dates(self) -> tuple[date | None, Span | None]:
        inspected = made = None
        with contextlib.suppress(ValidationError):
            inspected = schema.AssignmentSection.model_validate(self._raw("assignment", "inspected")).inspected
        with contextlib.suppress(ValidationError):
            raw = self._raw("identity", "made")
            made = schema.IdentitySection.model_validate({"kind": Kind.GRAND, **raw}).made
        return inspected, made
