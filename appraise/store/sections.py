"""From a parsed document to a case: its tables as the model declares them, read strictly, every wrong key told."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Annotated, Any

from appraise.model.case import FULL_COMPASS, Case, Kind, PhotoFile, Remark
from appraise.model.declaration import LONGEST_TEXT, Chars, Declared, Digest, declared, parts
from appraise.model.lazy_dataclass import dataclass
from appraise.store.crosscheck import CrossCheck
from appraise.store.findings import Diagnostics, Path, Words, listed
from appraise.store.values import Refused, read, reader

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from datetime import date

    from appraise.tables.rows import Tables


class Sections:
    """Goes through one document, section by section, so that one problem does not hide the next."""

    def __init__(self, document: dict[str, Any], tables: Tables, findings: Diagnostics, today: date | None) -> None:
        self._document = document
        self._findings = findings
        kind, compass = self._early("identity", "kind"), self._early("identity", "compass") or FULL_COMPASS
        self._beside = tables, kind, compass
        self._check = CrossCheck(
            findings,
            tables,
            kind,
            compass,
            self._early("assignment", "inspected"),
            self._early("identity", "made"),
            today,
        )

    def case(self) -> Case | None:
        """Return the case, or none where a grave problem was found."""
        self._unknown_keys()
        parts: dict[str, Any] = {path[0]: self._section(path) for path in SECTIONS}
        for path in LISTS:
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
        table = SECTIONS[path]
        lists = {inner[-1]: self._list(inner) for inner in LISTS if inner[:-1] == path}
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
        alike = _alike(path, *self._beside) if path in _BY_THEMSELVES else None
        for where, raw in self._items(path):
            words = "" if alike is None else _words(raw)
            found = alike.get(words) if alike else None
            if found is None:
                told = len(self._findings.problems)
                values = LISTS[path].read(self._findings, where, raw)
                if values is None:
                    continue
                found = self._check.record(where, LISTS[path].record(**values))
                if alike is not None and words and len(self._findings.problems) == told:
                    if len(alike) >= _MOST:
                        alike.clear()
                    alike[words] = found
            if found is not None:
                made.append((where, found))
        self._check.together(path, made)
        return tuple([record for _, record in made])

    def _remarks(self) -> tuple[tuple[Remark, ...], tuple[PhotoFile, ...]]:
        """Return the remarks and the photos, the one that a remark of an earlier layout names among them."""
        remarks: list[Remark] = []
        photos: dict[str, PhotoFile] = {}
        for photo in self._list(("photos",)):
            photos.setdefault(photo.file, photo)
        for path, raw in self._items(("remarks",)):
            values = LISTS["remarks",].read(self._findings, path, raw)
            if values is None:
                continue
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
            if key in TOP_LEVEL:
                continue
            mend = home(key) or self._findings.nearest(key, TOP_LEVEL)
            expected = "a section of a case file" if mend else f"one of {listed(TOP_LEVEL)}"
            self._findings.add((key,), Words("an unknown key"), expected, mend)

    def _items(self, path: tuple[str, ...]) -> Iterator[tuple[Path, dict[str, Any]]]:
        """Yield the items of an array of tables with their paths."""
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
            yield where, raw

    def _early(self, section: str, key: str) -> Any:  # noqa: ANN401 - of any key
        """Return a key for checks that go on although its section has a problem; none where it is no good itself."""
        found = self._document.get(section)
        return SECTIONS[section,].value(key, found[key]) if isinstance(found, dict) and key in found else None


@dataclass(frozen=True, slots=True)
class OnePhoto:
    """A remark's only photo, as earlier layouts have it: read, and never written."""

    photo: Annotated[str, Chars(500), "one photo, as earlier releases wrote it"] = ""
    sha256: Annotated[Digest, "of that one photo"] = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table of a file, or an item of an array of tables."""

    record: type
    """Maker of its value."""
    keys: Mapping[str, Declared]
    needed: tuple[str, ...]
    """Those that a file must state."""
    readers: Mapping[str, Callable[[Any], Any]]
    """What reads each of them while all is well."""

    def read(self, findings: Diagnostics, path: Path, raw: Mapping[str, Any]) -> dict[str, Any] | None:
        """Return the values of a table's keys as the model has them, those left out that are wrong.

        Args:
            findings: Where problems go.
            path: Of the table.
            raw: As TOML has it.

        Returns:
            The good ones, for one slip must not hide the next; none where one is not there that has to be.
        """
        try:
            good = {name: self.readers[name](value) for name, value in raw.items()}
        except (KeyError, Refused):
            pass  # once more, and everything wrong is told
        else:
            for name in self.needed:
                if name not in good:
                    break
            else:
                return good
        wrong: list[Path] = []

        def tell(where: Path, found: object, expected: str, mend: str) -> None:
            wrong.append(where)
            findings.add(path + where, found, expected, mend)

        values = {name: read(one, raw[name], tell) for name, one in self.keys.items() if name in raw}
        for name in self.needed:
            if name not in raw:
                tell((name,), None, self.keys[name].expected or "a value", "")
        for name in raw if len(values) < len(raw) else ():
            if name not in self.keys:
                tell((name,), *self._unknown(findings, path, name))
        if not wrong:
            return values
        for where in wrong:
            findings.blame(path + where, path)
        left_out = {where[0] for where in wrong}
        if left_out.intersection(self.needed):
            return None
        return {name: value for name, value in values.items() if name not in left_out}

    def value(self, name: str, raw: object) -> Any:  # noqa: ANN401 - of any key
        """Return one key alone; none where it is wrong, of which nothing is told."""
        wrong: list[object] = []
        value = read(self.keys[name], raw, lambda *told: wrong.append(told))
        return None if wrong else value

    def refusal(self, name: str, raw: object) -> str:
        """Say what is expected in place of a value; nothing where it is good, or there is no such key."""
        wrong: list[str] = []
        if name in self.keys:
            read(self.keys[name], raw, lambda _where, _found, expected, _mend: wrong.append(expected))
        return wrong[0] if wrong else ""

    def _unknown(self, findings: Diagnostics, path: Path, name: str) -> tuple[Words, str, str]:
        """Say where an unknown key may belong."""
        names = list(self.keys)
        if path == ("market",):
            names += [place[1] for place in LISTS if place[0] == "market" and len(place) > 1]
        elsewhere = home(name) if path[:1] in SECTIONS or path[:1] in LISTS else ""  # of a case file
        mend = elsewhere or findings.nearest(name, names)
        expected = f"a key of [{'.'.join(str(part) for part in path if isinstance(part, str))}]"
        return Words("an unknown key"), expected if mend else f"{expected}: {listed(names)}", mend


def table(record: type, *more: type) -> Table:
    """Return the table of a record: a key a field, lists of records apart; and the keys of more."""
    keys = {name: one for part in (record, *more) for name, one in declared(part).items() if not one.record}
    needed = tuple(name for name, one in keys.items() if one.missing)
    return Table(record, keys, needed, {name: reader(one) for name, one in keys.items()})


_BY_THEMSELVES = (("grades",), ("readings",))
"""Lists whose records hang on nothing else of the case than what `_alike` asks for."""
_MOST = 8192
_LONGEST = 200


@lru_cache(maxsize=16)
def _alike(path: tuple[str, ...], tables: Tables, kind: Kind | None, compass: int) -> dict[str, Any]:
    """Return the records of a list in which nothing was wrong, by what was read: most come again in other cases."""
    del path, tables, kind, compass
    return {}


def _words(raw: dict[str, Any]) -> str:
    """Return what tells an item from all that are read otherwise; nothing where it is long."""
    try:
        words = repr(raw)
    except ValueError:  # a number of thousands of digits
        return ""
    return words if len(words) <= _LONGEST else ""


_ALL = parts(Case)

SECTIONS = {path: table(one.type) for path, one in _ALL.items() if not one.many}
"""Tables of the file."""

LISTS = {
    path: table(one.type, *((OnePhoto,) if path == ("remarks",) else ())) for path, one in _ALL.items() if one.many
}
"""Arrays of tables."""

TOP_LEVEL = ("schema", "invented", *dict.fromkeys(path[0] for path in (*SECTIONS, *LISTS)))
"""Every key that may stand at the head of a file."""


def refusal(path: Path, value: object) -> str:
    """Say what a file would expect in place of a value, so that nothing is taken that could not be written.

    Args:
        path: Its place in a case, list items as numbers.
        value: As a file has it.

    Returns:
        What was expected; empty where the file takes the value.
    """
    names = tuple(part for part in path if isinstance(part, str))
    found = SECTIONS.get(names[:-1]) or LISTS.get(names[:-1])
    return "" if found is None else found.refusal(names[-1], value)


def home(name: str) -> str:
    """Say which table a key belongs to, or nothing where none has such a key."""
    place = next((path for path, found in SECTIONS.items() if name in found.keys), None)
    return f"it belongs to [{place[0]}]" if place is not None else ""
