"""From a parsed document to a case: section by section, so that one problem does not hide the next."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from appraise.model.case import FULL_COMPASS, Case, PhotoFile, Remark
from appraise.model.declaration import LONGEST_TEXT, declared
from appraise.store import layout
from appraise.store.crosscheck import CrossCheck
from appraise.store.findings import Diagnostics, Path, Words, listed

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from appraise.tables.rows import Tables


class Sections:
    """Goes through one document, section by section, so that one problem does not hide the next."""

    def __init__(self, document: dict[str, Any], tables: Tables, findings: Diagnostics, today: date | None) -> None:
        self._document = document
        self._findings = findings
        self._check = CrossCheck(
            findings,
            tables,
            self._early("identity", "kind"),
            self._early("identity", "compass") or FULL_COMPASS,
            self._early("assignment", "inspected"),
            self._early("identity", "made"),
            today,
        )

    def case(self) -> Case | None:
        """Return the case, or none where a grave problem was found."""
        self._unknown_keys()
        parts: dict[str, Any] = {path[0]: self._section(path) for path in layout.SECTIONS}
        for path in layout.LISTS:
            if len(path) == 1 and path[0] not in ("photos", "remarks"):
                parts[path[0]] = self._list(path)
        parts["remarks"], parts["photos"] = self._remarks()
        parts["invented"] = self._invented()
        if self._findings.grave:
            return None
        return Case(**{name: part for name, part in parts.items() if part is not None})

    def _section(self, path: tuple[str, ...]) -> object:
        """Return one section; an absent one is validated empty, so that required keys are named."""
        if path[0] not in self._document and declared(Case)[path[0]].optional:
            return None
        table = layout.SECTIONS[path]
        lists = {inner[-1]: self._list(inner) for inner in layout.LISTS if inner[:-1] == path}
        raw = self._document.get(path[0], {})
        if not isinstance(raw, dict):
            self._findings.add(path, raw, f"a table: [{path[0]}]")
            return None
        values = table.read(self._findings, path, {key: value for key, value in raw.items() if key not in lists})
        if values is None:
            return None
        made: object = table.record(**values, **lists)
        self._check.record(path, made)
        return made

    def _list(self, path: tuple[str, ...]) -> tuple[Any, ...]:
        """Return the good ones of an array of tables."""
        made = []
        for where, values in self._items(path):
            record = layout.LISTS[path].record(**values)
            found = self._check.record(where, record)
            if found is not None:
                made.append((where, found))
        self._check.together(path, made)
        return tuple(record for _, record in made)

    def _remarks(self) -> tuple[tuple[Remark, ...], tuple[PhotoFile, ...]]:
        """Return the remarks and the photos, the one that a remark of an earlier layout names among them."""
        remarks: list[Remark] = []
        photos: dict[str, PhotoFile] = {}
        for photo in self._list(("photos",)):
            photos.setdefault(photo.file, photo)
        for path, values in self._items(("remarks",)):
            one = PhotoFile(values.pop("photo", ""), values.pop("sha256", ""))
            remark = Remark(**values)
            self._check.record(path, remark)
            if one.file:
                remark = replace(remark, photos=tuple(dict.fromkeys((one.file, *remark.photos))))
                known = photos.setdefault(one.file, one)
                photos[one.file] = known if known.sha256 else replace(known, sha256=one.sha256)
            self._check.one_photo(path, one, photos)
            remarks.append(remark)
        return tuple(remarks), tuple(photos.values())

    def _invented(self) -> str:
        invented = self._document.get("invented", "")
        if isinstance(invented, str) and len(invented) <= LONGEST_TEXT:
            return invented
        self._findings.add(("invented",), invented, f"a sentence in quotes, of at most {LONGEST_TEXT} characters")
        return ""

    def _unknown_keys(self) -> None:
        for key in self._document:
            if key in layout.TOP_LEVEL:
                continue
            mend = layout.home(key) or self._findings.nearest(key, layout.TOP_LEVEL)
            expected = "a section of a case file" if mend else f"one of {listed(layout.TOP_LEVEL)}"
            self._findings.add((key,), Words("an unknown key"), expected, mend)

    def _items(self, path: tuple[str, ...]) -> Iterator[tuple[Path, dict[str, Any]]]:
        """Validate an array of tables, item by item, and yield the values of the good ones with their paths."""
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
            values = layout.LISTS[path].read(self._findings, where, raw)
            if values is not None:
                yield where, values

    def _early(self, section: str, key: str) -> Any:  # noqa: ANN401 - of any key
        """Return a key for checks that go on although its section has a problem; none where it is no good itself."""
        found = self._document.get(section)
        return layout.SECTIONS[section,].value(key, found[key]) if isinstance(found, dict) and key in found else None
